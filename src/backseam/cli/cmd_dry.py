"""`backseam dry`: the clock of the wet leather, from soak to wax."""

from __future__ import annotations

from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from backseam.cli.files import write_new
from backseam.cli.options import JobFile, JsonOption, help_of, read_job, speech_for
from backseam.cli.rooms import minutes_of, room_of, weighings_of
from backseam.cli.screen import console, findings_json, print_json, show_findings
from backseam.ground.numbers import read_mass
from backseam.ground.speech import PLAIN

if TYPE_CHECKING:
    from rich.table import Table

    from backseam.making.clock import Clock


def dry(
    file: JobFile,
    /,
    *,
    room: Annotated[str, Parameter(help=help_of("room"), allow_leading_hyphen=True)] = "20 C, 50 %",
    start: Annotated[str | None, Parameter(help=help_of("start"), show_default=False)] = None,
    weigh: Annotated[
        list[str] | None, Parameter(help=help_of("weigh"), negative=(), show_default=False)
    ] = None,
    piece: Annotated[str | None, Parameter(help=help_of("weigh_piece"), show_default=False)] = None,
    form: Annotated[str | None, Parameter(help=help_of("weigh_form"), show_default=False)] = None,
    drawing: Annotated[Path | None, Parameter(help=help_of("drawing"), show_default=False)] = None,
    json: JsonOption = False,
) -> int:
    """Say when to mould, clamp, draw and wax."""
    from backseam.job.forecast import timetable
    from backseam.job.recipe import work

    job = read_job(file)
    speech = speech_for(job, None)
    air, begun = room_of(room), None if start is None else minutes_of(start)
    times = timetable(
        work(job),
        air,
        weighings=weighings_of(weigh or (), begun),
        piece=None if piece is None else read_mass(piece).value,
        form=None if form is None else read_mass(form).value,
    )
    if drawing is not None:
        from backseam.papers import svg
        from backseam.papers.sheets.plots import water_curve

        write_new(drawing, svg.write(water_curve(times, speech, begun)).encode())
    if json:
        print_json({**_numbers(times), "findings": findings_json(times.findings, speech)})
        return 0
    show_findings(times.findings, speech)
    console().print(_table(times, begun))
    if times.drying is not None:
        told = times.drying
        dry_, left, pace = (
            PLAIN.fill("{v:f0}", {"v": v[1]}) for v in (told.dry, told.left, (0, 100 * told.pace[1]))
        )
        console().print(PLAIN.say("cli.dry.learnt", dry=dry_, left=left, pace=pace))
    return 0


def _numbers(times: Clock) -> dict[str, Any]:
    rows = {m.name: [_number(v) for v in (m.low, m.likely, m.high)] for m in (*times.moments, *times.windows)}
    told = times.drying
    if told is None:
        return {"minutes": rows, "drying": None}
    return {
        "minutes": rows,
        "drying": {
            "pace": [round(v, 3) for v in told.pace],
            "per_hour": [round(v, 4) for v in told.per_hour],
            "dry_g": [round(v, 1) for v in told.dry],
            "left_g": [round(v, 1) for v in told.left],
        },
    }


def _number(minutes: float) -> float | None:
    return round(minutes, 1) if isfinite(minutes) else None


def _table(times: Clock, begun: int | None) -> Table:
    from rich.table import Table

    from backseam.making.clock import spoken, time_of_day

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
