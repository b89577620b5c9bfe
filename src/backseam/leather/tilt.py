"""Leather test: leather under a small weight on the finished wood of the handle, tilted until it slips."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, isfinite, radians, sin, tan
from typing import Literal

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.speech import PLAIN
from backseam.ground.units import Degree, Share
from backseam.leather.evidence import Seen, gathered_log, learning, learning_record


@dataclass(frozen=True)
class Tilt:
    """Angles at which it slipped, degrees; which side of the leather lay on the wood, and whether wood was waxed."""

    side: Literal["flesh", "grain"]
    angles: tuple[Degree, ...]
    waxed: bool = False
    test: str = "tilt"


def friction_of(angle: Degree) -> Share:
    """Friction from the tilt at which a block slips: mu = tan(angle), whatever its weight.

    Source: textbook (angle of repose). Tested: 45 degrees, and the printed friction of ox leather on oak.

    >>> round(friction_of(45.0), 6)
    1.0
    """
    return tan(radians(angle))


def seen_tilts(tests: Sequence[Tilt]) -> tuple[tuple[Seen, ...], tuple[Finding, ...]]:
    """Friction by side, or waxed, from the angles of one test, a wild one counting little.

        sd(ln mu) = s_angle/(sin cos),   and what differs on another handle

    Angles that cannot be are left out, each told. Source: derived (d ln tan/d angle). Tested: by hand, three alike,
    one wild, 0 and 89 degrees.
    """
    seen: list[Seen] = []
    found: list[Finding] = []
    usual = learning_record("test.tilt")
    for one in tests:
        if not all(isfinite(angle) for angle in one.angles):
            raise InputRefused(PLAIN.say("learn.refuse.angle", test=one.test))
        used = [angle for angle in one.angles if usual.low <= angle <= usual.high]
        for angle in one.angles:
            if angle not in used:
                numbers = {"angle": f"{angle:g}", "low": usual.low, "high": usual.high}
                found.append(finding("LEARN-009", (one.test,), test=one.test, **numbers))
        if not used:
            continue
        turn = [radians(angle) for angle in used]
        sds = [radians(learning("learn.angle")) / (sin(a) * cos(a)) for a in turn]
        read = gathered_log([friction_of(angle) for angle in used], sds)
        name = "friction.waxed" if one.waxed else f"friction.{one.side}_finished"
        sd = hypot(read.sd, learning("learn.friction_place"))
        seen.append(Seen(name, read.value, sd, log=True, test=one.test, count=len(used)))
    return tuple(seen), tuple(found)
