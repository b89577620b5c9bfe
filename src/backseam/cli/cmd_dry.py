"""`backseam dry`: the clock of the wet leather, from soak to wax."""

from __future__ import annotations

from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from backseam.cli.files import write_new
from backseam.cli.options import JobFile, JsonOption, help_of, read_job, speech_for
from backseam.cli.screen import console, print_json, show_findings
from backseam.ground.speech import PLAIN
from backseam.intake.rooms import mass_of, minutes_of, room_of, weighings_of

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
        piece=None if piece is None else mass_of(piece, ("piece",)),
        form=None if form is None else mass_of(form, ("form",)),
    )
    if drawing is not None:
        from backseam.papers import svg
        from backseam.papers.sheets.plots import water_curve

        write_new(drawing, svg.write(water_curve(times, speech, begun)).encode())
    if json:
        from backseam.job.told_json import dry_told

        print_json(dry_told(times, speech))
        return 0
    show_findings(times.findings, speech)
    console().print(_table(times, begun))
    if times.drying is not None:
        from backseam.job.told_json import learnt

        console().print(learnt(times.drying))
    return 0


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
