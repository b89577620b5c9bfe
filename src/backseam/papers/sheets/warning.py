"""The frame with the general warning triangle (ISO 7010, sign W001) round a caution."""

from __future__ import annotations

from backseam.ground.units import Mm
from backseam.papers.model import Box, Mark, Point, Ring, Role, Stroke, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import broken
from backseam.papers.sheets.lettering import NOTE
from backseam.papers.strip import corners

SIDE: Mm = 7.0  # of the triangle
PAD: Mm = 1.8


def triangle(at: Point, side: Mm = SIDE) -> tuple[Mark, ...]:
    """The sign in black: a thick triangle with an exclamation mark, its lower left corner at `at`."""
    x, y = at
    high = side * 0.866
    outer = ((x, y), (x + side, y), (x + side / 2, y + high))
    inner = tuple(_towards(p, (x + side / 2, y + high / 3), 0.26) for p in outer)
    middle = x + side / 2
    bar = (
        (middle - 0.055 * side, y + 0.62 * high),
        (middle - 0.025 * side, y + 0.30 * high),
        (middle + 0.025 * side, y + 0.30 * high),
        (middle + 0.055 * side, y + 0.62 * high),
    )
    return (
        Stroke(outer, Role.FRAME, True, 1.0),
        Stroke(inner, Role.FRAME, True, 0.0),
        Stroke(bar, Role.FRAME, True, 1.0),
        Ring((middle, y + 0.21 * high), 0.05 * side, Role.FRAME, 1.0),
    )


def _towards(point: Point, centre: Point, share: float) -> Point:
    return (point[0] + share * (centre[0] - point[0]), point[1] + share * (centre[1] - point[1]))


def framed(text: str, width: Mm) -> tuple[tuple[Mark, ...], Mm]:
    """A caution in its frame, top left at (0, 0); and the height taken."""
    indent = SIDE + 2 * PAD
    lines = broken([(text, NOTE, False)], width - indent - PAD)
    height = max(lettering.height(lines), 0.866 * SIDE) + 2 * PAD - 0.6
    frame = stroke(corners(Box(0.0, -height, width, 0.0)), Role.FRAME, closed=True)
    sign = triangle((PAD, -height / 2 - 0.433 * SIDE))
    top = -height / 2 + lettering.height(lines) / 2 - 0.2
    return (frame, *sign, *lettering.block(lines, indent, top)), height
