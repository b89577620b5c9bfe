"""The leather of one job as a material: its values in force, and its curves under stretch and time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, MPa, Second, Share, Strain
from backseam.leather.records import Hide, factored, kinds, known, leather_records

Array = NDArray[np.float64]
Direction = Literal["across", "along"]
Side = Literal["flesh", "grain"]

THICKEST: Mm = 12.0  # no upper is made of more
TURNS = 8  # of Newton's method; five are enough from 0.1 % to 60 % stretch


@dataclass(frozen=True)
class Material:
    """Leather of one kind and thickness, mm, with every value in force for it, by the record's name.

    calibrated: a finished girth and a pull were measured on its hide.
    """

    kind: str
    thickness: Mm
    hide: str
    values: Mapping[str, Value]
    findings: tuple[Finding, ...] = ()
    calibrated: bool = False

    def record(self, name: str) -> Value:
        """The record in force under that name."""
        try:
            return self.values[name]
        except KeyError:
            return known(name)

    def value(self, name: str) -> float:
        """The value in force under that name, in the record's unit.

        >>> material("shoulder", 2.0).value("friction.grain_finished")
        0.4
        """
        return self.record(name).value

    def stiffness(self, direction: Direction = "across", *, damp: bool = False) -> MPa:
        """Slope of the curve at the stretch of `curve.scale_at`, MPa: across the hide as recorded, along by ratio."""
        size = self.value("stiffness.hoop")
        if direction == "along":
            size /= self.value("stiffness.across_over_along")
        return size * self.value("stiffness.damp_over_dry") if damp else size

    def stress(self, strain: ArrayLike, direction: Direction = "across", *, damp: bool = False) -> Array:
        """Stress, MPa, of the leather stretched by `strain`; none where it is slack."""
        toe = self.value("curve.toe")
        return curve_stress(strain, self._end_slope(direction, damp), toe)

    def strain(self, stress: ArrayLike, direction: Direction = "across", *, damp: bool = False) -> Array:
        """Stretch under `stress`, MPa: the inverse of `stress`."""
        toe = self.value("curve.toe")
        return curve_strain(stress, self._end_slope(direction, damp), toe)

    def friction(self, side: Side = "flesh", *, waxed: bool = False, sliding: bool = False) -> Value:
        """Friction on finished wood of that side of the leather."""
        if waxed:
            return self.record("friction.waxed")
        return self.record(f"friction.{side}_finished{'_sliding' if sliding else ''}")

    def tension_left(self, time: Second) -> Share:
        """Share of the first second's tension left after `time`, s, in a steady climate."""
        return tension_left(time, self.value("relax.per_decade"), self.value("relax.from_time"))

    def _end_slope(self, direction: Direction, damp: bool) -> MPa:
        at, toe = self.value("curve.scale_at"), self.value("curve.toe")
        return self.stiffness(direction, damp=damp) / float(-np.expm1(-at / toe))


def material(kind: str, thickness: Mm, hide: Hide | None = None) -> Material:
    """The leather of that kind (part of the hide) and thickness, mm, with what is known of this hide on top.

    Raises InputRefused for an unknown kind, a thickness that is none, or a value of the hide under no known name.
    """
    if kind not in kinds():
        raise InputRefused(PLAIN.say("wet.refuse.kind", kind=kind[:40], kinds=", ".join(kinds())))
    if not (isfinite(thickness) and 0 < thickness <= THICKEST):
        raise InputRefused(PLAIN.say("wet.refuse.thickness", thickness=thickness, most=THICKEST))
    hide = hide or Hide()
    for name in hide.values:
        known(name)
    factors = kinds()[kind]
    in_force = {
        name: factored(record, factors[name]) if name in factors else record
        for name, record in leather_records().items()
    }
    own = MappingProxyType({**in_force, **hide.values})
    return Material(kind, thickness, hide.name, own, tuple(_doubts(own, hide)), hide.calibrated)


def _doubts(values: Mapping[str, Value], hide: Hide) -> Iterator[Finding]:
    """Values that contradict one another, or that lie far outside what is known of leather."""
    if not hide.values:
        return
    falling = ("water.uptake", "water.cased", "water.too_dry")
    for more, less in pairwise(falling):
        if values[less].value >= values[more].value:
            yield finding(
                "LEATHER-001", (less,), more=more, less=less, high=values[more].value, low=values[less].value
            )
    for name, own in hide.values.items():
        usual = known(name)
        if usual.low < usual.high and not usual.low <= own.value <= usual.high:
            numbers = {
                "name": name,
                "value": own.value,
                "low": usual.low,
                "high": usual.high,
                "unit": usual.unit,
            }
            yield finding("LEATHER-002", (name,), **numbers)


def curve_stress(strain: ArrayLike, end_slope: MPa, toe: Strain) -> Array:
    """Stress of dry leather under stretch: soft at first, then straight.

    The slope grows from nothing to its end value as the fibres come into line:

        slope = E (1 - exp(-e/c));   stress = E (e - c (1 - exp(-e/c)))

    Shape from one strip, 12-33 % stretch; below that it is an extrapolation that agrees with a soft start up to
    2 %. A sheath dried on its form is stiffer at first than this. Source: bevan-1825 (shape).
    Tested: printed strip within 1 MPa, slope by differences, inverse.

    >>> round(float(curve_stress(0.1, 100.0, 0.1)), 3)     # 100 (0.1 - 0.1 (1 - 1/e)) = 10/e
    3.679
    """
    e = np.maximum(np.asarray(strain, dtype=float), 0.0)
    return np.asarray(end_slope * np.maximum(e + toe * np.expm1(-e / toe), 0.0))


def curve_strain(stress: ArrayLike, end_slope: MPa, toe: Strain) -> Array:
    """Stretch of dry leather under stress: the inverse of `curve_stress`.

    With u = e/c and s = stress/(E c), u + exp(-u) - 1 = s is convex in u, so Newton's method from above closes in
    from that side:

        start u = s + sqrt(2 s)

    Exact to rounding. Source: textbook (Newton's method). Tested: round trip with `curve_stress`.

    >>> round(float(curve_strain(10 / 2.718281828, 100.0, 0.1)), 6)
    0.1
    """
    s = np.maximum(np.asarray(stress, dtype=float), 0.0) / (end_slope * toe)
    u = s + np.sqrt(2 * s)
    for _ in range(TURNS):
        slope = np.where(u > 0, -np.expm1(-u), 1.0)
        u = u - (u + np.expm1(-u) - s) / slope
    return np.asarray(toe * np.maximum(u, 0.0))


def tension_left(time: Second, per_decade: Share, from_time: Second) -> Share:
    """Share of the tension left in leather held at one length.

    It falls by the same amount with every tenfold of time, and never below nothing:

        left = max(0, 1 - s log10(1 + t/t0))

    Dry, steady climate, 5-15 % stretch; after long times the fall is broken off by the published account, so the
    law is not to be run to nothing. Source: ward-1974 (form of the law). Tested: table over seven decades.

    >>> round(tension_left(86400.0, 0.055, 1.0), 3)         # a day: 1 - 0.055 x 4.9365
    0.728
    """
    return max(0.0, float(1 - per_decade * np.log10(1 + max(time, 0.0) / from_time)))
