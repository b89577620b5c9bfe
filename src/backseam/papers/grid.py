"""Which tiles a drawing takes: both ways of the sheet and many ways of laying it, measured by what is glued."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise, product
from math import ceil, inf

import numpy as np

from backseam.ground.errors import InputRefused
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm
from backseam.papers.clip import inside, lengths_inside
from backseam.papers.model import Box, Drawing, Point, Role, Stroke, Words, mark_box, text_corners
from backseam.papers.sheet import Sheet, window

Cell = tuple[int, int]  # column and row, from the lower left

OFF: Mm = 7.0  # a drawing is tried so far, and twice so far, from the edge of the grid too
UNDER: Mm = 2.0  # what lies nearer to a join than this is under it


class Laid:
    """A drawing with what the search asks of it, once: the boxes of its marks (n, 4), its lines (m, 2, 2).

    Boxes are left, bottom, right, top. A text is a line along its foot.
    """

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing
        self.box = drawing.box
        boxes = (mark_box(mark) for mark in drawing.marks)
        self.boxes = np.array([(b.left, b.bottom, b.right, b.top) for b in boxes]).reshape(-1, 4)
        lines: list[Point] = []
        for mark in drawing.marks:
            if isinstance(mark, Stroke):
                points = mark.points + mark.points[:1] if mark.closed else mark.points
                lines += (point for pair in pairwise(points) for point in pair)
            elif isinstance(mark, Words):
                lines += text_corners(mark)[:2]
        self.lines = np.array(lines).reshape(-1, 2, 2)

    def stands_in(self, core: Box) -> bool:
        """True if something stands in this part of the plane; text stands where its anchor is."""
        left, bottom, right, top = self.boxes.T
        within = (left >= core.left) & (bottom >= core.bottom) & (right < core.right) & (top < core.top)
        if within.any():
            return True
        meet = (left <= core.right) & (right >= core.left) & (bottom <= core.top) & (top >= core.bottom)
        return any(inside(core, self.drawing.marks[i]) for i in np.flatnonzero(meet))


@dataclass(frozen=True)
class Grid:
    """Tiles over a drawing. left, bottom: of the first window, in the drawing's mm."""

    laid: Laid
    sheet: Sheet
    columns: int
    rows: int
    left: Mm
    bottom: Mm

    def window(self, cell: Cell) -> Box:
        """What the sheet shows, in the drawing's mm."""
        space, overlap = window(self.sheet), default("papers.overlap")
        left = self.left + cell[0] * (space.width - overlap)
        bottom = self.bottom + cell[1] * (space.height - overlap)
        return Box(left, bottom, left + space.width, bottom + space.height)

    def core(self, cell: Cell) -> Box:
        """What belongs to the sheet: from join to join, without limit where there is no neighbour."""
        box, half = self.window(cell), default("papers.overlap") / 2
        return Box(
            box.left + half if cell[0] else -inf,
            box.bottom + half if cell[1] else -inf,
            box.right - half if cell[0] < self.columns - 1 else inf,
            box.top - half if cell[1] < self.rows - 1 else inf,
        )

    @cached_property
    def used(self) -> tuple[Cell, ...]:
        """The cells in which something stands, row by row from the top left."""
        cells = [(column, row) for row in reversed(range(self.rows)) for column in range(self.columns)]
        return tuple(cell for cell in cells if self.laid.stands_in(self.core(cell)))

    @cached_property
    def joins(self) -> tuple[tuple[Cell, Cell], ...]:
        """Neighbours in use: left and right, lower and upper."""
        used = set(self.used)
        beside = [(c, (c[0] + 1, c[1])) for c in self.used] + [(c, (c[0], c[1] + 1)) for c in self.used]
        return tuple(pair for pair in beside if pair[1] in used)

    def join(self, one: Cell, other: Cell) -> tuple[Point, Point]:
        """The line down the middle of the overlap of two neighbours, as far as both show it."""
        a, b = self.window(one), self.window(other)
        if one[1] == other[1]:
            x = (b.left + a.right) / 2
            return (x, a.bottom), (x, a.top)
        y = (b.bottom + a.top) / 2
        return (a.left, y), (a.right, y)

    @cached_property
    def under(self) -> Mm:
        """How many mm of lines and words lie under the joins: one that crosses weighs little, one along it much."""
        joins = (self.join(*pair) for pair in self.joins)
        bands = (Box(*a, *b).grown(UNDER) for a, b in joins)
        return round(sum(float(lengths_inside(self.laid.lines, band).sum()) for band in bands), 1)


def best_grid(drawing: Drawing, sheet: Sheet) -> Grid:
    """Both ways of the sheet, many ways of laying the drawing in the grid: fewest sheets, then least waste.

    With as many equal sheets the paper is equal; waste then is what is lost to the joins: as few lines and
    words as can be lie in one. What is still equal stays upright and in the middle. Bars that the drawing
    brings along are left out, since each sheet has its own.
    """
    laid = Laid(replace(drawing, marks=tuple(mark for mark in drawing.marks if mark.role is not Role.BAR)))
    grids = [grid for way in (sheet, sheet.turned) for grid in _grids(laid, way)]
    if not grids:
        raise _too_many(laid.box, sheet)
    fewest = min(len(grid.used) for grid in grids)
    return min((grid for grid in grids if len(grid.used) == fewest), key=lambda grid: grid.under)


def _grids(laid: Laid, sheet: Sheet) -> Iterator[Grid]:
    """The drawing in the middle of the grid, at its edges and a little off them; none if it is too large."""
    box, space, overlap = laid.box, window(sheet), default("papers.overlap")
    columns = _count(box.width, space.width, overlap)
    rows = _count(box.height, space.height, overlap)
    if columns * rows > default("papers.sheets_most"):
        return
    across = _spares(columns * (space.width - overlap) + overlap - box.width)
    along = _spares(rows * (space.height - overlap) + overlap - box.height)
    for x, y in product(across, along):
        yield Grid(laid, sheet, columns, rows, box.left - x, box.bottom - y)


def _spares(spare: Mm) -> list[Mm]:
    """How much of the room to spare to leave before the drawing."""
    tries = (spare / 2, 0.0, spare, OFF, spare - OFF, 2 * OFF, spare - 2 * OFF)
    return list(dict.fromkeys(t for t in tries if 0 <= t <= max(spare, 0.0))) or [0.0]


def _count(length: Mm, space: Mm, overlap: Mm) -> int:
    """How many tiles a length takes; one of exactly n tiles is not given another for a rounding."""
    return max(1, ceil(round((length - overlap) / (space - overlap), 9)))


def _too_many(box: Box, sheet: Sheet) -> InputRefused:
    space, overlap = window(sheet), default("papers.overlap")
    count = _count(box.width, space.width, overlap) * _count(box.height, space.height, overlap)
    return InputRefused(
        PLAIN.say("page.refused.too_many", width=box.width, height=box.height, count=count, sheet=sheet.name)
    )
