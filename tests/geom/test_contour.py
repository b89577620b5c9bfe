"""Contours of fields with known level lines."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.geom.contour import contours


def grid(n: int = 41, reach: float = 2.0) -> np.ndarray:
    """Points of a square grid."""
    return np.stack(np.meshgrid(np.linspace(-reach, reach, n), np.linspace(-reach, reach, n)), axis=-1)


@given(st.floats(-1.5, 1.5), st.floats(-3, 3))
def test_a_plane_has_straight_contours(level, turn):
    points = grid()
    way = np.array([np.cos(turn), np.sin(turn)])
    lines = contours(points, points @ way, level)
    assert len(lines) == 1
    assert lines[0] @ way == pytest.approx(np.full(len(lines[0]), level), abs=1e-9)
    ends = np.abs(lines[0][[0, -1]]).max(axis=1)
    assert ends == pytest.approx([2.0, 2.0])


def test_a_hill_has_round_contours_that_close():
    points = grid(81)
    (line,) = contours(points, np.hypot(*np.moveaxis(points, -1, 0)), 1.3)
    assert line[0] == pytest.approx(line[-1])
    assert np.hypot(*line.T) == pytest.approx(np.full(len(line), 1.3), abs=2e-3)
    length = np.hypot(*np.diff(line, axis=0).T).sum()
    assert length == pytest.approx(2 * np.pi * 1.3, rel=2e-3)


def test_two_hills_have_two_lines_and_points_carry_more_than_two_numbers():
    points = grid()
    x = points[..., 0]
    value = np.cos(np.pi * x) * np.cos(np.pi * points[..., 1] / 4)
    carried = np.concatenate([points, value[..., None]], axis=-1)
    lines = contours(carried, value, 0.5)
    assert len(lines) == 3
    for line in lines:
        assert line[:, 2] == pytest.approx(np.full(len(line), 0.5), abs=1e-9)


def test_a_level_outside_or_on_a_node_is_no_trouble():
    points = grid(5)
    assert contours(points, points[..., 0], 7.0) == []
    (line,) = contours(points, points[..., 0], 1.0)
    assert line[:, 0] == pytest.approx(np.ones(len(line)))
    assert contours(points, np.zeros((5, 5)), 0.0) == []
