"""`backseam new`: a job from questions or from a table, with any field set by its path."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from backseam.cli.asking import Asking, LeftError, Terminal, draft_of
from backseam.cli.files import read_bytes, write_new
from backseam.cli.interview import Interview
from backseam.cli.options import Units, help_of
from backseam.cli.screen import console, note, show_findings
from backseam.ground.errors import InDoubt, InputRefused, OutputRefused, SeveralRefused
from backseam.ground.findings import Finding, ordered
from backseam.ground.numbers import read_length
from backseam.ground.speech import PLAIN, Speech
from backseam.intake.readings_csv import Key, Readings, read_readings
from backseam.job.document import KIND, VERSION, Job
from backseam.job.doubts import doubt_at, doubts
from backseam.job.paths import put_all, steps_of
from backseam.job.refused import at
from backseam.job.text import dumps, job_of, plain_of, raw_job

MOST_DOUBTS = 200  # questions asked about one table


def new(
    job: Annotated[Path, Parameter(help=help_of("to_write"))],
    /,
    *,
    source: Annotated[Path | None, Parameter(name="--from", help=help_of("from"), show_default=False)] = None,
    set_: Annotated[
        list[str] | None, Parameter(name="--set", negative=(), help=help_of("set"), show_default=False)
    ] = None,
    unit: Annotated[
        Units | None, Parameter(name=("--unit", "--units"), help=help_of("unit"), show_default=False)
    ] = None,
    yes: Annotated[bool, Parameter(negative=(), help=help_of("yes_new"), show_default=False)] = False,
    replace: Annotated[bool, Parameter(negative=(), help=help_of("replace"), show_default=False)] = False,
) -> int:
    """Gather the job, then write it whole or not at all."""
    if job.exists() and not replace:
        raise OutputRefused(PLAIN.say("cli.files.exists", path=job))
    settings = [_setting(text) for text in set_ or []]
    asks = sys.stdin.isatty() and not yes
    if source is None and not (yes and settings):
        return _asked(job, settings, unit, replace=replace)
    made, found = _begun(), list[Finding]()
    if source is not None:
        table = _table(source, job, unit, yes=yes, asks=asks)
        made = job_of({**raw_job(made), "form": {"girths": [plain_of(row) for row in table.rows]}})
        found = list(table.findings)
        note(PLAIN.say("cli.new.brought", count=len(table.rows)))
    made = _set(made, settings, job, yes=yes, asks=asks)
    _write(job, made, found, replace=replace)
    return 0


def _asked(path: Path, settings: list[tuple[str, str]], unit: Units | None, *, replace: bool) -> int:
    """Ask for everything on the terminal; leave with a draft if the person does."""
    with suppress(ImportError):
        import readline  # noqa: F401  arrow keys while typing

    asking = Asking(path, Terminal(), Interview(), {"units": unit} if unit else {})
    try:
        asking.begin()
        made = asking.run()
    except LeftError:
        return _left(asking)
    made = _set(made, settings, path, yes=False, asks=sys.stdin.isatty())
    _write(path, made, [], replace=replace)
    asking.draft.unlink(missing_ok=True)
    return 0


def _left(asking: Asking) -> int:
    print()
    count = len(asking.interview.answers)
    if not count:
        note(PLAIN.say("cli.new.left_empty"))
    elif sys.stdin.isatty():
        note(PLAIN.say("cli.new.left", count=count, draft=asking.draft, path=asking.path))
    else:
        question = asking.interview.next()
        said = {"count": count, "draft": asking.draft, "question": question.ask if question else ""}
        note(PLAIN.say("cli.new.unanswered", **said))
    return 0 if sys.stdin.isatty() else 2


def _begun() -> Job:
    return job_of({"kind": KIND, "version": VERSION})


def _write(path: Path, made: Job, found: list[Finding], *, replace: bool) -> None:
    write_new(path, dumps(made).encode(), replace=replace)
    draft_of(path).unlink(missing_ok=True)
    speech = Speech(made.paper.units or "mm")
    said = {one.code for one in found}
    of_job = (one for one in doubts(made) if not (one.code == "JOB-005" and "TABLE-001" in said))
    everything = ordered((*found, *of_job))
    if everything:
        show_findings(everything, speech, to=console(beside=True))
    screen = console()
    screen.print(PLAIN.say("cli.new.wrote", path=path))
    screen.print(PLAIN.say("cli.new.next", path=path))


def _setting(text: str) -> tuple[str, str]:
    path, equals, value = text.partition("=")
    if not equals or not path.strip():
        raise InputRefused(PLAIN.say("refusals.path.no_equals", text=text[:60]))
    return path.strip(), value


def _set(made: Job, settings: list[tuple[str, str]], path: Path, *, yes: bool, asks: bool) -> Job:
    """Set fields by their paths; a doubt is asked about, taken with --yes if it is likely, else refused."""
    values = list(settings)
    for _ in range(MOST_DOUBTS):
        try:
            changed = put_all(made, values)
            for doubt in _odd(changed, values):
                raise doubt
            return changed
        except InDoubt as doubt:
            number = _number_of(doubt, values)
            values[number] = (values[number][0], _decided(doubt, values[number][1], path, yes=yes, asks=asks))
    return put_all(made, values)


def _odd(made: Job, values: list[tuple[str, str]]) -> Iterator[InDoubt]:
    """Values set without a unit that are not what such a field usually is."""
    for name, text in values:
        odd = doubt_at(made, steps_of(name))
        if odd is None or odd.better is None or text.strip()[:1] in "[{" or _has_unit(text):
            continue
        where = steps_of(name)
        keep = f"{text.strip()} mm"
        raise InDoubt(at(where, odd.question(text.strip())), (odd.proposal, keep), where, likely=True)
    yield from ()


def _has_unit(text: str) -> bool:
    try:
        return read_length(text, thickness=True, signed=True).given
    except InputRefused:
        return True


def _number_of(doubt: InDoubt, values: list[tuple[str, str]]) -> int:
    for number, (name, _) in enumerate(values):
        steps = steps_of(name)
        if doubt.where[: len(steps)] == steps or steps[: len(doubt.where)] == doubt.where:
            return number
    raise doubt


def _decided(doubt: InDoubt, typed: str, path: Path, *, yes: bool, asks: bool) -> str:
    """What a doubtful text means: asked, taken with --yes if likely, or refused with what to do."""
    if yes and doubt.likely:
        where = ".".join(str(step) for step in doubt.where)
        note(PLAIN.say("cli.new.taken", path=where, typed=typed, taken=doubt.choices[0]))
        return doubt.choices[0]
    if asks and doubt.choices:
        try:
            if chosen := Asking(path, Terminal(), Interview()).decide(doubt):
                return chosen
        except LeftError:
            pass
    raise _undecided(doubt)


def _undecided(doubt: InDoubt) -> InputRefused:
    key = "decide_unit" if doubt.where == ("unit",) else "decide" if doubt.likely else "decide_plain"
    choice = doubt.choices[0] if doubt.choices else ""
    return InputRefused(PLAIN.say(f"cli.new.{key}", said=str(doubt), choice=choice), doubt.where)


def _table(source: Path, path: Path, unit: Units | None, *, yes: bool, asks: bool) -> Readings:
    """The readings of a table; doubts are asked about one after the other, or refused all together."""
    data = read_bytes(source)
    answers: dict[Key, str] = {}
    try:
        for _ in range(MOST_DOUBTS):
            try:
                return read_readings(data, unit=unit, answers=answers, yes=yes)
            except (SeveralRefused, InDoubt) as refused:
                open_doubts = _open(refused)
                if not asks or open_doubts is None:
                    raise
                for doubt in open_doubts:
                    answers[doubt.where] = _decided(doubt, "", path, yes=yes, asks=asks)
        return read_readings(data, unit=unit, answers=answers, yes=yes)
    except InputRefused as refused:
        raise _for_file(source, refused) from None


def _open(refused: InputRefused) -> list[InDoubt] | None:
    """The doubts to ask about; None if something else is in the way as well."""
    each = refused.each if isinstance(refused, SeveralRefused) else (refused,)
    found = [one for one in each if isinstance(one, InDoubt) and one.choices]
    return found if len(found) == len(each) else None


def _for_file(source: Path, refused: InputRefused) -> InputRefused:
    each = refused.each if isinstance(refused, SeveralRefused) else (refused,)
    plain = [_undecided(one) if isinstance(one, InDoubt) else one for one in each]
    named = tuple(InputRefused(f"{source}: {one}", one.where) for one in plain)
    return named[0] if len(named) == 1 else SeveralRefused(named)
