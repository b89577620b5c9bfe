"""`backseam check`: the findings of a job and nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from backseam.cli.options import JsonOption, UnitsOption, help_of, read_job, speech_for
from backseam.cli.screen import console, counted, note, print_json, show_findings, show_refusal
from backseam.ground.errors import BackseamError, Stopped
from backseam.ground.findings import Finding, ordered, stops
from backseam.job.document import Job
from backseam.job.findings_json import findings_told


def check(
    files: Annotated[list[Path], Parameter(help=help_of("jobs"), negative=())],
    /,
    *,
    units: UnitsOption = None,
    json: JsonOption = False,
) -> int:
    """Read, work out, and show only the findings."""
    codes = [0]
    listed: list[dict[str, Any]] = []
    for path in files:
        try:
            job = read_job(path)
            found, stopped, refused = findings_of(job)
        except Stopped:
            raise
        except BackseamError as error:
            show_refusal(error, as_json=json and len(files) == 1)
            listed.append({"file": str(path), "refused": str(error)})
            codes.append(2)
            continue
        speech = speech_for(job, units)
        if json:
            listed.append({"file": str(path), "findings": findings_told(found, speech)})
        else:
            if len(files) > 1:
                console().print(f"{path}")
            show_findings(found, speech)
            console().print(counted(found)) if found else None
        if refused is not None:
            note(f"{path}: {refused}")
        codes.append(2 if refused else int(stopped))
    if json and (len(files) > 1 or codes[-1] < 2):
        print_json(listed if len(files) > 1 else listed[0])
    return max(codes)


def findings_of(job: Job) -> tuple[Sequence[Finding], bool, BackseamError | None]:
    """All findings of a job, those of the forecast among them, what can hurt someone before the other checks; and
    whether the pattern stops, which a forecast never makes it do.

    If it cannot be worked out, those of the document and why it cannot.
    """
    from backseam.job.doubts import doubts
    from backseam.job.foreseen import all_findings, foreseen_of
    from backseam.job.recipe import work

    try:
        worked = work(job)
        return all_findings(worked, foreseen_of(worked)), stops(worked.findings), None
    except Stopped:
        raise
    except BackseamError as refused:
        return ordered(doubts(job)), False, refused
