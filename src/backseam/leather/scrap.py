"""Leather test: a scrap weighed dry, soaked and cased. It tells how much water the hide takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot, isfinite

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value
from backseam.ground.speech import PLAIN
from backseam.ground.units import Gram, Share
from backseam.leather.evidence import Seen, learning, learning_record
from backseam.leather.isotherm import Isotherm


@dataclass(frozen=True)
class Scrap:
    """Grams as it lay in the room, soaked through, and cased (None: not weighed); humidity of that room, 0-1."""

    room: Gram
    soaked: Gram | None = None
    cased: Gram | None = None
    humidity: Share = 0.5
    test: str = "scrap"


def water_in(mass: Gram, room: Gram, kept: Share) -> Share:
    """Water on dry leather of a scrap that weighs `mass` and weighed `room` with `kept` water in it.

        X = mass (1 + kept)/room - 1

    Source: derived (mass of dry leather is room/(1 + kept)). Tested: by hand, and nothing gained.

    >>> round(water_in(15.0, 10.0, 0.14), 2)                     # 15 x 1.14/10 - 1
    0.71
    """
    return mass * (1 + kept) / room - 1


def seen_scraps(
    tests: Sequence[Scrap], leather: Mapping[str, Value]
) -> tuple[tuple[Seen, ...], tuple[Finding, ...]]:
    """Uptake and cased water; too dry to mould follows at its recorded share of cased.

    What a dry scrap holds of the room's water comes from the isotherm. Source: derived. Tested: by hand, cased above
    soaked, lighter when soaked.
    """
    seen: list[Seen] = []
    found: list[Finding] = []
    constants = (leather[f"isotherm.{name}"].value for name in ("monolayer", "strength", "multilayer"))
    isotherm = Isotherm(*constants)
    usual = learning_record("test.water")
    for one in tests:
        weights = [w for w in (one.room, one.soaked, one.cased) if w is not None]
        if not all(isfinite(w) and w > 0 for w in weights) or not 0 <= one.humidity <= 1:
            raise InputRefused(PLAIN.say("learn.refuse.scrap", test=one.test))
        if one.soaked is not None and one.cased is not None and one.cased >= one.soaked:
            found.append(finding("LEARN-011", (one.test,), test=one.test, cased=one.cased, soaked=one.soaked))
            continue
        kept = float(isotherm.water(one.humidity))
        for name, mass in (("water.uptake", one.soaked), ("water.cased", one.cased)):
            if mass is None:
                continue
            water = water_in(mass, one.room, kept)
            if not usual.low <= water <= usual.high:
                numbers = {"room": one.room, "mass": mass, "water": water}
                found.append(finding("LEARN-012", (one.test,), test=one.test, **numbers))
                continue
            sd = hypot(
                learning("learn.scale") * (1 + water) / (one.room * water), learning("learn.water_place")
            )
            seen.append(Seen(name, water, sd, log=True, test=one.test))
            if name == "water.cased":
                share = leather["water.too_dry"].value / leather[name].value
                seen.append(Seen("water.too_dry", water * share, sd, log=True, test=one.test))
    return tuple(seen), tuple(found)
