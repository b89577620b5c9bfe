"""A drawing larger than a sheet, cut into tiles that overlap, with all that is needed to join them again.

The windows of the tiles overlap by 10 mm; the join runs down the middle of the overlap, so both sheets print
the same line: cut one sheet on it and lay it on the other. Each cell, from join to join, belongs to one
sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.papers.clip import clip, holds, inside
from backseam.papers.grid import Cell, Grid
from backseam.papers.letters import cap_height
from backseam.papers.model import Box, Mark, Point, Ring, Role, Words, mark_box, plate, segment

CROSS: Mm = 3.0  # arm of a registration cross
CROSS_RING: Mm = 1.5
CROSS_AT = (0.08, 0.92)  # where along a join the crosses stand
TOUCH: Mm = 1e-6  # a line on the very edge of a window is in it, whatever the last digit says


def contents(grid: Grid, cell: Cell) -> Iterator[Mark]:
    """The marks of one tile, in the drawing's mm and order."""
    frame = grid.window(cell).grown(TOUCH)
    for mark in grid.laid.drawing.marks:
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
