"""What the workers answer: a request's plain values in, JSON (or a file) as bytes out. Each calls the pure core."""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Callable
from hashlib import sha256
from typing import Any

from pydantic_core import to_json

from backseam.ground.findings import Finding
from backseam.ground.progress import SILENT, Progress
from backseam.ground.speech import Speech
from backseam.job.document import Job
from backseam.job.recipe import Worked, work
from backseam.job.text import job_of
from backseam.job.upgrade import upgraded

Given = dict[str, Any]
Answer = Callable[[Given, Progress], bytes]
REMEMBERED = 12  # jobs worked out, by what stands in them
_memo: OrderedDict[str, Worked] = OrderedDict()


def job_in(given: Given) -> Job:
    """The job of a request. Raises InputRefused."""
    return job_of(upgraded(given.get("document")))


def worked_in(given: Given, progress: Progress = SILENT) -> Worked:
    """The job of a request, worked out; the last few are remembered by their content."""
    key = sha256(json.dumps(given.get("document"), sort_keys=True).encode()).hexdigest()
    known = _memo.get(key)
    if known is None:
        known = _memo[key] = work(job_in(given), progress)
        while len(_memo) > REMEMBERED:
            _memo.popitem(last=False)
    _memo.move_to_end(key)
    return known


def speech_in(given: Given, job: Job | None = None) -> Speech:
    """How to speak: as the request asks, else as the job says, else in mm."""
    units = given.get("units") or (job.paper.units if job else None)
    return Speech("inch" if units == "inch" else "mm")


def findings_told(findings: tuple[Finding, ...], speech: Speech) -> list[dict[str, Any]]:
    """Findings with their texts."""
    return [
        {
            "code": one.code,
            "severity": one.severity.value,
            "text": one.text(speech),
            "remedy": one.remedy(speech),
            "where": list(one.where),
            "numbers": {k: round(v, 4) if isinstance(v, float) else v for k, v in one.numbers.items()},
        }
        for one in findings
    ]


def work_out(given: Given, progress: Progress) -> bytes:
    """The job worked out, its findings, its drawings, its places."""
    from backseam.job.worked_json import worked_out

    worked = worked_in(given, progress)
    speech = speech_in(given, worked.job)
    return to_json(
        {
            "seq": given.get("seq", 0),
            "worked": worked_out(worked, speech),
            "findings": findings_told(worked.findings, speech),
            "places": [],
            "way": [],
            "drawings": {},
        }
    )


def warm() -> None:
    """Load everything, and work once, so that the first request finds it ready."""
    from importlib.resources import files

    sample = json.loads(files("backseam.samples").joinpath("barrel.json").read_bytes())
    work_out({"document": sample}, SILENT)


ANSWERS: dict[str, Answer] = {"work": work_out}
