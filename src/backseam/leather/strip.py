"""Leather test: a strip with weights hung on it. Its stretch tells how stiff the leather is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import expm1, hypot, isfinite, log
from typing import Literal

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value, default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Gram, Mm, MPa, Strain
from backseam.leather.belief import log_sd
from backseam.leather.evidence import Seen, gathered_log, learning, learning_record
from backseam.leather.material import curve_stress

HOOP, RATIO = "stiffness.hoop", "stiffness.across_over_along"


@dataclass(frozen=True)
class Load:
    """Grams hung on the strip, and the length between its marks a minute later, mm."""

    mass: Gram
    length: Mm


@dataclass(frozen=True)
class Strip:
    """A strip cut across or along the backbone; width, thickness and the length between its marks unloaded, mm."""

    direction: Literal["across", "along"]
    width: Mm
    thickness: Mm
    marks: Mm
    loads: tuple[Load, ...]
    test: str = "strip"


@dataclass(frozen=True)
class StripRead:
    """What a strip says: stiffness on the scale of the records (slope at the stretch of `curve.scale_at`), MPa, and
    the standard deviation of its logarithm; None if no load says anything."""

    stiffness: MPa | None
    sd: float
    used: int
    findings: tuple[Finding, ...]


def stiffness_of(stress: MPa, stretch: Strain, toe: Strain, at: Strain) -> MPa:
    """Slope at the stretch `at` of the one curve of this shape that passes through a point.

    The curve is a size times a shape, so the size follows by dividing, and the slope from the size:

        size = stress / (e - c (1 - exp(-e/c)));   slope = size (1 - exp(-at/c))

    Valid for stretch above nothing. Source: bevan-1825 (shape of the curve). Tested: round trip with the curve.

    >>> from math import exp                                      # e = c = at: stress/(c/e) x (1 - 1/e) = (e - 1)/c
    >>> round(stiffness_of(1.0, 0.1, 0.1, 0.1), 2)
    17.18
    """
    return stress / float(curve_stress(stretch, 1.0, toe)) * -expm1(-at / toe)


def read_strip(strip: Strip, leather: Mapping[str, Value]) -> StripRead:
    """The strip's stiffness from all its loads, a wild one counting little.

    Each load gives a stress m g/(w t) and a stretch; `stiffness_of` makes a stiffness of them, known as well as the
    rule reads both lengths:

        sd(ln E) = |d ln E/d e| sqrt(2) s_rule/marks     (by a small difference)

    leather: records in force. Raises InputRefused for sizes that are none.
    Source: derived. Tested: lengths made from a known stiffness, one wild load, weights that shorten.
    """
    _refuse(strip)
    toe, at = leather["curve.toe"].value, leather["curve.scale_at"].value
    found: list[Finding] = list(_order(strip))
    each, sds = [], []
    usual = learning_record("test.stretch")
    for load in strip.loads:
        stretch = load.length / strip.marks - 1
        stress = load.mass / 1000 * default("fit.gravity") / (strip.width * strip.thickness)
        if not usual.low <= stretch <= usual.high:
            numbers = {"mass": load.mass, "length": load.length, "stretch": stretch, "test": strip.test}
            found.append(finding("LEARN-005", (strip.test,), **numbers, low=usual.low, high=usual.high))
            continue
        read = 2**0.5 * learning("learn.rule") / strip.marks
        here, more = (stiffness_of(stress, e, toe, at) for e in (stretch, stretch * 1.01))
        each.append(here)
        sds.append(abs(log(more / here)) / (0.01 * stretch) * read)
    if not each:
        return StripRead(None, 0.0, 0, tuple(found))
    one = gathered_log(each, sds)
    return StripRead(one.value, one.sd, len(each), tuple(found))


def seen_strips(
    strips: Sequence[Strip], leather: Mapping[str, Value]
) -> tuple[tuple[Seen, ...], tuple[Finding, ...]]:
    """What strips say of the stiffness round the sheath, and of across over along where both were cut.

    A strip along speaks of the stiffness across by the recorded ratio, and as vaguely as that is known. A flat strip
    is softer than the wall of a moulded sheath, by how much is itself a guess; both are in the sd.
    Source: derived. Tested: an along strip alone widens, both give the ratio.
    """
    seen: list[Seen] = []
    found: list[Finding] = []
    ways: dict[str, list[StripRead]] = {"across": [], "along": []}
    moulded = learning_record("learn.strip_to_sheath")
    for strip in strips:
        read = read_strip(strip, leather)
        found += read.findings
        if read.stiffness is None:
            continue
        ways[strip.direction].append(read)
        ratio = leather[RATIO] if strip.direction == "along" else None
        value = read.stiffness * moulded.value * (ratio.value if ratio else 1.0)
        sd = hypot(
            read.sd, learning("learn.stiffness_place"), log_sd(moulded), log_sd(ratio) if ratio else 0.0
        )
        seen.append(Seen(HOOP, value, sd, log=True, test=strip.test, count=read.used))
    if ways["across"] and ways["along"]:
        seen.append(_ratio(ways))
    return tuple(seen), tuple(found)


def _ratio(ways: Mapping[str, Sequence[StripRead]]) -> Seen:
    place = learning("learn.stiffness_place")
    across, along = (
        gathered_log([r.stiffness or 1.0 for r in ways[name]], [hypot(r.sd, place) for r in ways[name]])
        for name in ("across", "along")
    )
    return Seen(
        RATIO, across.value / along.value, hypot(across.sd, along.sd), log=True, test="strips both ways"
    )


def _order(strip: Strip) -> list[Finding]:
    """More weight and a shorter strip cannot be."""
    loads = sorted(strip.loads, key=lambda load: load.mass)
    least = 3 * learning("learn.rule")
    for less, more in pairwise(loads):
        if more.mass > less.mass and more.length < less.length - least:
            numbers = {"less": less.mass, "more": more.mass, "first": less.length, "second": more.length}
            return [finding("LEARN-004", (strip.test,), test=strip.test, **numbers)]
    return []


def _refuse(strip: Strip) -> None:
    """One sentence for a strip that is none."""
    sizes = {"width": strip.width, "thickness": strip.thickness, "marks": strip.marks}
    for name, size in sizes.items():
        if not (isfinite(size) and size > 0):
            raise InputRefused(PLAIN.say("learn.refuse.size", test=strip.test, name=name, value=f"{size:g}"))
    for load in strip.loads:
        if not (isfinite(load.mass) and isfinite(load.length) and load.mass > 0 and load.length > 0):
            raise InputRefused(PLAIN.say("learn.refuse.load", test=strip.test))
