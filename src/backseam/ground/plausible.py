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
IN_INCHES = {"millimetres": 1 / INCH, **SLIPS}  # a number that was taken as inches may have been millimetres
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


def suspicion(
    value: float, kind: str, other: float | None = None, *, inches: bool = False
) -> Suspicion | None:
    """None if `value` is what a field of that kind usually is, and near `other`, the middle of the rest.

    inches: it was taken as inches for want of a unit, so it may have been millimetres.

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
    middle = other or (record.value if record.unit == "mm" else 0.0)
    possible = {
        name: value * factor
        for name, factor in (IN_INCHES if inches else SLIPS).items()
        if record.low <= value * factor <= record.high
    }
    looks = _likeliest(possible, middle, near=other is not None)
    if usual and looks is None:
        return None
    better = possible[looks] if looks else None
    return Suspicion(kind, value, record.low, record.high, looks, better, other if apart and looks else None)


def _likeliest(possible: dict[str, float], middle: float, *, near: bool) -> str | None:
    """The slip whose mending comes nearest to the middle; a rare one only if no other explains the number."""
    if middle <= 0:
        return None
    apart = {name: abs(log(abs(mended) / middle)) for name, mended in possible.items() if mended}
    close = {name: size for name, size in apart.items() if not near or size <= log(NEAR)}
    return min(close, key=lambda name: (name in RARE, close[name]), default=None)
