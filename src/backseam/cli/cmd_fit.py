"""`backseam fit`: how the finished sheath will hold, in words and bands."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from backseam.cli.files import write_new
from backseam.cli.options import JobFile, JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.screen import console, findings_json, print_json, show_findings


def fit(
    file: JobFile,
    /,
    *,
    drawing: Annotated[Path | None, Parameter(help=help_of("drawing"), show_default=False)] = None,
    seed: Annotated[int, Parameter(help=help_of("seed"))] = 0,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Forecast hold, draw and click. A forecast never stops a sheet, so the exit code is 0."""
    from backseam.fit.telling import how_settled, sentences
    from backseam.job.forecast import hold
    from backseam.job.recipe import work

    job = read_job(file)
    speech = speech_for(job, units)
    told = hold(work(job), seed=seed)
    lines = sentences(told, speech)
    if drawing is not None:
        from backseam.papers import svg
        from backseam.papers.sheets.fit_plots import force_curve

        write_new(drawing, svg.write(force_curve(told, speech)).encode())
    if json:
        print_json(
            {
                "calibrated": told.calibrated,
                "said": list(lines),
                "loses": round(told.loses, 4),
                "slips": round(told.slips, 4),
                "seed": told.seed,
                "findings": findings_json(told.findings, speech),
            }
        )
        return 0
    show_findings(told.findings, speech)
    for line in (*lines, how_settled(told, speech)):
        console().print(line)
    return 0
