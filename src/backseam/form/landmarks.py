"""Heights that matter, and what is proposed where the maker left one out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from backseam.form.girth import Reading
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm

NAMES = ("bottom edge", "lower groove", "upper groove", "liner end", "junction", "thickest", "mouth")


@dataclass(frozen=True)
class Groove:
    """A grip groove round the liner: its middle's height, width and depth, mm."""

    station: Mm
    width: Mm
    depth: Mm


@dataclass(frozen=True)
class Landmarks:
    """Heights from the bottom edge, mm. None: not read, and nothing to propose it from."""

    mouth: Mm
    thickest: Mm
    junction: Mm | None = None
    liner_end: Mm | None = None
    grooves: tuple[Groove, ...] = ()

    @property
    def mouth_above_thickest(self) -> Mm:
        """Signed; 0 is common."""
        return self.mouth - self.thickest

    def moved(self, to: Callable[[Mm], Mm]) -> Landmarks:
        """The same, each height turned by `to`."""
        return replace(
            self,
            mouth=to(self.mouth),
            thickest=to(self.thickest),
            junction=None if self.junction is None else to(self.junction),
            liner_end=None if self.liner_end is None else to(self.liner_end),
            grooves=tuple(replace(g, station=to(g.station)) for g in self.grooves),
        )


@dataclass(frozen=True)
class MarksRead:
    """Landmarks as far as the maker gave them. grooves None: not said; empty: there are none."""

    mouth: Mm | None = None
    mouth_above_thickest: Mm | None = None
    thickest: Mm | None = None
    junction: Mm | None = None
    liner_end: Mm | None = None
    grooves: tuple[Groove, ...] | None = None


def settle(
    read: MarksRead, readings: tuple[Reading, ...], girths: tuple[Mm, ...]
) -> tuple[Landmarks, list[Finding]]:
    """All landmarks, from what was read, from names in the table, or proposed; each proposal is a finding.

    girths: of the form, beside readings, mm.
    """
    named = {reading.name.strip().lower(): reading.station for reading in readings if reading.name}
    found: list[Finding] = []

    def proposed(place: str, height: Mm) -> Mm:
        name, how = (PLAIN.say(f"places.{book}.{place}") for book in ("name", "how"))
        found.append(finding("FORM-005", ("form", "landmarks"), name=name, height=height, how=how))
        return height

    widest = readings[max(range(len(readings)), key=lambda i: (girths[i], -readings[i].station))].station
    thickest = _first(read.thickest, named.get("thickest"))
    mouth = _first(read.mouth, named.get("mouth"))
    if thickest is None and mouth is not None and read.mouth_above_thickest is not None:
        thickest = mouth - read.mouth_above_thickest
    if thickest is None:
        thickest = proposed("thickest", widest)
    if mouth is None and read.mouth_above_thickest is not None:
        mouth = thickest + read.mouth_above_thickest
    if mouth is None:
        mouth = proposed("mouth", thickest + default("collar.mouth_above_thickest"))
    liner_end = _first(read.liner_end, named.get("liner end"))
    junction = _first(read.junction, named.get("junction"), liner_end)
    if junction is None:
        below = [r.station for r in readings if 0 < r.station < thickest]
        if below:
            junction = proposed("junction", max(below))
    if liner_end is None and junction is not None:
        liner_end = junction
    grooves = read.grooves if read.grooves is not None else _named_grooves(named)
    if grooves is None:
        grooves = ()
        if junction is not None:
            grooves = _usual_grooves(junction)
            if grooves:
                proposed("grooves", grooves[0].station)
    return Landmarks(mouth, thickest, junction, liner_end, grooves), found


def _first(*heights: Mm | None) -> Mm | None:
    return next((height for height in heights if height is not None), None)


def _named_grooves(named: dict[str, Mm]) -> tuple[Groove, ...] | None:
    at = [named[name] for name in map(_said, ("lower_groove", "upper_groove")) if name in named]
    return tuple(usual_groove(station) for station in at) or None


def _said(place: str) -> str:
    return PLAIN.say(f"places.name.{place}")


def groove_names(count: int) -> tuple[str, ...]:
    """What so many grooves are called, from below.

    >>> groove_names(2), groove_names(1)
    (('lower groove', 'upper groove'), ('groove 1',))
    """
    if count == 2:
        return _said("lower_groove"), _said("upper_groove")
    return tuple(PLAIN.say("places.name.groove", number=i + 1) for i in range(count))


def usual_groove(station: Mm) -> Groove:
    """A groove of the usual width and depth at a height."""
    return Groove(station, default("form.groove_width"), default("form.groove_depth"))


def _usual_grooves(junction: Mm) -> tuple[Groove, ...]:
    upper = junction - default("form.groove_below_junction")
    lower = upper - default("form.grooves_apart")
    return tuple(usual_groove(station) for station in (lower, upper) if lower > 0)
