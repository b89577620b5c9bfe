"""Hole spacing against closed forms, quadrature, and another library's points along a line."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from scipy.integrate import quad

from backseam.pattern.construction import Stitching, Tool
from backseam.pattern.seam import Seam, perforation, positions, strike

Line = NDArray[np.float64]


def stitching(pitch: float, first: float = 0.0, last: float = 0.0) -> Stitching:
    return Stitching(pitch, Tool.FREE, 0, 45.0, 2.2, first, last, 0.8, 0.05, 3, 200.0)


def struck(line: Line, pitch: float, first: float = 0.0, last: float = 0.0) -> Seam:
    return strike(
        line,
        stitching(pitch, first, last),
        collar_from_mouth=0.0,
        leather=2.0,
        flap=0.0,
        folded=False,
        trimmed=5.0,
    )


def along(line: Line, hole: tuple[float, float]) -> float:
    """Length along a line to a point on it, by shapely (GEOS linear referencing)."""
    return float(shapely.LineString(line).project(shapely.Point(hole)))


def test_a_seam_of_121_3_at_3_5() -> None:
    """Arithmetic: 121.3 / 3.5 = 34.657, nearest 35; 121.3 / 35 = 3.465714; 36 holes a side."""
    seam = struck(np.array([[47.0, 121.3], [47.0, 0.0]]), 3.5)
    assert seam.count == 36
    assert len(seam.left) == len(seam.right) == 36
    assert seam.pitch == pytest.approx(3.465714, abs=5e-7)


@pytest.mark.parametrize(("radius", "pitch"), [(60.0, 4.0), (250.0, 3.0), (1200.0, 5.0)])
def test_holes_on_an_arc_have_the_chord_of_their_arc(radius: float, pitch: float) -> None:
    """Closed form: chord = 2 R sin(p / 2R)."""
    angle = np.linspace(0.0, 150.0 / radius, 20_000)
    line = np.stack([50 + radius - radius * np.cos(angle), 150 - radius * np.sin(angle)], axis=-1)
    seam = struck(line, pitch)
    chords = np.hypot(*np.diff(positions(seam.right), axis=0).T)
    assert chords == pytest.approx(2 * radius * sin(seam.pitch / (2 * radius)), abs=1e-5)
    assert seam.length == pytest.approx(150.0, abs=1e-5)


def test_holes_on_a_curved_line_are_equally_far_apart_by_quadrature() -> None:
    """Arc length of x = 45 + 4 sin(y/30) by scipy's adaptive quadrature, between every two holes."""
    y = np.linspace(150.0, 0.0, 3000)
    seam = struck(np.stack([45 + 4 * np.sin(y / 30), y], axis=-1), 4.0, 5.0, 4.0)
    heights = [hole.y for hole in seam.right]
    lengths = [
        quad(lambda v: (1 + (4 / 30 * cos(v / 30)) ** 2) ** 0.5, low, high)[0]
        for high, low in pairwise(heights)
    ]
    assert lengths == pytest.approx([seam.pitch] * len(lengths), abs=1e-4)


def test_holes_lie_where_another_library_puts_them() -> None:
    """shapely's line_interpolate_point (GEOS) at the same distances."""
    y = np.linspace(155.0, 0.0, 900)
    line = np.stack([44 + 6 * np.sin(y / 60) + 0.02 * y, y], axis=-1)
    seam = struck(line, 4.0, 5.0, 4.0)
    distances = 5.0 + seam.pitch * np.arange(seam.count)
    by_geos = shapely.line_interpolate_point(shapely.LineString(line), distances)
    assert positions(seam.right) == pytest.approx(shapely.get_coordinates(by_geos), abs=1e-9)


def test_on_a_developed_cone_the_stitch_line_is_straight_and_so_is_the_row() -> None:
    """Cone development (sheet-metal handbooks): radius 13 to 18 over 100, pi sin(alpha) = 0.156884."""
    bottom, top = np.array([40.673379, -3.197054]), np.array([56.316986, 95.698232])
    seam = struck(np.array([top, bottom]), 4.0, 5.0, 4.0)
    assert seam.length == pytest.approx(100.124922, abs=1e-5)  # the slant height
    steps = np.diff(positions(seam.right), axis=0)
    assert steps == pytest.approx(np.tile(steps[0], (len(steps), 1)), abs=1e-9)
    assert np.hypot(*steps[0]) == pytest.approx(91.124922 / 23, abs=1e-6)


@pytest.mark.parametrize(
    ("pitch", "awl", "share"),
    [(3, 1.4, 0.33), (3, 1.8, 0.42), (3, 2.2, 0.52), (4, 1.8, 0.32), (4, 2.2, 0.39), (4, 2.6, 0.46)],
)
def test_perforation_at_45_degrees(pitch: float, awl: float, share: float) -> None:
    """Common practice, no source: the trade's table of awl widths; the figures are awl x cos 45 / pitch."""
    assert perforation(awl, 45.0, pitch) == pytest.approx(share, abs=0.005)


def test_a_flatter_slant_perforates_more() -> None:
    """Closed form: 2.2 at pitch 4 is 0.39 at 45 degrees from the stitch line and 0.48 at 30."""
    assert perforation(2.2, 45.0, 4.0) == pytest.approx(0.389, abs=5e-4)
    assert perforation(2.2, 30.0, 4.0) == pytest.approx(0.476, abs=5e-4)


def test_first_and_last_hole_where_the_trade_has_them() -> None:
    """Common practice, no source: first 5 below the mouth, last 4 above the bottom edge, no part hole."""
    line = np.array([[47.0, 155.0], [47.0, 0.0]])
    seam = struck(line, 4.0, 5.0, 4.0)
    assert along(line, (seam.right[0].x, seam.right[0].y)) == pytest.approx(5.0)
    assert along(line, (seam.right[-1].x, seam.right[-1].y)) == pytest.approx(151.0)
    assert seam.pitch * (seam.count - 1) == pytest.approx(146.0)


def test_a_slit_of_45_degrees_on_an_upright_line() -> None:
    """Definition: from the stitch line, upper end towards the centre line: right 135 degrees from +x."""
    seam = struck(np.array([[47.0, 155.0], [47.0, 0.0]]), 4.0)
    assert seam.right[0].slit == pytest.approx(3 * pi / 4)
    assert seam.left[0].slit == pytest.approx(pi / 4)
