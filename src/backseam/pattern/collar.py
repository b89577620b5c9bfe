"""The collar: the band at the mouth that is skived, folded in, hammered and caught in the seam.

Folded first, then measured, then pierced through both layers: outer layer and flap wrap as one plate. The
other limit is a flap that slides free of the seam; it needs more room, and where the two differ the program
says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan, ceil, degrees, floor, pi, radians, tan
from typing import Literal

from backseam.ground.findings import Finding, Path, finding
from backseam.ground.sources import default, values
from backseam.ground.units import Degree, Mm, Share, Strain
from backseam.leather.leather import Leather
from backseam.pattern.construction import Collar

VERSION = 1

MIDDLE: Share = 0.5  # the middle of a layer, where the neutral layer of a plate lies
MouthRead = Literal["bare", "folded_piece"]

_DEPTH: Path = ("construction", "collar_depth_mm")
_FLAP: Path = ("construction", "collar_flap_mm")
_SKIVE: Path = ("construction", "collar_skive_mm")
_MOUTH: Path = ("construction", "mouth_read")
_ROUND: Mm = 0.5  # a width to skive is given to half a millimetre
_SAME = 1e-9  # rounding, not a tolerance of the trade


@dataclass(frozen=True)
class CollarPlan:
    """What the fold comes to. A plain mouth has no turn-in and one layer everywhere.

    turn_in: flat length cut above the fold line. allowance: what the bend itself takes beyond that if
    hammered flat (negative: it gives), `allowance_soft` if left as a roll; both within half a thickness, so
    the height to cut is the finished height + turn_in. at_fold: thickness where it folds; strain: of the
    grain there before it is hammered; skive_angle: slope from full thickness to the flap. caught, sliding:
    stitch to stitch at the mouth if the flap is caught in the seam, or slides free; flap_narrower: flap
    against outer layer, in all, if it slides; step: how much wider the piece becomes where the flap ends.
    sewn: thickness at a hole in the collar.
    """

    turn_in: Mm
    allowance: Mm
    allowance_soft: Mm
    at_fold: Mm
    strain: Strain
    skive_angle: Degree
    caught: Mm
    sliding: Mm
    flap_narrower: Mm
    step: Mm
    sewn: Mm
    findings: tuple[Finding, ...]


def girth_caught(girth: Mm, leather: Mm, flap: Mm, neutral: Share = MIDDLE) -> Mm:
    """Neutral length round a section under a collar whose flap is caught in the seam, seam fillet left out.

    Both layers wrap as one plate of thickness leather + flap:

        girth + 2 pi k (leather + flap)                                  k = 1/2: girth + pi (leather + flap)

    Exact for a convex section. Source: steiner-1840 (parallel curves). Tested: circle.

    >>> round(girth_caught(87.964594, 2.0, 1.0), 2)                    # R 14: 87.96 + 3 pi
    97.39
    """
    return girth + 2 * pi * neutral * (leather + flap)


def girth_sliding(girth: Mm, leather: Mm, flap: Mm, neutral: Share = MIDDLE) -> Mm:
    """Neutral length of the outer layer if the flap under it slides free of the seam, seam fillet left out.

        girth + 2 pi flap + 2 pi k leather                          k = 1/2: girth + 2 pi flap + pi leather

    Exact for a convex section. Source: steiner-1840 (parallel curves). Tested: circle.

    >>> round(girth_sliding(87.964594, 2.0, 1.0), 6)                   # R 14: 87.96 + 2 pi + 2 pi
    100.530965
    """
    return girth + 2 * pi * flap + 2 * pi * neutral * leather


def flap_sliding(girth: Mm, flap: Mm, neutral: Share = MIDDLE) -> Mm:
    """Neutral length of a flap that slides free, lying on the form: girth + 2 pi k flap.

    >>> round(flap_sliding(87.964594, 1.0), 6)                         # R 14: 87.96 + pi
    91.106187
    """
    return girth + 2 * pi * neutral * flap


def fold_allowance(thickness: Mm, inside: Mm, neutral: Share = MIDDLE) -> Mm:
    """Flat length of a fold beyond the two finished heights that meet in it, outer height and flap depth.

    The bend is half a turn of the neutral layer; both heights are taken to the outside of the fold:

        pi (r + k t) - 2 (r + t)

    thickness: where it folds, skived; inside: radius on the inside of the fold, 0 if hammered flat.
    Negative: the piece is cut shorter. Source: derived (neutral layer, as in sheet bending). Tested: two
    closed values, a fold measured on its drawn outline.

    >>> round(fold_allowance(2.0, 0.0), 6)                             # pi - 4
    -0.858407
    """
    return pi * (inside + neutral * thickness) - 2 * (inside + thickness)


def fold_strain(thickness: Mm, inside: Mm, neutral: Share = MIDDLE) -> Strain:
    """Stretch of the grain at the outside of a fold: (r + t) / (r + k t) - 1.

    Source: derived (neutral layer). Trusted for folds of hand size; a fold hammered flat afterwards is
    judged at the radius it had before. Tested: table of bends.

    >>> round(fold_strain(2.0, 1.5), 2)                                # 3.5 / 2.5 - 1
    0.4
    """
    return (inside + thickness) / (inside + neutral * thickness) - 1


def skive_angle(thickness: Mm, edge: Mm, width: Mm) -> Degree:
    """Slope of a skive from thickness to edge over width: atan((thickness - edge) / width), degrees.

    >>> round(skive_angle(2.0, 1.0, 10.0), 1)
    5.7
    """
    if width <= 0:
        return 90.0 if thickness > edge else 0.0
    return degrees(atan((thickness - edge) / width))


def step_at_flap(flap: Mm, fillet_above: Mm, fillet_below: Mm, neutral: Share = MIDDLE) -> Mm:
    """How much shorter the piece is, stitch to stitch, just below the flap's end than just above.

        2 pi k flap + Delta(leather + flap) - Delta(leather)

    fillet_above, fillet_below: what the seam fillet adds for the double and the single layer. Source:
    derived.
    """
    return 2 * pi * neutral * flap + fillet_above - fillet_below


def ramp(collar: Collar) -> Mm:
    """Width of the slope of the skive: what reaches beyond the turn-in, or all of it if it ends before the
    fold."""
    return collar.skive - collar.depth if collar.skive > collar.depth else collar.skive


def thickness_at_fold(collar: Collar, leather: Mm) -> Mm:
    """Thickness that is folded: the flap's if the skive reaches the fold, otherwise the leather's."""
    return collar.flap if collar.skive >= collar.depth else leather


def plan(
    collar: Collar,
    leather: Leather,
    *,
    girth: Mm,
    fillet_above: Mm = 0.0,
    fillet_below: Mm = 0.0,
    mouth_read: MouthRead | None = "bare",
    folded_reading: Mm | None = None,
    spread: Mm = 0.0,
) -> CollarPlan:
    """The fold of this collar, with its findings.

    girth: of the form at the mouth, film included; fillet_above, fillet_below: what the seam fillet adds
    there with both layers and with one. mouth_read: on the bare form, or with the folded piece itself,
    which then read `folded_reading` stitch to stitch, ± spread; None if nobody said.
    """
    thickness, neutral = leather.thickness, leather.neutral_layer
    bare = girth + 2 * pi * neutral * thickness + fillet_below
    if not collar.folded:
        return CollarPlan(0.0, 0.0, 0.0, thickness, 0.0, 0.0, bare, bare, 0.0, 0.0, 2 * thickness, ())
    local = thickness_at_fold(collar, thickness)
    soft = default("collar.crack_radius_share") * local
    outer = girth_sliding(girth, thickness, collar.flap, neutral)
    result = CollarPlan(
        turn_in=collar.depth,
        allowance=fold_allowance(local, 0.0, neutral),
        allowance_soft=fold_allowance(local, soft, neutral),
        at_fold=local,
        strain=fold_strain(local, soft, neutral),
        skive_angle=skive_angle(thickness, collar.flap, ramp(collar)),
        caught=girth_caught(girth, thickness, collar.flap, neutral) + fillet_above,
        sliding=outer + fillet_below,
        flap_narrower=outer - flap_sliding(girth, collar.flap, neutral),
        step=step_at_flap(collar.flap, fillet_above, fillet_below, neutral),
        sewn=2 * (thickness + collar.flap),
        findings=(),
    )
    found = (
        *_fold(result, collar, leather),
        *_skive(result, collar, leather),
        *_depth(collar),
        *_which_limit(result, mouth_read, folded_reading, spread),
    )
    return replace(result, findings=found)


def _fold(result: CollarPlan, collar: Collar, leather: Leather) -> Iterator[Finding]:
    """Does it fold, and without a crack?"""
    if collar.flap > leather.thickness + _SAME:
        yield finding("COLLAR-009", _FLAP, flap=collar.flap, leather=leather.thickness)
        return
    if collar.skive < collar.depth and leather.thickness > collar.flap + _SAME:
        wanted = collar.depth + default("collar.skive_beyond")
        yield finding("COLLAR-003", _SKIVE, skive=collar.skive, depth=collar.depth, wanted=wanted)
    most = default("collar.fold_most")
    if result.at_fold > most + _SAME:
        yield finding("COLLAR-002", _FLAP, leather=leather.thickness, at_fold=result.at_fold, most=most)
    limit = default("leather.fold_crack") if leather.fold_crack is None else leather.fold_crack
    if result.strain > limit:
        share = (1 - leather.neutral_layer) / limit - leather.neutral_layer
        rod = _up(2 * share * result.at_fold)
        yield finding("COLLAR-001", ("leather", "neutral_layer"), strain=result.strain, limit=limit, rod=rod)


def _skive(result: CollarPlan, collar: Collar, leather: Leather) -> Iterator[Finding]:
    """Is the skive one that a hand can cut, and does it leave enough for the stitches?"""
    least = default("collar.flap_least")
    if collar.flap < least - _SAME:
        yield finding("COLLAR-006", _FLAP, flap=collar.flap, least=least)
    drop = leather.thickness - collar.flap
    steep, flat = default("collar.skive_most"), default("collar.skive_least")
    beyond = collar.depth if collar.skive >= collar.depth else 0.0
    shown = {"angle": result.skive_angle, "drop": max(drop, 0.0), "ramp": ramp(collar)}
    if drop > _SAME and result.skive_angle > steep:
        wanted = _up(beyond + drop / tan(radians(steep)))
        yield finding("COLLAR-004", _SKIVE, **shown, limit=steep, wanted=wanted)
    if drop > _SAME and result.skive_angle < flat:
        wanted = floor((beyond + drop / tan(radians(flat))) / _ROUND) * _ROUND
        yield finding("COLLAR-005", _SKIVE, **shown, limit=flat, wanted=wanted)


def _depth(collar: Collar) -> Iterator[Finding]:
    usual = values()["collar.depth"]
    if collar.depth < usual.low:
        yield finding("COLLAR-007", _DEPTH, depth=collar.depth, limit=usual.low)
    if collar.depth > usual.high:
        yield finding("COLLAR-008", _DEPTH, depth=collar.depth, limit=usual.high)


def _which_limit(
    result: CollarPlan, mouth_read: MouthRead | None, folded_reading: Mm | None, spread: Mm
) -> Iterator[Finding]:
    """Caught or sliding: what the way the mouth was read says about it."""
    more = result.sliding - result.caught
    shown = {"caught": result.caught, "sliding": result.sliding, "more": more, "step": result.step}
    if mouth_read == "bare":
        yield finding("COLLAR-010", _MOUTH, **shown)
    elif mouth_read is None:
        yield finding("COLLAR-013", _MOUTH, **shown)
    elif folded_reading is not None:
        over = folded_reading - result.caught
        if not -spread <= over <= more + spread:
            yield finding("COLLAR-011", _MOUTH, **shown, reading=folded_reading, spread=spread)
        elif over > max(more / 2, spread):
            yield finding("COLLAR-012", _MOUTH, **shown, reading=folded_reading, over=over)


def _up(length: Mm) -> Mm:
    return ceil(length / _ROUND - _SAME) * _ROUND
