"""One table: what each role of line looks like, by ISO 128.

Black only. Line group 0.5: wide 0.5, narrow 0.25, signs 0.35. Dashes and gaps follow from the line width d:

    dot 0.5 d   gap 3 d   short dash 6 d   dash 12 d   space 18 d   long dash 24 d

Source: iso-128-20 (basic line types and their elements), iso-128-24 (line group 0.5).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from backseam.ground.sources import default
from backseam.ground.units import Mm, Share
from backseam.papers.model import Role

Weight = Literal["wide", "narrow", "symbol"]

DOT, GAP, DASH, SPACE, LONG_DASH = 0.5, 3.0, 12.0, 18.0, 24.0  # multiples of the line width

PATTERNS: dict[str, tuple[str, tuple[float, ...]]] = {
    "01": ("continuous", ()),
    "02": ("dashed", (DASH, GAP)),
    "03": ("dashed spaced", (DASH, SPACE)),
    "04": ("long-dashed dotted", (LONG_DASH, GAP, DOT, GAP)),
    "05": ("long-dashed double-dotted", (LONG_DASH, GAP, DOT, GAP, DOT, GAP)),
    "07": ("dotted", (DOT, GAP)),
    "10": ("dashed dotted", (DASH, GAP, DOT, GAP)),
}

_TABLE: dict[Role, tuple[str, Weight]] = {
    Role.CUT: ("01", "wide"),
    Role.TRIM: ("05", "narrow"),
    Role.STITCH: ("01", "narrow"),
    Role.SLIT: ("01", "wide"),
    Role.CENTRE: ("04", "narrow"),
    Role.FOLD: ("02", "narrow"),
    Role.SKIVE: ("07", "symbol"),
    Role.PRESS: ("03", "narrow"),
    Role.GLUE: ("01", "narrow"),
    Role.TICK: ("01", "wide"),
    Role.PUNCH: ("01", "wide"),
    Role.SNIP: ("01", "wide"),
    Role.BAR: ("01", "narrow"),
    Role.JOIN: ("02", "narrow"),
    Role.CROSS: ("01", "narrow"),
    Role.FRAME: ("01", "wide"),
    Role.LEADER: ("01", "narrow"),
    Role.PIECE: ("01", "symbol"),
    Role.HIDDEN: ("02", "narrow"),
    Role.LABEL: ("01", "narrow"),
    Role.HAND: ("10", "narrow"),
    Role.PREVIEW: ("01", "narrow"),
}
_ENDING = {"wide": ".2", "narrow": ".1", "symbol": ""}


@dataclass(frozen=True)
class Style:
    """How a line is drawn. number: of ISO 128 (`02.1`). width and dashes in mm, dashes empty if continuous.

    ink: share of black of lines and words, 1 but for the preview mark.
    """

    role: Role
    number: str
    name: str
    width: Mm
    dashes: tuple[Mm, ...]
    ink: Share

    def fitted(self, length: Mm, *, closed: bool = False) -> tuple[Mm, ...]:
        """The dashes for a line of this length, its dashes stretched a little so that it ends on a whole one.

        With n repeats, period p and dash a (the rest of the pattern keeps its size):

            n = round((length - a) / p);   dash = (length - n (p - a)) / (n + 1)

        For a closed line n = round(length / p) and each dash takes its share of what is left; a dotted line
        keeps its dots and gives the gaps their share. A line too short for two dashes is drawn unbroken.
        Source: iso-128-20, annex on the calculation of lines. Tested: whole dashes at both ends, length kept.

        >>> style(Role.FOLD).fitted(18.0)          # d 0.25: dash 3, gap 0.75; n = 15 / 3.75 = 4; (18 - 3) / 5
        (3.0, 0.75)
        """
        if not self.dashes:
            return ()
        first, *rest = self.dashes
        period = sum(self.dashes)
        repeats = round((length if closed else length - first) / period)
        if repeats < 1:
            return ()
        dashes = repeats if closed else repeats + 1
        if first < rest[0]:
            return (first, (length - dashes * first) / repeats)
        return ((length - repeats * (period - first)) / dashes, *rest)


@cache
def style(role: Role) -> Style:
    """The style of one role."""
    number, weight = _TABLE[role]
    width = default(f"papers.line_{weight}")
    name, pattern = PATTERNS[number]
    ink = default("papers.preview_ink") if role is Role.PREVIEW else 1.0
    dashes = tuple(multiple * width for multiple in pattern)
    return Style(role, number + _ENDING[weight], f"{name} {weight}", width, dashes, ink)


def styles() -> tuple[Style, ...]:
    """All of them, in the order of the roles."""
    return tuple(style(role) for role in Role)
