"""`backseam fit`: how the finished sheath will hold, in words and bands, and how to come to a wanted hold."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from backseam.cli.files import write_new
from backseam.cli.options import JobFile, JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.progress import line
from backseam.cli.screen import console, print_json, show_findings
from backseam.ground.errors import InputRefused
from backseam.ground.findings import ordered
from backseam.ground.numbers import read_force, read_length
from backseam.ground.speech import PLAIN, Speech
from backseam.job.findings_json import findings_told

if TYPE_CHECKING:
    from backseam.fit.hold import Hold
    from backseam.fit.inverse import Aim
    from backseam.fit.tested import Measured

BETWEEN = re.compile(r"\s*(.+?)\s*(?:\.{2,3}|…|–|-|to)\s*(.+)", re.IGNORECASE)
NUMBER = re.compile(r"\s*[\d.,]+\s*(\D*)")


def fit(
    file: JobFile,
    /,
    *,
    hold: Annotated[str | None, Parameter(help=help_of("hold"), show_default=False)] = None,
    girth: Annotated[str | None, Parameter(help=help_of("girth"), show_default=False)] = None,
    pull: Annotated[
        str | None, Parameter(help=help_of("pull"), show_default=False, allow_leading_hyphen=True)
    ] = None,
    waxed: Annotated[bool, Parameter(help=help_of("waxed"), negative=(), show_default=False)] = False,
    drawing: Annotated[Path | None, Parameter(help=help_of("drawing"), show_default=False)] = None,
    seed: Annotated[int, Parameter(help=help_of("seed"))] = 0,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Forecast hold, draw and click. A forecast never stops a sheet, so the exit code is 0."""
    from backseam.fit.telling import how_settled, sentences
    from backseam.job import forecast
    from backseam.job.recipe import work

    job = read_job(file)
    speech = speech_for(job, units)
    wanted = None if hold is None else wanted_of(hold)
    worked = work(job)
    tested = _tested(forecast.tested_of(worked), girth, pull, speech, waxed=waxed)
    told = forecast.hold(worked, tested=tested, seed=seed)
    lines = sentences(told, speech)
    if drawing is not None:
        from backseam.papers import svg
        from backseam.papers.sheets.fit_plots import force_curve

        write_new(drawing, svg.write(force_curve(told, speech)).encode())
    aimed = None
    if wanted is not None:
        with line() as progress:
            aimed = forecast.towards(worked, wanted, tested=tested, seed=seed, progress=progress)
    found = ordered((*told.findings, *(aimed.findings if aimed else ())))
    if json:
        print_json(
            {
                "calibrated": told.calibrated,
                "said": list(lines),
                "loses": round(told.loses, 4),
                "slips": round(told.slips, 4),
                "seed": told.seed,
                **({"aim": _aim_json(aimed, speech)} if aimed else {}),
                "findings": findings_told(found, speech),
            }
        )
        return 0
    show_findings(found, speech)
    for said in (*lines, *(_aimed(aimed, hold or "", speech) if aimed else ()), how_settled(told, speech)):
        console().print(said)
    return 0


def wanted_of(text: str) -> Hold | tuple[float, float]:
    """A wanted hold as typed: `everyday`, or between two pulls, `15 to 25 N`. Raises InputRefused."""
    from backseam.fit.hold import WANTED

    word = text.strip().casefold()
    if word in WANTED:
        return WANTED[word]
    found = BETWEEN.fullmatch(text)
    if not found:
        raise InputRefused(PLAIN.say("cli.fit.hold", typed=text[:40], words=", ".join(WANTED)))
    high = read_force(found[2])
    unit = NUMBER.fullmatch(found[2])
    low = read_force(
        found[1] if re.search("[a-z]", found[1], re.IGNORECASE) else f"{found[1]} {unit[1] if unit else ''}"
    )
    if not 0 <= low.value < high.value:
        raise InputRefused(PLAIN.say("cli.fit.order", typed=text[:40]))
    return low.value, high.value


def _tested(known: Measured, girth: str | None, pull: str | None, speech: Speech, *, waxed: bool) -> Measured:
    """What the job says was measured, and what was typed now above it."""
    if girth is not None:
        length = read_length(girth, unit=speech.units).mm
        known = replace(known, finished_girth=length, station=None)
    if pull is not None:
        known = replace(known, pull=read_force(pull).value)
    return replace(known, waxed=known.waxed or waxed)


def _aimed(aimed: Aim, hold: str, speech: Speech) -> tuple[str, ...]:
    from backseam.fit.doubts import few
    from backseam.fit.telling import ways

    head = speech.say("cli.fit.now", hold=hold.strip(), few=few(aimed.now) if aimed.now else 0)
    return (head, *ways(aimed, speech))


def _aim_json(aimed: Aim, speech: Speech) -> dict[str, Any]:
    from math import isfinite

    from backseam.fit.telling import ways

    low, high = aimed.wanted
    return {
        "wanted_n": [low, high if isfinite(high) else None],
        "now_share": round(aimed.now, 4),
        "reachable": aimed.reachable,
        "ways": [
            {
                "kind": way.kind,
                "value_mm": round(way.value, 2),
                "change_mm": round(way.change, 2),
                "chance_share": round(way.chance, 4),
                "middle": way.middle.value,
            }
            for way in aimed.ways
        ],
        "said": list(ways(aimed, speech)),
    }
