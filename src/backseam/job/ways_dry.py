"""What can still be done with a finished sheath whose dry mouth is too wide or too tight."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, pi

from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.job.made_state import State
from backseam.job.ways import LEAST_IN, Act, Step, fills, lining, minutes
from backseam.making.gates import finished_gate


def finished(state: State) -> tuple[Step, ...]:
    """What can be done about a dry mouth that is too wide or too tight."""
    found, gate = state.made.finished_mouth, finished_gate(state.worked.upper, state.worked.inputs.hide)
    if found is None or gate.low <= found <= gate.high:
        return (Step(),)
    if found > gate.high:
        return tuple(_too_wide(state, found, found - gate.target))
    return tuple(_too_tight(state, found, gate.target - found))


def _too_wide(state: State, found: Mm, by: Mm) -> Iterator[Step]:
    gives = min(by, default("rescue.rewet") * found)
    yield Step(
        (Act("mould_again", {"gives": gives, "by": by}),),
        minutes("mould"),
        girth=found - gives,
    )
    if fills(state, by):
        thin = lining(state, by)
        yield Step(thin.acts, thin.minutes, girth=found - by)
    count = _holes_to_thickest(state)
    if by >= LEAST_IN:
        acts = (Act("unpick_top", {"count": count}), Act("resew_top", {"count": count, "by": by}))
        cost = (minutes("unpick") + minutes("sew") / default("rescue.sew_stitches")) * count
        cost += (
            minutes("pierce") / 2 * count / max(state.worked.seam.count, 1)
            + minutes("soak")
            + minutes("mould")
        )
        yield Step(acts, cost, girth=found - by, seen=True)
    yield Step((Act("strap"),), minutes("strap"), girth=found)


def _holes_to_thickest(state: State) -> int:
    """Stitches from the mouth to a good way below the thickest."""
    below = state.worked.form.marks.thickest - default("rescue.resew_below")
    return max(sum(hole.y >= below for hole in state.worked.seam.right), 4)


def _too_tight(state: State, found: Mm, by: Mm) -> Iterator[Step]:
    kept = default("rescue.stretch_kept")
    thick = by / kept / (2 * pi)
    turns = ceil(thick / default("diagnosis.film_turn"))
    act = Act("stretch", {"thick": thick, "turns": turns, "by": by})
    if by <= default("leather.stretch_comfortable") * found:
        yield Step((act,), minutes("mould"), girth=found + by)
    yield Step((Act("wax_path"),), minutes("little"), girth=found)
