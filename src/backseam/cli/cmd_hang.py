"""`backseam hang`: weight, balance and lean of the sheath with its knife."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from backseam.cli.files import write_new
from backseam.cli.options import JobFile, JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.screen import console, print_json, show_findings


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
        from backseam.job.told_json import hang_told

        print_json(hang_told(told, lines, speech))
        return 0
    show_findings(told.findings, speech)
    for line in lines:
        console().print(line)
    return 0
