"""Leather test: a scrap bent grain outside over thinner and thinner rods, until the grain cracks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, Strain
from backseam.leather.evidence import Between, learning, learning_record

CRACKS = {"dry": "crack.dry", "damp": "crack.damp", "folded": "leather.fold_crack"}


@dataclass(frozen=True)
class Bent:
    """A rod's diameter, mm, and whether the grain cracked over it."""

    rod: Mm
    cracked: bool


@dataclass(frozen=True)
class RodTest:
    """A scrap of that thickness, mm, bent over rods: dry, damp (cased), or skived and cased as for a collar."""

    state: Literal["dry", "damp", "folded"]
    thickness: Mm
    bent: tuple[Bent, ...]
    test: str = "rod"


def grain_stretch(rod: Mm, thickness: Mm) -> Strain:
    """Stretch of the grain of leather bent over a rod of that diameter, its middle layer keeping its length.

        e = t / (d + t)

    Fair while the leather lies on the rod. Source: textbook (bending of a plate, e = t/(2 R + t) with R = d/2).
    Tested: table of five radii.

    >>> round(grain_stretch(4.0, 2.0), 3)                    # 2/(4 + 2)
    0.333
    """
    return thickness / (rod + thickness)


def seen_rods(tests: Sequence[RodTest]) -> tuple[tuple[Between, ...], tuple[Finding, ...]]:
    """Between which stretches the grain cracks, by state.

    Above the stretch of the thinnest rod that left it whole, below that of the thickest that cracked it. If the two
    cross, one of them was seen wrongly: both are kept, and told. The test of ISO 3378 asks the same of a lens.
    Source: derived; astm-d6075 (bend over a mandrel, pass or fail). Tested: bounds, one-sided, crossed.
    """
    seen: list[Between] = []
    found: list[Finding] = []
    for test in tests:
        _refuse(test)
        whole = [one.rod for one in test.bent if not one.cracked]
        broken = [one.rod for one in test.bent if one.cracked]
        if not (whole or broken):
            continue
        if whole and broken and max(broken) >= min(whole):
            found.append(
                finding("LEARN-006", (test.test,), test=test.test, thick=max(broken), thin=min(whole))
            )
        above = grain_stretch(min(whole), test.thickness) if whole else None
        below = grain_stretch(max(broken), test.thickness) if broken else None
        seen.append(Between(CRACKS[test.state], above, below, learning("learn.crack_place"), test.test))
    return tuple(seen), tuple(found)


def _refuse(test: RodTest) -> None:
    if not (isfinite(test.thickness) and test.thickness > 0):
        said = {"test": test.test, "name": "thickness", "value": f"{test.thickness:g}"}
        raise InputRefused(PLAIN.say("learn.refuse.size", **said))
    usual = learning_record("test.rod")
    for one in test.bent:
        if not (isfinite(one.rod) and usual.low <= one.rod <= usual.high):
            numbers = {"value": f"{one.rod:g}", "low": usual.low, "high": usual.high}
            raise InputRefused(PLAIN.say("learn.refuse.rod", test=test.test, **numbers))
