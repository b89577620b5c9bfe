"""Does an old pattern fit this knife: a few strap readings against stored uppers, best first.

    stored job -> worked -> its form scaled to the readings -> the stored piece on that form -> yes, move rows, or no

For each stored upper: where it would be too wide or too narrow, which rows to move by how much, whether the holes stay,
and how the knife would sit in it as it is and with the rows moved.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from backseam.fit.hold import Fit
from backseam.ground.errors import BackseamError, Stopped
from backseam.ground.findings import Finding, finding, ordered
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default
from backseam.ground.units import Mm, Share
from backseam.job.document import Job
from backseam.job.made_state import off
from backseam.job.new_knife import NewKnife, Scaled, lift_of, ratio_span, scaled, shaped, share
from backseam.job.piece import SAMPLES, drawn, hold_of, on_axis, takes
from backseam.job.recipe import Worked, work

Array = NDArray[np.float64]

VERSION = 1


class Verdict(StrEnum):
    """What is said of one stored upper."""

    YES = "yes"
    MOVE = "move"
    NO = "no"

    @property
    def rank(self) -> int:
        """0 for the best."""
        return list(Verdict).index(self)


@dataclass(frozen=True)
class MatchRow:
    """One height of a stored upper, as the maker counts it, mm.

    wanted: what the knife takes stitch to stitch; off: what the piece has more (- too narrow); half: half width as
    drawn; by: move of each row, + outwards; doubt: half width of its band; read: a reading lies here.
    """

    name: str
    height: Mm
    wanted: Mm
    off: Mm
    half: Mm
    by: Mm
    doubt: Mm
    read: bool


@dataclass(frozen=True)
class Match:
    """One stored upper held against the knife.

    why: what stands against it (`match.why.<key>`); worst: largest misfit, mm, + too wide; doubt: of the girth at
    thickest and mouth, mm; ratio: smallest and largest of the knife's girths over the stored form's; holes: a side, as
    they are and as they would be (None where no pattern was drawn); as_it_is, moved: forecast with the piece as it is
    and with its rows moved (None where the answer is plain without); planned: of the stored sheath itself.
    """

    name: str
    title: str
    verdict: Verdict
    why: tuple[str, ...]
    rows: tuple[MatchRow, ...]
    worst: Mm
    doubt: Mm
    ratio: tuple[Share, Share]
    holes: tuple[int, int] | None
    planned: Fit | None
    as_it_is: Fit | None
    moved: Fit | None
    findings: tuple[Finding, ...]

    @property
    def moves(self) -> Mm:
        """By how much a row would move at most, mm of half width."""
        return max((abs(row.by) for row in self.rows), default=abs(self.worst) / 2)

    @property
    def order(self) -> tuple[int, int, float, float]:
        """What comes first when they are sorted."""
        return self.verdict.rank, len(self.why), abs(self.worst), self.doubt


@dataclass(frozen=True)
class NotRead:
    """A stored job that could not be worked, and why."""

    name: str
    why: str


@dataclass(frozen=True)
class Matches:
    """Every stored upper held against the knife, best first, and those that could not be."""

    knife: NewKnife
    matches: tuple[Match, ...]
    not_read: tuple[NotRead, ...]
    findings: tuple[Finding, ...]

    @property
    def fits(self) -> bool:
        """True if one of them serves, as it is or with rows moved."""
        return any(one.verdict is not Verdict.NO for one in self.matches)


def match(
    jobs: Iterable[tuple[str, Job]], knife: NewKnife, progress: Progress = SILENT, *, samples: int = SAMPLES
) -> Matches:
    """Stored jobs, by name, held against a knife. A job that cannot be worked is named and passed over.

    Raises Stopped only.
    """
    every = list(jobs)
    found: list[_Held] = []
    not_read: list[NotRead] = []
    for number, (name, job) in enumerate(every):
        step(progress, number, len(every) + 1, "holding the knife against stored uppers")
        try:
            found.append(_held(name, job, knife))
        except Stopped:
            raise
        except BackseamError as refused:
            not_read.append(NotRead(name, str(refused)))
    found.sort(key=lambda one: one.match.order)
    step(progress, len(every), len(every) + 1, "forecasting the hold")
    most = int(default("match.forecast_most"))
    told = [_forecast(one, samples) if i < most else one.match for i, one in enumerate(found)]
    told.sort(key=lambda one: one.order)
    return Matches(knife, tuple(told), tuple(not_read), ordered(knife.findings))


@dataclass(frozen=True)
class _Held:
    """A match before its hold is reckoned, with what that needs."""

    match: Match
    stored: Worked | None
    new: Worked | None


def _held(name: str, job: Job, knife: NewKnife) -> _Held:
    """One stored upper: its rows against those that the knife wants; no further than its form if that is far off."""
    shape = shaped(job)
    part = scaled(shape, knife)
    if part.job is None:
        return _Held(_plain(name, job, part, "beyond"), None, None)
    worst = max(part.more, key=abs)
    if abs(worst) / 2 > default("match.far") * default("match.move_most"):
        return _Held(_plain(name, job, part, "far", -worst), None, None)
    stored, new = work(job), work(part.job)
    rows = tuple(_rows(stored, new, part))
    worst = max((row.off for row in rows), key=abs)
    why = tuple(_against(stored, new, part, rows))
    narrow, wide = default("match.narrow"), default("match.wide")
    fits = all(-narrow <= row.off <= wide for row in rows)
    verdict = Verdict.NO if why else Verdict.YES if fits else Verdict.MOVE
    doubt = _grip_doubt(stored, part)
    told = Match(
        name=name,
        title=job.title,
        verdict=verdict,
        why=why,
        rows=rows,
        worst=worst,
        doubt=doubt,
        ratio=(float(part.ratio.min()), float(part.ratio.max())),
        holes=(stored.seam.count, new.seam.count),
        planned=None,
        as_it_is=None,
        moved=None,
        findings=ordered((*part.findings, *_doubts(stored, new, knife, part, doubt))),
    )
    return _Held(told, stored, new)


def _plain(name: str, job: Job, part: Scaled, why: str, worst: Mm = 0.0) -> Match:
    """What needs no pattern to be told."""
    ratio = part.ratio if len(part.ratio) else np.ones(1)
    return Match(
        name=name,
        title=job.title,
        verdict=Verdict.NO,
        why=(why,),
        rows=(),
        worst=worst,
        doubt=0.0,
        ratio=(float(ratio.min()), float(ratio.max())),
        holes=None,
        planned=None,
        as_it_is=None,
        moved=None,
        findings=ordered(part.findings),
    )


def _rows(stored: Worked, new: Worked, part: Scaled) -> Iterator[MatchRow]:
    """Every named height of the upper and every reading on it."""
    form, lift = stored.form, lift_of(stored.job)
    mouth, near = form.marks.mouth, default("match.same_height")
    every = [(on_axis(form, row.station), row.name) for row in stored.upper.stations]
    named = {min(max(u, 0.0), mouth): name for u, name in every if -near <= u <= mouth + near}
    read = [float(u) for u in part.at if -near <= u <= mouth + near]
    more = {min(max(one, 0.0), mouth) for one in read if min(abs(one - s) for s in named) > near}
    u = np.array(sorted({*named, *more}))
    counted = np.array([form.as_read(float(one)) for one in u])
    apart = off(drawn(stored), stored, new, 0.0, u)
    wanted, doubts = takes(new, u), part.doubt(u) / 2
    before, after = _half(stored, counted), _half(new, counted)
    for i, height in enumerate(u):
        yield MatchRow(
            named.get(float(height), ""),
            float(counted[i]) - lift,
            float(wanted[i]),
            float(apart[i]),
            float(before[i]),
            float(after[i] - before[i]),
            float(doubts[i]),
            any(abs(height - one) <= near for one in read),
        )


def _half(worked: Worked, y: Array) -> Array:
    """x of the stitch line at heights y (n,) of the flat piece, as the table of stations has it."""
    stitch = worked.upper.stitch_right[::-1]
    return np.interp(y, stitch[:, 1], stitch[:, 0])


def _grip_doubt(stored: Worked, part: Scaled) -> Mm:
    """How far off the girth at the thickest and at the mouth may be, mm."""
    marks = stored.form.marks
    return float(part.doubt(np.array([marks.thickest, marks.mouth])).max())


def _against(stored: Worked, new: Worked, part: Scaled, rows: tuple[MatchRow, ...]) -> Iterator[str]:
    """What makes the stored pattern the wrong one to begin from."""
    if max(abs(row.by) for row in rows) > default("match.move_most"):
        yield "far"
    if ratio_span(part) > default("match.span"):
        yield "taper"
    was, now = stored.form.marks, new.form.marks
    if (
        was.junction is not None
        and now.junction is not None
        and abs(now.junction - was.junction) > default("match.junction_most")
    ):
        yield "junction"
    lip, usual = now.mouth_above_thickest, default("fit.mouth_highest")
    if abs(now.thickest - was.thickest) > default("match.same_height") and not 0 <= lip <= usual:
        yield "mouth"
    if new.stopped and not stored.stopped:
        yield "stopped"


def _doubts(stored: Worked, new: Worked, knife: NewKnife, part: Scaled, doubt: Mm) -> Iterator[Finding]:
    marks, lift = stored.form.marks, lift_of(stored.job)
    if doubt > default("match.doubt_most"):
        height = stored.form.as_read(marks.thickest) - lift
        yield finding("MATCH-004", (), height=height, doubt=doubt)
    if knife.junction is None and marks.junction is not None:
        yield finding("MATCH-005", (), height=stored.form.as_read(marks.junction) - lift)
    top = _widest(stored, part)
    if knife.thickest is None and abs(top - marks.thickest) > default("match.thickest_off"):
        yield finding(
            "MATCH-006",
            (),
            height=stored.form.as_read(top) - lift,
            was=stored.form.as_read(marks.thickest) - lift,
        )
    if stored.stopped:
        yield finding("MATCH-007", ())


def _widest(stored: Worked, part: Scaled) -> Mm:
    """Height of the largest girth by the readings, from the junction up; the stored one where none is much larger."""
    marks = stored.form.marks
    top = max(marks.mouth, stored.form.rows[-1].station, float(part.at.max()))
    u = np.linspace(marks.junction or 0.0, top, 200)
    girth = stored.form.girth(np.minimum(u, max(marks.mouth, stored.form.rows[-1].station))) * share(part, u)
    here = float(np.interp(marks.thickest, u, girth))
    i = int(girth.argmax())
    return float(u[i]) if girth[i] - here > default("match.agree") / 2 else marks.thickest


def _forecast(held: _Held, samples: int) -> Match:
    """The hold: of the stored sheath, of the piece as it is on the knife, and with its rows moved."""
    told, stored, new = held.match, held.stored, held.new
    if stored is None or new is None or "far" in told.why:
        return told
    planned = hold_of(drawn(stored), stored, samples=samples)
    as_it_is = hold_of(drawn(stored), new, samples=samples)
    moved = hold_of(drawn(new), new, samples=samples)
    more = default("match.odds_more")
    worse = as_it_is.loses > moved.loses + more or as_it_is.slips > moved.slips + more
    verdict = Verdict.MOVE if told.verdict is Verdict.YES and worse else told.verdict
    return replace(told, verdict=verdict, planned=planned, as_it_is=as_it_is, moved=moved)
