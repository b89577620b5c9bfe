"""Which reading and which value matters: shares of the variance, and what a step of each does to the draw."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from backseam.fit.crowd import OUT, Crowd, crowd_of, force
from backseam.fit.draws import STEP, Unknown, share_of_variance, usual
from backseam.fit.grip import Grip
from backseam.fit.hold import Matter, Part
from backseam.fit.response import Array, Response
from backseam.fit.tested import Measured
from backseam.ground.units import Share
from backseam.leather.material import Material

LATER_ONLY = "relax."  # unknowns that bear on later times alone


def parts(crowd: Crowd, known: Measured, result: Array) -> tuple[Part, ...]:
    """Each unknown's share of the variance of the draw, largest first. Those that bear on later times only are not
    among them; what a measurement has replaced goes by the measurement's name."""
    named = _renamed(known)
    taken = (
        np.unique(crowd.sheaths.shares[0], return_counts=True)[1] if known.pull is not None else np.ones(1)
    )
    effective = len(result) * float(taken.sum()) / float((taken**2).sum())
    found = [
        Part(
            named.get(one.name, one.name),
            share_of_variance(row, result, effective=effective),
            one.weak and one.name not in named,
        )
        for one, row in zip(crowd.sheaths.unknowns, crowd.sheaths.shares, strict=True)
        if not one.name.startswith(LATER_ONLY)
    ]
    return tuple(sorted(found, key=lambda part: -part.share))


def _renamed(known: Measured) -> dict[str, str]:
    """Unknowns whose place a measurement took."""
    return {
        **({"set.pull_in": "tested:girth"} if known.finished_girth is not None else {}),
        **({"stiffness.hoop": "tested:pull"} if known.pull is not None else {}),
    }


IN_THE_GIRTH = (
    "set.kept",
    "fit.slack_kept",
    "reading.film",
    "work:piece",
)  # of the finished sheath, once measured
IN_THE_PULL = (
    "stiffness.hoop",
    "friction.flesh_finished",
    "work:thickness",
    "work:radius",
    "work:flap",
)


def matters(
    held: Grip, material: Material, crowd: Crowd, known: Measured, answer: Response
) -> tuple[Matter, ...]:
    """Each reading and value moved by a step both ways, everything else as usual: what the draw does. Largest first.

    Shrinkage and springback are moved as what they make, the finished girth, by half a millimetre. What is in a
    finished girth or in a pull that has been measured is not moved any more.
    """
    given = crowd.sheaths.unknowns
    ways = crowd_of(held, material, usual(given), known)
    if known.finished_girth is not None or known.pull is not None:
        ways = _as_measured(ways, crowd)
    names = [one.name for one in given]
    ways, first = _with_girth_moved(ways, held, names.index("set.pull_in"))
    peak = np.maximum(force(answer.loads(ways.sizes), ways, OUT).max(axis=0), 0.0)
    if peak[0] <= 0:
        return ()
    gone = (
        *(IN_THE_GIRTH if known.finished_girth is not None else ()),
        *(IN_THE_PULL if known.pull is not None else ()),
    )
    found = [
        _matter(one, float(peak[1 + 2 * i] / peak[0]), float(peak[2 + 2 * i] / peak[0]))
        for i, one in enumerate(given)
        if not one.name.startswith(LATER_ONLY) and one.name not in gone and one.name != "set.pull_in"
    ]
    less, more = (float(peak[k] / peak[0]) for k in (first, first + 1))
    found.append(Matter("girth:finished", STEP, False, less, more, (more - less) / (2 * STEP), True))
    return tuple(sorted(found, key=lambda matter: -matter.size))


def _with_girth_moved(ways: Crowd, held: Grip, i: int) -> tuple[Crowd, int]:
    """The two ways of unknown i turned into a finished girth a step less and a step more, and where they stand."""
    first = 1 + 2 * i
    girth = held.curve(held.knots)
    tight = ways.sizes.tight.copy()
    tight[first] = tight[0] + STEP / girth
    tight[first + 1] = tight[0] - STEP / girth
    return replace(ways, sizes=replace(ways.sizes, tight=tight)), first


def _matter(one: Unknown, less: Share, more: Share) -> Matter:
    if one.kind == "reading" or one.name == "work:piece":
        less, more = more, less  # read or sewn too large: the handle is smaller than the piece was made for
    tenth = not one.step
    step = 0.1 * abs(one.value.value) if tenth else one.step
    per = (more - less) / 2 if tenth else (more - less) / (2 * step)
    return Matter(one.name, step, tenth, less, more, per, one.weak)


def _as_measured(ways: Crowd, crowd: Crowd) -> Crowd:
    """The usual sheath moved to where the measured ones lie: their median tightness and stiffness."""
    shift = np.median(crowd.sizes.tight, axis=0) - ways.sizes.tight[0]
    stiff = np.median(crowd.stiff) / ways.stiff[0]
    return replace(ways, sizes=replace(ways.sizes, tight=ways.sizes.tight + shift), stiff=ways.stiff * stiff)


def table_error(crowd: Crowd, answer: Response) -> Share:
    """Draw of a few sheaths by the table against the same solved one by one: root mean square over their median."""
    n, m = crowd.sheaths.count, answer.referee.upper.shape[1]
    index = np.linspace(0, n - 1, m).astype(np.intp)
    few = crowd.chosen(index, crowd.sheaths.drawn["stiffness.hoop"][index])
    by_table = force(answer.loads(few.sizes), few, OUT).max(axis=0)
    by_hand = force(answer.referee, few, OUT).max(axis=0)
    middle = float(np.median(np.abs(by_hand)))
    return float(np.sqrt(((by_table - by_hand) ** 2).mean()) / middle) if middle > 0 else 0.0
