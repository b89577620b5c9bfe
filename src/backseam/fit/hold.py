"""What a fit forecast says: words, bands, a curve, and what it hangs on. All frozen."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from backseam.fit.grip import Row
from backseam.fit.tested import Measured
from backseam.ground.findings import Finding
from backseam.ground.sources import default
from backseam.ground.units import Gram, Mm, Newton, Share

Array = NDArray[np.float64]


class Hold(StrEnum):
    """How a knife sits, by the largest pull that draws it."""

    SLIDES = "slides"
    LIGHT = "light"
    EVERYDAY = "everyday"
    FIRM = "firm"
    HARD = "hard"


# What a maker may ask for, by the word.
WANTED = {"light": Hold.LIGHT, "everyday": Hold.EVERYDAY, "firm": Hold.FIRM, "active": Hold.FIRM}
LIMITS = ("fit.light_from", "fit.everyday_from", "fit.firm_from", "fit.hard_from")


def word(force: Newton) -> Hold:
    """The word for a largest pull.

    >>> word(18.0), word(-2.0)
    (<Hold.EVERYDAY: 'everyday'>, <Hold.SLIDES: 'slides'>)
    """
    return list(Hold)[sum(force >= default(limit) for limit in LIMITS)]


def limits(hold: Hold) -> tuple[Newton, Newton]:
    """Between which pulls a word stands; from 0, and without end for the last.

    >>> limits(Hold.EVERYDAY)
    (12.0, 25.0)
    """
    edges = (0.0, *(default(limit) for limit in LIMITS), float("inf"))
    i = list(Hold).index(hold)
    return edges[i], edges[i + 1]


@dataclass(frozen=True)
class Band:
    """Force, or length, that 5, 50 and 95 of 100 sheaths made from these readings stay below. N, or mm."""

    low: float
    middle: float
    high: float

    @property
    def words(self) -> tuple[Hold, Hold, Hold]:
        """The three as words (forces only)."""
        return word(self.low), word(self.middle), word(self.high)


@dataclass(frozen=True)
class Curve:
    """Force against travel. travel (q,) mm, 0 = seated; draw and push (3, q) N: 5, 50, 95 %."""

    travel: Array
    draw: Array
    push: Array


@dataclass(frozen=True)
class Click:
    """The push falls again before the seat. share: of all sheaths that do; travel: where the peak is, mm, in the
    median of those that do (None if none does).
    """

    share: Share
    travel: Mm | None


@dataclass(frozen=True)
class Later:
    """The same knife at another time (`day`, `month`, `year`) or with wax (`waxed`). hold: to start it; draw: most."""

    when: str
    hold: Band
    draw: Band


@dataclass(frozen=True)
class Part:
    """One unknown's share of the variance of the draw. name as in `draws`; weak: an estimate."""

    name: str
    share: Share
    weak: bool


@dataclass(frozen=True)
class Matter:
    """What one reading or value moves. step: mm of a reading, or a tenth of a value (tenth True).

    less, more: draw against the usual one when it is a step less, a step more, as a share (1 = the same).
    per: change of the draw for each mm, or for each tenth, as a share of it.
    """

    name: str
    step: float
    tenth: bool
    less: Share
    more: Share
    per: Share
    weak: bool

    @property
    def size(self) -> float:
        """By how much it moves the draw, both ways together."""
        return abs(self.more - self.less)


@dataclass(frozen=True)
class Settled:
    """How the sums went. cases solved in so many steps; unsettled ones, with their largest residual; table_error:
    of the draw between the table and sheaths solved one by one, root mean square over the median draw.
    """

    cases: int
    steps: int
    unsettled: int
    residual: Share
    table_error: Share


@dataclass(frozen=True)
class Fit:
    """The forecast of one sheath.

    calibrated: a finished girth and a pull were measured, of it or of its hide, and agree, so that newtons may be
    said. hold: force that starts the knife from its seat; draw: largest on the way out; push: largest on the way
    in. liner: what holds the liner in the upper. rest: girth inside the finished mouth, knife out, mm. loses: share
    of sheaths that would lose the knife upside down with a shake, a year on; slips: share whose draw a hand cannot
    do. mass: of the knife, g; lip: mouth above the thickest, mm; rows: the readings it hangs on.
    """

    calibrated: bool
    hold: Band
    draw: Band
    push: Band
    later: tuple[Later, ...]
    waxed: Later
    click: Click
    curve: Curve
    parts: tuple[Part, ...]
    together: Share
    matters: tuple[Matter, ...]
    liner: Band
    rest: Band
    loses: Share
    slips: Share
    mass: Gram
    lip: Mm
    rows: tuple[Row, ...]
    tested: Measured
    settled: Settled
    seed: int
    samples: int
    findings: tuple[Finding, ...]
