"""Already cut, folded, pierced or dried like this: what now?

    job + what was found -> state -> steps for height, rows, counts -> together, on the form again -> ranked ways

What is done is fixed; what is still free is tried: a row, the mouth's height, a lining, the collar, film. Each way says
what to do, what it costs and what fit it gives; a new piece stands among them, and is cheaper where it comes first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from backseam.fit.hold import Hold, word
from backseam.fit.tested import Measured
from backseam.ground.findings import Finding, Severity, finding, ordered
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default, values
from backseam.ground.units import Minute, Mm, Newton, Share
from backseam.job import ways
from backseam.job.account import measured_of
from backseam.job.as_made import AsMade, Stage, of_job
from backseam.job.document import Job
from backseam.job.made_state import Row, State, state_of
from backseam.job.piece import Piece, drawn, hold_of, takes, with_mouth
from backseam.job.recipe import Worked, work
from backseam.job.ways import Act, Step
from backseam.job.ways_dry import finished
from backseam.making.gates import finished_gate

VERSION = 1
TRIED = 8  # ways whose hold is reckoned
SHOWN = 5
SAME: Mm = 0.1  # misfits that are one


@dataclass(frozen=True)
class Grip:
    """What hold it gives. middle: draw of the middle sheath, N, never shown bare; against: that over the draw of the
    sheath as planned; loses, slips: share of sheaths that would lose the knife, or draw too hard. reckoned: False
    where a finished girth is beyond all that the forecast knows.
    """

    middle: Newton
    against: Share
    loses: Share
    slips: Share
    reckoned: bool = True

    @property
    def draw(self) -> Hold:
        """The word for the middle sheath."""
        return word(self.middle)


@dataclass(frozen=True)
class Way:
    """One thing that can be done. rows: afterwards; worst: the largest misfit, mm, + too wide; girth: inside the dry
    mouth afterwards, where that is what is known; minutes: of work; area:
    of new leather, dm2; seen: old holes stay in sight; new: a new piece; score: minutes it is worth, less is better.
    """

    acts: tuple[Act, ...]
    rows: tuple[Row, ...]
    worst: Mm
    mouth: Mm
    girth: Mm | None
    grip: Grip
    minutes: Minute
    area: float
    seen: bool
    new: bool
    score: Minute


@dataclass(frozen=True)
class Rescue:
    """What was found against what was wanted, and what can be done, best first.

    planned, now: hold of the sheath as planned and as it is; good: nothing need be done.
    """

    stage: Stage
    rows: tuple[Row, ...]
    planned: Grip
    now: Grip
    ways: tuple[Way, ...]
    good: bool
    findings: tuple[Finding, ...]

    @property
    def new_is_cheaper(self) -> bool:
        """True if a new piece comes first."""
        return bool(self.ways) and self.ways[0].new


def rescue(job: Job, made: AsMade, progress: Progress = SILENT) -> Rescue:
    """What can still be done with a piece of this job. Raises InputRefused for what cannot be."""
    step(progress, 0, 3, "working the job")
    worked = work(job)
    if made.nothing:
        made = replace(of_job(job), stage=made.stage)
    state, found = state_of(worked, made)
    step(progress, 1, 3, "looking for what is still free")
    doubts = (*found, *_doubts(state))
    planned = _grip(drawn(worked), worked)
    here = _form(state, state.piece.height)
    now = _grip(state.piece, here, girth=made.finished_mouth, planned=planned, made=measured_of(job))
    good = not any(one.code in OUT_OF_GATE for one in doubts)
    ranked: tuple[Way, ...] = ()
    if not good:
        step(progress, 2, 3, "laying the piece on the form again")
        ranked = _ranked(state, planned)
    if ranked and ranked[0].new:
        doubts = (
            *doubts,
            finding("RESCUE-009", (), minutes=f"{ranked[0].minutes:.0f}", area=f"{ranked[0].area:.1f}"),
        )
    if good and not any(one.severity is Severity.CHECK for one in doubts):
        doubts = (*doubts, finding("RESCUE-001", ()))
    return Rescue(state.stage, state.table(), planned, now, ranked, good, ordered(doubts))


# --- all ways, laid on the form again ------------------------------------------------------------------------------


def _ranked(state: State, planned: Grip) -> tuple[Way, ...]:
    """Every way that makes sense, best first; those that cost too much are left before their hold is reckoned."""
    tried = [_priced(state, one) for one in _together(state)]
    tried.sort(key=lambda pair: pair[0])
    different = {str(one.acts): one for _, one in reversed(tried)}
    few = [one for _, one in tried if different[str(one.acts)] is one][:TRIED]
    ranked = sorted(
        (_way(state, one, planned) for one in [*few, ways.anew(state)]), key=lambda way: way.score
    )
    return tuple(_shown(ranked))


def _shown(ranked: list[Way]) -> Iterator[Way]:
    """The best few; the new piece is always among them."""
    for number, one in enumerate(ranked):
        if number < SHOWN or one.new:
            yield one


def _together(state: State) -> Iterator[Step]:
    """One step for each thing that is off, together; the piece is lifted once only."""
    if state.stage is Stage.DRIED:
        yield from finished(state)
        return
    foot = ways.foot(state)
    for height, width, edge in product(ways.heights(state), ways.widths(state), ways.edges(state)):
        if (width.lift and height.acts) or (edge.rows.any() and width.acts):
            continue
        for counted in ways.counted(state, width):
            below = Step() if counted.anew == "both" else foot
            whole = ways.settled(state, height.joined(counted).joined(edge).joined(below))
            if whole is not None:
                yield whole


def _priced(state: State, one: Step) -> tuple[Minute, Step]:
    """Its price without the hold, on the planned form: good enough to leave the dear ones."""
    apart = ways.after(state, one)[1]
    return one.minutes + _misfit(float(np.abs(apart).max())) + _looks(one), one


def _looks(one: Step) -> Minute:
    """What old holes in sight, and a seam beside the middle, are worth."""
    beside = max(one.beside - default("rescue.off_centre_most"), 0.0)
    return (default("rescue.seen") if one.seen else 0.0) + default("rescue.off_centre") * beside


def _misfit(worst: Mm) -> Minute:
    return default("rescue.off") * max(worst - default("rescue.fits"), 0.0)


def _piece(state: State, one: Step) -> Piece:
    """The piece after a step: rows moved; a lining or a thinner flap counted as a narrower or wider collar."""
    if one.new:
        return drawn(state.actual)
    made = ways.changed(state, one)
    if not one.collar:
        return made
    depth = state.actual.inputs.construction.collar.depth
    return made.changed(np.where(made.at >= made.height - depth, -one.collar, 0.0))


def _form(state: State, mouth: Mm) -> Worked:
    """The form with the mouth where it comes to be."""
    if abs(mouth - state.planned_height) <= default("gate.fold_height"):
        return state.actual
    return with_mouth(state.actual, mouth)


def _way(state: State, one: Step, planned: Grip) -> Way:
    """One way, laid on the form with its own mouth, and what it is worth."""
    mouth = state.planned_height if one.mouth is None else one.mouth
    form, piece = _form(state, mouth), _piece(state, one)
    rows = state.table(form, piece, one.lift)
    left = np.array([row.off for row in rows]) if one.collar or one.new else ways.after(state, one)[1]
    worst = float(left[np.abs(left).argmax()])
    grip = _grip(piece, form, one.lift, one.girth, planned)
    area, lip = ways.area(state) if one.new else 0.0, state.worked.form.marks.mouth_above_thickest
    harm = max(grip.loses - planned.loses, 0.0) + max(grip.slips - planned.slips, 0.0)
    score = (
        one.minutes
        + (0.0 if one.girth is not None else _misfit(abs(worst)))
        + _looks(one)
        + (
            default("rescue.no_click")
            if mouth < state.worked.form.marks.thickest - SAME and lip >= 0
            else 0.0
        )
        + default("rescue.odds") * harm
        + default("rescue.leather") * area
    )
    return Way(one.acts, rows, worst, mouth, one.girth, grip, one.minutes, area, one.seen, one.new, score)


def _grip(
    piece: Piece,
    form: Worked,
    lift: Mm = 0.0,
    girth: Mm | None = None,
    planned: Grip | None = None,
    made: Measured | None = None,
) -> Grip:
    """The hold of a piece, or of a mouth whose dry girth is known; made: what else the job says of it (its pull)."""
    if girth is not None and not _known(form, girth):
        wide = girth > handle_girth(form)
        return Grip(0.0, 0.0, 1.0 if wide else 0.0, 0.0 if wide else 1.0, reckoned=False)
    tested = None if girth is None else replace(made or Measured(), finished_girth=girth)
    fit = hold_of(piece, form, lift, tested=tested)
    middle = max(fit.draw.middle, 0.0)
    base = middle if planned is None else planned.middle
    return Grip(middle, middle / base if base > 0 else 1.0, fit.loses, fit.slips)


def handle_girth(worked: Worked) -> Mm:
    """Girth of the bare handle at the mouth: what a finished girth is held against."""
    girth = float(worked.form.girth(np.array([worked.form.marks.mouth]))[0])
    return girth - 2 * np.pi * worked.inputs.construction.film


def _known(worked: Worked, girth: Mm) -> bool:
    """Can a sheath for this handle have that girth?"""
    record, handle = values()["fit.rest"], handle_girth(worked)
    return handle * (1 - record.high) <= girth <= handle * (1 - record.low)


# --- what was found, as findings -----------------------------------------------------------------------------------

OUT_OF_GATE = {f"RESCUE-{number:03d}" for number in (2, 3, 4, 5, 6, 7, 8, 12, 14, 16, 17, 19)}


def _doubts(state: State) -> Iterator[Finding]:
    yield from _height(state)
    yield from _rows(state)
    yield from _distance(state)
    yield from _leather(state)
    yield from _mouth(state)


def _height(state: State) -> Iterator[Finding]:
    if abs(state.taller) > default("gate.fold_height"):
        lip = state.piece.height - state.worked.form.marks.thickest
        code = "RESCUE-016" if lip < 0 else "RESCUE-007" if state.taller > 0 else "RESCUE-006"
        made, upper = state.made, state.worked.upper
        where = "cut_height_mm" if made.height is None else "height_mm"
        wanted = upper.height + (upper.turn_in if made.height is None else 0.0)
        has = made.cut_height if made.height is None else made.height
        yield finding(code, (where,), by=abs(state.taller), wanted=wanted, has=has, lip=abs(lip))


def _rows(state: State) -> Iterator[Finding]:
    """Do the two rows go together?"""
    left, right = state.counts
    if left != right:
        yield finding("RESCUE-002", ("holes_left",), left=left, right=right, apart=abs(left - right))
    elif state.creep > default("gate.ease"):
        apart = abs(state.rows[0] - state.rows[1])
        yield finding(
            "RESCUE-003", ("row_left_mm",), apart=apart, share=state.creep, ease=default("gate.ease")
        )
    seam, least = state.worked.seam, default("holes.edge_least")
    if state.end < 0:
        yield finding("RESCUE-015", ("row_left_mm",), row=max(state.rows), seam=seam.length)
    elif state.end < least:
        yield finding("RESCUE-012", ("row_left_mm",), end=state.end, least=least)
    elif ways.foot(state).acts:
        yield finding("RESCUE-019", ("row_left_mm",), end=state.end, more=state.open)
    if state.lack > default("rescue.edge_off"):
        trimmed = state.worked.inputs.construction.flange.trimmed
        yield finding("RESCUE-017", ("flange_mm",), left=state.flange, trimmed=trimmed)


def _distance(state: State) -> Iterator[Finding]:
    """Are the rows too far apart, or too near?"""
    at = int(np.abs(state.off).argmax())
    thickest = int(np.abs(state.piece.at - state.worked.form.marks.thickest).argmin())
    if abs(state.off[thickest]) > abs(state.off[at]) - SAME:
        at = thickest
    worst = float(state.off[at])
    if abs(worst) > default("rescue.fits") and state.stage is not Stage.DRIED:
        code = "RESCUE-004" if worst < 0 else "RESCUE-005"
        height = state.worked.form.as_read(float(state.piece.at[at]))
        yield finding(code, ("row_gap_mm",), by=abs(worst), at=height)


def _leather(state: State) -> Iterator[Finding]:
    """Leather that turned out thicker or thinner than it was reckoned."""
    was, now = state.worked.inputs.leather.thickness, state.actual.inputs.leather.thickness
    if abs(now - was) > default("gate.skive") / 2:
        at = np.array([state.worked.form.marks.thickest])
        by = float((takes(state.actual, at) - takes(state.worked, at))[0])
        yield finding("RESCUE-010", ("thickness_mm",), was=was, now=now, by=by)


def _mouth(state: State) -> Iterator[Finding]:
    """Finished mouth out of its gate: too wide is the dangerous way."""
    found, gate = state.made.finished_mouth, finished_gate(state.worked.upper, state.worked.inputs.hide)
    if found is None:
        return
    if not _known(state.worked, found):
        yield finding("RESCUE-013", ("finished_mouth_mm",), found=found, handle=gate.high)
    if found > gate.high:
        yield finding(
            "RESCUE-014", ("finished_mouth_mm",), found=found, handle=gate.high, by=found - gate.target
        )
    elif found < gate.low:
        yield finding("RESCUE-008", ("finished_mouth_mm",), found=found, low=gate.low, by=gate.target - found)
