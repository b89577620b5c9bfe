"""Holes along the stitch line: the same number on both sides, equal pitch, slant mirrored."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, cos, floor, pi, radians

import numpy as np
from numpy.typing import NDArray

from backseam.geom import polyline
from backseam.geom.polyline import Line
from backseam.ground.findings import Finding, Path, finding
from backseam.ground.sources import default, values
from backseam.ground.units import Degree, Mm, Share
from backseam.pattern.construction import Stitching, Tool

VERSION = 1

_EXACT: Mm = 1e-9  # rounding of a sum of lengths, not a tolerance of the trade


@dataclass(frozen=True)
class Hole:
    """One hole of one side. number 1 is next to the mouth; left i meets right i.

    slit: direction of the slit on the piece, radians from +x, the upper end towards the centre line.
    layers: sewn through, 2, or 4 at the collar; sewn: their thickness, mm.
    """

    number: int
    x: Mm
    y: Mm
    slit: float
    layers: int
    sewn: Mm


@dataclass(frozen=True)
class Seam:
    """Both rows of holes. length: of the stitch line, mouth to bottom, one side; sewn_length: first to last.

    left, right: from mouth to bottom. first, last: hole to the mouth and to the bottom edge, along the line.
    tool_pitch: what the tool strikes; eased: how many of the last strikes are eased and by how much in all
    (positive: closer than the tool strikes). perforation: awl width x cos(slant) / pitch. placings: how often
    an iron or fork with `teeth` is set down; teeth_over: how many of its teeth stand in holes already struck
    at the last placing, besides the one that always does (both 0 for a free row or a wheel).
    """

    left: tuple[Hole, ...]
    right: tuple[Hole, ...]
    pitch: Mm
    length: Mm
    sewn_length: Mm
    first: Mm
    last: Mm
    slant: Degree
    tool_pitch: Mm
    eased: int
    eased_by: Mm
    perforation: Share
    four_layers: int  # how many holes from the mouth go through four layers
    findings: tuple[Finding, ...]
    placings: int = 0
    teeth_over: int = 0

    @property
    def count(self) -> int:
        """Holes a side."""
        return len(self.left)


def positions(holes: tuple[Hole, ...]) -> NDArray[np.float64]:
    """(n, 2) of the holes' centres."""
    return np.array([(hole.x, hole.y) for hole in holes]).reshape(-1, 2)


def gaps_for(room: Mm, pitch: Mm) -> int:
    """How many equal gaps of about `pitch` fill `room`, first hole to last: the nearest whole number, at
    least 1.

    gaps = round(room / pitch), so no part hole is left over and the pitch is off by at most pitch / (2 gaps).

    >>> gaps_for(121.3, 3.5), round(121.3 / 35, 6)                 # 121.3 / 3.5 = 34.66
    (35, 3.465714)
    """
    return max(1, floor(room / pitch + 0.5))


def perforation(awl: Mm, slant: Degree, pitch: Mm) -> Share:
    """Share of the stitch line that the slits open: awl width x cos(slant) / pitch.

    slant: from the stitch line, 0 along it, 90 across. Source: derived (a slit's shadow on the line).

    >>> round(perforation(2.2, 45.0, 4.0), 2), round(perforation(2.2, 30.0, 4.0), 2)   # 2.2 x 0.7071 / 4
    (0.39, 0.48)
    """
    return awl * cos(radians(slant)) / pitch


def ease(room: Mm, gaps: int, tool_pitch: Mm) -> tuple[int, Mm]:
    """How many of the last strikes are eased, and by how much in all, so that `gaps` strikes fill `room`.

    The tool alone would end at gaps x tool_pitch. The difference, positive if the strikes must come closer,
    is spread over the last strikes so that none of them is off by more than `holes.ease_a_strike` of the
    pitch.

    >>> strikes, by = ease(147.1, 37, 4.0)         # 37 x 4 = 148: 0.9 too long, taken up by 0.16 a strike
    >>> strikes, round(by, 2)
    (6, 0.9)
    """
    over = gaps * tool_pitch - room
    most = default("holes.ease_a_strike") * tool_pitch
    return min(gaps, ceil(abs(over) / most - _EXACT)), over


def tool_placings(gaps: int, teeth: int) -> tuple[int, int]:
    """How often a tool with `teeth` is set down for `gaps` + 1 holes, and how many teeth are over at the
    last.

    The first placing strikes all its teeth; each later one stands with its first tooth in the last hole and
    adds teeth - 1. At the last placing the teeth that are over stand in holes already struck.

    >>> tool_placings(37, 4)                                       # 13 x 3 = 39 gaps for 37: two over
    (13, 2)
    """
    if teeth < 2:
        return 0, 0
    times = ceil(gaps / (teeth - 1))
    return times, times * (teeth - 1) - gaps


def strike(
    stitch_right: Line,
    stitching: Stitching,
    *,
    collar_from_mouth: Mm,
    leather: Mm,
    flap: Mm,
    folded: bool,
    trimmed: Mm,
    last_from_bottom: Mm | None = None,
) -> Seam:
    """Both rows of holes on the stitch lines.

    stitch_right: (n, 2), right stitch line from the mouth to the bottom edge, points about half a millimetre
    apart; the left one is its mirror image. collar_from_mouth: how far down the flap reaches, along the line.
    leather, flap: thicknesses. trimmed: stitch line to trim line. last_from_bottom: instead of
    `stitching.last`.

    Holes lie on the line, the first `stitching.first` below the mouth, the last `stitching.last` above the
    bottom edge, at equal distances along the line; positions are not rounded. Down to the flap's end each
    side is the outer layer and the flap: 2 (leather + flap) sewn; below it 2 leather.
    """
    line = polyline.without_repeats(stitch_right)
    length = polyline.length(line)
    wanted_last = stitching.last if last_from_bottom is None else last_from_bottom
    first, last = _end_gaps(length, stitching.first, wanted_last)
    room = length - first - last
    gaps = gaps_for(room, stitching.pitch)
    along = first + np.linspace(0.0, room, gaps + 1)
    collar = collar_from_mouth if folded else -1.0
    right = row(line, along, stitching.slant, leather=leather, flap=flap, collar=collar)
    held = stitching.tool is Tool.FREE
    eased, eased_by = (0, 0.0) if held else ease(room, gaps, stitching.pitch)
    times, over = (0, 0) if held or stitching.tool is Tool.WHEEL else tool_placings(gaps, stitching.teeth)
    seam = Seam(
        left=mirrored(right),
        right=right,
        pitch=room / gaps,
        length=length,
        sewn_length=room,
        first=first,
        last=last,
        slant=stitching.slant,
        tool_pitch=stitching.pitch,
        eased=eased,
        eased_by=eased_by,
        perforation=perforation(stitching.awl, stitching.slant, room / gaps),
        four_layers=sum(hole.layers == 4 for hole in right),
        findings=(),
        placings=times,
        teeth_over=over,
    )
    found = (
        *_room(seam, stitching, length - stitching.first - wanted_last, wanted_last),
        *_edges(seam, trimmed, leather),
        *_density(seam, stitching),
        *_bends(seam, line),
        *_tool(seam, stitching, leather + flap if folded else leather),
        *_flap_edge(seam, stitching, along, collar),
    )
    return replace(seam, findings=found)


def _end_gaps(length: Mm, first: Mm, last: Mm) -> tuple[Mm, Mm]:
    """First and last as asked; if they leave nothing, both shrunk so that a preview can be drawn."""
    if first + last < length - _EXACT:
        return first, last
    share = length / (2 * (first + last))
    return first * share, last * share


def row(
    line: Line, along: NDArray[np.float64], slant: Degree, *, leather: Mm, flap: Mm = 0.0, collar: Mm = -1.0
) -> tuple[Hole, ...]:
    """Holes of the right row at `along` (n,) mm from the mouth on the line; through the flap down to
    `collar`.

    The slit makes the angle `slant` with the line at its hole, its upper end towards the centre line.
    """
    points = polyline.at_length(line, along).tolist()
    slits = (polyline.heading_at(line, along) + pi + radians(slant)).tolist()
    thick = (along <= collar + _EXACT).tolist()
    return tuple(
        Hole(i, x, y, slit, 4 if double else 2, 2 * (leather + flap) if double else 2 * leather)
        for i, ((x, y), slit, double) in enumerate(zip(points, slits, thick, strict=True), start=1)
    )


def mirrored(holes: tuple[Hole, ...]) -> tuple[Hole, ...]:
    """The other side's row: each hole and its slit mirrored at the centre line."""
    return tuple(Hole(hole.number, -hole.x, hole.y, pi - hole.slit, hole.layers, hole.sewn) for hole in holes)


def _place(key: str) -> Path:
    return ("construction", key)


def _room(seam: Seam, stitching: Stitching, room: Mm, last: Mm) -> Iterator[Finding]:
    """Is there room for a row at all?"""
    if room < stitching.pitch:
        yield finding(
            "SEAM-010",
            _place("first_hole_mm"),
            length=seam.length,
            first=stitching.first,
            last=last,
            room=max(room, 0.0),
            pitch=stitching.pitch,
        )
    elif seam.count < stitching.locking + 2:
        yield finding(
            "SEAM-009",
            _place("pitch_mm"),
            count=seam.count,
            locking=stitching.locking,
            pitch=seam.sewn_length / (stitching.locking + 1),
        )


def _edges(seam: Seam, trimmed: Mm, leather: Mm) -> Iterator[Finding]:
    """Is the row far enough from what is cut?"""
    least = max(default("holes.edge_least"), leather)
    if trimmed < least:
        yield finding(
            "SEAM-002", _place("trimmed_flange_mm"), trimmed=trimmed, leather=leather, least=_up(least)
        )
    for code, key, gap in (
        ("SEAM-003", "first_hole_mm", seam.first),
        ("SEAM-004", "last_hole_mm", seam.last),
    ):
        if gap < least - _EXACT:
            usual = default("holes.first" if code == "SEAM-003" else "holes.last")
            yield finding(code, _place(key), gap=gap, least=_up(least), usual=max(usual, _up(least)))


def _density(seam: Seam, stitching: Stitching) -> Iterator[Finding]:
    """Do pitch, awl, slant and thread go together?"""
    most = default("holes.perforation")
    if seam.perforation > most:
        yield finding(
            "SEAM-001",
            _place("pitch_mm"),
            awl=stitching.awl,
            pitch=seam.pitch,
            perforation=seam.perforation,
            most=most,
            wider=_up(stitching.awl * cos(radians(stitching.slant)) / most),
        )
    thin, thick = default("holes.thread_least"), default("holes.thread_most")
    share = stitching.thread / seam.pitch
    shown = {"thread": stitching.thread, "pitch": seam.pitch, "share": share}
    if share < thin:
        yield finding(
            "SEAM-005", _place("thread_mm"), **shown, limit=thin, wanted=_up(thin * seam.pitch, 0.1)
        )
    if share > thick:
        yield finding(
            "SEAM-006", _place("thread_mm"), **shown, limit=thick, wanted=_down(thick * seam.pitch, 0.1)
        )
    usual = values()["holes.pitch"]
    if stitching.pitch < usual.low:
        yield finding("SEAM-007", _place("pitch_mm"), pitch=stitching.pitch, limit=usual.low)
    if stitching.pitch > usual.high:
        yield finding("SEAM-008", _place("pitch_mm"), pitch=stitching.pitch, limit=usual.high)
    slants = values()["holes.slant"]
    if not slants.low <= stitching.slant <= slants.high:
        yield finding(
            "SEAM-016",
            _place("slant_deg"),
            slant=stitching.slant,
            other=90 - stitching.slant,
            usual=slants.value,
        )


def _bends(seam: Seam, line: Line) -> Iterator[Finding]:
    """Does the row run round a bend that wants a closer pitch?"""
    limit, shorter = default("holes.bend_radius"), default("holes.bend_shorter")
    radius, at = polyline.tightest_bend(line, 3 * seam.pitch)
    if radius < limit:
        number = int(np.clip(round((at - seam.first) / seam.pitch) + 1, 1, seam.count))
        yield finding(
            "SEAM-011",
            _place("pitch_mm"),
            radius=radius,
            limit=limit,
            number=number,
            pitch=seam.pitch * (1 - shorter),
        )


def _tool(seam: Seam, stitching: Stitching, side: Mm) -> Iterator[Finding]:
    """Does the tool in hand do this row, and how are its last strikes eased?"""
    if stitching.tool is Tool.FREE:
        return
    shown = {
        "tool": stitching.tool.value,
        "count": seam.count,
        "pitch": seam.pitch,
        "tool_pitch": stitching.pitch,
        "eased": seam.eased,
        "by": abs(seam.eased_by),
        "last": _last_that_fits(seam),
    }
    if abs(seam.pitch / stitching.pitch - 1) > default("holes.ease_pitch"):
        yield finding("SEAM-014", _place("last_hole_mm"), **shown)
    elif abs(seam.eased_by) > default("holes.felt"):
        yield finding("SEAM-012" if seam.eased_by > 0 else "SEAM-013", _place("tool"), **shown)
    through = default("holes.iron_through")
    if stitching.tool is not Tool.WHEEL and side > through:
        yield finding(
            "SEAM-015", _place("tool"), tool=stitching.tool.value, side=side, limit=through, awl=stitching.awl
        )


def _last_that_fits(seam: Seam) -> Mm:
    """Where the last hole would have to be above the bottom edge for the tool to strike the row as it is."""
    gaps = max(1, floor(seam.sewn_length / seam.tool_pitch + _EXACT))
    return seam.last + seam.sewn_length - gaps * seam.tool_pitch


def _flap_edge(seam: Seam, stitching: Stitching, along: NDArray[np.float64], collar: Mm) -> Iterator[Finding]:
    """Does the flap's raw edge run through a hole?"""
    reach = stitching.awl / 2 * cos(radians(stitching.slant))
    near = np.flatnonzero(np.abs(along - collar) < reach)
    if collar > 0 and near.size:
        number = int(near[0])
        yield finding(
            "SEAM-017",
            _place("collar_depth_mm"),
            number=number + 1,
            depth=collar,
            deeper=float(along[number]) + seam.pitch / 2,
        )


def _up(length: Mm, step: Mm = 0.1) -> Mm:
    """The next round figure that is enough."""
    return ceil(length / step - _EXACT) * step


def _down(length: Mm, step: Mm = 0.1) -> Mm:
    """The round figure that is not too much."""
    return floor(length / step + _EXACT) * step
