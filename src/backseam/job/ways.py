"""What can still be done with a piece that is not as it should be: acts, one by one and together.

Each step says what to do, what it changes (rows wider by so much at each height, the piece higher on the form, another
mouth, another finished girth) and what it costs. `rescue` puts them together, lays the piece on the form again and
ranks them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from backseam.ground.sources import default, values
from backseam.ground.units import Minute, Mm
from backseam.job.as_made import Stage
from backseam.job.made_state import State, off
from backseam.job.piece import ROWS, Piece, takes

Array = NDArray[np.float64]

CLEAR_HOLES = 3  # from the collar and from the foot
SEEN: Mm = 0.1  # of a flap's thickness: what a knife can take off
ALL_ROUND = 0.95  # share of the girth from which a lining goes all round
LEAST_IN: Mm = 1.0  # further in than this, or the awl falls into the old hole
WHOLE = 0.6  # share of the height from which a row is pricked anew as a whole
NOTHING = np.zeros(ROWS)


@dataclass(frozen=True)
class Act:
    """One thing to do, `rescue.act.<key>`, with its numbers (lengths mm)."""

    key: str
    numbers: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Step:
    """Acts that go together, what they change and what they cost.

    rows: stitch to stitch more, at the heights of the piece (n,); lift: the piece higher on the form; mouth: where the
    mouth then stands if not where it was planned; collar: what the form takes more under the collar (lining +, thinner
    flap -); girth: finished girth of the mouth afterwards; height: of the piece, if it is folded anew. anew: side of a
    row that is pricked anew, `both` or empty; beside: seam from the middle; seen: old holes stay in sight; new: a new
    piece.
    """

    acts: tuple[Act, ...] = ()
    minutes: Minute = 0.0
    rows: Array = field(default_factory=lambda: NOTHING)
    lift: Mm = 0.0
    mouth: Mm | None = None
    collar: Mm = 0.0
    girth: Mm | None = None
    height: Mm | None = None
    anew: str = ""
    beside: Mm = 0.0
    seen: bool = False
    new: bool = False

    def joined(self, other: Step) -> Step:
        """Both together."""
        return Step(
            acts=self.acts + other.acts,
            minutes=self.minutes + other.minutes,
            rows=self.rows + other.rows,
            lift=self.lift + other.lift,
            mouth=self.mouth if other.mouth is None else other.mouth,
            collar=self.collar + other.collar,
            girth=self.girth if other.girth is None else other.girth,
            height=self.height if other.height is None else other.height,
            anew=self.anew or other.anew,
            beside=max(self.beside, other.beside),
            seen=self.seen or other.seen,
        )


def minutes(name: str) -> Minute:
    """What an act costs, `rescue.<name>`."""
    return default(f"rescue.{name}")


def sewing(state: State) -> Minute:
    """To sew the whole seam."""
    return minutes("sew") * max(*state.counts) / default("rescue.sew_stitches")


# --- the rows ------------------------------------------------------------------------------------------------------


def widths(state: State) -> tuple[Step, ...]:
    """What can be done about rows too far apart or too near; nothing is among them (`settled` says what then gives)."""
    if float(np.abs(state.off).max()) <= default("rescue.fits"):
        return (Step(),)
    found = [Step()]
    if state.stage.before(Stage.PIERCED):
        found += _redrawn(state)
    elif state.stage is not Stage.DRIED:
        found += _pricked_anew(state)
    if state.stage.before(Stage.SEWN):
        found += _moved(state)
        found += _flap(state)
    found += _lined(state)
    return tuple(found)


def after(state: State, one: Step) -> tuple[Array, Array]:
    """Heights on the form and misfit there once a step is done, a lining or a new flap left out, (n,) each."""
    piece = changed(state, one)
    u = np.clip(piece.at + one.lift, 0.0, state.planned_height)
    return u, off(piece, state.worked, state.actual, one.lift, u)


def changed(state: State, one: Step) -> Piece:
    """The piece once it is folded and pricked as a step says."""
    if one.height is None:
        return state.piece.changed(one.rows)
    whole = state.whole.as_high(one.height)
    return whole.changed(np.interp(whole.at, state.piece.at, one.rows))


def settled(state: State, one: Step) -> Step | None:
    """The step with what the leather itself must do in the end: give where it is narrow, be pressed in where wide.

    None if it would have to give more than leather does.
    """
    if one.collar or one.new:
        return one
    u, apart = after(state, one)
    at = int(np.abs(apart).argmax())
    worst = float(apart[at])
    if abs(worst) <= default("rescue.fits"):
        return one
    share = abs(worst) / float(takes(state.actual, u[[at]])[0])
    numbers = {"by": abs(worst), "share": share}
    if worst < 0 and share > default("leather.stretch_comfortable"):
        return None
    if worst > 0:
        act = Act("press_in" if state.stage.before(Stage.SEWN) else "leave_wide", numbers)
    elif state.stage.before(Stage.SEWN):
        act = Act("give" if share <= default("fit.tighter_most") else "give_hard", numbers)
    else:
        act = Act("leave_narrow", numbers)
    return one.joined(Step((act,)))


def _redrawn(state: State) -> Iterator[Step]:
    """Rows that are not pierced yet are drawn anew."""
    by = -state.off
    top, foot = float(by[-1]) / 2, float(by[0]) / 2
    key = "redraw_out" if top + foot > 0 else "redraw_in"
    yield Step((Act(key, {"top": abs(top), "foot": abs(foot)}),), minutes("little"), by)


def _pricked_anew(state: State) -> Iterator[Step]:
    """One row, or both, pricked beside the old holes; only where it is needed, if that is a part.

    A new row keeps clear of the old one. Where the piece is narrow that leaves what is less than clear to the leather;
    where it is wide the new row goes in by what is clear, and the piece becomes a little narrow.
    """
    clear, fits = default("rescue.row_clear"), default("rescue.fits")
    for sides, inward in ((1, False), (2, False), (1, True), (2, True)):
        need = (state.off if inward else -state.off) / sides
        zone = need > (fits / sides if inward else clear - fits / sides)
        if not zone.any():
            continue
        whole = bool(zone.mean() >= WHOLE)
        if whole:
            need = np.abs(_line(state)) / sides
            zone = np.ones_like(zone)
        each = np.where(zone, np.maximum(need, clear), 0.0)
        line = sides * each * (-1 if inward else 1)
        if _has_room(state, float(each.max()), inward) and _bearable(state, line):
            yield _row_step(state, line, line / sides, sides, whole=whole, inward=inward)


def _line(state: State) -> Array:
    """By how much the rows should be further apart, as a straight line from mouth to foot, at the piece's heights."""
    slope, level = np.polyfit(state.piece.at, -state.off, 1)
    return np.asarray(level + slope * state.piece.at)


def _bearable(state: State, line: Array) -> bool:
    """Nowhere wider than fits, nowhere narrower than leather gives, and better than before."""
    left = state.off + line
    narrow = float(-(left / takes(state.actual, state.piece.at)).min())
    wide = float(left[line != 0].max())
    better = np.abs(left).max() < np.abs(state.off).max() - default("rescue.fits")
    return bool(better and wide <= default("rescue.fits") and narrow <= default("fit.tighter_most"))


def _has_room(state: State, by: Mm, inward: bool) -> bool:
    """Outside the new row there must be leather for the trimmed flange."""
    return inward or state.flange - by >= state.worked.inputs.construction.flange.trimmed


def _row_step(state: State, line: Array, each: Array, sides: int, *, whole: bool, inward: bool) -> Step:
    left, right = state.counts
    side = "both" if sides == 2 else _odd_side(state)
    wanted = state.worked.seam.count
    count = wanted if sides == 2 else (right if side == "left" else left)
    share = 1.0 if whole else float((line != 0).mean())
    top, foot = _reach(state, each)
    numbers = {"side": side, "top": abs(top), "foot": abs(foot), "count": count, **_span(state, line)}
    key = ("rows" if sides == 2 else "row") + ("" if whole else "_part") + ("_in" if inward else "_out")
    acts = [Act(key, numbers)]
    cost = minutes("pierce") * sides / 2 * share + (0.0 if whole else minutes("little"))
    if state.stage is Stage.SEWN:
        acts.insert(0, Act("unpick", {"count": max(left, right)}))
        cost += minutes("unpick") * max(left, right) + sewing(state)
    seen, trim = _old_holes(state, float(np.abs(each[line != 0]).min()), inward)
    if trim is not None:
        acts.append(Act("trim", {"trim": trim}))
    beside = float(np.abs(line).max()) / 2 if sides == 1 else 0.0
    if beside > default("rescue.off_centre_most"):
        acts.append(Act("off_centre", {"by": beside}))
        seen = True
    return Step(tuple(acts), cost, line, anew=side, beside=beside, seen=seen)


def _reach(state: State, each: Array) -> tuple[Mm, Mm]:
    """By how much at the upper and the lower end of what is moved."""
    moved = np.flatnonzero(each)
    return float(each[moved[-1]]), float(each[moved[0]])


def _span(state: State, line: Array) -> dict[str, Mm]:
    moved = np.flatnonzero(line)
    runout = default("rescue.runout")
    return {
        "low": max(float(state.piece.at[moved[0]]), 0.0),
        "high": float(state.piece.at[moved[-1]]),
        "runout": runout,
    }


def _odd_side(state: State) -> str:
    """The row to prick anew: the one whose count is not the planned one, else the left."""
    left, right = state.counts
    wanted = state.worked.seam.count
    if left != right:
        return "left" if abs(left - wanted) >= abs(right - wanted) else "right"
    return "left"


def _old_holes(state: State, by: Mm, inward: bool) -> tuple[bool, Mm | None]:
    """Are old holes seen; and where to trim so that they go."""
    if not inward:
        return True, None
    made = state.worked.inputs.construction
    trim = by - made.stitching.awl / 2
    least = max(default("holes.edge_least"), state.actual.inputs.leather.thickness)
    if trim >= least and state.stage is not Stage.DRIED:
        return False, min(trim, made.flange.trimmed)
    return by < made.flange.trimmed, None


def _moved(state: State) -> Iterator[Step]:
    """The piece higher or lower on a form that tapers, if that takes up half of it or more."""
    most, step = default("rescue.lift_most"), default("rescue.lift_step")
    inner = state.piece.at <= state.worked.form.marks.thickest
    before = float(np.abs(state.off[inner]).max())
    best, least = 0.0, before
    for lift in np.arange(-most, most + step / 2, step):
        u = np.clip(state.piece.at + lift, 0.0, state.planned_height)
        apart = off(state.piece, state.worked, state.actual, float(lift), u)
        worst = float(np.abs(apart[inner & (state.piece.at + lift >= 0)]).max(initial=0.0))
        if worst < least - 1e-9:
            best, least = float(lift), worst
    mouth = state.piece.height + best
    lip = mouth - state.worked.form.marks.thickest
    usual = default("fit.mouth_highest")
    if best and least <= before / 2 and 0.0 <= lip <= usual:
        key = "sit_higher" if best > 0 else "sit_lower"
        numbers = {"by": abs(best), "lip": lip}
        yield Step((Act(key, numbers),), minutes("little"), lift=best, mouth=mouth)


def _flap(state: State) -> Iterator[Step]:
    """A flap skived thinner where only the collar is narrow."""
    collar = state.actual.inputs.construction.collar
    if not collar.folded:
        return
    under = state.piece.at >= state.piece.height - collar.depth
    above, below = float(state.off[under].mean()), float(state.off[~under].mean())
    thinner = (below - above) / pi
    flap = collar.flap - thinner
    if above < -default("rescue.fits") and thinner > SEEN and flap >= default("collar.flap_least") - 1e-9:
        yield Step((Act("flap", {"flap": flap}),), minutes("fold"), collar=-pi * thinner)


def _lined(state: State) -> Iterator[Step]:
    """A lining at the mouth where it is wide: it takes 2 pi times its thickness, or less if it goes round in part."""
    collar = state.actual.inputs.construction.collar
    at = state.piece.at >= state.piece.height - collar.depth
    wide = float(state.off[at].mean())
    if wide > default("rescue.fits") and fills(state, wide):
        yield lining(state, wide)


def fills(state: State, wide: Mm) -> bool:
    """Can a lining take that up: no thicker than the leather itself."""
    return wide <= 2 * pi * state.actual.inputs.leather.thickness


def lining(state: State, wide: Mm) -> Step:
    """A lining in the mouth that takes up `wide` of girth: all round, or round a part of it."""
    thin = default("diagnosis.lining")
    thickness = max(wide / (2 * pi), thin)
    round_ = wide / (2 * pi * thickness)
    girth = float(state.worked.form.girth(np.array([state.planned_height]))[0])
    depth = state.worked.inputs.construction.collar.depth
    numbers = {"thickness": thickness, "length": girth * round_, "depth": depth}
    key = "lining" if round_ > ALL_ROUND else "lining_part"
    return Step((Act(key, numbers),), minutes("lining"), collar=wide)


# --- the counts ----------------------------------------------------------------------------------------------------


def counted(state: State, width: Step) -> tuple[Step, ...]:
    """A step about the distance together with what can be done about rows that do not match."""
    left, right = state.counts
    apart, creep, ease = abs(left - right), state.creep, values()["gate.ease"]
    pierced = state.stage is Stage.PIERCED
    solved = width.anew == "both" or (width.anew and width.anew == _odd_side(state))
    if solved or (apart == 0 and creep <= ease.value) or not pierced:
        return (width,)
    found = []
    if 0 < apart <= default("rescue.skip_most") and creep <= ease.high:
        found.append(width.joined(_skip(state, apart)))
    if not width.acts:
        found.append(_odd_row(state))
    return tuple(found)


def _skip(state: State, apart: int) -> Step:
    """A hole left out on the side that has more: on the straight, or at the foot if that row is so much longer."""
    left, right = state.counts
    side = "left" if left > right else "right"
    long, short = state.rows if left > right else state.rows[::-1]
    pitch = short / max(min(left, right) - 1, 1)
    if long - short > pitch * apart / 2:
        return Step(
            (Act("leave_last", {"side": side, "count": apart, "by": long - short}),), minutes("little")
        )
    numbers = {"side": side, "hole": _straightest(state), "by": pitch / 2, "count": apart}
    return Step((Act("skip" if apart == 1 else "skip_more", numbers),), minutes("little"))


def _straightest(state: State) -> int:
    """Number of the hole where the row is straightest, clear of the collar and the foot."""
    seam = state.worked.seam
    at = np.array([(hole.x, hole.y) for hole in seam.right])
    bow = np.hypot(*(at[2:] - 2 * at[1:-1] + at[:-2]).T)
    first, last = seam.four_layers + CLEAR_HOLES, len(bow) - CLEAR_HOLES
    if last <= first:
        return seam.count // 2 + 1
    return int(bow[first:last].argmin()) + first + 2


def _odd_row(state: State) -> Step:
    """The row that is wrong, pricked anew beside its old holes, on the side that does the distance more good."""
    clear = default("rescue.row_clear")
    middle = float(np.median(state.off))
    inward = middle + clear / 2 > 0 or not _has_room(state, clear, inward=False)
    line = np.full(ROWS, -clear if inward else clear)
    return _row_step(state, line, line, 1, whole=True, inward=inward)


# --- the edge and the foot ------------------------------------------------------------------------------------------


def edges(state: State) -> tuple[Step, ...]:
    """What can be done about too little leather outside the rows."""
    if state.lack <= default("rescue.edge_off"):
        return (Step(),)
    found, left = [], state.flange
    if left >= max(default("holes.edge_least"), state.actual.inputs.leather.thickness):
        found.append(Step((Act("narrow_edge", {"left": left}),)))
    else:
        wide = state.worked.inputs.construction.flange.clamp
        found.append(Step((Act("edge_strip", {"wide": wide, "left": left}),), minutes("lining"), seen=True))
    if state.stage.before(Stage.PIERCED):
        act = Act("rows_in_edge", {"by": state.lack})
        found.append(Step((act,), minutes("little"), np.full(ROWS, -2 * state.lack)))
    return tuple(found)


def foot(state: State) -> Step:
    """What must be done where the rows end too near to the bottom edge, or too far from it."""
    if state.stage not in (Stage.PIERCED, Stage.SEWN):
        return Step()
    pitch = max(state.rows) / max(max(state.counts) - 1, 1)
    if state.end < default("holes.edge_least"):
        return Step((Act("end_sooner", {"end": max(state.end + pitch, 0.0)}),), minutes("little"))
    count = round(state.open / pitch)
    if count < 1:
        return Step()
    cost = minutes("little") + (
        sewing(state) * count / max(*state.counts) if state.stage is Stage.SEWN else 0
    )
    return Step((Act("add_foot", {"count": count, "pitch": pitch}),), cost)


# --- the height ----------------------------------------------------------------------------------------------------


def heights(state: State) -> tuple[Step, ...]:
    """What can be done about a piece that came out short or tall."""
    by = state.taller
    if abs(by) <= default("gate.fold_height") or state.stage is Stage.DRIED:
        return (Step(),)
    thickest = state.worked.form.marks.thickest
    mouth = state.piece.height
    key = ("low" if by < 0 else "high") + ("" if mouth >= thickest else "_below")
    found = [Step((Act(key, {"by": abs(by), "lip": abs(mouth - thickest)}),), mouth=mouth)]
    if state.stage.before(Stage.PIERCED):
        found += _refold(state, by)
    if state.stage.before(Stage.SEWN):
        if by > 0:
            found.append(Step((Act("trim_foot", {"by": by}),), minutes("little"), lift=-by))
        elif -by <= default("rescue.lift_most"):
            found.append(Step((Act("raise", {"by": -by}),), minutes("little"), lift=-by))
    return tuple(found)


def _refold(state: State, by: Mm) -> Iterator[Step]:
    record = values()["collar.depth"]
    collar = state.worked.inputs.construction.collar
    depth = collar.depth + by
    if collar.folded and record.low <= depth <= record.high:
        key, cost = ("fold", 0.0) if state.stage is Stage.CUT else ("refold", minutes("fold"))
        act = Act(key, {"depth": depth, "was": collar.depth})
        yield Step((act,), cost, height=state.planned_height)


# --- a new piece ---------------------------------------------------------------------------------------------------


def area(state: State) -> float:
    """Leather of a new upper, dm2: its rectangle with the rough margin."""
    return state.worked.blank.upper_width * state.worked.blank.upper_height / 1e4


def anew(state: State) -> Step:
    """A new upper: everything that was done to this one again."""
    done = [("cut", Stage.CUT), ("fold", Stage.FOLDED), ("pierce", Stage.PIERCED)]
    folded = state.worked.inputs.construction.collar.folded
    cost = sum(
        minutes(name) for name, stage in done if not state.stage.before(stage) and (name != "fold" or folded)
    )
    if not state.stage.before(Stage.SEWN):
        cost += minutes("soak") + sewing(state) + minutes("mould")
    return Step((Act("new", {"area": area(state)}),), cost, new=True)
