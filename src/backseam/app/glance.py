"""One job at a glance, for Today: its small drawing, its way, what comes next, what goes on by itself."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pydantic_core import to_json

from backseam.app.answers import Given, job_in, speech_in, worked_in
from backseam.ground.errors import InputRefused
from backseam.ground.findings import Severity
from backseam.ground.progress import Progress
from backseam.ground.speech import Speech
from backseam.job.accepted import open_checks
from backseam.job.document import Job
from backseam.job.forecast import timetable
from backseam.job.recipe import Worked
from backseam.job.views import thumbnail
from backseam.job.way import damp, going_on, next_act, way


def glance(given: Given, progress: Progress) -> bytes:
    """given: document, and now as an instant with its zone. A job that cannot be worked from yet has no drawing."""
    job = job_in(given)
    speech = speech_in(given, job)
    try:
        worked = worked_in(given, progress)
    except InputRefused:
        worked = None
    found = worked.findings if worked else ()
    return to_json(
        {
            "thumbnail": thumbnail(worked, speech, damp(job)) if worked else "",
            "way": way(job, worked, speech),
            "next": next_act(job, worked, speech),
            "going": _going(job, worked, str(given.get("now") or ""), speech) if worked else None,
            "stop": sum(1 for one in found if one.severity is Severity.STOP),
            "check": open_checks(job, job.accepted, found),
        }
    )


def _going(job: Job, worked: Worked, now: str, speech: Speech) -> dict[str, Any] | None:
    if job.making.now is None or not now:
        return None
    since = datetime.fromisoformat(job.making.now.since)
    passed = (datetime.fromisoformat(now) - since).total_seconds() / 60
    going = going_on(job, worked, timetable(worked), passed, speech)
    if going is None:
        return None
    return {
        "act": going.act,
        "text": going.text,
        "then": going.then,
        "left_min": going.left,
        "whole_min": going.whole,
        "wet": going.wet,
    }
