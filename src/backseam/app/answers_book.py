"""What the workers answer of many jobs at once: an old pattern for a new knife."""

from __future__ import annotations

from pydantic_core import to_json

from backseam.app.answers import Answer, Given, speech_in
from backseam.ground.errors import InputRefused
from backseam.ground.numbers import Unit
from backseam.ground.progress import Progress
from backseam.job.document import Job
from backseam.job.match import NotRead
from backseam.job.match import match as matched
from backseam.job.new_knife import read
from backseam.job.text import job_of
from backseam.job.told_json import match_told
from backseam.job.upgrade import upgraded


def match(given: Given, progress: Progress) -> bytes:
    """given: readings of the new knife, and the jobs of the book by their id."""
    unit: Unit = "inch" if given.get("units") == "inch" else "mm"
    knife = read(
        str(given["readings"]),
        unit=unit,
        strap=given.get("strap"),
        junction=given.get("junction"),
        thickest=given.get("thickest"),
    )
    jobs: list[tuple[str, Job]] = []
    unread: list[NotRead] = []
    for id, raw in given["jobs"]:
        try:
            jobs.append((id, job_of(upgraded(raw))))
        except InputRefused as refused:
            unread.append(NotRead(id, str(refused)))
    told = matched(jobs, knife, progress)
    return to_json(match_told(told, tuple(unread), speech_in(given)))


ANSWERS: dict[str, Answer] = {"match": match}
