"""Everything foreseen of the finished sheath, beside the recipe: it stands on the papers and changes none that is cut
from.

    worked -> fit, clock, hang -> papers at once
           -> moulding (up to two seconds) -> its map, its solid, its page of the card
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from backseam.fit.hang import Hang
from backseam.fit.hold import Fit
from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, ordered
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.units import Minute
from backseam.job.forecast import hold, leather_of, timetable
from backseam.job.hanging import hanging
from backseam.job.recipe import Worked
from backseam.leather.material import Material
from backseam.leather.wet import Room
from backseam.making.clock import Clock

if TYPE_CHECKING:
    from backseam.fit.moulding import Compared

SAFETY = ("FIT-001", "FIT-002", "FIT-003", "FIT-004", "FIT-005", "FIT-008")  # stand before all other checks


@dataclass(frozen=True)
class Foreseen:
    """How one sheath will come out.

    leather: the records it rests on. start: minutes after midnight at which the soak begins, where that is known.
    moulding: both pieces laid on the form, where that has been done. findings: of all of them, safety first.
    """

    leather: Material
    fit: Fit
    clock: Clock
    hang: Hang
    start: Minute | None
    moulding: Compared | None
    findings: tuple[Finding, ...]

    def moulded(self, compared: Compared) -> Foreseen:
        """The same with the moulding."""
        found = tuple(item for item in compared.findings if item not in self.findings)
        return replace(self, moulding=compared, findings=gravest((*self.findings, *found)))


def foresee(
    worked: Worked, room: Room | None = None, start: Minute | None = None, progress: Progress = SILENT
) -> Foreseen:
    """Hold, clock and hang of a worked job.

    Raises InputRefused for a room in which nothing can be reckoned and for leather too thick for an upper, Stopped.
    """
    step(progress, 0, 3, "forecasting the hold")
    fit = hold(worked)
    step(progress, 1, 3, "forecasting the drying")
    clock = timetable(worked, room)
    step(progress, 2, 3, "hanging it up")
    hang = hanging(worked)
    found = gravest((*fit.findings, *clock.findings, *hang.findings))
    return Foreseen(leather_of(worked), fit, clock, hang, start, None, found)


def foreseen_of(
    worked: Worked, room: Room | None = None, start: Minute | None = None, progress: Progress = SILENT
) -> Foreseen | None:
    """What is foreseen, or nothing where nothing can be reckoned: with a stop, or leather too thick for an upper.

    Raises InputRefused for a room in which nothing can be reckoned, Stopped.
    """
    if worked.stopped:
        return None
    try:
        return foresee(worked, room, start, progress)
    except InputRefused:
        if room is not None:
            raise
        return None


def mould(worked: Worked, progress: Progress = SILENT) -> Compared:
    """Both pieces sewn up on the form: the long one, to be run when the papers are out. Raises Stopped."""
    from backseam.fit.moulding import compare  # loads what the way to paper does without

    return compare(
        worked.form, worked.layout, worked.upper, worked.inputs.leather, leather_of(worked), progress
    )


def all_findings(worked: Worked, foreseen: Foreseen | None) -> tuple[Finding, ...]:
    """Of the pattern and of what is foreseen, gravest first; among checks what can hurt someone first."""
    return gravest((*worked.findings, *(foreseen.findings if foreseen else ())))


def gravest(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Stops, then what can hurt someone, then the other checks, then notes; in their order otherwise."""
    return tuple(sorted(ordered(found), key=_grade))


def _grade(item: Finding) -> tuple[int, bool]:
    return item.severity.rank, item.code not in SAFETY
