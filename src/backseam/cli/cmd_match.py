"""`backseam match`: does an old pattern fit this knife?"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from backseam.cli.options import JsonOption, Units, UnitsOption, help_of, read_job, speech_for
from backseam.cli.progress import line
from backseam.cli.screen import WIDEST, console, print_json, show_findings
from backseam.ground.errors import BackseamError, InputRefused
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech

if TYPE_CHECKING:
    from rich.table import Table

    from backseam.fit.hold import Fit
    from backseam.job.document import Job
    from backseam.job.match import Match, Matches, NotRead

SEEN = 0.05  # mm: no row is moved by less


def match(
    readings: Annotated[str, Parameter(help=help_of("readings"))],
    /,
    *jobs: Annotated[Path, Parameter(help=help_of("jobs_or_folders"))],
    strap: Annotated[str | None, Parameter(help=help_of("strap"), show_default=False)] = None,
    junction: Annotated[str | None, Parameter(help=help_of("junction"), show_default=False)] = None,
    thickest: Annotated[str | None, Parameter(help=help_of("thickest"), show_default=False)] = None,
    all_: Annotated[
        bool, Parameter(name="--all", negative=(), help=help_of("match_all"), show_default=False)
    ] = False,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Hold a knife against stored jobs, best first. 0 if one serves, 1 if none does."""
    from backseam.job.match import match as matched
    from backseam.job.new_knife import read

    speech = speech_for(None, units)
    unit: Units = units or "mm"
    knife = read(readings, unit=unit, strap=strap, junction=junction, thickest=thickest)
    every, unread = _read(jobs)
    with line() as progress:
        told = matched(every, knife, progress)
    missed = (*unread, *told.not_read)
    if not told.matches:
        raise InputRefused(_say("refuse.none_read", speech, count=len(missed), why=missed[0].why))
    if json:
        from backseam.job.told_json import match_told

        print_json(match_told(told, unread, speech))
    else:
        _show(told, missed, speech, every_one=all_)
    return 0 if told.fits else 1


def _read(paths: tuple[Path, ...]) -> tuple[list[tuple[str, Job]], tuple[NotRead, ...]]:
    """Every job that can be read, and those that cannot."""
    from backseam.job.match import NotRead

    if not paths:
        raise InputRefused(PLAIN.say("match.refuse.no_jobs"))
    jobs, unread = [], []
    for path in _files(paths):
        try:
            jobs.append((str(path), read_job(path)))
        except BackseamError as refused:
            unread.append(NotRead(str(path), str(refused).removeprefix(f"{path}: ")))
    return jobs, tuple(unread)


def _files(paths: tuple[Path, ...]) -> Iterator[Path]:
    """Files as named, and those of folders; each once."""
    seen: set[str] = set()
    for path in paths:
        inside = sorted(path.glob("*.json")) if os.path.isdir(path) else [path]
        if not inside:
            raise InputRefused(PLAIN.say("match.refuse.empty", path=path))
        for one in inside:
            real = os.path.realpath(one)
            if real not in seen and not one.name.startswith("."):
                seen.add(real)
                yield one


def _say(key: str, speech: Speech, **values: object) -> str:
    return speech.say(f"match.{key}", **values)


def _show(told: Matches, missed: tuple[NotRead, ...], speech: Speech, *, every_one: bool) -> None:
    from backseam.job.match import Verdict

    out = console()
    if told.findings:
        show_findings(told.findings, speech)
    if told.knife.strap is None:
        out.print(_say("say.strap_own", speech))
    shown = [one for one in told.matches if every_one or one.verdict is not Verdict.NO]
    for number, one in enumerate(shown or told.matches, start=1):
        out.print()
        _show_one(number, one, speech)
    out.print()
    if not shown:
        out.print(_say("say.none", speech))
    elif len(shown) < len(told.matches):
        out.print(_say("say.more", speech, count=len(told.matches) - len(shown)))
    for lost in missed:
        key = "say.not_read_alone" if lost.why.startswith(lost.name) else "say.not_read"
        out.print(_set_in(_say(key, speech, name=lost.name, why=lost.why), "", out.width))


def _show_one(number: int, one: Match, speech: Speech) -> None:
    from rich.text import Text

    from backseam.job.match import Verdict
    from backseam.job.told_json import reasons

    out = console()
    values = {"number": number, "verdict": _say(f"verdict.{one.verdict.value}", speech), "name": one.name}
    key = "head" if one.title else "head_bare"
    out.print(Text(_set_in(_say(f"say.{key}", speech, title=one.title, **values), "", out.width), "bold"))
    for text in (*reasons(one, speech), *_sentences(one, speech)):
        out.print(_set_in(text, "   ", out.width))
    if one.verdict is Verdict.MOVE:
        out.print(_table(one, speech))
    if one.findings:
        show_findings(one.findings, speech)


def _sentences(one: Match, speech: Speech) -> Iterator[str]:
    """How it fits, how sure that is, whether the holes stay, and the hold."""
    from backseam.job.match import Verdict

    if not one.rows:
        return
    worst = max(abs(one.worst), 2 * SEEN)
    key = "fits" if one.verdict is Verdict.YES else "narrow" if one.worst < 0 else "wide"
    if key == "fits" and one.doubt > default("match.doubt_most"):
        yield _say("say.fits_read", speech, worst=worst, doubt=one.doubt)
    else:
        known = _say("say.read_within", speech, doubt=one.doubt)
        yield f"{_say(f'say.{key}', speech, worst=worst)} {known}"
    if one.verdict is Verdict.MOVE and one.holes:
        was, now = one.holes
        yield _say("say.holes_same" if was == now else "say.holes_new", speech, count=now, was=was)
    for key, fit in (("as_it_is", one.as_it_is), ("moved", one.moved), ("planned", one.planned)):
        if fit is not None and not (key == "moved" and one.verdict is not Verdict.MOVE):
            yield _say(f"say.{key}", speech, **_hold(fit, speech))


def _hold(fit: Fit, speech: Speech) -> dict[str, str]:
    from backseam.fit.telling import band_words

    return {
        "band": band_words(fit.draw, fit, speech),
        "loses": _twenty(fit.loses, speech),
        "slips": _twenty(fit.slips, speech),
    }


def _twenty(share: float, speech: Speech) -> str:
    count = round(20 * share)
    return speech.say("rescue.say.twenty", count=count) if count else speech.say("rescue.say.none")


def _table(one: Match, speech: Speech) -> Table:
    """Rows to move, mouth first as they lie on the piece; + is outwards."""
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    table = Table(box=SIMPLE_HEAD, pad_edge=False)
    for key in ("name", "height", "half", "by", "to", "doubt"):
        table.add_column(_say(f"table.{key}", speech), justify="left" if key == "name" else "right")
    for row in reversed(one.rows):
        numbers = (row.height, row.half, row.half + row.by, row.doubt)
        height, half, to, doubt = (speech.fill("{v:n}", {"v": value}) for value in numbers)
        by = speech.fill("{v:n}", {"v": abs(row.by)})
        sign = "" if abs(row.by) < SEEN else "+" if row.by > 0 else "-"
        name = row.name or (_say("table.read", speech) if row.read else "")
        table.add_row(name, height, half, sign + by, to, doubt)
    return table


def _set_in(text: str, front: str, width: int) -> str:
    import textwrap

    return textwrap.fill(text, max(min(width, WIDEST), 40), initial_indent=front, subsequent_indent=front)
