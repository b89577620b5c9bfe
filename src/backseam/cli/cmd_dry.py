"""`backseam dry`: the clock of the wet leather, from soak to wax."""

from __future__ import annotations

import re
from math import isfinite
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter
from rich.table import Table

from backseam.cli.files import write_new
from backseam.cli.options import JobFile, JsonOption, help_of, read_job, speech_for
from backseam.cli.screen import console, findings_json, print_json, show_findings
from backseam.ground.errors import InputRefused
from backseam.ground.speech import PLAIN
from backseam.leather.wet import Room

ROOM = re.compile(r"\s*(-?\d{1,3}(?:[.,]\d+)?)\s*°?\s*([CcFf])\s*[,; ]\s*(\d{1,3}(?:[.,]\d+)?)\s*%\s*")
TIME = re.compile(r"\s*([01]?\d|2[0-3]):([0-5]\d)\s*")


def dry(
    file: JobFile,
    /,
    *,
    room: Annotated[str, Parameter(help=help_of("room"))] = "20 C, 50 %",
    start: Annotated[str | None, Parameter(help=help_of("start"), show_default=False)] = None,
    drawing: Annotated[Path | None, Parameter(help=help_of("drawing"), show_default=False)] = None,
    json: JsonOption = False,
) -> int:
    """Say when to mould, clamp, draw and wax."""
    from backseam.job.forecast import timetable
    from backseam.job.recipe import work

    job = read_job(file)
    speech = speech_for(job, None)
    air, begun = room_of(room), None if start is None else minutes_of(start)
    times = timetable(work(job), air)
    if drawing is not None:
        from backseam.papers import svg
        from backseam.papers.sheets.plots import water_curve

        write_new(drawing, svg.write(water_curve(times, speech, begun)).encode())
    if json:
        rows = {
            m.name: [_number(v) for v in (m.low, m.likely, m.high)] for m in (*times.moments, *times.windows)
        }
        print_json({"minutes": rows, "findings": findings_json(times.findings, speech)})
        return 0
    show_findings(times.findings, speech)
    console().print(_table(times, begun))
    return 0


def room_of(text: str) -> Room:
    """A room as typed: `19 C, 55 %`. Raises InputRefused."""
    found = ROOM.fullmatch(text)
    if not found:
        raise InputRefused(PLAIN.say("cli.dry.room", typed=text[:40]))
    degrees, humidity = (float(found[i].replace(",", ".")) for i in (1, 3))
    return Room((degrees - 32) / 1.8 if found[2] in "Ff" else degrees, humidity / 100)


def minutes_of(text: str) -> int:
    """A time of day as typed, `14:00`, in minutes after midnight. Raises InputRefused."""
    found = TIME.fullmatch(text)
    if not found:
        raise InputRefused(PLAIN.say("cli.dry.start", typed=text[:40]))
    return 60 * int(found[1]) + int(found[2])


def _number(minutes: float) -> float | None:
    return round(minutes, 1) if isfinite(minutes) else None


def _table(times: object, begun: int | None) -> Table:
    from backseam.making.clock import Clock, spoken, time_of_day

    assert isinstance(times, Clock)
    table = Table(box=None, pad_edge=False)
    for name in ("what", "soonest", "likely", "latest"):
        table.add_column(PLAIN.say(f"cli.dry.{name}"))

    def said(minutes: float) -> str:
        if begun is None or not isfinite(minutes):
            return spoken(minutes)
        days, hour, minute = time_of_day(begun, minutes)
        when = f"{hour}:{minute // 10 * 10:02}"
        return PLAIN.say("cli.dry.later", time=when, days=days) if days else when

    for moment in times.moments:
        table.add_row(
            PLAIN.say(f"cli.dry.moment.{moment.name}"), *map(said, (moment.low, moment.likely, moment.high))
        )
    for window in times.windows:
        lengths = (spoken(v) for v in (window.low, window.likely, window.high))
        table.add_row(PLAIN.say(f"cli.dry.moment.{window.name}"), *lengths)
    return table
