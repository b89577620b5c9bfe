"""Leather test: a strap of the hide butted round a rod of known girth. It tells where the neutral layer lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, isfinite, pi

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, Share
from backseam.leather.evidence import Seen, gathered, learning

LAYER = "leather.neutral_layer"
FROM, TO = 0.2, 0.8  # outside them it was misread


@dataclass(frozen=True)
class Strap:
    """Readings of a strap of that thickness, ends butted, round a rod of that diameter, mm."""

    rod: Mm
    thickness: Mm
    readings: tuple[Mm, ...]
    test: str = "strap"


def layer_of(reading: Mm, rod: Mm, thickness: Mm) -> Share:
    """Place of the neutral layer, a share of the thickness from the inside, from a strap round a rod.

        reading = pi d + 2 pi k t;   k = (reading - pi d)/(2 pi t)

    Exact for a strap that lies close and is pulled without stretching. Source: steiner-1840 (parallel curves).
    Tested: round trip, rod of 30 mm.

    >>> round(layer_of(100.53, 30.0, 2.0), 2)                    # (100.53 - 94.25)/12.57
    0.5
    """
    return (reading - pi * rod) / (2 * pi * thickness)


def seen_straps(tests: Sequence[Strap]) -> tuple[tuple[Seen, ...], tuple[Finding, ...]]:
    """The neutral layer from the readings of each test, a wild one counting little.

        sd(k) = s_read/(2 pi t),   and what differs round another form

    Source: derived. Tested: three readings, one wild, a rod twice as thick as typed.
    """
    seen: list[Seen] = []
    found: list[Finding] = []
    for one in tests:
        sizes = (one.rod, one.thickness, *one.readings)
        if not all(isfinite(size) and size > 0 for size in sizes):
            raise InputRefused(PLAIN.say("learn.refuse.strap", test=one.test))
        layers = [layer_of(reading, one.rod, one.thickness) for reading in one.readings]
        used = [layer for layer in layers if FROM <= layer <= TO]
        for reading, layer in zip(one.readings, layers, strict=True):
            if layer not in used:
                low, high = (pi * one.rod + 2 * pi * k * one.thickness for k in (FROM, TO))
                numbers = {"reading": reading, "rod": one.rod, "low": low, "high": high}
                found.append(finding("LEARN-010", (one.test,), test=one.test, **numbers))
        if used:
            read = gathered(used, [learning("learn.strap_read") / (2 * pi * one.thickness)] * len(used))
            sd = hypot(read.sd, learning("learn.layer_place"))
            seen.append(Seen(LAYER, read.value, sd, test=one.test, count=len(used)))
    return tuple(seen), tuple(found)
