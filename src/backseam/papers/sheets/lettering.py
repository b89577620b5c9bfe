"""How long words are, and how they are made to fit: measured, wrapped, shortened.

Sizes are heights of the type in mm; widths come from the font the sheets are printed with.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from backseam.ground.units import Mm
from backseam.papers.letters import text_width
from backseam.papers.model import ASCENT, Words, text_corners

# Sizes of type on a sheet, mm (the smallest that may be used is SMALL).
SMALL: Mm = 2.6
NOTE: Mm = 3.0
MAIN: Mm = 3.4
TITLE: Mm = 4.2
LETTER: Mm = 20.0

LEADING = 1.3  # line to line


def width(text: str, size: Mm, bold: bool = False) -> Mm:
    """Length of a line of text, mm."""
    return text_width(text, size, bold)


def outline(words: Words, clear: Mm = 0.0) -> Polygon:
    """The rectangle that one line of text takes up, turned as it is, with `clear` round it."""
    shape: Polygon = shapely.polygons(text_corners(words, clear))
    return shape


def outlines(words: Sequence[Words], clear: Mm = 0.0) -> BaseGeometry:
    """The rectangles of several lines, as one shape."""
    shapes = shapely.polygons([text_corners(line, clear) for line in words])
    return shapes[0] if len(words) == 1 else shapely.union_all(shapes)


def wrap(text: str, room: Mm, size: Mm, bold: bool = False) -> tuple[str, ...]:
    """The text in lines no longer than `room`; a single word that is longer stands alone."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size, bold) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def shorten(text: str, room: Mm, size: Mm, bold: bool = False) -> str:
    """The text, cut off with three dots if it is longer than `room`."""
    if width(text, size, bold) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(text[:middle].rstrip() + "…", size, bold) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"


def fitting(text: str, room: Mm, size: Mm, least: Mm = SMALL, bold: bool = False) -> tuple[str, Mm]:
    """The text and the size at which it fits into `room`; shortened only if the least size is too long."""
    length = width(text, size, bold)
    if length <= room:
        return text, size
    smaller = max(least, size * room / length)
    return shorten(text, room, smaller, bold), smaller


def height(lines: Iterable[tuple[str, Mm, bool]], leading: float = LEADING) -> Mm:
    """Height of lines of text under one another."""
    return sum(leading * size for _, size, _ in lines)


def block(
    lines: Iterable[tuple[str, Mm, bool]], x: Mm, top: Mm, anchor: str = "start", leading: float = LEADING
) -> tuple[Words, ...]:
    """Lines of text under one another, the first one's top at `top`."""
    return tuple(_block(lines, x, top, anchor, leading))


def _block(
    lines: Iterable[tuple[str, Mm, bool]], x: Mm, top: Mm, anchor: str, leading: float
) -> Iterator[Words]:
    y = top
    for text, size, bold in lines:
        y -= ASCENT * size
        yield Words((x, y), text, size, anchor, 0.0, bold)  # type: ignore[arg-type]
        y -= (leading - ASCENT) * size
