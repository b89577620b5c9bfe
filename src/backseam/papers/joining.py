"""A drawing larger than a sheet, cut into tiles that overlap, with all that is needed to join them again.

The windows of the tiles overlap by 10 mm; the join runs down the middle of the overlap, so both sheets print
the same line: cut one sheet on it and lay it on the other. Each cell, from join to join, belongs to one
sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from math import ceil, hypot, inf

from backseam.ground.errors import InputRefused
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm
from backseam.papers.clip import clip, holds, inside
from backseam.papers.letters import cap_height
from backseam.papers.model import Box, Drawing, Mark, Point, Ring, Role, Words, mark_box, plate, segment
from backseam.papers.sheet import Sheet, window

Cell = tuple[int, int]  # column and row, from the lower left

CROSS: Mm = 3.0  # arm of a registration cross
CROSS_RING: Mm = 1.5
CROSS_AT = (0.08, 0.92)  # where along a join the crosses stand


@dataclass(frozen=True)
class Grid:
    """Tiles over a drawing. left, bottom: of the first window, in the drawing's mm."""

    drawing: Drawing
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
        return tuple(cell for cell in cells if self._carries(self.core(cell)))

    @cached_property
    def joins(self) -> tuple[tuple[Cell, Cell], ...]:
        """Neighbours in use: left and right, lower and upper."""
        used = set(self.used)
        beside = [(c, (c[0] + 1, c[1])) for c in self.used] + [(c, (c[0], c[1] + 1)) for c in self.used]
        return tuple(pair for pair in beside if pair[1] in used)

    @property
    def cost(self) -> tuple[int, float]:
        """Sheets, then the length of joins to glue: less is better."""
        lengths = (hypot(b[0] - a[0], b[1] - a[1]) for a, b in (self.join(*pair) for pair in self.joins))
        return len(self.used), sum(lengths)

    def _carries(self, core: Box) -> bool:
        return any(inside(core, mark) for mark in self.drawing.marks)

    def join(self, one: Cell, other: Cell) -> tuple[Point, Point]:
        """The line down the middle of the overlap of two neighbours, as far as both show it."""
        a, b = self.window(one), self.window(other)
        if one[1] == other[1]:
            x = (b.left + a.right) / 2
            return (x, a.bottom), (x, a.top)
        y = (b.bottom + a.top) / 2
        return (a.left, y), (a.right, y)


def best_grid(drawing: Drawing, sheet: Sheet) -> Grid:
    """Both ways of the sheet, nine ways of laying the drawing in the grid: fewest sheets, then least waste.

    With equal sheets the paper is equal; waste then is what has to be glued. What is still equal stays
    upright and in the middle.
    """
    box = drawing.box
    grids = []
    for way in (sheet, sheet.turned):
        space, overlap = window(way), default("papers.overlap")
        columns = _count(box.width, space.width, overlap)
        rows = _count(box.height, space.height, overlap)
        if columns * rows > default("papers.sheets_most"):
            continue
        spare_x = columns * (space.width - overlap) + overlap - box.width
        spare_y = rows * (space.height - overlap) + overlap - box.height
        for x, y in product((0.5, 0.0, 1.0), repeat=2):
            left, bottom = box.left - x * spare_x, box.bottom - y * spare_y
            grids.append(Grid(drawing, way, columns, rows, left, bottom))
    if not grids:
        raise _too_many(box, sheet)
    return min(grids, key=lambda grid: grid.cost)


def _count(length: Mm, space: Mm, overlap: Mm) -> int:
    """How many tiles a length takes; one of exactly n tiles is not given another for a rounding."""
    return max(1, ceil(round((length - overlap) / (space - overlap), 9)))


def _too_many(box: Box, sheet: Sheet) -> InputRefused:
    space, overlap = window(sheet), default("papers.overlap")
    count = _count(box.width, space.width, overlap) * _count(box.height, space.height, overlap)
    return InputRefused(
        PLAIN.say("page.refused.too_many", width=box.width, height=box.height, count=count, sheet=sheet.name)
    )


def contents(grid: Grid, cell: Cell) -> Iterator[Mark]:
    """The marks of one tile, in the drawing's mm and order, without bars that the drawing brings along."""
    frame = grid.window(cell)
    for mark in grid.drawing.marks:
        if mark.role is Role.BAR:
            continue
        if isinstance(mark, Words):
            yield from _words(grid, cell, mark)
        else:
            yield from clip(mark, frame)


def _words(grid: Grid, cell: Cell, mark: Words) -> Iterator[Words]:
    """Never cut: on each sheet that shows it whole; if none does, moved in where its anchor lies."""
    box = mark_box(mark)
    if any(holds(grid.window(other), box) for other in grid.used):
        if holds(grid.window(cell), box):
            yield mark
    elif inside(grid.core(cell), mark):
        yield _moved_in(mark, grid.window(cell))


def _moved_in(mark: Words, frame: Box) -> Words:
    box = mark_box(mark)
    share = min(1.0, frame.width / box.width, frame.height / box.height)
    if share < 1:
        mark = replace(mark, size=mark.size * share)
        box = mark_box(mark)
    dx = max(frame.left - box.left, 0.0) or min(frame.right - box.right, 0.0)
    dy = max(frame.bottom - box.bottom, 0.0) or min(frame.top - box.top, 0.0)
    return replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy))


def join_marks(grid: Grid, cell: Cell, names: dict[Cell, str]) -> Iterator[Mark]:
    """The joins of one tile with their crosses and names, in the drawing's mm."""
    for one, other in grid.joins:
        if cell not in (one, other):
            continue
        first, second = sorted((names[one], names[other]), key=lambda name: (len(name), name))
        a, b = grid.join(one, other)
        yield segment(a, b, Role.JOIN)
        own = -1 if cell == one else 1
        for i, share in enumerate(CROSS_AT, 1):
            at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            yield from _cross(at, f"{first}{second}{i}", upright=one[1] == other[1], side=own)


def _cross(at: Point, name: str, *, upright: bool, side: int) -> Iterator[Mark]:
    """A registration cross; its name stands on the sheet's own side of the join."""
    x, y = at
    yield segment((x - CROSS, y), (x + CROSS, y), Role.CROSS)
    yield segment((x, y - CROSS), (x, y + CROSS), Role.CROSS)
    yield Ring(at, CROSS_RING, Role.CROSS)
    size = default("papers.least_text")
    away = CROSS + 0.8
    if upright:
        place = (x + side * away, y - cap_height(size) / 2)
        words = Words(place, name, size, "end" if side < 0 else "start", bold=True, role=Role.CROSS)
    else:
        below = cap_height(size) if side < 0 else 0.0
        words = Words((x, y + side * away - below), name, size, "middle", bold=True, role=Role.CROSS)
    yield plate(words, 0.0)
    yield words
