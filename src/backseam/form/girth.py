"""What each instrument reads, and what that says of the girth of the form.

"Girth" alone is ambiguous by more than any subtlety of flattening: a strap of 2 mm leather reads 6.28 mm more than
the form's own girth. So every reading keeps its instrument, and this page is the only place that takes it off.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import acos, pi, sqrt, tan

from backseam.ground.sources import default
from backseam.ground.units import Mm


class Instrument(StrEnum):
    """What a girth was read with."""

    STRAP_BUTTED = "strap_butted"
    STRAP_PINCHED = "strap_pinched"
    STRAP_OVERLAPPED = "strap_overlapped"
    FOLDED_PIECE = "folded_piece"
    THREAD = "thread"
    PAPER = "paper"
    CALIPER = "caliper"

    @property
    def reads_stitch_to_stitch(self) -> bool:
        """True for the two that read the distance from stitch line to stitch line itself."""
        return self in (Instrument.STRAP_PINCHED, Instrument.FOLDED_PIECE)


class Pull(StrEnum):
    """How hard the strap was pulled."""

    SLACK = "slack"
    SNUG = "snug"
    HARD = "hard"


@dataclass(frozen=True)
class Reading:
    """One row of the maker's table: at a station, a girth and how it was read, or width and depth, or both.

    station: along the axis from the bottom edge, mm. reading: as read, mm, None if only the caliper was used.
    thickness: of the instrument where it matters (strap, thread, paper), mm. spread: half width, 95 %, mm.
    bias: the maker's own correction, taken off the reading, mm. index: row in the document.
    """

    station: Mm
    reading: Mm | None
    instrument: Instrument
    thickness: Mm
    spread: Mm
    width: Mm | None = None
    depth: Mm | None = None
    pull: Pull = Pull.SNUG
    over_film: bool = False
    bias: Mm = 0.0
    name: str = ""
    index: int = 0


def butted(girth: Mm, strap: Mm) -> Mm:
    """Reading of a strap of thickness `strap` laid butt to butt round a convex section of that girth.

    The strap bends about its middle: girth + pi * strap (parallel curve at strap/2). Exact for a convex section;
    trusted while the smallest radius is at least twice the strap. Source: steiner-1840. Tested: circle R 15, t 2.

    >>> round(butted(94.247780, 2.0), 6)                   # 94.247780 + 6.283185
    100.530965
    """
    return girth + pi * strap


def girth_under_strap(reading: Mm, strap: Mm) -> Mm:
    """Girth of a convex section from the reading of a strap, thread or paper laid round it, butt to butt.

    girth = reading - pi * strap; the inverse of `butted`, with the same model, range and source.

    >>> round(girth_under_strap(86.0, 0.4), 2)             # 86 - 1.2566
    84.74
    """
    return reading - pi * strap


def overlap_excess(girth: Mm, strap: Mm) -> Mm:
    """How much more an overlapped strap reads than a butted one, on a round section of that girth.

    The outer end lifts over the inner one along a tangent: R_m (tan A - A), R_m = R + strap/2,
    cos A = R_m / (R + 3 strap/2), R = girth / 2 pi. Exact on a circle, an estimate on other sections.
    Source: derived (tangent to a circle). Tested: R 10, 15, 20 with a 2 mm strap.

    >>> round(overlap_excess(94.247780, 2.0), 6)
    0.632095
    """
    radius = girth / (2 * pi)
    middle = radius + strap / 2
    angle = acos(middle / (radius + 1.5 * strap))
    return middle * (tan(angle) - angle)


def girth_under_overlap(reading: Mm, strap: Mm) -> Mm:
    """Girth from an overlapped strap: the excess is taken off by a few turns of fixed point (slope below 0.02)."""
    girth = girth_under_strap(reading, strap)
    for _ in range(8):
        girth = girth_under_strap(reading - overlap_excess(girth, strap), strap)
    return girth


def girth_with_film(girth: Mm, film: Mm) -> Mm:
    """Girth of the form once wrapped: all turns of film together add 2 pi film (Steiner, parallel curve)."""
    return girth + 2 * pi * film


def girth_limits(width: Mm, depth: Mm) -> tuple[Mm, Mm]:
    """Smallest and largest girth of a convex section that touches all four sides of a width x depth box.

    Source: derived (perimeter of the inscribed rhombus, of the box). Exact.

    >>> [round(g, 2) for g in girth_limits(32.0, 22.0)]
    [77.67, 108.0]
    """
    return 2 * sqrt(width**2 + depth**2), 2 * (width + depth)


def instrument_thickness(instrument: Instrument, leather: Mm) -> Mm:
    """Thickness that the instrument is taken to have when none was given."""
    if instrument is Instrument.THREAD:
        return default("reading.thread_thickness")
    if instrument is Instrument.PAPER:
        return default("reading.paper_thickness")
    return leather


def usual_spread(instrument: Instrument, pull: Pull = Pull.SNUG) -> Mm:
    """Half width (95 %) of a reading with this instrument; doubled if it was pulled slack or hard."""
    spread = default(f"reading.spread_{instrument.value}")
    return spread if pull is Pull.SNUG else 2 * spread
