"""Gates: after each act that cannot be undone, one number with its limits.

A gate knows what to expect and how far it may be off; what is still free when it is off stands in the words
of the bench card (`card.gate.<id>.out`), because that depends on the act and not on the number.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf

from backseam.ground.sources import default, values
from backseam.ground.units import Mm, Share
from backseam.leather.records import Hide
from backseam.pattern.construction import Construction
from backseam.pattern.ring import TrialRing
from backseam.pattern.seam import Seam
from backseam.pattern.strips import CheckStrip
from backseam.pattern.upper import StationRow, Upper


class Measure(StrEnum):
    """What is written into the box of a gate."""

    LENGTH = "length"  # mm, within low and high
    DIFFERENCE = "difference"  # two lengths, which may differ by `high`
    COUNT = "count"  # two counts, both exactly `target`
    TICK = "tick"  # yes or no


@dataclass(frozen=True)
class Gate:
    """One number with its limits. target: what is expected; low and high: what may pass; lengths in mm.

    boxes: how many numbers are written in. words: how the limit is written (`card.limit.<words>`).
    """

    id: str
    measure: Measure
    target: float
    low: float
    high: float
    words: str
    boxes: int = 1

    def holds(self, *written: float) -> bool:
        """True if what was written in passes.

        >>> Gate("fold", Measure.LENGTH, 136.0, 135.0, 137.0, "about").holds(136.8)
        True
        >>> Gate("rows_length", Measure.DIFFERENCE, 127.0, 0.0, 1.0, "differ", 2).holds(126.4, 127.6)
        False
        """
        if self.measure is Measure.DIFFERENCE:
            return max(written) - min(written) <= self.high
        return all(self.low <= number <= self.high for number in written)

    @property
    def tolerance(self) -> float:
        """Half of what lies between the limits."""
        return (self.high - self.low) / 2


def within(id: str, target: Mm, tolerance: Mm, words: str = "about") -> Gate:
    """A length that may be off by `tolerance` either way."""
    return Gate(id, Measure.LENGTH, target, target - tolerance, target + tolerance, words)


def strips_gate(strips: tuple[CheckStrip, ...]) -> Gate:
    """Ends of a check strip, gap (+) or overlap (-): as far off as the closest of the readings is trusted."""
    return within("strips", 0.0, min(strip.spread for strip in strips), "plus_minus")


def bars_gate() -> Gate:
    """The measuring bars of a printed sheet."""
    return within("bars", default("papers.bar"), default("gate.bar"))


def ring_gate(ring: TrialRing) -> Gate:
    """Inside girth of the dried trial ring, off the handle."""
    return within("ring", ring.inside, ring.inside_spread)


def skive_gate(construction: Construction) -> Gate:
    """Thickness of the skived flap: never below what a stitch needs, hardly above what the girth was
    reckoned with.
    """
    flap = construction.collar.flap
    low = min(flap, default("collar.flap_least"))
    return Gate("skive", Measure.LENGTH, flap, low, flap + default("gate.skive"), "between")


def fold_gate(upper: Upper) -> Gate:
    """Height from bottom edge to mouth, once folded."""
    return within("fold", upper.height, default("gate.fold_height"))


def mouth_row(upper: Upper) -> StationRow:
    """The station of the mouth: the one nearest to the finished edge."""
    return min(upper.stations, key=lambda row: abs(row.station - upper.height))


def mouth_gate(upper: Upper) -> Gate:
    """Stitch line to stitch line at the mouth, by the folded damp piece itself."""
    row = mouth_row(upper)
    return within("mouth", row.stitch_to_stitch, default("reading.spread_folded_piece"))


def count_gate(seam: Seam) -> Gate:
    """Holes of both rows, counted."""
    return Gate("rows_count", Measure.COUNT, seam.count, seam.count, seam.count, "both", 2)


def length_gate(seam: Seam) -> Gate:
    """Both rows from first to last hole: the same length, or the seam creeps."""
    return Gate("rows_length", Measure.DIFFERENCE, seam.sewn_length, 0.0, default("gate.rows"), "differ", 2)


def try_on_gate() -> Gate:
    """Gap between the hole rows when the upper is pinched round the form by hand."""
    gap = values()["gate.try_on"]
    return Gate("try_on", Measure.LENGTH, gap.value, gap.low, gap.high, "between")


def glue_gate() -> Gate:
    """Glue dry: the flange does not open under a thumbnail."""
    return Gate("clamp", Measure.TICK, 1, 1, inf, "tick")


def rest_girth(girth: Mm, pull_in: Share) -> Mm:
    """Inside girth of the finished sheath where the form had `girth`, if the leather pulls in by `pull_in`.

    rest = girth (1 - pull_in): shrinkage and springback in one share, nothing kept of what sewing
    stretched. Valid for a share of 0 to 0.02; the stretch kept (0.2 of it) is left out, being unknown
    before the first sheath. Source: common-practice (drying leather tightens on its form). Tested: by hand.

    >>> rest_girth(95.0, 0.01)                              # 95 x 0.99
    94.05
    """
    return girth * (1 - pull_in)


def finished_gate(upper: Upper, hide: Hide | None = None) -> Gate:
    """Inside girth of the dried mouth, knife out, mm; a mouth wider than the form cannot hold it.

    hide: what is known of the leather; its own pull-in stands above the house's.
    """
    girth = mouth_row(upper).girth_form
    known = hide.values if hide else {}
    pull_in = known.get("gate.pull_in") or values()["gate.pull_in"]
    target, low, high = (rest_girth(girth, share) for share in (pull_in.value, pull_in.high, pull_in.low))
    return Gate("finished", Measure.LENGTH, target, low, high, "between")
