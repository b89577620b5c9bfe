"""How the finished sheath hangs: centre of gravity, upright or tipping, how far out of plumb, how fast it swings.

Seen with the back to the body: x sideways (fore and aft on the hip), y towards the seam and the body, z up along the
lower end of the form. The thong leaves the back through the uppermost holes, c to either side of the middle, and runs
over the belt, b above them. A thong that slides over the belt is one limit, a thong that is gripped there the other;
the truth lies between, and both are said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from math import atan, atan2, hypot, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from backseam.fit.masses import KNIFE, Guess, Knife, Slices, Solid, guesses, parts, steel
from backseam.form.form import Form
from backseam.ground.findings import Finding, finding, ordered
from backseam.ground.sources import default
from backseam.ground.units import Gram, Mm, Radian, Second
from backseam.leather.material import Material
from backseam.pattern.construction import Construction, HangerKind
from backseam.pattern.hanger import HangerPlan

Array = NDArray[np.float64]

VERSION = 1
WEIGHTS = ("knife", "weight_g")
METRE = 1000.0
SEEN: Mm = 0.05  # of the centre of gravity's height: what is worth naming
_TURNS = 60  # halvings of the angle; ends at rounding
_STEPS = 720


class Stand(StrEnum):
    """How the sheath stands under its hang point."""

    UPRIGHT = "upright"
    MAY_TIP = "may_tip"  # upright by the likeliest weights, not by all that may be
    TIPS = "tips"


@dataclass(frozen=True)
class Part:
    """One part of what hangs. mass: g; height: of its centre of gravity, from the bottom edge along the axis, mm."""

    name: str
    mass: Gram
    height: Mm


@dataclass(frozen=True)
class Unknown:
    """A number nobody measured, and by how much it moves the height of the centre of gravity, either way, mm."""

    name: str
    value: float
    moves: Mm


@dataclass(frozen=True)
class Loop:
    """How it hangs by its holes.

    height: of the uppermost holes; apart: from one to the other across the back; peg: of the belt's upper edge above
    them; margin: holes above the centre of gravity with the knife in, from low to high by what is not known; empty: the
    same without the knife. steady: b D / c^2, upright by itself above 1 (inf if the holes meet). offset: of the centre
    of gravity beside the middle, + to the right. sliding, gripped: lean at that offset; off_sliding, off_gripped: for
    `hang.off_centre` more. behind: holes nearer to the body than the centre of gravity; away: lean of the foot for it,
    + into the body. period: of one swing to and fro; swings: the drop is long enough to dangle.
    """

    height: Mm
    apart: Mm
    peg: Mm
    margin: Mm
    margin_low: Mm
    margin_high: Mm
    empty: Mm
    steady: float
    offset: Mm
    sliding: Radian
    gripped: Radian
    off_sliding: Radian
    off_gripped: Radian
    behind: Mm
    away: Radian
    period: Second
    swings: bool
    stands: Stand


@dataclass(frozen=True)
class Hang:
    """Weights and balance of one sheath with its knife, and how it hangs (loop None: there is no hanger).

    mass, empty: with and without the knife, g; centre, centre_empty: (x, y, z) with and without it, mm; height,
    height_low, height_high: of the whole along the axis; foot, butt: lowest and uppermost height of what hangs;
    unknown: what would narrow it, most first.
    """

    parts: tuple[Part, ...]
    mass: Gram
    empty: Gram
    centre: tuple[Mm, Mm, Mm]
    centre_empty: tuple[Mm, Mm, Mm]
    height: Mm
    height_low: Mm
    height_high: Mm
    foot: Mm
    butt: Mm
    unknown: tuple[Unknown, ...]
    loop: Loop | None
    findings: tuple[Finding, ...]


def hang(
    form: Form,
    construction: Construction,
    plan: HangerPlan,
    material: Material,
    knife: Knife | None = None,
) -> Hang:
    """How one sheath hangs with its knife in. What nobody measured is estimated from the form, with its range."""
    solid = Solid(form, construction, plan, material, knife or Knife())
    known = guesses(solid)
    usual = {name: one.value for name, one in known.items()}
    found = parts(solid, usual)
    sheath = tuple(one for one in found if one.name not in KNIFE)
    unknown, down, up = _band(solid, known, usual)
    loop = None if plan.kind is HangerKind.NONE else _loop(solid, found, sheath, down, up)
    height = _height(found)
    told = Hang(
        parts=tuple(Part(one.name, one.total, one.centre) for one in found),
        mass=sum(one.total for one in found),
        empty=sum(one.total for one in sheath),
        centre=centre(form, found),
        centre_empty=centre(form, sheath),
        height=height,
        height_low=height - down,
        height_high=height + up,
        foot=min(float(one.height.min()) for one in found if one.total > 0),
        butt=max(float(one.height.max()) for one in found if one.total > 0),
        unknown=unknown,
        loop=loop,
        findings=(),
    )
    return replace(told, findings=ordered(_doubts(told, solid, usual)))


def centre(form: Form, found: tuple[Slices, ...]) -> tuple[Mm, Mm, Mm]:
    """Centre of gravity (x, y, z) of parts: sum of m r over sum of m. Source: textbook (statics). Tested: closed
    forms of a tube and a cone."""
    mass, place = _placed(form, found)
    x, y, z = (mass[:, None] * place).sum(axis=0) / max(float(mass.sum()), 1e-12)
    return float(x), float(y), float(z)


def _placed(form: Form, found: tuple[Slices, ...]) -> tuple[Array, Array]:
    """Mass (n,) and place (n, 3) of all slices."""
    mass = np.concatenate([one.mass for one in found])
    height = np.concatenate([one.height for one in found])
    aside = np.concatenate([one.aside for one in found])
    origin, _, back, _ = form.axis.frame(height)
    return mass, origin + aside[:, None] * back


def _height(found: tuple[Slices, ...]) -> Mm:
    """Height of the centre of gravity along the axis."""
    return sum(one.total * one.centre for one in found) / max(sum(one.total for one in found), 1e-12)


def _band(
    solid: Solid, known: Mapping[str, Guess], usual: dict[str, float]
) -> tuple[tuple[Unknown, ...], Mm, Mm]:
    """What each unknown does to the height of the centre of gravity, alone; together as independent ones."""
    middle = _height(parts(solid, usual))
    rows, down, up = [], 0.0, 0.0
    for one in known.values():
        if one.known:
            continue
        ends = [_height(parts(solid, {**usual, one.name: x})) - middle for x in (one.low, one.high)]
        down, up = hypot(down, min(*ends, 0.0)), hypot(up, max(*ends, 0.0))
        moves = max(abs(end) for end in ends)
        if moves > SEEN:
            rows.append(Unknown(one.name, one.value, moves))
    return tuple(sorted(rows, key=lambda row: -row.moves)), down, up


# --- the thong over the belt ---------------------------------------------------------------------------------------


def gripped_lean(offset: Mm, peg: Mm, margin: Mm) -> Radian:
    """Lean of a sheath whose two legs cannot slide, peg b above the holes, centre of gravity D below them.

    It hangs as a pendulum under the peg, the apex of the triangle:

        tan(lean) = e / (b + D)                                              e: centre of gravity beside the middle

    Exact while both legs are taut. Source: textbook (statics). Tested: two worked sheaths.

    >>> from math import degrees
    >>> round(degrees(gripped_lean(2.0, 28.284271, 30.0)), 2)                # atan(2 / 58.28)
    1.97
    """
    return atan2(abs(offset), peg + margin)


def sliding_lean(offset: Mm, half_apart: Mm, peg: Mm, margin: Mm) -> Radian:
    """Lean of a sheath whose thong slides over the belt without friction, at rest; from upright downhill.

    The thong is fixed at +-c, its free length 2 a; seen from the sheath the belt moves on an ellipse with these two
    points as foci, (a cos p, b sin p), a^2 = b^2 + c^2. The sheath comes to rest where the belt is furthest from the
    centre of gravity (e, -D):

        maximise (a cos p - e)^2 + (b sin p + D)^2;   stable upright only if b D > c^2
        small e:  lean = e (1 + a^2 / (b D - c^2)) / (b + D)

    Exact for a thin thong and a narrow peg. Source: derived (least potential energy). Tested: three worked sheaths,
    least potential energy found by a general minimiser.

    >>> from math import degrees
    >>> round(degrees(sliding_lean(2.0, 10.0, 28.284271, 30.0)), 2)
    4.32
    """
    a, e = hypot(half_apart, peg), abs(offset)
    if e == 0 and half_apart**2 <= peg * margin:
        return 0.0
    angle = _rest(e, a, peg, margin)
    return abs(atan2(e - a * np.cos(angle), peg * np.sin(angle) + margin))


def _rest(e: Mm, a: Mm, b: Mm, margin: Mm) -> Radian:
    """Place on the ellipse, pi/2 to pi, where the distance from (e, -D) first stops growing on the way down."""

    def growing(p: Radian | Array) -> Array:
        return np.asarray(a * (e - a * np.cos(p)) * np.sin(p) + b * (b * np.sin(p) + margin) * np.cos(p))

    fine = np.linspace(pi / 2, pi, _STEPS + 1)[1:]
    falls = np.flatnonzero(growing(fine) <= 0)
    if not falls.size:
        return pi
    low, high = (pi / 2 if falls[0] == 0 else float(fine[falls[0] - 1])), float(fine[falls[0]])
    for _ in range(_TURNS):
        middle = (low + high) / 2
        low, high = (middle, high) if growing(middle) > 0 else (low, middle)
    return (low + high) / 2


def swing_period(distance: Mm, gyration: Mm) -> Second:
    """Period of a rigid pendulum, centre of gravity d under the peg, radius of gyration k about it:

        T = 2 pi sqrt((k^2 + d^2) / (g d))

    Small swings, no air. Source: textbook (physical pendulum). Tested: a rod hung at its end, one worked sheath.

    >>> round(swing_period(88.0, 62.0), 2)                                   # 2 pi sqrt(11588 / (9810 x 88))
    0.73
    """
    return 2 * pi * sqrt((gyration**2 + distance**2) / (METRE * default("fit.gravity") * distance))


def _loop(solid: Solid, found: tuple[Slices, ...], sheath: tuple[Slices, ...], down: Mm, up: Mm) -> Loop:
    form, hanger = solid.form, solid.construction.hanger
    height, half_apart, aside = solid.holes
    origin, _, back, _ = form.axis.frame(np.array([height]))
    at = origin[0] + aside * back[0]
    peg = form.marks.mouth - height + hanger.drop + hanger.belt_width
    x, y, z = centre(form, found)
    margin, offset = float(at[2]) - z, x - float(at[0])
    off = abs(offset) + default("hang.off_centre")
    under = peg + margin
    return Loop(
        height=height,
        apart=2 * half_apart,
        peg=peg,
        margin=margin,
        margin_low=margin - up,
        margin_high=margin + down,
        empty=float(at[2]) - centre(form, sheath)[2],
        steady=peg * margin / half_apart**2 if half_apart > 0 else float("inf"),
        offset=offset,
        sliding=sliding_lean(offset, half_apart, peg, margin),
        gripped=gripped_lean(offset, peg, margin),
        off_sliding=sliding_lean(off, half_apart, peg, margin),
        off_gripped=gripped_lean(off, peg, margin),
        behind=float(at[1]) - y,
        away=atan((float(at[1]) - y) / under) if under > 0 else 0.0,
        period=swing_period(under, _gyration(form, found)) if under > 0 else float("inf"),
        swings=hanger.drop >= default("hang.dangling_from"),
        stands=_stands(margin, margin - up),
    )


def _gyration(form: Form, found: tuple[Slices, ...]) -> Mm:
    """Radius of gyration about the centre of gravity in the plane of the swing, x and z."""
    mass, place = _placed(form, found)
    off = place - np.array(centre(form, found))
    return float(np.sqrt((mass * (off[:, 0] ** 2 + off[:, 2] ** 2)).sum() / mass.sum()))


def _stands(margin: Mm, low: Mm) -> Stand:
    if margin <= 0:
        return Stand.TIPS
    return Stand.UPRIGHT if low > 0 else Stand.MAY_TIP


# --- doubts --------------------------------------------------------------------------------------------------------


def _doubts(told: Hang, solid: Solid, usual: Mapping[str, float]) -> Iterator[Finding]:
    yield from _weights(told, solid, usual)
    if told.loop is None:
        return
    yield from _upright(told.loop, solid)
    yield from _slides(told.loop)
    yield from _swings(told.loop, solid)


def _weights(told: Hang, solid: Solid, usual: Mapping[str, float]) -> Iterator[Finding]:
    """Weights that contradict one another, and what is still estimated."""
    weight = solid.knife.weight
    if weight is not None and weight <= steel(solid, usual):
        yield finding("HANG-008", WEIGHTS, knife=f"{weight:g}", steel=f"{steel(solid, usual):.0f}")
    if told.unknown and (told.height_high - told.height_low) / 2 > default("hang.margin") / 2:
        yield finding("HANG-007", WEIGHTS, low=told.height_low, high=told.height_high)


def _upright(loop: Loop, solid: Solid) -> Iterator[Finding]:
    """Is the weight below the holes, with the knife and without?"""
    where = ("construction", "hanger", "top_below_flap_mm")
    least, least_empty = default("hang.margin"), default("hang.margin_empty")
    hanger = solid.construction.hanger
    room = max(hanger.top_below_flap - hanger.hole / 2 - solid.form.laid.thickness, 0.0)
    short = least - loop.margin
    if loop.margin <= 0:
        yield finding("HANG-001", where, over=-loop.margin, short=short, room=room)
    elif short > 0:
        code = "HANG-002" if short <= room else "HANG-003"
        yield finding(code, where, margin=loop.margin, least=least, short=short, room=room)
    elif loop.stands is Stand.MAY_TIP:
        yield finding("HANG-009", WEIGHTS, margin=loop.margin, over=-loop.margin_low)
    if loop.empty < least_empty:
        short = least_empty - loop.empty
        yield finding("HANG-004", where, margin=loop.empty, least=least_empty, short=short)


def _slides(loop: Loop) -> Iterator[Finding]:
    """Does a thong that slides keep it upright, and how far out of plumb?"""
    where = ("construction", "hanger", "from_stitch_mm")
    steady, most = default("hang.steady"), np.radians(default("hang.lean_most"))
    if loop.margin <= 0:
        return
    apart = 2 * sqrt(loop.peg * loop.margin / steady)
    shown = {"apart": loop.apart, "most": apart, "lean": float(np.degrees(loop.sliding))}
    if loop.steady <= 1:
        yield finding("HANG-005", where, **shown)
    elif loop.steady < steady:
        yield finding("HANG-006", where, **shown)
    if loop.steady > 1 and loop.sliding > most:
        held = float(np.degrees(loop.gripped))
        yield finding("HANG-010", where, lean=shown["lean"], held=held, offset=abs(loop.offset))


def _swings(loop: Loop, solid: Solid) -> Iterator[Finding]:
    """Does it swing in time with the leg?"""
    drop = solid.construction.hanger.drop
    if not loop.swings or loop.margin <= 0:
        return
    near = default("hang.gait_near")
    for code, gait in (("HANG-011", "hang.stride"), ("HANG-012", "hang.steps")):
        if abs(loop.period * default(gait) - 1) < near:
            where = ("construction", "hanger", "drop_mm")
            yield finding(code, where, swings=f"{60 / loop.period:.0f}", drop=drop)
