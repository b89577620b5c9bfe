"""One job from file to papers, and many of them over the cores: each alone, none stopping the others."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field, replace
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from backseam.cli.files import clean_name, write_papers
from backseam.cli.options import Sheet, Units, read_job, speech_for
from backseam.cli.screen import console
from backseam.ground.errors import BackseamError, SeveralRefused, Stopped
from backseam.ground.findings import Finding, stops
from backseam.ground.progress import SILENT, Progress
from backseam.ground.speech import PLAIN, Speech
from backseam.job.foreseen import Foreseen
from backseam.job.recipe import Worked
from backseam.leather.wet import Room

LOADED_ONCE = ["backseam.job.recipe", "backseam.job.papers", "backseam.cli.working"]


@dataclass(frozen=True)
class Asked:
    """How the papers are wanted; what is None is as the job says. replace: also files that are not ours.

    room, start: where and when it dries, minutes after midnight. moulding: lay both pieces on the form when all else
    is out.
    """

    sheet: Sheet | None = None
    units: Units | None = None
    replace: bool = False
    room: Room | None = None
    start: int | None = None
    moulding: bool = False


@dataclass(frozen=True)
class Done:
    """What came of one job. code: 0 fine, 1 something to mend, 2 not taken; worked, foreseen and made, the papers
    themselves, stay in their process."""

    path: Path
    code: int
    speech: Speech
    findings: tuple[Finding, ...] = ()
    papers: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    worked: Worked | None = field(default=None, repr=False)
    foreseen: Foreseen | None = field(default=None, repr=False)
    made: Mapping[str, bytes] = field(default_factory=dict, repr=False)


def work_one(path: Path, out: Path | None, asked: Asked, progress: Progress = SILENT) -> Done:
    """Read one job, work it out, write its papers; what is refused comes back as sentences."""
    from backseam.job.doubts import doubts
    from backseam.job.foreseen import all_findings, foreseen_of
    from backseam.job.recipe import work

    speech = speech_for(None, asked.units)
    findings: tuple[Finding, ...] = ()
    try:
        job = read_job(path)
        speech, findings = speech_for(job, asked.units), doubts(job)
        worked = work(job, progress)
        told = foreseen_of(worked, asked.room, asked.start, progress)
        papers = _papers(worked, told, asked, speech, progress) if out else {}
        left = write_papers(out, papers, replace=asked.replace) if out else ()
    except Stopped:
        raise
    except BackseamError as refused:
        return Done(path, 2, speech, findings, refused=_sentences(path, refused))
    code = 1 if stops(worked.findings) else 0
    found = all_findings(worked, told)
    return Done(path, code, speech, found, tuple(papers), left, (), worked, told, papers)


def mould_one(done: Done, out: Path | None, asked: Asked, progress: Progress = SILENT) -> Done:
    """The long part, once the papers are out: both pieces laid on the form, and the papers that tell of it written.

    Stopped on the way, what was written before stays as it is. Raises Stopped.
    """
    if not (asked.moulding and out and done.worked is not None and done.foreseen is not None):
        return done
    from backseam.job.foreseen import all_findings, mould
    from backseam.job.papers import moulded

    told = done.foreseen.moulded(mould(done.worked, progress))
    sheet = asked.sheet or done.worked.job.paper.sheet or "A4"
    more = moulded(done.worked, told, sheet=sheet, speech=done.speech, progress=progress)
    papers = {**done.made, **more}
    try:
        write_papers(out, papers, replace=asked.replace)
    except BackseamError as refused:
        return replace(done, code=2, refused=_sentences(done.path, refused))
    found = all_findings(done.worked, told)
    return replace(done, findings=found, papers=tuple(papers), foreseen=told, made=papers)


def work_many(wanted: list[tuple[Path, Path | None]], asked: Asked, workers: int | None) -> list[Done]:
    """Many jobs at once, in the order they were given, with a progress bar for whoever looks."""
    count = min(workers or os.cpu_count() or 1, len(wanted))
    done: dict[int, Done] = {}
    with _bar(len(wanted)) as tick:
        if count == 1:
            for number, (path, out) in enumerate(wanted):
                done[number] = _alone(path, out, asked)
                tick()
        else:
            for number, result in _spread(wanted, asked, count):
                done[number] = result
                tick()
    return [done[number] for number in sorted(done)]


def folders(files: list[Path], out: Path | None) -> list[tuple[Path, Path | None]]:
    """A folder for each job inside `out`, named after its file; a number tells two of one name apart."""
    if out is None:
        return [(path, None) for path in files]
    taken: set[str] = set()
    found: list[tuple[Path, Path | None]] = []
    for path in files:
        name = free = clean_name(path.stem)
        number = 2
        while free.casefold() in taken:
            free, number = f"{name}-{number}", number + 1
        taken.add(free.casefold())
        found.append((path, out / free))
    return found


def done_json(done: Done) -> dict[str, Any]:
    """One job for other programs: what was worked out, or why it was not."""
    from backseam.job.findings_json import findings_told

    head: dict[str, Any] = {"file": str(done.path), "exit_code": done.code, "papers": list(done.papers)}
    if done.refused:
        return {**head, "refused": list(done.refused), "findings": findings_told(done.findings, done.speech)}
    if done.worked is None:
        return {**head, "findings": findings_told(done.findings, done.speech)}
    from backseam.job.worked_json import worked_out

    told = worked_out(done.worked, done.speech, done.foreseen)
    return {**head, "worked": told.model_dump(mode="json")}


def _papers(
    worked: Worked, told: Foreseen | None, asked: Asked, speech: Speech, progress: Progress
) -> dict[str, bytes]:
    from backseam.job.papers import write_all
    from backseam.papers.calibrate import Printer

    job = worked.job
    bars = {"across": job.paper.bar_across_mm, "along": job.paper.bar_along_mm}
    measured = {name: bar for name, bar in bars.items() if bar is not None}
    printer = Printer(**measured) if measured else None
    sheet = asked.sheet or job.paper.sheet or "A4"
    return write_all(worked, sheet=sheet, speech=speech, printer=printer, foreseen=told, progress=progress)


def _spread(wanted: list[tuple[Path, Path | None]], asked: Asked, count: int) -> Any:
    """Over processes that load everything once; one that dies takes only its own job with it."""
    context = get_context("forkserver" if sys.platform != "win32" else "spawn")
    if sys.platform != "win32":
        context.set_forkserver_preload(LOADED_ONCE)
    with ProcessPoolExecutor(count, mp_context=context) as pool:
        waiting: dict[Future[Done], int] = {}
        for number, (path, out) in enumerate(wanted):
            waiting[pool.submit(_alone, path, out, asked)] = number
        try:
            for future in as_completed(waiting):
                number = waiting[future]
                yield number, _result(future, wanted[number][0], asked)
        except KeyboardInterrupt:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _result(future: Future[Done], path: Path, asked: Asked) -> Done:
    try:
        return future.result()
    except BrokenProcessPool:
        return _fault(path, asked, "cli.work.killed")


def _alone(path: Path, out: Path | None, asked: Asked) -> Done:
    """One job in its own process; even a fault of ours is only this job's."""
    try:
        done = mould_one(work_one(path, out, asked), out, asked)
        return replace(done, worked=None, foreseen=None, made={})
    except Exception as fault:
        if os.environ.get("BACKSEAM_TRACE"):
            raise
        return _fault(path, asked, "cli.problem.fault", kind=type(fault).__name__)


def _fault(path: Path, asked: Asked, key: str, **values: Any) -> Done:
    said = PLAIN.say(key, name=path, **values)
    return Done(
        path,
        2,
        speech_for(None, asked.units),
        refused=(said if key.endswith("killed") else f"{path}: {said}",),
    )


def _sentences(path: Path, refused: BackseamError) -> tuple[str, ...]:
    each = refused.each if isinstance(refused, SeveralRefused) else (refused,)
    return tuple(str(one) if str(path) in str(one) else f"{path}: {one}" for one in each)


def _bar(total: int) -> Any:
    """A progress bar on the error stream; nothing if nobody looks."""
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    class Bar:
        def __enter__(self) -> Any:
            self.shown = Progress(
                TextColumn("{task.description}"),
                BarColumn(),
                MofNCompleteColumn(),
                TimeRemainingColumn(),
                console=console(beside=True),
                transient=True,
                disable=not sys.stderr.isatty(),
            )
            self.shown.start()
            task = self.shown.add_task(PLAIN.say("cli.work.many"), total=total)
            return lambda: self.shown.advance(task)

        def __exit__(self, *_: object) -> None:
            self.shown.stop()

    return Bar()
