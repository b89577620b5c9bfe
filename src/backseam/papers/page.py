"""A drawing laid on sheets of paper at full size: on one if it fits, else on tiles to be joined.

Nothing comes nearer to the paper's edge than the clear edge, nothing is ever scaled, and each sheet carries
two 150 mm bars to be measured before anything is cut. How a sheet is divided: `sheet`; how tiles meet:
`joining`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.papers import joining, strip
from backseam.papers.grid import Grid, best_grid
from backseam.papers.model import Box, Drawing, Mark, Role
from backseam.papers.room import Room
from backseam.papers.sheet import BAR, CAPTION, GAP, MAP, SHEETS, Sheet, area, drawable, open_area, window
from backseam.papers.strip import bars

__all__ = ["SHEETS", "Page", "Sheet", "area", "bars", "drawable", "fits", "tile"]

PLACINGS = tuple(product((0.5, 0.0, 1.0), repeat=2))  # shares of the spare room at the left and below


@dataclass(frozen=True)
class Page:
    """One sheet with what is on it, in mm from its lower left corner. name: its letter."""

    name: str
    sheet: Sheet
    drawing: Drawing


def fits(drawing: Drawing, sheet: Sheet) -> bool:
    """True if one sheet takes the drawing, upright or on its side, with both bars and the caption."""
    return _on_one(drawing, sheet, PLAIN) is not None


def tile(
    drawing: Drawing,
    sheet: Sheet,
    *,
    caption: str,
    preview: str = "",
    letter_from: str = "A",
    speech: Speech = PLAIN,
) -> tuple[Page, ...]:
    """The drawing at full size on as few sheets as it takes, upright or on their sides.

    caption: job and date, printed at the foot of each sheet beside its letter and number. preview: words to
    be printed pale across the whole area of sheets that must not be cut from. letter_from: letter of the
    first sheet.
    """
    one = _on_one(drawing, sheet, speech)
    if one is None:
        return tuple(_tiles(best_grid(drawing, sheet), caption, preview, letter_from, speech))
    turned, marks = one
    box = area(turned)
    foot = strip.caption(box, caption, speech.say("page.sheet", letter=letter_from))
    letter = strip.letter(letter_from, Room(open_area(turned), marks))
    everything = (*strip.preview(box, preview), *marks, *letter, *foot)
    return (Page(letter_from, turned, Drawing(drawing.name, everything)),)


def letters_from(first: str) -> Iterator[str]:
    """Names of sheets, from the first on: A to Z, then AA.

    >>> names = letters_from("Y")
    >>> [next(names) for _ in range(4)]
    ['Y', 'Z', 'AA', 'AB']
    """
    at = 0
    for letter in first:
        at = 26 * at + ord(letter) - ord("A") + 1
    while True:
        name, rest = "", at
        while rest:
            rest, digit = divmod(rest - 1, 26)
            name = chr(ord("A") + digit) + name
        yield name
        at += 1


def _on_one(drawing: Drawing, sheet: Sheet, speech: Speech) -> tuple[Sheet, tuple[Mark, ...]] | None:
    """The sheet, upright or on its side, with the drawing and the bars on it; None if one does not take it.

    First with the bars in their strips; then, for a drawing that nearly fills the sheet, in any empty places
    long enough. Bars that the drawing brings along stay where they are.
    """
    box, ways = drawing.box, (sheet, sheet.turned)
    own = any(mark.role is Role.BAR for mark in drawing.marks)
    for way in ways:
        space = drawable(way)
        if not own and _takes(space, box):
            return way, (*_laid(drawing, space, 0.5, 0.5), *bars(area(way), speech))
    for way in ways:
        space = open_area(way)
        if not _takes(space, box):
            continue
        if own:
            return way, _laid(drawing, space, 0.5, 0.5)
        for across, along in PLACINGS:
            marks = _laid(drawing, space, across, along)
            if found := _free_bars(space, marks, speech):
                return way, (*marks, *found)
    return None


def _takes(space: Box, box: Box) -> bool:
    return round(box.width - space.width, 6) <= 0 and round(box.height - space.height, 6) <= 0


def _laid(drawing: Drawing, space: Box, across: float, along: float) -> tuple[Mark, ...]:
    """The drawing in the space; across, along: share of the spare room that stays at the left, below."""
    box = drawing.box
    dx = space.left - box.left + across * (space.width - box.width)
    dy = space.bottom - box.bottom + along * (space.height - box.height)
    return drawing.moved(dx, dy).marks


def _free_bars(space: Box, marks: tuple[Mark, ...], speech: Speech) -> tuple[Mark, ...]:
    """Both bars in empty places of the space, or none."""
    length = default("papers.bar")
    low = Room(space, marks).place(length, BAR)
    if low is None:
        return ()
    level = strip.level_bar(low, space, speech)
    high = Room(space, (*marks, *level)).place(BAR, length)
    return (*level, *strip.upright_bar(high, space, speech)) if high else ()


def _tiles(grid: Grid, caption: str, preview: str, first: str, speech: Speech) -> Iterator[Page]:
    """One page for each tile in use."""
    names = dict(zip(grid.used, letters_from(first), strict=False))
    box, space = area(grid.sheet), window(grid.sheet)
    foot = Box(
        box.left + BAR + GAP + default("papers.bar") + GAP,
        box.bottom + CAPTION + GAP / 2,
        box.right,
        box.bottom + MAP,
    )
    for number, (cell, name) in enumerate(names.items(), 1):
        frame = grid.window(cell)
        shown = Drawing("", (*joining.contents(grid, cell), *joining.join_marks(grid, cell, names)))
        marks = shown.moved(space.left - frame.left, space.bottom - frame.bottom).marks
        label = speech.say("page.sheet_of", letter=name, number=number, count=len(names))
        beside = (
            *strip.letter(name, Room(space, marks)),
            *bars(box, speech),
            *strip.tile_map(foot, (grid.columns, grid.rows), names, name, space.width / space.height),
            *strip.caption(box, caption, label),
        )
        yield Page(
            name, grid.sheet, Drawing(grid.laid.drawing.name, (*strip.preview(box, preview), *marks, *beside))
        )
