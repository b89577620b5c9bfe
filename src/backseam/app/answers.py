"""What the workers answer: a request's plain values in, JSON (or a file) as bytes out. Each calls the pure core."""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import asdict
from hashlib import sha256
from typing import Any

from pydantic_core import to_json

from backseam.ground.progress import SILENT, Progress
from backseam.ground.speech import Speech
from backseam.job.document import Job
from backseam.job.explain import Moved
from backseam.job.fixes import finding_rows
from backseam.job.gate_rows import gate_rows
from backseam.job.recipe import Worked, work
from backseam.job.text import job_of
from backseam.job.upgrade import upgraded
from backseam.job.views import shown
from backseam.job.way import Leg, way

Given = dict[str, Any]
Answer = Callable[[Given, Progress], bytes]
REMEMBERED = 12  # jobs worked out, by what stands in them
_memo: OrderedDict[str, Worked] = OrderedDict()
_last_moved: dict[str, Moved] = {}


def job_in(given: Given) -> Job:
    """The job of a request. Raises InputRefused."""
    return job_of(upgraded(given.get("document")))


def key_of(given: Given) -> str:
    """The job of a request by its content."""
    return sha256(json.dumps(given.get("document"), sort_keys=True).encode()).hexdigest()


def worked_in(given: Given, progress: Progress = SILENT) -> Worked:
    """The job of a request, worked out; the last few are remembered by their content."""
    key = key_of(given)
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


def work_out(given: Given, progress: Progress) -> bytes:
    """The job worked out, its findings, its drawings, its places."""
    from backseam.job.worked_json import worked_out

    worked = worked_in(given, progress)
    speech = speech_in(given, worked.job)
    drawings, places = shown(worked, tuple(given.get("views") or ()), speech)
    return to_json(
        {
            "seq": given.get("seq", 0),
            "worked": worked_out(worked, speech),
            "findings": finding_rows(worked, speech),
            "places": places,
            "way": _legs(way(worked.job, worked, speech)),
            "gates": [asdict(one) for one in gate_rows(worked, speech)],
            "drawings": drawings,
        }
    )


def _legs(legs: tuple[Leg, ...]) -> list[dict[str, Any]]:
    """The legs of the way as the page takes them."""
    return [
        {
            "key": leg.key,
            "name": leg.name,
            "state": leg.standing.value,
            "text": leg.text,
            "missing": list(leg.missing),
        }
        for leg in legs
    ]


def _moved(given: Given) -> Moved:
    """The job with each of its inputs moved, kept for the one that was asked about last."""
    key = key_of(given)
    if key not in _last_moved:
        _last_moved.clear()
        _last_moved[key] = {}
    return _last_moved[key]


def why(given: Given, progress: Progress) -> bytes:
    """Which readings and values a hole or a line came from, the strongest first."""
    from backseam.job.explain import why as reasons_of
    from backseam.job.paths import steps_of

    job = job_in(given)
    speech = speech_in(given, job)
    told = reasons_of(job, str(given.get("what", "")), progress, _moved(given))

    def length(value: float) -> str:
        return speech.length(value, 2)

    values = ", ".join(f"{name} {length(value)}" for name, value in told.values.items())
    reasons = [
        {
            "where": list(steps_of(one.path)) if one.path and not one.assumed else [],
            "text": speech.say("api.why.reason", label=one.label, moves=one.over_spread),
            "moves_mm": round(one.over_spread, 3),
            "assumed": one.assumed,
        }
        for one in told.reasons
    ]
    return to_json({"text": speech.say("api.why.at", what=told.what, values=values), "reasons": reasons})


def section(given: Given, progress: Progress) -> bytes:
    """The form cut level at a height."""
    from backseam.papers import screen
    from backseam.papers.sheets.section_view import section_view

    worked = worked_in(given, progress)
    marks, speech = worked.form.marks, speech_in(given, worked.job)
    at = min(max(float(given["station_mm"]), 0.0), marks.mouth)
    return to_json(
        {
            "svg": screen.write(section_view(worked, at, speech)),
            "station_mm": round(at, 3),
            "width_mm": round(float(worked.form.width(at)), 3),
            "depth_mm": round(float(worked.form.depth(at)), 3),
            "girth_mm": round(float(worked.form.girth(at)), 3),
        }
    )


def warm() -> None:
    """Load everything, and work once, so that the first request finds it ready."""
    from importlib.resources import files

    sample = json.loads(files("backseam.samples").joinpath("barrel.json").read_bytes())
    work_out({"document": sample, "views": ["front", "back", "piece", "stretch"]}, SILENT)


def answers() -> dict[str, Answer]:
    """Every answer by its name."""
    from backseam.app import answers_book, answers_fit, answers_leather, answers_papers, glance

    return {
        "work": work_out,
        "why": why,
        "section": section,
        "glance": glance.glance,
        **answers_book.ANSWERS,
        **answers_fit.ANSWERS,
        **answers_leather.ANSWERS,
        **answers_papers.ANSWERS,
    }
