"""Sizes of paper, and how a sheet is divided. Everything in mm from the lower left corner of the sheet.

+--------------------------------+  10 mm clear all round
| |                              |
| |  bar         the drawing     |
| | along                        |
|    bar across             map  |
| caption        sheet A, 1 of 4 |
+--------------------------------+
"""

from __future__ import annotations

from dataclasses import dataclass

from backseam.ground.sources import default
from backseam.ground.units import INCH, Mm
from backseam.papers.model import Box

BAR: Mm = 4.5  # width of the room a bar takes, its marks and words within
GAP: Mm = 1.2  # between the strips and the drawing
CAPTION: Mm = 3.8  # height of the caption's line
MAP: Mm = 13.0  # height of the strip at the foot of a tile, which holds the map of the tiles as well


@dataclass(frozen=True)
class Sheet:
    """A size of paper, mm."""

    name: str
    width: Mm
    height: Mm

    @property
    def turned(self) -> Sheet:
        """The same on its side."""
        return Sheet(self.name, self.height, self.width)


def iso_216(number: int) -> tuple[Mm, Mm]:
    """Width and height of the sheet A`number`, mm.

    A0 has one square metre and sides as 1 to the root of 2, rounded to mm; each next one is the one before
    cut across its long side, parts of a mm dropped.

        short = 1000 / 2^(1/4),   long = 1000 x 2^(1/4);   next: (long / 2, short)

    Source: iso-216. Tested against the table of the standard.

    >>> iso_216(4)                             # 841 x 1189, 594 x 841, 420 x 594, 297 x 420, 210 x 297
    (210.0, 297.0)
    """
    short, long = round(1000 / 2**0.25), round(1000 * 2**0.25)
    for _ in range(number):
        short, long = long // 2, short
    return float(short), float(long)


SHEETS: dict[str, Sheet] = {
    "A4": Sheet("A4", *iso_216(4)),
    "A3": Sheet("A3", *iso_216(3)),
    "Letter": Sheet("Letter", 8.5 * INCH, 11 * INCH),  # asme-y14-1, size A
    "Tabloid": Sheet("Tabloid", 11 * INCH, 17 * INCH),  # asme-y14-1, size B
}


def area(sheet: Sheet) -> Box:
    """What may be printed on: the sheet less its clear edge."""
    clear = default("papers.clear_edge")
    return Box(clear, clear, sheet.width - clear, sheet.height - clear)


def drawable(sheet: Sheet) -> Box:
    """What is left for a drawing beside the bars and the caption, half a wide line inside.

    >>> box = drawable(SHEETS["A4"])           # 190 x 277 less 5.7 at the left, 9.5 below, 0.5 for the line
    >>> round(box.width, 1), round(box.height, 1)
    (183.8, 267.0)
    """
    return _beside(area(sheet), CAPTION + BAR + GAP, BAR + GAP)


def window(sheet: Sheet) -> Box:
    """The same on a tile, which carries the map of the tiles too."""
    return _beside(area(sheet), MAP + GAP, BAR + GAP)


def open_area(sheet: Sheet) -> Box:
    """What is left beside the caption alone, for a drawing with room in it for the bars."""
    return _beside(area(sheet), CAPTION, 0.0)


def _beside(box: Box, below: Mm, left: Mm) -> Box:
    inset = default("papers.line_wide") / 2
    return Box(box.left + left + inset, box.bottom + below + inset, box.right - inset, box.top - inset)
