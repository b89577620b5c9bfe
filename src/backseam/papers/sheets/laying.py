"""How drawings are laid on one sheet: the foot with legend and title block, the drawings, two bars in empty space."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

import numpy as np
import shapely
from numpy.typing import NDArray

from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers import strip
from backseam.papers.model import Box, Drawing, Mark, Point, Role, Stroke
from backseam.papers.page import Page
from backseam.papers.room import Room as Raster
from backseam.papers.sheet import BAR, Sheet, area
from backseam.papers.sheets.legend import legend
from backseam.papers.sheets.placing import Room, shape
from backseam.papers.sheets.title_block import HEIGHT, title_block
from backseam.papers.sheets.work import Work

GAP: Mm = 2.0  # between the foot and what stands above it, and round a bar
SHARE = 0.476  # of the foot that the title block takes
TITLE_MOST: Mm = 100.0
SIDE: Mm = 66.0  # width of the foot when it stands at the right side
SIDE_LEGEND: Mm = 84.0  # height of the legend there, at most
BETWEEN: tuple[Mm, Mm] = (4.0, 8.0)  # least and most between drawings under one another
LOOK: Mm = 4.0  # step of the search for a place for a bar


@dataclass(frozen=True)
class Item:
    """A drawing to be laid, and the x in it that stands under the other drawings' own."""

    drawing: Drawing
    axis: Mm = 0.0

    @cached_property
    def box(self) -> Box:
        """Of the whole drawing."""
        return self.drawing.box

    @cached_property
    def shapes(self) -> NDArray[np.object_]:
        """What it covers: each cut outline as a solid, and whatever stands outside of them."""
        marks = self.drawing.marks
        solids = [
            shapely.polygons(mark.points) for mark in marks if isinstance(mark, Stroke) and _is_outline(mark)
        ]
        rest = np.array([shape(mark) for mark in marks], dtype=object)
        for solid in solids:
            shapely.prepare(solid)
            rest = rest[~shapely.covers(solid, rest)]
        return np.array([*solids, *rest], dtype=object)


@dataclass(frozen=True)
class Laid:
    """A sheet with drawings and bars on it, its foot still to be written. foot: legend and title block boxes."""

    sheet: Sheet
    marks: tuple[Mark, ...]
    legend: Box
    title: Box
    roles: frozenset[Role]
    notes: tuple[str, ...] = ()

    def page(self, letter: str, named: str, work: Work, speech: Speech) -> Page:
        """The finished page; named: which sheet of how many, for the title block."""
        box = area(self.sheet)
        foot = (
            *legend(self.roles, self.legend, work.inputs.construction, speech, self.notes),
            *title_block(self.title, work.job, work.inputs.leather, work.seam, work.blank, named, speech),
        )
        marks = (*self.marks, *foot)
        solid = [*(_solid(mark) for mark in marks), _block(self.legend), _block(self.title)]
        size = strip.letter(letter, Raster(box, solid))
        big = size if size[0].role is not Role.PREVIEW else ()
        return Page(letter, self.sheet, Drawing(f"sheet {letter}", (*marks, *big)))


def _block(box: Box) -> Stroke:
    return Stroke(strip.corners(box), Role.FRAME, True, 1.0)


def _is_outline(mark: Stroke) -> bool:
    return mark.closed and mark.role is Role.CUT


def _solid(mark: Mark) -> Mark:
    """A cut outline as a filled one, so that nothing is laid inside it."""
    return replace(mark, fill=1.0) if isinstance(mark, Stroke) and _is_outline(mark) else mark


def foots(sheet: Sheet) -> tuple[tuple[Box, Box, Box], ...]:
    """Ways to divide a sheet: what is left for drawings, the legend's box, the title block's box."""
    box = area(sheet)
    wide = min(TITLE_MOST, SHARE * box.width)
    top = box.bottom + HEIGHT
    below = (
        Box(box.left, top + GAP, box.right, box.top),
        Box(box.left, box.bottom, box.right - wide, top),
        Box(box.right - wide, box.bottom, box.right, top),
    )
    left = box.right - SIDE
    beside = (
        Box(box.left, box.bottom, left - GAP, box.top),
        Box(left, top, box.right, min(box.top, top + SIDE_LEGEND)),
        Box(left, box.bottom, box.right, top),
    )
    return below, beside


def lay(
    items: Sequence[Item], sheet: Sheet, speech: Speech, *, beside: bool = False, tidy: bool = False
) -> Laid | None:
    """The drawings under one another on a sheet, its foot below or beside, with both bars; None without room.

    tidy: only with the level bar in its own row above the foot.
    """
    space, legend_box, title_box = foots(sheet)[beside]
    spare = space.height - sum(item.box.height for item in items)
    left = max(item.axis - item.box.left for item in items)
    right = max(item.box.right - item.axis for item in items)
    if spare < BETWEEN[0] * (len(items) - 1) or left + right > space.width:
        return None
    column = BAR + GAP
    over = space.width - left - right
    rooms = dict.fromkeys(x for x in (column, over / 2, over, 0.0) if 0.0 <= x <= over)
    least = BETWEEN[0] * (len(items) - 1)
    drops = dict.fromkeys(y for y in (0.0, (spare - least) / 2, spare - least) if y >= 0.0)
    for dx, drop in product(rooms, drops):
        moves = _stacked(items, space, space.left + dx + left, drop, spare)
        found = bars(items, moves, area(sheet), space, (legend_box, title_box), speech, tidy and not beside)
        if found:
            roles = frozenset(mark.role for item in items for mark in item.drawing.marks)
            marks = (
                m for item, move in zip(items, moves, strict=True) for m in item.drawing.moved(*move).marks
            )
            return Laid(sheet, (*marks, *found), legend_box, title_box, roles)
    return None


def _stacked(items: Sequence[Item], space: Box, axis: Mm, drop: Mm, spare: Mm) -> list[Point]:
    """How far each item moves to stand under the one before, their own axes on one line."""
    gaps = max(1, len(items) - 1)
    between = min(BETWEEN[1], max(BETWEEN[0], (spare - drop - BAR - 2 * GAP) / gaps), (spare - drop) / gaps)
    moves: list[Point] = []
    top = space.top - drop
    for item in items:
        moves.append((axis - item.axis, top - item.box.top))
        top -= item.box.height + between
    return moves


def bars(
    items: Sequence[Item],
    moves: Sequence[Point],
    page: Box,
    space: Box,
    taken: Sequence[Box],
    speech: Speech,
    tidy: bool,
) -> tuple[Mark, ...]:
    """A bar each way in empty space: the level one low in the middle, the upright one at the left, if they can."""
    room = Room()
    for item, move in zip(items, moves, strict=True):
        room.take_shapes(shapely.transform(item.shapes, lambda xy, by=move: xy + by))
    room.take_shapes(shapely.box(b.left, b.bottom, b.right, b.top) for b in taken)
    length = default("papers.bar")
    inside = shapely.box(page.left, page.bottom, page.right, page.top).buffer(GAP / 2 + 0.01)
    upright = _boxes(page, BAR, length, _levels(page.left, page.right - BAR), _downward(page, length))
    low = [space.bottom + GAP / 2, *([] if tidy else _levels(page.bottom, page.top - BAR))]
    low.sort(key=lambda y: abs(y - space.bottom))
    level = _boxes(page, length, BAR, _about(page, length), low)
    grown = np.array([-GAP / 2, -GAP / 2, GAP / 2, GAP / 2])
    first = room.first_box(upright + grown, inside)
    if first is None:
        return ()
    room.take_shapes([shapely.box(*upright[first])])
    second = room.first_box(level + grown, inside)
    if second is None:
        return ()
    return (
        *strip.upright_bar((float(upright[first, 0]), float(upright[first, 1])), page, speech),
        *strip.level_bar((float(level[second, 0]), float(level[second, 1])), page, speech),
    )


def _levels(low: Mm, high: Mm) -> list[Mm]:
    """Even steps from low to high, both included."""
    return [float(v) for v in np.linspace(low, high, max(2, int((high - low) / LOOK)))] if high >= low else []


def _downward(page: Box, length: Mm) -> list[Mm]:
    return _levels(page.bottom, page.top - length)[::-1]


def _about(page: Box, length: Mm) -> list[Mm]:
    """Places for the left end of a level bar, the middle of the page first."""
    middle = (page.left + page.right - length) / 2
    return sorted(_levels(page.left, page.right - length), key=lambda x: abs(x - middle))


def _boxes(page: Box, wide: Mm, high: Mm, xs: list[Mm], ys: list[Mm]) -> NDArray[np.float64]:
    """Boxes of one size at all places, x first for an upright bar, y first for a level one."""
    places = [(x, y) for x in xs for y in ys] if high > wide else [(x, y) for y in ys for x in xs]
    at = np.array(places, dtype=np.float64).reshape(-1, 2)
    return np.hstack([at, at + (wide, high)])
