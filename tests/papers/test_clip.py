"""Clipping, against shapely."""

from __future__ import annotations

from itertools import pairwise
from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers.clip import FLATNESS, clip, holds, inside, lengths_inside
from backseam.papers.model import Box, Ring, Role, Stroke, Words, mark_box

BOX = Box(0, 0, 100, 60)
POINTS = st.tuples(st.integers(-50, 150), st.integers(-50, 110)).map(lambda p: (float(p[0]), float(p[1])))
LINES = st.lists(POINTS, min_size=2, max_size=8).map(tuple)


def _shape(stroke: Stroke) -> shapely.Geometry:
    points = stroke.points + stroke.points[:1] if stroke.closed else stroke.points
    return shapely.LineString(points)


@given(LINES, st.booleans())
def test_parts_of_a_line_are_those_shapely_finds(
    points: tuple[tuple[float, float], ...], closed: bool
) -> None:
    stroke = Stroke(points, Role.CUT, closed)
    found = [_shape(part) for part in clip(stroke, BOX)]
    assert all(holds(BOX, mark_box(part)) for part in clip(stroke, BOX))
    frame = shapely.box(BOX.left, BOX.bottom, BOX.right, BOX.top)
    wanted = [shapely.LineString(pair).intersection(frame) for pair in _pairs(stroke)]
    assert sum(part.length for part in found) == pytest.approx(sum(part.length for part in wanted), abs=1e-6)
    covered = shapely.union_all([part.buffer(1e-6) for part in found])
    assert all(part.difference(covered).length < 1e-6 for part in wanted)


def _pairs(stroke: Stroke) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    points = stroke.points + stroke.points[:1] if stroke.closed else stroke.points
    return list(pairwise(points))


@given(st.lists(POINTS, min_size=3, max_size=3, unique=True).map(tuple))
def test_a_filled_area_keeps_its_part_of_the_box(points: tuple[tuple[float, float], ...]) -> None:
    area = Stroke(points, Role.GLUE, closed=True, fill=0.5)
    got = sum(shapely.Polygon(part.points).area for part in clip(area, BOX))
    wanted = shapely.Polygon(points).intersection(shapely.box(0, 0, 100, 60)).area
    assert got == pytest.approx(wanted, abs=1e-6)
    assert all(part.fill == 0.5 for part in clip(area, BOX))


def test_points_inside_are_not_moved() -> None:
    points = ((0.1, 0.2), (33.333333333, 12.7), (1e-9, 59.999), (140.0, 20.0))
    (part,) = clip(Stroke(points, Role.CUT), BOX)
    assert part.points[:3] == points[:3]
    assert part.points[3][0] == 100.0


def test_a_closed_line_that_leaves_once_stays_one_line() -> None:
    square = Stroke(((50, 20), (120, 20), (120, 40), (50, 40)), Role.CUT, closed=True)
    (part,) = clip(square, BOX)
    assert part.points == ((100, 40), (50, 40), (50, 20), (100, 20))
    assert not part.closed


def test_a_cut_circle_stays_round() -> None:
    parts = list(clip(Ring((100, 30), 2.5, Role.PUNCH), BOX))
    points = [p for part in parts for p in part.points]
    assert all(abs(((x - 100) ** 2 + (y - 30) ** 2) ** 0.5 - 2.5) <= FLATNESS + 1e-9 for x, y in points)
    assert sum(_shape(part).length for part in parts) == pytest.approx(2.5 * pi, abs=0.01)


def test_a_whole_circle_stays_a_circle() -> None:
    ring = Ring((50, 30), 2.5, Role.PUNCH)
    assert list(clip(ring, BOX)) == [ring]
    assert list(clip(Ring((300, 30), 2.5, Role.PUNCH), BOX)) == []


def test_text_lies_where_its_anchor_is() -> None:
    assert inside(BOX, Words((99, 59), "far over the edge", 5))
    assert not inside(BOX, Words((101, 59), "x", 5, "end"))


@given(LINES)
def test_lengths_of_many_lines_are_those_of_their_parts(points: tuple[tuple[float, float], ...]) -> None:
    pairs = _pairs(Stroke(points, Role.CUT))
    wanted = [sum(_shape(part).length for part in clip(Stroke(pair, Role.CUT), BOX)) for pair in pairs]
    assert lengths_inside(np.array(pairs), BOX) == pytest.approx(wanted, abs=1e-9)
