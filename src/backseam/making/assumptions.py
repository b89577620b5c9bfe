"""What the job takes on trust: the weak values it used, with their range and how far each moves a number.

They stand once on the bench card, not as findings: a finding is something the maker can act on. A scrap of
the same hide, the trial ring and the first finished sheath replace them one by one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import pi

from backseam.form.fillet import circle_stitch_to_stitch
from backseam.ground.sources import Value, values
from backseam.ground.units import Mm, Share
from backseam.making.steps import Sheath
from backseam.pattern.construction import HangerKind


@dataclass(frozen=True)
class Assumption:
    """One weak value. value: what the job used; moves: how far the number named in its words moves over the
    range, mm, None where it moves no number on paper. own: True if the maker gave it.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    moves: Mm | None
    own: bool


# Groups of the table whose values shape what is cut, sewn and measured.
PAPER = {
    "leather",
    "collar",
    "seam",
    "holes",
    "thread",
    "hanger",
    "form",
    "flattening",
    "wet",
    "gate",
    "reading",
}


def assumptions(sheath: Sheath) -> tuple[Assumption, ...]:
    """The weak values this job used, in the order of the table."""
    return tuple(
        _assumption(record, sheath)
        for record in values().values()
        if record.weak and record.name.partition(".")[0] in PAPER and _USED.get(record.name, _always)(sheath)
    )


def _assumption(record: Value, sheath: Sheath) -> Assumption:
    known = sheath.inputs.hide.values.get(record.name)
    if known is not None:  # of this hide: its own band
        record = replace(known, name=record.name)
    used = _VALUE[record.name](sheath) if record.name in _VALUE else record.value
    moves = _MOVES[record.name](sheath, record) if record.name in _MOVES else None
    own = known is not None or abs(used - record.value) > 1e-9
    return Assumption(record.name, used, record.low, record.high, record.unit, moves, own)


def _always(sheath: Sheath) -> bool:
    return True


def _folded(sheath: Sheath) -> bool:
    return sheath.inputs.construction.collar.folded


def _hung(sheath: Sheath) -> bool:
    return sheath.hanger.kind is not HangerKind.NONE


def neutral_layer_moves(thickness: Mm, low: Share, high: Share) -> Mm:
    """How far the girth moves if the neutral layer lies anywhere from low to high.

    2 pi k t is the layer's excess over the form's girth (parallel curve), so the range moves it by 2 pi t
    (high - low). Exact for a convex section. Source: steiner-1840. Tested: by hand.

    >>> round(neutral_layer_moves(2.0, 0.4, 0.5), 2)       # 2 pi x 2 x 0.1
    1.26
    """
    return 2 * pi * thickness * (high - low)


def fillet_moves(girth: Mm, thickness: Mm, low: Share, high: Share) -> Mm:
    """How far stitch to stitch moves if the fillet's inside radius is anywhere from low to high times the
    thickness.

    Difference of the two lengths on a round form of that girth; an estimate on other sections. Source:
    derived (`form.fillet`). Tested: R 15, t 2, r 0 and 2 (99.663272 and 101.895437).

    >>> round(fillet_moves(2 * pi * 15, 2.0, 0.0, 1.0), 2)
    2.23
    """
    tightest, widest = (
        circle_stitch_to_stitch(girth / (2 * pi), thickness, share * thickness) for share in (low, high)
    )
    return widest - tightest


def _widest(sheath: Sheath) -> Mm:
    return max(row.stitch_to_stitch for row in sheath.upper.stations)


def _girth(sheath: Sheath) -> Mm:
    return max(row.girth_form for row in sheath.upper.stations)


_USED: dict[str, Callable[[Sheath], bool]] = {
    "leather.fold_crack": _folded,
    "hanger.creep": _hung,
}

_VALUE: dict[str, Callable[[Sheath], float]] = {
    "leather.allowance_across": lambda s: s.inputs.leather.allowance_across,
    "leather.allowance_along": lambda s: s.inputs.leather.allowance_along,
    "leather.neutral_layer": lambda s: s.inputs.leather.neutral_layer,
    "seam.inside_radius_share": lambda s: (
        s.inputs.construction.seam_inside_radius / s.inputs.leather.thickness
    ),
    "hanger.creep": lambda s: s.inputs.construction.hanger.creep,
}

_MOVES: dict[str, Callable[[Sheath, Value], Mm]] = {
    "leather.allowance_across": lambda s, v: _widest(s) * (v.high - v.low),
    "leather.allowance_along": lambda s, v: s.upper.height * (v.high - v.low),
    "leather.neutral_layer": lambda s, v: neutral_layer_moves(s.inputs.leather.thickness, v.low, v.high),
    "seam.inside_radius_share": lambda s, v: fillet_moves(
        _girth(s), s.inputs.leather.thickness, v.low, v.high
    ),
    "hanger.creep": lambda s, v: s.hanger.cut * (v.high - v.low),
    "wet.mouth_drop": lambda s, v: s.upper.height * (v.high - v.low),
    "gate.pull_in": lambda s, v: _girth(s) * (v.high - v.low),
}
