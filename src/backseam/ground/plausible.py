"""Is this number what such a field usually is? If not, which slip would explain it.

Ranges stand in `defaults.toml`, group `plausible`. The slips are the known ones: inches, centimetres or
metres typed as millimetres, a decimal mark lost, inches turned twice, thousandths. A door asks; a written job
gets a finding.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import log
from statistics import median

from backseam.ground.numbers import plain
from backseam.ground.sources import values
from backseam.ground.speech import PLAIN, Speech
from backseam.ground.units import CENTIMETRE, INCH, METRE

# Name of the slip and the factor that mends it.
SLIPS: dict[str, float] = {
    "inches": INCH,
    "centimetres": CENTIMETRE,
    "metres": METRE,
    "point": 1 / CENTIMETRE,
    "twice": 1 / INCH,
    "thousandths": 1 / METRE,
}
RARE = ("twice", "thousandths")  # only if no other slip explains it
APART = 2.5  # a reading so many times off the others is no reading of the same form
NEAR = 1.6  # and within this of them once mended


@dataclass(frozen=True)
class Suspicion:
    """A number outside what its field usually is. `looks` names the slip, `better` the number mended.

    Lengths in mm, angles in degrees, allowances in per cent; `other` is the middle of the other readings, if
    the suspicion comes from them.
    """

    kind: str
    value: float
    low: float
    high: float
    looks: str | None = None
    better: float | None = None
    other: float | None = None

    def question(self, typed: str, speech: Speech = PLAIN) -> str:
        """The suspicion as a question with its proposal."""
        key = "suspect" if self.other is None else "suspect_others"
        return speech.say(
            f"refusals.doubt.{key}",
            typed=typed,
            looks=speech.say(f"refusals.doubt.looks.{self.looks}"),
            name=self.name(speech),
            low=plain(self.low),
            high=plain(self.high),
            other=plain(round(self.other or 0.0)),
            better=self.proposal,
        )

    def name(self, speech: Speech = PLAIN) -> str:
        """What the field is, in words."""
        return speech.say(f"refusals.doubt.name.{self.kind}")

    @property
    def proposal(self) -> str:
        """The number mended, to 0.01 mm, as a text that reads back."""
        return "" if self.better is None else f"{plain(round(self.better, 2))} mm"


def middle(readings: Iterable[float]) -> float | None:
    """The middle of readings of one kind, to hold a single one against; None if fewer than three."""
    sizes = [abs(reading) for reading in readings if reading]
    return median(sizes) if len(sizes) > 2 else None


def suspicion(value: float, kind: str, other: float | None = None) -> Suspicion | None:
    """None if `value` is what a field of that kind usually is, and near `other`, the middle of the rest.

    >>> suspicion(95.0, "girth") is None
    True
    >>> s = suspicion(3.74, "girth")
    >>> s.looks, round(s.better, 1)                        # 3.74 x 25.4 = 94.996
    ('inches', 95.0)
    """
    record = values()[f"plausible.{kind}"]
    if other is not None and not record.low <= other <= record.high:
        other = None  # the others are off as well, and so tell nothing
    usual = record.low <= value <= record.high
    apart = other is not None and value != 0 and not 1 / APART <= abs(value) / other <= APART
    if usual and not apart:
        return None
    looks, better = _mended(
        value, record.low, record.high, other, record.value if record.unit == "mm" else None
    )
    if usual and better is None:
        return None
    return Suspicion(kind, value, record.low, record.high, looks, better, other if apart and better else None)


def _mended(
    value: float, low: float, high: float, other: float | None, usual: float | None
) -> tuple[str | None, float | None]:
    """The slip whose mending comes nearest to the other readings, or to the usual value."""
    middle = other or usual
    if not middle or value == 0:
        return None, None
    found = [
        (name in RARE, abs(log(abs(value) * factor / middle)), name, value * factor)
        for name, factor in SLIPS.items()
        if low <= value * factor <= high
    ]
    if other is not None:
        found = [one for one in found if one[1] <= log(NEAR)]
    if not found:
        return None, None
    *_, name, better = min(found)
    return name, better
