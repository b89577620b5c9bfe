"""`backseam work`: the main job, for one knife or for many at once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter, validators

from backseam.cli.options import JsonOption, Sheet, UnitsOption, help_of
from backseam.cli.progress import line
from backseam.cli.screen import (
    console,
    counted,
    foreseen_lines,
    note,
    print_json,
    show_findings,
    stations_table,
    summary,
)
from backseam.cli.working import Asked, Done, done_json, folders, mould_one, work_many, work_one
from backseam.ground.errors import Stopped
from backseam.ground.findings import stops
from backseam.ground.speech import PLAIN
from backseam.intake.rooms import minutes_of, room_of

INTERRUPTED = 130


def work(
    files: Annotated[list[Path], Parameter(help=help_of("jobs"), negative=())],
    /,
    *,
    out: Annotated[
        Path | None, Parameter(name=("--out", "-o"), help=help_of("out"), show_default=False)
    ] = None,
    sheet: Annotated[Sheet | None, Parameter(help=help_of("sheet"), show_default=False)] = None,
    units: UnitsOption = None,
    json: JsonOption = False,
    room: Annotated[
        str | None, Parameter(help=help_of("room"), show_default=False, allow_leading_hyphen=True)
    ] = None,
    start: Annotated[str | None, Parameter(help=help_of("start"), show_default=False)] = None,
    moulding: Annotated[bool | None, Parameter(help=help_of("moulding"), show_default=False)] = None,
    yes: Annotated[bool, Parameter(negative=(), help=help_of("yes_work"), show_default=False)] = False,
    jobs: Annotated[
        int | None,
        Parameter(help=help_of("workers"), validator=validators.Number(gte=1, lte=256), show_default=False),
    ] = None,
) -> int:
    """Work out one job or many, print what came of it, write the papers."""
    many = len(files) > 1
    asked = Asked(
        sheet,
        units,
        yes,
        None if room is None else room_of(room),
        None if start is None else minutes_of(start),
        not many if moulding is None else moulding,
    )
    if many:
        results = work_many(folders(files, out), asked, jobs)
        return _show_many(results, as_json=json)
    return _one(files[0], out, asked, as_json=json)


def _one(file: Path, out: Path | None, asked: Asked, *, as_json: bool) -> int:
    """One job: its papers, then the moulding, which Ctrl-C leaves off without harm to them."""
    with line() as progress:
        done = work_one(file, out, asked, progress)
    if not as_json:
        _show(done, out)
    stopped = False
    try:
        with line() as progress:
            done = mould_one(done, out, asked, progress)
    except (KeyboardInterrupt, Stopped):
        stopped = True
    if as_json:
        print_json(done_json(done))
    elif not stopped:
        _show_moulding(done, out)
    if stopped:
        note(PLAIN.say("cli.work.moulding_stopped", folder=out))
    return INTERRUPTED if stopped else done.code


def _show_moulding(done: Done, out: Path | None) -> None:
    """What the moulding found, and where its papers are."""
    told = done.foreseen
    if told is None or told.moulding is None:
        if done.worked is not None and done.refused:
            for said in done.refused:
                note(said)
        return
    console().print()
    show_findings(told.moulding.findings, done.speech)
    console().print(PLAIN.say("cli.work.wrote_moulding", folder=out))


def _show(done: Done, out: Path | None) -> None:
    """One job: its table, its summary, its findings, where the papers are."""
    screen, worked = console(), done.worked
    if done.refused:
        show_findings(done.findings, done.speech) if done.findings else None
        for said in done.refused:
            note(said)
        return
    if worked is not None:
        screen.print(stations_table(worked, done.speech))
        for said in summary(worked, done.speech):
            screen.print(said)
        for said in foreseen_lines(done.foreseen, done.speech):
            screen.print(said)
        screen.print()
    show_findings(done.findings, done.speech)
    if done.findings:
        screen.print(counted(done.findings))
    if stops(done.findings):
        screen.print(PLAIN.say("cli.findings.stopped"))
    for name in done.left:
        note(PLAIN.say("cli.work.left", name=name, folder=out))
    if out is None:
        screen.print(PLAIN.say("cli.work.no_papers"))
    elif stops(done.findings):
        screen.print(PLAIN.say("cli.work.wrote_preview", folder=out))
    else:
        screen.print(PLAIN.say("cli.work.wrote", count=len(done.papers), folder=out))


def _show_many(results: list[Done], *, as_json: bool) -> int:
    """Many jobs: a line each, then how many went how."""
    if as_json:
        print_json([done_json(done) for done in results])
        return max(done.code for done in results)
    screen = console()
    for done in results:
        if done.refused:
            for said in done.refused:
                note(said)
        elif done.code:
            count = sum(1 for one in done.findings if one.severity == "stop")
            screen.print(PLAIN.say("cli.work.row_stop", name=done.path, count=count))
            show_findings([one for one in done.findings if one.severity == "stop"], done.speech)
        else:
            screen.print(PLAIN.say("cli.work.row_fine", name=done.path))
    codes = [done.code for done in results]
    screen.print(
        PLAIN.say("cli.work.total", fine=codes.count(0), stopped=codes.count(1), refused=codes.count(2))
    )
    return max(codes)
