"""`backseam learn`: what a leather test or a finished sheath says of its hide, kept on a leather card."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from cyclopts import Parameter

from backseam.cli.files import read_bytes, write_new
from backseam.cli.options import JsonOption, Sheet, UnitsOption, help_of, named_in, speech_for
from backseam.cli.progress import line
from backseam.cli.screen import console, note, print_json, show_findings
from backseam.ground.errors import InputRefused, OutputRefused
from backseam.ground.findings import Finding, finding, ordered
from backseam.ground.speech import PLAIN, Speech
from backseam.job.findings_json import findings_told

if TYPE_CHECKING:
    from backseam.ground.sources import Value
    from backseam.job.document import Job
    from backseam.job.learned import Renewed
    from backseam.job.learned_words import Compared
    from backseam.job.leather_card import LeatherCard
    from backseam.job.leather_tests import LeatherTests

Part = Literal["shoulder", "bend", "belly", "harness", "other"]


def learn(
    card: Annotated[Path, Parameter(help=help_of("leather"))],
    /,
    *what: Annotated[Path, Parameter(help=help_of("learn_what"))],
    new: Annotated[str | None, Parameter(help=help_of("learn_new"), show_default=False)] = None,
    part: Annotated[Part | None, Parameter(help=help_of("learn_part"), show_default=False)] = None,
    without: Annotated[
        list[str] | None, Parameter(help=help_of("learn_without"), negative=(), show_default=False)
    ] = None,
    look: Annotated[bool, Parameter(help=help_of("learn_look"), negative=(), show_default=False)] = False,
    forms: Annotated[Path | None, Parameter(help=help_of("learn_forms"), show_default=False)] = None,
    sheet: Annotated[Sheet | None, Parameter(help=help_of("sheet"), show_default=False)] = None,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Take tests and sheaths onto the card, say what changed, and write it. What is learnt stops nothing."""
    speech = speech_for(None, units)
    before = _card(card, new, part)
    if forms is not None:
        if new is not None:
            _write(card, before, new)
            note(PLAIN.say("cli.learn.wrote", path=card))
        return _forms(forms, before, sheet, speech)
    with line() as progress:
        taken = _taken(before, card, [_read(path) for path in what], without or [])
        renewed = _renewed(taken.card, progress)
        compared = [_compared(job, before, renewed.card) for job in taken.jobs]
    written = not look and (renewed.card != before or new is not None)
    if written:
        _write(card, renewed.card, new)
    known = {**renewed.learnt.before, **_known(before)}
    said = list(_said(compared, known, renewed, speech, new_values=bool(what or without)))
    findings = ordered((*taken.findings, *renewed.findings))
    if json:
        print_json(_json(renewed, known, said, findings, speech, written=written))
        return 0
    show_findings(findings, speech) if findings else None
    for text in said:
        console().print(text)
    if written:
        note(PLAIN.say("cli.learn.wrote", path=card))
    elif look:
        note(PLAIN.say("cli.learn.looked", path=card))
    return 0


@dataclass(frozen=True)
class _Taken:
    """The card with everything new on it, the jobs among it, and what was met on the way."""

    card: LeatherCard
    jobs: tuple[Job, ...]
    findings: tuple[Finding, ...]


def _card(path: Path, new: str | None, part: Part | None) -> LeatherCard:
    """The card in a file, or an empty one to be begun."""
    from backseam.job.leather_card import LeatherCard, loads

    if new is not None:
        if path.exists():
            raise OutputRefused(PLAIN.say("cli.files.exists", path=path))
        with named_in(path):
            return LeatherCard(title=new, id=path.stem[:80], part=part or "shoulder")
    if not path.exists() and path.parent.is_dir():
        raise InputRefused(PLAIN.say("cli.learn.no_card", path=path))
    with named_in(path):
        return loads(read_bytes(path))


def _read(path: Path) -> Job | LeatherTests:
    """A sheet of tests or a job, whichever it is."""
    from backseam.job.leather_tests import TESTS_KIND, tests_of
    from backseam.job.text import job_of, raw_of
    from backseam.job.upgrade import upgraded

    with named_in(path):
        raw = raw_of(read_bytes(path))
        kind = raw.get("kind") if isinstance(raw, dict) else None
        return tests_of(raw) if kind == TESTS_KIND else job_of(upgraded(raw))


def _taken(
    before: LeatherCard, path: Path, given: Sequence[Job | LeatherTests], without: Sequence[str]
) -> _Taken:
    from backseam.job.document import Job
    from backseam.job.learned import cut_from, with_sheath, with_tests
    from backseam.job.leather_card import without as left_out

    card = before
    found: list[Finding] = []
    jobs: list[Job] = []
    for one in given:
        if isinstance(one, Job):
            one, told = cut_from(before, one, path.name, path.stem)
            found += told
            card, told = with_sheath(card, one)
            jobs.append(one)
        else:
            card, told = with_tests(card, one)
            found += _other_hide(one, before)
        found += told
    for test in without:
        card = left_out(card, test)
    return _Taken(card, tuple(jobs), tuple(found))


def _other_hide(sheet: LeatherTests, card: LeatherCard) -> Iterator[Finding]:
    """The sheet of tests was written for another hide, by its own word."""
    if sheet.hide and card.title and sheet.hide not in (card.title, card.id):
        yield finding("LEARN-023", ("hide",), named=sheet.hide, card=card.title)


def _renewed(card: LeatherCard, progress: Any) -> Renewed:
    from backseam.job.learned import renewed

    return renewed(card, progress)


def _compared(job: Job, before: LeatherCard, after: LeatherCard) -> Compared | None:
    """The sheath beside what was foreseen of it; None if it says nothing of girth and pull, or cannot be worked."""
    from backseam.job.account import usable
    from backseam.job.learned_words import compared
    from backseam.job.leather_card import hide_of
    from backseam.job.recipe import work

    try:
        worked = work(job)
    except InputRefused:
        return None
    made = usable(worked)
    if made.finished_girth is None and made.pull is None:
        return None
    return compared(worked, hide_of(before), hide_of(after), made)


def _known(card: LeatherCard) -> Mapping[str, Value]:
    from backseam.job.leather_card import overrides

    return overrides(card)


def _said(
    compared: Sequence[Compared | None],
    known: Mapping[str, Value],
    renewed: Renewed,
    speech: Speech,
    *,
    new_values: bool,
) -> Iterator[str]:
    """Sheaths first, then what changed; without anything new, all that is known."""
    from backseam.job.learned_words import changes, everything, told

    for one in compared:
        if one is not None:
            yield from told(one, speech)
    lines = list(changes(known, renewed.learnt, speech) if new_values else everything(renewed.learnt, speech))
    yield from lines
    if not lines:
        yield speech.say("learn.say.nothing_new" if new_values else "learn.say.nothing_yet")


def _write(path: Path, card: LeatherCard, new: str | None) -> None:
    from backseam.job.leather_card import dumps

    write_new(path, dumps(card).encode(), replace=new is None)


def _forms(folder: Path, card: LeatherCard, sheet: Sheet | None, speech: Speech) -> int:
    """The printed sheets of tests for this hide, and the file their numbers are typed into."""
    from backseam.job.leather_card import name_of
    from backseam.job.leather_tests import blank
    from backseam.job.text import laid_out
    from backseam.papers.sheets.leather_tests import write

    hide = card.title or name_of(card)
    printed, typed = folder / "leather-tests.pdf", folder / "leather-tests.json"
    write_new(printed, write(hide, speech, sheet or "A4"))
    write_new(typed, laid_out(blank(hide)).encode())
    note(PLAIN.say("cli.learn.forms", printed=printed, typed=typed))
    return 0


def _json(
    renewed: Renewed,
    known: Mapping[str, Value],
    said: Sequence[str],
    findings: Sequence[Finding],
    speech: Speech,
    *,
    written: bool,
) -> dict[str, Any]:
    learnt = renewed.learnt
    values = [
        {
            "name": name,
            "value": now.value,
            "low": now.low,
            "high": now.high,
            "unit": now.unit,
            "before": {"value": known[name].value, "low": known[name].low, "high": known[name].high},
            "tests": list(learnt.tests[name]),
        }
        for name, now in learnt.values.items()
    ]
    return {
        "written": written,
        "said": list(said),
        "values": values,
        "sheaths": len(renewed.card.sheaths),
        "tests": renewed.card.tests.count(),
        "findings": findings_told(findings, speech),
    }
