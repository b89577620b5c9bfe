"""The curve through readings: through each, monotone between, no kink, small change in small change out."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backseam.geom.curve import smooth_monotone, smooth_step

steps = st.lists(st.floats(8.0, 60.0), min_size=1, max_size=7)
values = st.lists(st.floats(60.0, 130.0), min_size=8, max_size=8)


def curve(gaps, heights):
    x = np.concatenate([[0.0], np.cumsum(gaps)])
    return smooth_monotone(x, np.array(heights[: len(x)])), x, np.array(heights[: len(x)])


@given(steps, values)
@settings(max_examples=80, deadline=None)
def test_goes_through_every_reading_and_never_past_its_neighbours(gaps, heights):
    made, x, y = curve(gaps, heights)
    assert made(x) == pytest.approx(y, abs=1e-9)
    for a, b, low, high in zip(x, x[1:], y, y[1:], strict=False):
        inner = np.diff(made(np.linspace(a, b, 60)))
        assert (
            (inner * np.sign(high - low) >= -1e-3).all() if low != high else np.abs(inner).max() < 1e-9
        )  # mm, between samples


@given(steps, values)
@settings(max_examples=40, deadline=None)
def test_second_derivative_does_not_jump_at_a_reading(gaps, heights):
    made, x, _ = curve(gaps, heights)
    for knot in x[1:-1]:
        e = 1e-5
        left = (made.slope(knot) - made.slope(knot - e)) / e
        right = (made.slope(knot + e) - made.slope(knot)) / e
        scale = 1 + np.abs(made.bends).max()
        assert abs(float(left - right)) < 0.02 * scale


def test_keeps_a_straight_line_and_is_straight_beyond_its_ends():
    made = smooth_monotone(np.array([0.0, 30.0, 100.0]), np.array([80.0, 83.0, 90.0]))
    x = np.linspace(-20, 130, 31)
    assert made(x) == pytest.approx(80 + x / 10, abs=1e-9)
    assert made.slope(x) == pytest.approx(np.full(31, 0.1), abs=1e-9)


def test_one_reading_is_a_constant():
    assert smooth_monotone(np.array([5.0]), np.array([90.0]))(np.array([0.0, 40.0])).tolist() == [90.0, 90.0]


@given(steps, values, st.integers(0, 7), st.floats(-0.05, 0.05))
@settings(max_examples=60, deadline=None)
def test_small_change_in_small_change_out(gaps, heights, which, by):
    made, x, y = curve(gaps, heights)
    moved = y.copy()
    moved[which % len(y)] += by
    fine = np.linspace(0, x[-1], 200)
    assert np.abs(smooth_monotone(x, moved)(fine) - made(fine)).max() <= 8 * abs(by) + 1e-9


def test_smooth_step_is_flat_at_both_ends():
    assert smooth_step(np.array([-1.0, 0.0, 0.5, 1.0, 2.0])).tolist() == [0, 0, 0.5, 1, 1]
