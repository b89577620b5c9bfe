"""The collar against closed forms, offset circles of another library, and bends drawn out."""

from __future__ import annotations

from math import asin, pi

import numpy as np
import pytest
import shapely
from scipy.special import ellipe

from backseam.geom import polyline
from backseam.leather.leather import Leather, State, Tight
from backseam.pattern.collar import (
    flap_sliding,
    fold_allowance,
    fold_strain,
    girth_caught,
    girth_sliding,
    plan,
    skive_angle,
    step_at_flap,
)
from backseam.pattern.construction import Collar, CollarKind

R, T, FLAP = 14.0, 2.0, 1.0
GIRTH = 2 * pi * R


def circle(radius: float) -> float:
    """Circumference by shapely (GEOS), from a polygon of 16,384 sides."""
    return float(shapely.Point(0, 0).buffer(radius, quad_segs=4096).length)


def fillet_on_a_circle(radius: float, thickness: float, inside: float) -> float:
    """What the fillet adds: pi (r + t/2) - 2 phi (R + r + t), sin phi = (r + t)/(R + r + t) (closed form)."""
    phi = asin((inside + thickness) / (radius + inside + thickness))
    return pi * (inside + thickness / 2) - 2 * phi * (radius + inside + thickness)


def test_round_a_mouth_of_radius_14() -> None:
    """Closed forms (parallel curves): caught 97.39, sliding 100.530965, the flap itself 91.106187."""
    assert girth_caught(GIRTH, T, FLAP) == pytest.approx(97.389372, abs=1e-6)
    assert girth_sliding(GIRTH, T, FLAP) == pytest.approx(100.530965, abs=1e-6)
    assert flap_sliding(GIRTH, FLAP) == pytest.approx(91.106187, abs=1e-6)
    assert girth_sliding(GIRTH, T, FLAP) - girth_caught(GIRTH, T, FLAP) == pytest.approx(pi * FLAP)  # 3.14


def test_the_same_girths_by_offset_circles() -> None:
    """shapely: one plate of t + t_i, its middle; or the outer layer's middle, lying on the flap."""
    assert girth_caught(GIRTH, T, FLAP) == pytest.approx(circle(R + (T + FLAP) / 2), abs=1e-4)
    assert girth_sliding(GIRTH, T, FLAP) == pytest.approx(circle(R + FLAP + T / 2), abs=1e-4)
    assert flap_sliding(GIRTH, FLAP) == pytest.approx(circle(R + FLAP / 2), abs=1e-4)


def test_on_an_oval_by_the_elliptic_integral_and_a_measured_parallel() -> None:
    """Ellipse 26 x 34.5: girth by scipy's elliptic integral, neutral line measured on the parallel curve."""
    a, b = 34.5 / 2, 26.0 / 2
    girth = 4 * a * float(ellipe(1 - (b / a) ** 2))
    s = np.linspace(0, 2 * pi, 8000, endpoint=False)
    section = np.stack([b * np.cos(s), a * np.sin(s)], axis=-1)
    neutral = polyline.offset(section, -(T + FLAP) / 2, closed=True)
    assert girth_caught(girth, T, FLAP) == pytest.approx(polyline.length(neutral, closed=True), abs=1e-3)


def test_the_step_where_the_flap_ends() -> None:
    """Closed form on a circle of 14 with an inside radius of 1: 2.68, in round figures 2.7."""
    above, below = fillet_on_a_circle(R, T + FLAP, 1.0), fillet_on_a_circle(R, T, 1.0)
    assert step_at_flap(FLAP, above, below) == pytest.approx(2.6766, abs=1e-3)
    assert fillet_on_a_circle(15.0, 2.0, 1.0) == pytest.approx(0.255054, abs=1e-6)


@pytest.mark.parametrize(
    ("thickness", "inside", "neutral", "allowance"),
    [
        (2.0, 0.0, 0.5, -0.858407),
        (1.0, 0.0, 0.45, -0.586),
        (1.0, 0.75, 0.45, 0.270),
        (1.0, 1.0, 0.45, 0.555),
    ],
)
def test_fold_allowance(thickness: float, inside: float, neutral: float, allowance: float) -> None:
    """Closed values of pi (r + k t) - 2 (r + t)."""
    assert fold_allowance(thickness, inside, neutral) == pytest.approx(allowance, abs=1e-3)
    assert fold_allowance(2.0, 0.0) == pytest.approx(pi - 4, abs=1e-12)


@pytest.mark.parametrize(
    ("thickness", "inside", "neutral"), [(2.0, 0.0, 0.5), (1.0, 0.75, 0.5), (1.6, 0.4, 0.42)]
)
def test_fold_allowance_on_a_drawn_fold(thickness: float, inside: float, neutral: float) -> None:
    """Bend allowance of sheet-metal textbooks, angle x (R + K T), measured on a drawn line; legs 40, 15."""
    radius, reach = inside + neutral * thickness, inside + thickness
    turn = np.linspace(0, pi, 6000)
    bend = np.stack([radius * np.sin(turn), radius * np.cos(turn)], axis=-1)
    up, down = [[reach - 40.0, radius]], [[reach - 15.0, -radius]]
    flat = polyline.length(np.concatenate([up, bend, down]))
    assert flat - 40.0 - 15.0 == pytest.approx(fold_allowance(thickness, inside, neutral), abs=1e-5)


@pytest.mark.parametrize(
    ("share", "dry", "wet"),
    [
        (0.25, 0.67, 0.92),
        (0.5, 0.50, 0.67),
        (0.75, 0.40, 0.52),
        (1.0, 0.33, 0.43),
        (1.5, 0.25, 0.32),
        (2.0, 0.20, 0.25),
        (3.0, 0.14, 0.18),
    ],
)
def test_strain_of_the_grain_in_a_bend(share: float, dry: float, wet: float) -> None:
    """Table of (r + t)/(r + k t) - 1 for r/t, with k 0.5 and 0.4."""
    assert fold_strain(2.0, 2.0 * share, 0.5) == pytest.approx(dry, abs=0.0055)
    assert fold_strain(2.0, 2.0 * share, 0.4) == pytest.approx(wet, abs=0.0055)


@pytest.mark.parametrize(
    ("thickness", "edge", "width", "angle"),
    [(2.0, 1.0, 10, 5.7), (2.0, 0.6, 12, 6.7), (2.0, 0.8, 8, 8.5), (2.5, 1.0, 10, 8.5)],
)
def test_skive_angles(thickness: float, edge: float, width: float, angle: float) -> None:
    """Table of skives, trigonometry."""
    assert skive_angle(thickness, edge, width) == pytest.approx(angle, abs=0.06)


@pytest.mark.parametrize("thickness", [1.6, 2.0, 2.4, 3.0])
def test_a_hundred_high_with_twenty_turned_in_is_cut_a_hundred_and_twenty(thickness: float) -> None:
    """Common practice, no source: the height is cut with the turn-in added, within half a thickness."""
    leather = Leather((thickness,), Tight.ALONG, "shoulder", State.DAMP, 0.0, 0.0, 0.5)
    collar = Collar(CollarKind.FOLDED, depth=20.0, flap=thickness / 2, skive=24.0, runout=4.0, inside=0.5)
    fold = plan(collar, leather, girth=100.0)
    for allowance in (0.0, fold.allowance, fold.allowance_soft):
        assert abs(100.0 + fold.turn_in + allowance - 120.0) <= thickness / 2
