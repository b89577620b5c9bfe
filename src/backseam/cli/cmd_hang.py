"""`backseam hang`: weight, balance and lean of the sheath with its knife."""

from __future__ import annotations

from math import degrees, isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from backseam.cli.files import write_new
from backseam.cli.options import JobFile, JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.screen import console, findings_json, print_json, show_findings

if TYPE_CHECKING:
    from backseam.fit.hang import Hang, Loop


def hang(
    file: JobFile,
    /,
    *,
    drawing: Annotated[Path | None, Parameter(help=help_of("hang_drawing"), show_default=False)] = None,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Say how it hangs. Like a forecast it never stops a sheet, so the exit code is 0."""
    from backseam.fit.hang_telling import sentences
    from backseam.job.hanging import hanging
    from backseam.job.recipe import work

    job = read_job(file)
    speech, worked = speech_for(job, units), work(job)
    told = hanging(worked)
    lines = sentences(told, worked.inputs.construction.hand, speech)
    if drawing is not None:
        from backseam.papers import svg
        from backseam.papers.sheets.hang_picture import hang_picture

        picture = hang_picture(told, worked.form, worked.inputs.construction, speech)
        write_new(drawing, svg.write(picture).encode())
    if json:
        print_json({**_numbers(told), "said": list(lines), "findings": findings_json(told.findings, speech)})
        return 0
    show_findings(told.findings, speech)
    for line in lines:
        console().print(line)
    return 0


def _numbers(told: Hang) -> dict[str, Any]:
    return {
        "mass_g": round(told.mass, 1),
        "empty_g": round(told.empty, 1),
        "centre_mm": [round(x, 1) for x in (told.height_low, told.height, told.height_high)],
        "parts_g": {part.name: round(part.mass, 1) for part in told.parts},
        "unknown": {one.name: round(one.moves, 1) for one in told.unknown},
        "hanging": None if told.loop is None else _loop(told.loop),
    }


def _loop(loop: Loop) -> dict[str, Any]:
    angles = ("gripped", "sliding", "off_gripped", "off_sliding", "away")
    lengths = ("height", "apart", "peg", "margin", "margin_low", "margin_high", "empty", "offset")
    return {
        "stands": loop.stands.value,
        **{f"{name}_mm": round(getattr(loop, name), 1) for name in lengths},
        **{f"{name}_deg": round(degrees(getattr(loop, name)), 2) for name in angles},
        "steady": round(loop.steady, 2) if isfinite(loop.steady) else None,
        "period_s": round(loop.period, 2) if isfinite(loop.period) else None,
    }
