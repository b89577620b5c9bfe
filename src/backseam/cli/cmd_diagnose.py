"""`backseam diagnose`: what a fault comes from, likeliest first, and what to do about it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from backseam.cli.options import JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.screen import WIDEST, console, print_json
from backseam.ground.speech import PLAIN, Speech

if TYPE_CHECKING:
    from backseam.job.document import Job
    from backseam.making.diagnosis import Diagnosis, Match

MARKS = {"safety": "■", "function": "◇", "looks": "○"}
ROWS = ("here", "look", "mend", "next")
INSET = 13


def diagnose(
    *what: Annotated[str, Parameter(help=help_of("symptom"))],
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Find the symptom, put its causes in order for this job, and say what to look at and what to do."""
    from backseam.making import diagnosis

    path, said = _parted(what)
    job = None if path is None else read_job(path)
    speech = speech_for(job, units)
    if not said:
        _show_list(speech, as_json=json)
        return 0
    matches = diagnosis.found(said, speech.language)
    found = diagnosis.diagnose(matches[0].symptom, None if job is None else _facts(job))
    if json:
        from backseam.job.told_json import diagnosis_told

        print_json(diagnosis_told(found, matches, speech))
        return 0
    _show(found, matches, said, speech)
    return 0


def _parted(what: tuple[str, ...]) -> tuple[Path | None, str]:
    """The job's file, if one is named first, and what is wrong."""
    first = Path(what[0]) if what else None
    if first is not None and (first.suffix.casefold() == ".json" or first.is_file()):
        return first, " ".join(what[1:])
    return None, " ".join(what)


def _facts(job: Job) -> Any:
    from backseam.job.facts import facts_of
    from backseam.job.recipe import work

    return facts_of(work(job))


def _say(key: str, **values: object) -> str:
    return PLAIN.say(f"diagnosis.{key}", **values)


def _show_list(speech: Speech, *, as_json: bool) -> None:
    """Every symptom, gravest first."""
    from backseam.making.diagnosis import symptoms

    every = symptoms().values()
    if as_json:
        print_json(
            [{"symptom": one.id, "severity": one.harm.value, "name": one.name(speech)} for one in every]
        )
        return
    out, harm = console(), None
    for one in every:
        if one.harm is not harm:
            harm = one.harm
            out.print(f"\n {MARKS[harm.value]} {_say(f'severity.{harm.value}')}")
        out.print(f"   {one.id:<17} {one.name(speech)}")
    out.print(f"\n{_say('label.list')}")


def _show(found: Diagnosis, matches: tuple[Match, ...], said: str, speech: Speech) -> None:
    from rich.text import Text

    from backseam.making.diagnosis import degree, in_general, told, withdrawn

    out, symptom = console(), found.symptom
    harm = _say(f"severity.{symptom.harm.value}")
    out.print(Text(f"{MARKS[symptom.harm.value]} {harm}: {symptom.name(speech)}", "bold"))
    stop = withdrawn(symptom, speech)
    if stop:
        out.print(Text(_set_in(stop, "  ", out.width), "bold red" if out.is_terminal else ""))
    for number, cause in enumerate(found.causes, start=1):
        row = told(cause, found, speech, own=True)
        word = "" if found.facts is None else f" ({_say(f'label.{degree(cause.share)}')})"
        out.print()
        out.print(Text(_set_in(f"{row['cause']}{word}", "   ", out.width, f"{number}. "), "bold"))
        for name in ROWS:
            out.print(_row(name, row[name], out.width)) if row[name] else None
    out.print()
    out.print(Text(_say("label.general_repair"), "bold"))
    for name, text in in_general(found, speech).items():
        out.print(_row(name, text, out.width))
    out.print()
    if found.facts is None:
        out.print(_say("label.general"))
    if said.strip().casefold().replace(" ", "_") != symptom.id:
        out.print(_say("label.taken", id=symptom.id))
    if len(matches) > 1:
        out.print(_say("label.also", others=", ".join(one.symptom for one in matches[1:])))


def _row(name: str, text: str, width: int) -> str:
    return _set_in(text, " " * INSET, width, f"   {_say(f'label.{name}'):<{INSET - 3}}")


def _set_in(text: str, inset: str, width: int, first: str | None = None) -> str:
    import textwrap

    room = max(min(width, WIDEST), 40)
    return textwrap.fill(
        text, room, initial_indent=inset if first is None else first, subsequent_indent=inset
    )
