"""The grid of tiles by numbers that can be checked by hand."""

from __future__ import annotations

from math import inf

import pytest

from backseam.papers.grid import Grid, Laid, best_grid
from backseam.papers.joining import join_marks
from backseam.papers.model import Box, Drawing, Ring, Role, Stroke, mark_box, segment
from backseam.papers.sheet import SHEETS, window
from backseam.papers.strip import corners

A4 = SHEETS["A4"]
SPACE = window(A4)


def _grid(drawing: Drawing, columns: int, rows: int) -> Grid:
    return Grid(Laid(drawing), A4, columns, rows, 0.0, 0.0)


def _frame(width: float, height: float) -> Drawing:
    return Drawing("", (Stroke(corners(Box(0, 0, width, height)), Role.CUT, True),))


def test_a_tile_shows_190_by_277_less_strips() -> None:
    """A4 less 10 all round; less 4.5 + 1.2 at the left, 13 + 1.2 at the foot; less half a wide line on each side."""
    assert (SPACE.width, SPACE.height) == pytest.approx((190 - 5.7 - 0.5, 277 - 14.2 - 0.5))


def test_windows_overlap_by_10_and_meet_in_the_middle_of_it() -> None:
    grid = _grid(_frame(300, 200), 2, 1)
    left, right = grid.window((0, 0)), grid.window((1, 0))
    assert left.right - right.left == pytest.approx(10)
    assert grid.core((0, 0)).right == grid.core((1, 0)).left == left.right - 5
    assert grid.core((0, 0)).left == -inf
    (a, b) = grid.join((0, 0), (1, 0))
    assert (a[0], b[0]) == (left.right - 5, left.right - 5)
    assert b[1] - a[1] == pytest.approx(SPACE.height)


@pytest.mark.parametrize("columns", [1, 2, 3])
def test_n_tiles_hold_n_windows_less_n_minus_1_overlaps(columns: int) -> None:
    most = columns * SPACE.width - (columns - 1) * 10
    tall = 2 * SPACE.height - 10
    assert len(best_grid(_frame(most, tall), A4).used) <= 2 * columns
    exact = _grid(_frame(most, tall), columns, 2)
    assert exact.window((columns - 1, 1)).right == pytest.approx(most)


def test_a_drawing_of_exactly_two_windows_takes_two_sheets() -> None:
    grid = best_grid(_frame(SPACE.width, 2 * SPACE.height - 10), A4)
    assert (grid.columns, grid.rows, len(grid.used)) == (1, 2, 2)


def test_what_lies_only_in_the_overlap_needs_no_sheet_of_its_own() -> None:
    """A mark in the outer half of the overlap belongs to one sheet; the other is not printed for it."""
    drawing = Drawing(
        "", (segment((0, 0), (SPACE.width - 6, 0), Role.CUT), segment((0, 600), (1, 600), Role.CUT))
    )
    grid = _grid(drawing, 2, 3)
    assert (1, 0) not in grid.used


def test_both_sheets_of_a_join_carry_the_same_line_and_crosses() -> None:
    grid = best_grid(_frame(300, 400), A4)
    names = dict(zip(grid.used, "ABCD", strict=False))
    for one, other in grid.joins:
        first, second = (list(join_marks(grid, cell, names)) for cell in (one, other))
        for kind in (Stroke, Ring):
            shared = {m for m in first if isinstance(m, kind) and m.fill is None} & {
                m for m in second if isinstance(m, kind)
            }
            assert len(shared) >= (5 if kind is Stroke else 2)


def test_a_drawing_far_from_the_origin_is_laid_out_the_same() -> None:
    near, far = best_grid(_frame(300, 400), A4), best_grid(_frame(300, 400).moved(-5000, 777), A4)
    assert near.used == far.used
    assert far.left == pytest.approx(near.left - 5000)
    assert mark_box(far.laid.drawing.marks[0]).left == -5000


def test_a_centre_line_is_not_hidden_under_a_join() -> None:
    """Laid in the middle, the join of two sheets would fall on the line of symmetry; a little off it does not."""
    drawing = _frame(300, 200) + Drawing("", (segment((150, 0), (150, 200), Role.CENTRE),))
    grid = best_grid(drawing, A4)
    xs = [grid.join(*pair)[0][0] for pair in grid.joins if pair[0][1] == pair[1][1]]
    assert all(abs(x - 150) > 2 for x in xs)
