"""Lines of points: lengths, directions, bends and parallel lines, checked against circles and shapely."""

from __future__ import annotations

from math import cos, hypot, inf, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from backseam.geom import polyline

Line = NDArray[np.float64]


def arc(radius: float, sweep: float, points: int = 4001) -> Line:
    s = np.linspace(0.0, sweep, points)
    return np.stack([radius * np.cos(s), radius * np.sin(s)], axis=-1)


def outline(a: float, b: float, points: int = 6000) -> Line:
    s = np.linspace(0.0, 2 * pi, points, endpoint=False)
    return np.stack([a * np.cos(s), b * np.sin(s)], axis=-1)


def stepped(width: float = 1.35, over: float = 4.0) -> Line:
    """A stitch line as at the lower end of a collar: a small step aside within a few millimetres."""
    y = np.linspace(155.0, 0.0, 800)
    s = np.clip((y - 136.0) / over, 0.0, 1.0)
    return np.stack([50.0 + width * s**3 * (10 - 15 * s + 6 * s**2) + 0.02 * y, y], axis=-1)


lines = st.lists(
    st.tuples(st.floats(-0.4, 0.4), st.floats(0.5, 5.0)), min_size=3, max_size=40
)  # turns and side lengths


def walked(steps: list[tuple[float, float]]) -> Line:
    way = np.cumsum([turn for turn, _ in steps])
    side = np.array([size for _, size in steps])
    legs = np.stack([side * np.cos(way), side * np.sin(way)], axis=-1)
    return np.concatenate([[[0.0, 0.0]], np.cumsum(legs, axis=0)])


def test_the_length_of_an_arc_is_radius_times_angle() -> None:
    assert polyline.length(arc(40.0, 2.0)) == pytest.approx(80.0, abs=1e-5)


def test_a_closed_outline_counts_its_last_side() -> None:
    box = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [0.0, 20.0]])
    assert polyline.length(box) == 80.0
    assert polyline.length(box, closed=True) == 100.0


def test_points_at_lengths_lie_where_the_circle_has_them() -> None:
    for s in (0.0, 13.7, 55.5, 80.0):
        x, y = polyline.at_length(arc(40.0, 2.0), s)[0]
        assert (x, y) == pytest.approx((40 * cos(s / 40), 40 * sin(s / 40)), abs=1e-4)


def test_lengths_beyond_the_ends_are_held_there() -> None:
    line = np.array([[0.0, 0.0], [10.0, 0.0]])
    assert polyline.at_length(line, [-3.0, 14.0]).tolist() == [[0.0, 0.0], [10.0, 0.0]]


def test_the_direction_on_a_circle_is_across_its_radius() -> None:
    way = polyline.heading_at(arc(40.0, 5.0), [20.0, 120.0])  # beyond half a turn: it does not jump by 2 pi
    assert way == pytest.approx([0.5 + pi / 2, 3.0 + pi / 2], abs=1e-6)


def test_left_of_a_downward_line_is_plus_x() -> None:
    normals = polyline.normals(stepped(0.0))
    assert np.all(normals[:, 0] > 0.99)
    assert np.hypot(*normals.T) == pytest.approx(1.0)


def test_a_full_round_turns_by_two_pi() -> None:
    assert polyline.turning(outline(30.0, 17.0), closed=True) == pytest.approx(2 * pi, abs=1e-9)
    assert polyline.turning(outline(30.0, 17.0)[::-1], closed=True) == pytest.approx(-2 * pi, abs=1e-9)


@pytest.mark.parametrize(("radius", "sweep"), [(8.0, 3.0), (20.0, 1.2), (90.0, 0.5)])
def test_the_tightest_bend_of_an_arc_is_its_radius(radius: float, sweep: float) -> None:
    found, at = polyline.tightest_bend(arc(radius, sweep), 12.0)
    assert found == pytest.approx(radius, rel=1e-3)
    assert 0 < at < radius * sweep


def test_a_small_step_aside_is_no_bend_and_a_straight_line_none_at_all() -> None:
    assert polyline.tightest_bend(stepped(), 12.0)[0] > 15.0
    assert polyline.tightest_bend(np.array([[50.0, 90.0], [50.0, 45.0], [50.0, 0.0]]), 12.0)[0] == inf


def test_a_smooth_line_through_few_nodes_of_an_arc_has_its_length() -> None:
    line = polyline.through(arc(60.0, 2.5, points=37), 0.25)
    assert polyline.length(line) == pytest.approx(150.0, abs=1e-3)
    assert np.hypot(*line.T) == pytest.approx(60.0, abs=1e-3)
    sides = np.diff(polyline.running_length(line))
    assert sides.max() - sides.min() < 1e-4
    assert sides.max() <= 0.2501


def test_a_smooth_line_through_two_nodes_is_straight() -> None:
    line = polyline.through(np.array([[0.0, 0.0], [3.0, 4.0]]), 1.0)
    assert line == pytest.approx(np.linspace([0.0, 0.0], [3.0, 4.0], 6))


@pytest.mark.parametrize("by", [-12.0, -5.0, -0.5, 3.0])
@pytest.mark.parametrize(("a", "b"), [(30.0, 30.0), (30.0, 17.0)])
def test_an_offset_outline_has_the_length_that_steiner_gives(a: float, b: float, by: float) -> None:
    shape = outline(a, b)
    girth = polyline.length(shape, closed=True)
    got = polyline.length(polyline.offset(shape, by, closed=True), closed=True)
    assert got == pytest.approx(girth - 2 * pi * by, abs=2e-3)
    assert polyline.offset_length(shape, by, closed=True) == pytest.approx(girth - 2 * pi * by, abs=1e-6)


def test_an_outline_of_thousands_of_points_is_offset_exactly() -> None:
    """A general buffer was once seen to lose 5.6 mm of 201 here without a word; the length is the check."""
    shape = outline(15.0, 15.0, points=20_000)
    got = polyline.length(polyline.offset(shape, -17.0, closed=True), closed=True)
    assert got == pytest.approx(2 * pi * 32.0, abs=1e-3)


@pytest.mark.parametrize("by", [25.0, 15.0, 5.0, -5.0, -25.0])
def test_a_parallel_of_a_stepped_line_keeps_its_distance_and_does_not_cross_itself(by: float) -> None:
    line = stepped()
    parallel = polyline.offset(line, by)
    away = polyline.distances_to(line, parallel)
    assert away.min() > abs(by) - 0.003
    assert away.max() < abs(by) + 0.003
    assert shapely.LineString(parallel).is_simple
    built_by_shapely = shapely.offset_curve(shapely.LineString(line), by, quad_segs=64)
    assert shapely.hausdorff_distance(shapely.LineString(parallel), built_by_shapely) < 0.01
    assert (parallel[0, 0] - line[0, 0] > 0) == (by > 0)  # left of a line that runs down is +x


def test_loops_on_both_hollow_ends_of_an_outline_are_cut_off() -> None:
    shape = outline(30.0, 17.0)  # smallest radius 17 ** 2 / 30 = 9.6
    inner = polyline.offset(shape, 12.0, closed=True)
    by_shapely = shapely.Polygon(shape).buffer(-12.0, quad_segs=64)
    assert shapely.LinearRing(inner).is_simple
    assert shapely.Polygon(inner).area == pytest.approx(by_shapely.area, abs=0.01)


def test_nothing_to_shift_and_repeated_points() -> None:
    line = np.array([[0.0, 0.0], [0.0, 0.0], [10.0, 0.0], [10.0, 0.0]])
    assert polyline.offset(line, 0.0).tolist() == [[0.0, 0.0], [10.0, 0.0]]
    assert polyline.offset(line, 2.0).tolist() == [[0.0, 2.0], [10.0, 2.0]]
    shut = np.array([[0.0, 0.0], [9.0, 0.0], [9.0, 9.0], [0.0, 0.0]])
    assert len(polyline.without_repeats(shut, closed=True)) == 3


def test_a_parallel_that_vanishes_is_still_given_for_the_caller_to_measure() -> None:
    """Nothing lies 40 inside a circle of 30; the answer is too short and `offset_length` says so."""
    shape = outline(30.0, 30.0, points=200)
    inner = polyline.offset(shape, 40.0, closed=True)
    assert polyline.distances_to(shape, inner).min() < 39.0
    assert polyline.offset_length(shape, 40.0, closed=True) < 0


@given(steps=lines, by=st.floats(-0.2, 0.2).filter(lambda d: abs(d) > 1e-3))
def test_a_small_offset_has_the_expected_length_and_distance(
    steps: list[tuple[float, float]], by: float
) -> None:
    line = walked(steps)
    parallel = polyline.offset(line, by)
    assert polyline.length(parallel) == pytest.approx(polyline.offset_length(line, by), abs=0.01 * len(line))
    chain = shapely.LineString(line)
    if chain.is_simple and all(
        hypot(*(line[i] - line[j])) > 1 for i in range(len(line)) for j in range(i - 1)
    ):
        assert polyline.distances_to(line, parallel).max() <= abs(by) * 1.03 + 1e-6


@given(steps=lines, by=st.floats(0.5, 8.0))
def test_mirroring_the_line_mirrors_the_parallel(steps: list[tuple[float, float]], by: float) -> None:
    line = walked(steps)
    assert polyline.offset(polyline.mirrored(line), -by) == pytest.approx(
        polyline.mirrored(polyline.offset(line, by)), abs=1e-6
    )


@given(steps=lines, scale=st.floats(0.2, 9.0))
def test_lengths_scale(steps: list[tuple[float, float]], scale: float) -> None:
    line = walked(steps)
    assert polyline.length(line * scale) == pytest.approx(scale * polyline.length(line), rel=1e-9)
    middle = polyline.length(line) / 2
    assert polyline.at_length(line * scale, middle * scale) == pytest.approx(
        scale * polyline.at_length(line, middle), abs=1e-9 * scale + 1e-9
    )
