"""Hanger holes on the back beside the seam, and the thong or strap that goes through them.

Both sides are pierced alike, so a sheath for the left hand has the same holes; only the knot or the joint
of the loop changes side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import pi

import numpy as np

from backseam.geom import polyline
from backseam.geom.polyline import Line
from backseam.ground.findings import Finding, Path, finding
from backseam.ground.sources import default, values
from backseam.ground.units import INCH, Mm, Share
from backseam.pattern.construction import Hanger, HangerKind

VERSION = 1

FlatMap = Callable[[Mm, Share], tuple[Mm, Mm]]
"""From a height on the form and a share of the half girth (0 centre line, 1 stitch line) to (x, y) on the
piece."""

HalfGirth = Callable[[Mm], Mm]
"""From a height on the form to the length from centre line to stitch line there."""

_EXACT = 1e-9  # rounding, not a tolerance of the trade
_PUNCH_ZERO = 5  # a punch No. 0 is 5/64 inch, each number 1/64 more
_SIXTY_FOURTH: Mm = INCH / 64


@dataclass(frozen=True)
class HangerHole:
    """A round hole. row 1 is the top one; side -1 left, +1 right."""

    row: int
    side: int
    x: Mm
    y: Mm
    diameter: Mm


@dataclass(frozen=True)
class Slit:
    """A slit with a round hole at each end, from (x1, y1) to (x2, y2), their centres, the upper one first."""

    side: int
    x1: Mm
    y1: Mm
    x2: Mm
    y2: Mm
    end_diameter: Mm


@dataclass(frozen=True)
class HangerPlan:
    """holes and slits on the piece; loop: neutral length of the loop round the belt; cut: length of the thong
    or strap to cut, width and thickness beside it; laced: its length once stretched and in place.
    """

    kind: HangerKind
    holes: tuple[HangerHole, ...]
    slits: tuple[Slit, ...]
    loop: Mm
    cut: Mm
    width: Mm
    thickness: Mm
    findings: tuple[Finding, ...]
    laced: Mm = 0.0


@dataclass(frozen=True)
class Limits:
    """What the holes must stay clear of, as heights on the form.

    top: the flap's end or the mouth itself (then `cut_edge`); bottom: the bottom edge; grooves: (height,
    width).
    """

    top: Mm
    bottom: Mm
    cut_edge: bool
    grooves: tuple[tuple[Mm, Mm], ...]


def loop_length(belt_width: Mm, belt_thickness: Mm, play: Mm, thickness: Mm = 0.0) -> Mm:
    """Neutral length of a closed loop round a belt: 2 (B + t_b) + play + pi s.

    The loop is the belt's girth and some play, seen from inside; the middle of a strap of thickness s is pi
    s longer (parallel curve at s/2). With s = 0 it is the inside length. Source: derived, steiner-1840.
    Tested: two belts.

    >>> round(loop_length(40.0, 4.0, 15.0, 2.5), 2)                    # 88 + 15 + 7.85
    110.85
    """
    return 2 * (belt_width + belt_thickness) + play + pi * thickness


def before_creep(length: Mm, creep: Share) -> Mm:
    """Length to cut so that the piece has `length` once the first loads have drawn it: length / (1 + creep).

    >>> round(before_creep(124.42, 0.03), 2)
    120.8
    """
    return length / (1 + creep)


def punch_diameter(number: int) -> Mm:
    """Diameter of a round punch: (5 + number) / 64 inch; -1 stands for No. 00. Check against the tool in
    hand.

    >>> round(punch_diameter(0), 1), round(punch_diameter(8), 1)
    (2.0, 5.2)
    """
    return (_PUNCH_ZERO + number) * _SIXTY_FOURTH


def punch_number(diameter: Mm) -> int:
    """Number of the round punch nearest to a diameter; -1 stands for No. 00.

    >>> punch_number(5.0)                                              # No. 8 is 5.16, No. 7 is 4.76
    8
    """
    return max(-1, round(diameter / _SIXTY_FOURTH) - _PUNCH_ZERO)


def thong_length(hanger: Hanger, leather: Mm) -> Mm:
    """Length of a thong in place: through all its holes, round the belt, and tied.

        rows x (2 from_stitch + 2 t) + 2 (rows - 1) x rows_apart + loop + 2 drop + 2 s a slit passed + 2 tails

    Each row is one crossing behind the seam with a passage through the leather at both ends; between rows
    it runs along the back. The knot passes the slits in the thong's own ends. Source: derived (sum of the
    path). Tested: one worked sum.
    """
    rows = hanger.holes_a_side
    crossings = rows * (2 * hanger.from_stitch + 2 * leather)
    runs = 2 * (rows - 1) * hanger.rows_apart
    loop = loop_length(hanger.belt_width, hanger.belt_thickness, hanger.play, hanger.thickness)
    knot = default("hanger.slits_passed") * 2 * hanger.thickness + 2 * default("hanger.tail")
    return crossings + runs + loop + 2 * hanger.drop + knot


def strap_length(hanger: Hanger, leather: Mm) -> Mm:
    """Length of a strap in place: one crossing behind the seam, up to the belt and round it, ends joined.

    2 from_stitch + 2 t + loop + 2 drop + joint
    """
    crossing = 2 * hanger.from_stitch + 2 * leather
    loop = loop_length(hanger.belt_width, hanger.belt_thickness, hanger.play, hanger.thickness)
    return crossing + loop + 2 * hanger.drop + default("hanger.joint")


def place(
    at: FlatMap,
    girth_half: HalfGirth,
    hanger: Hanger,
    *,
    top_limit: Mm,
    bottom_limit: Mm,
    stitch_right: Line,
    leather: Mm,
    folded: bool = True,
    grooves: Sequence[tuple[Mm, Mm]] = (),
) -> HangerPlan:
    """Holes or slits beside the seam, level on the form, and the thong or strap for them.

    at, girth_half: the flat map and the half girth (see their types). top_limit, bottom_limit: heights on
    the form of the flap's end (or the mouth, if not folded) and of the bottom edge. stitch_right: (n, 2) on
    the piece. leather: thickness. grooves: (height, width) of each.

    A hole's centre lies `from_stitch` from the stitch line measured on the leather, at the share
    1 - from_stitch / half girth; the flat map then says where that is on the piece.
    """
    if hanger.kind is HangerKind.NONE:
        return HangerPlan(hanger.kind, (), (), 0.0, 0.0, 0.0, 0.0, ())
    heights = hole_heights(hanger, top_limit)
    drawn = [max(u, bottom_limit) for u in heights]  # below the bottom edge there is no piece to draw on
    shares = [1 - hanger.from_stitch / girth_half(u) for u in drawn]
    centres = [at(u, max(v, 0.0)) for u, v in zip(drawn, shares, strict=True)]
    thong = hanger.kind is HangerKind.THONG
    laced = thong_length(hanger, leather) if thong else strap_length(hanger, leather)
    limits = Limits(top_limit, bottom_limit, not folded, tuple(grooves))
    found = (
        *_beside_the_seam(hanger, centres, shares, stitch_right, leather),
        *_up_and_down(hanger, heights, limits, leather),
        *(_rows(hanger) if thong else ()),
        *_thong_or_strap(hanger),
    )
    return HangerPlan(
        kind=hanger.kind,
        holes=_holes(hanger, centres) if thong else (),
        slits=() if thong else _slits(centres),
        loop=loop_length(hanger.belt_width, hanger.belt_thickness, hanger.play, hanger.thickness),
        cut=before_creep(laced, hanger.creep),
        width=hanger.width,
        thickness=hanger.thickness,
        findings=found,
        laced=laced,
    )


def hole_heights(hanger: Hanger, top_limit: Mm) -> list[Mm]:
    """Heights of the rows from the top, or of the two ends of a slit."""
    top = top_limit - hanger.top_below_flap
    if hanger.kind is HangerKind.STRAP:
        return [top, top - hanger.width - default("hanger.slit_beyond")]
    return [top - row * hanger.rows_apart for row in range(hanger.holes_a_side)]


def _holes(hanger: Hanger, centres: list[tuple[Mm, Mm]]) -> tuple[HangerHole, ...]:
    return tuple(
        HangerHole(row, side, side * float(x), float(y), hanger.hole)
        for side in (-1, 1)
        for row, (x, y) in enumerate(centres, start=1)
    )


def _slits(centres: list[tuple[Mm, Mm]]) -> tuple[Slit, ...]:
    (x1, y1), (x2, y2) = centres
    end = default("hanger.slit_end_hole")
    return tuple(
        Slit(side, side * float(x1), float(y1), side * float(x2), float(y2), end) for side in (-1, 1)
    )


def _place(key: str) -> Path:
    return ("construction", "hanger", key)


def _diameter(hanger: Hanger) -> Mm:
    """Of the round holes, or of those at the ends of a slit."""
    return hanger.hole if hanger.kind is HangerKind.THONG else default("hanger.slit_end_hole")


def _beside_the_seam(
    hanger: Hanger, centres: list[tuple[Mm, Mm]], shares: list[Share], stitch_right: Line, leather: Mm
) -> Iterator[Finding]:
    """Are the holes clear of the stitches and of the front?"""
    if min(shares) < 0:
        usual = default("hanger.from_stitch")
        yield finding("HANGER-008", _place("from_stitch_mm"), from_stitch=hanger.from_stitch, usual=usual)
        return
    away = float(polyline.distances_to(stitch_right, np.array(centres)).min())
    usual = default("hanger.from_stitch")
    least = max(default("hanger.from_stitch_least"), default("hanger.from_stitch_share") * leather)
    shown = {"away": away, "least": least, "inward": max(usual, least) - away}
    if away <= _diameter(hanger) / 2:
        yield finding("HANGER-002", _place("from_stitch_mm"), **shown, hole=_diameter(hanger))
    elif hanger.from_stitch < least - _EXACT or away < least - default("holes.felt"):
        yield finding("HANGER-001", _place("from_stitch_mm"), **shown)


def _up_and_down(hanger: Hanger, heights: list[Mm], limits: Limits, leather: Mm) -> Iterator[Finding]:
    """Are the holes clear of the collar or the mouth, of the bottom edge and of the grooves?"""
    reach = _diameter(hanger) / 2
    edge = max(default("hanger.edge_least"), default("hanger.edge_share") * leather)
    below = limits.top - heights[0]
    if limits.cut_edge and below < edge - _EXACT:
        yield finding("HANGER-004", _place("top_below_flap_mm"), below=below, least=edge)
    if not limits.cut_edge and below < reach + leather - _EXACT:
        yield finding("HANGER-003", _place("top_below_flap_mm"), below=below, least=reach + leather)
    above = heights[-1] - limits.bottom
    if above < reach:
        yield finding("HANGER-006", _place("rows_apart_mm"), above=above, length=heights[0] - heights[-1])
    elif above < edge - _EXACT:
        yield finding("HANGER-005", _place("rows_apart_mm"), above=above, least=edge)
    for row, height in enumerate(heights, start=1):
        for station, width in limits.grooves:
            if abs(height - station) < reach + width / 2:
                yield finding(
                    "HANGER-007",
                    _place("rows_apart_mm"),
                    row=row,
                    height=height,
                    groove=station,
                    clear=reach + width / 2,
                )


def _rows(hanger: Hanger) -> Iterator[Finding]:
    """Is there enough leather between one hole and the next?"""
    least = default("hanger.apart_share") * hanger.hole
    shown = {"apart": hanger.rows_apart, "hole": hanger.hole, "least": least}
    if hanger.holes_a_side < 2:
        return
    if hanger.rows_apart <= hanger.hole:
        yield finding("HANGER-009", _place("rows_apart_mm"), **shown)
    elif hanger.rows_apart < least - _EXACT:
        yield finding("HANGER-010", _place("rows_apart_mm"), **shown)


def _thong_or_strap(hanger: Hanger) -> Iterator[Finding]:
    """Do hole, thong, strap and belt go together?"""
    play = values()["hanger.play"]
    if hanger.play < play.low:
        inside = loop_length(hanger.belt_width, hanger.belt_thickness, hanger.play)
        yield finding(
            "HANGER-011",
            _place("play_mm"),
            inside=inside,
            belt=hanger.belt_width,
            thick=hanger.belt_thickness,
            play=hanger.play,
            usual=play.value,
        )
    if hanger.kind is HangerKind.THONG:
        less = hanger.width - hanger.hole
        shown = {"hole": hanger.hole, "width": hanger.width, "punch": punch_number(hanger.width)}
        if less > default("hanger.hole_tighter"):
            yield finding("HANGER-012", _place("punch_mm"), **shown)
        elif -less > default("hanger.hole_looser"):
            yield finding("HANGER-013", _place("punch_mm"), **shown)
        return
    usual = values()["hanger.strap_width"]
    if not usual.low <= hanger.width <= usual.high:
        yield finding("HANGER-014", _place("width_mm"), width=hanger.width, low=usual.low, high=usual.high)
