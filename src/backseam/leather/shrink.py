"""Leather tests: strips dried free or pinned, and squares inked on damp leather and measured dry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot, isfinite
from typing import Literal

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, Strain
from backseam.leather.evidence import Seen, learning, learning_record
from backseam.leather.together import PULL_IN

LEAST: Strain = 1e-4  # shrinkage below this has no logarithm worth having


@dataclass(frozen=True)
class Dried:
    """A soaked strip with two ink marks: their distance wet and dry, mm; thickness wet and dry if read.

    pinned: dried on a board between pins at its wet length, then let go.
    """

    direction: Literal["across", "along"]
    wet: Mm
    dry: Mm
    pinned: bool = False
    thick_wet: Mm | None = None
    thick_dry: Mm | None = None
    test: str = "shrink"


@dataclass(frozen=True)
class Squares:
    """Squares inked on the damp piece: the length of a row of them as drawn, and across and along when finished, mm.

    place: on the wall of a sheath, measured with the knife out, or on a scrap that dried free.
    """

    drawn: Mm
    across: Mm | None = None
    along: Mm | None = None
    place: Literal["sheath", "scrap"] = "sheath"
    test: str = "squares"


def seen_dried(tests: Sequence[Dried]) -> tuple[tuple[Seen, ...], tuple[Finding, ...]]:
    """Shrinkage along and across from strips dried free; springback, which is most of pull-in, from pinned ones.

        s = 1 - dry/wet,   sd = sqrt(2) s_rule/wet, and what differs from place to place

    Source: derived. Tested: by hand, a strip that grew, one that shrank as in hot water.
    """
    seen: list[Seen] = []
    found: list[Finding] = []
    for one in tests:
        _refuse(one.test, wet=one.wet, dry=one.dry)
        share = _shrunk(one.wet, one.dry, one.test, found)
        if share is not None:
            seen.append(_free(one, share) if not one.pinned else _sprung(one.test, share, one.wet))
        if one.thick_wet and one.thick_dry and not one.pinned:
            _refuse(one.test, thickness=one.thick_wet, dry=one.thick_dry)
            thinner = 1 - one.thick_dry / one.thick_wet
            if thinner > LEAST:
                sd = hypot(0.05 / one.thick_wet / thinner, learning("learn.shrink_place"))
                seen.append(Seen("shrink.thickness", thinner, sd, log=True, test=one.test))
    return tuple(seen), tuple(found)


def seen_squares(tests: Sequence[Squares]) -> tuple[tuple[Seen, ...], tuple[Finding, ...]]:
    """What a damp millimetre becomes.

    On a sheath: across is pull-in (the form kept the girth until the knife came out), along is what the piece is to
    be cut longer by, drawn/finished - 1. On a scrap: both are free shrinkage.
    Source: derived. Tested: by hand.
    """
    seen: list[Seen] = []
    found: list[Finding] = []
    for one in tests:
        for way, length in (("across", one.across), ("along", one.along)):
            if length is None:
                continue
            _refuse(one.test, drawn=one.drawn, **{way: length})
            share = _shrunk(one.drawn, length, one.test, found)
            if share is not None:
                seen += _square(one, way, share)
    return tuple(seen), tuple(found)


def _square(one: Squares, way: str, share: Strain) -> Iterator[Seen]:
    if one.place == "scrap":
        yield _free(
            Dried("across" if way == "across" else "along", one.drawn, one.drawn, test=one.test), share
        )
    elif way == "across":
        yield _sprung(one.test, share, one.drawn)
    else:
        sd = hypot(_read(one.drawn), learning("learn.square_place"))
        yield Seen("leather.allowance_along", 1 / (1 - share) - 1, sd, test=one.test)


def _free(one: Dried, share: Strain) -> Seen:
    share = max(share, LEAST)
    sd = hypot(_read(one.wet) / share, learning("learn.shrink_place"))
    return Seen(f"shrink.{one.direction}", share, sd, log=True, test=one.test)


def _sprung(test: str, share: Strain, length: Mm) -> Seen:
    return Seen(PULL_IN, share, hypot(_read(length), learning("learn.pinned_to_form")), test=test)


def _read(length: Mm) -> Strain:
    """Standard deviation of a change of length, both ends of it read by rule."""
    return 2**0.5 * learning("learn.rule") / length


def _shrunk(before: Mm, after: Mm, test: str, found: list[Finding]) -> Strain | None:
    """The share lost, if leather does such a thing; otherwise None and a finding."""
    share, usual = 1 - after / before, learning_record("test.shrinkage")
    if usual.low <= share <= usual.high:
        return share
    grew = share < usual.low
    found.append(
        finding(
            "LEARN-007" if grew else "LEARN-008",
            (test,),
            test=test,
            before=before,
            after=after,
            share=abs(share),
        )
    )
    return None


def _refuse(test: str, **sizes: float) -> None:
    for name, size in sizes.items():
        if not (isfinite(size) and size > 0):
            raise InputRefused(PLAIN.say("learn.refuse.size", test=test, name=name, value=f"{size:g}"))
