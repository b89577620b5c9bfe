"""What may be doubted about a job document as it stands, before anything is computed from it.

A number that its field seldom is, a key that looks like a slip of the pen, a text that no longer belongs to
its number. Doors that read typed text ask about the same things at once; a written job gets them as findings.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from itertools import islice
from typing import Any

from pydantic import BaseModel

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.numbers import plain, shown
from backseam.ground.plausible import Suspicion, middle, suspicion
from backseam.ground.speech import PLAIN
from backseam.job.document import Job
from backseam.job.fields import Size, sizes
from backseam.job.walk import Steps, spelled

SAME = 1e-6  # a text and its number agree within this
UNIT_WORDS = {"mm": " mm", "degree": "°", "percent": " %", "gram": " g", "newton": " N"}
UNKNOWN_AT_MOST = 20
MANY = 60  # readings; more was not taken by hand
LIKE = 0.8  # a key so much like a known one is a slip of the pen
LONGEST_KEY = 60


def doubts(job: Job) -> tuple[Finding, ...]:
    """All of them, in the document's order."""
    girths = middle(row.reading_mm for row in job.form.girths if row.reading_mm)
    found: list[Finding] = []
    for steps, part in _parts(job, ()):
        found += _odd_numbers(steps, part, girths)
        found += _odd_texts(steps, part)
    return (*found, *_odd_span(job), *_too_many(job), *unknown_keys(job))


def doubt_at(job: Job, steps: Steps) -> Suspicion | None:
    """The suspicion against the number at one place, for a door that asks about it at once."""
    girths = middle(row.reading_mm for row in job.form.girths if row.reading_mm)
    for where, part in _parts(job, ()):
        for path, value, size in _numbers(where, part):
            if path[: len(steps)] == steps and (found := _suspicion(path, value, size, girths)):
                return found
    return None


def _parts(part: BaseModel, steps: Steps) -> Iterator[tuple[Steps, BaseModel]]:
    yield steps, part
    for name in type(part).model_fields:
        value = getattr(part, name)
        if isinstance(value, BaseModel):
            yield from _parts(value, (*steps, name))
        elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
            for number, one in enumerate(value):
                yield from _parts(one, (*steps, name, number))


def _numbers(steps: Steps, part: BaseModel) -> Iterator[tuple[Steps, float, Size]]:
    for name, size in sizes(type(part)).items():
        value = getattr(part, name)
        if isinstance(value, list | tuple):
            yield from (
                ((*steps, name, number), one, size)
                for number, one in enumerate(value)
                if isinstance(one, float)
            )
        elif value is not None:
            yield (*steps, name), value, size


def _suspicion(steps: Steps, value: float, size: Size, girths: float | None) -> Suspicion | None:
    if not size.kind or size.kind == "coordinate":
        return None
    return suspicion(value, size.kind, girths if size.kind == "girth" else None)


def _odd_numbers(steps: Steps, part: BaseModel, girths: float | None) -> Iterator[Finding]:
    for path, value, size in _numbers(steps, part):
        odd = _suspicion(path, value, size, girths)
        if odd is None:
            continue
        code = "JOB-003" if odd.better is None else "JOB-001" if odd.other is None else "JOB-002"
        unit = UNIT_WORDS.get(size.unit, "")
        yield finding(code, path, place=spelled(path), value=f"{shown(value)}{unit}", **_said(odd, size))


def _said(odd: Suspicion, size: Size) -> dict[str, Any]:
    return {
        "name": odd.name(),
        "low": plain(odd.low),
        "high": plain(odd.high),
        "unit": UNIT_WORDS.get(size.unit, ""),
        "looks": PLAIN.say(f"refusals.doubt.looks.{odd.looks}") if odd.looks else "",
        "better": odd.proposal,
        "other": f"{plain(round(odd.other or 0))} mm",
    }


def _odd_texts(steps: Steps, part: BaseModel) -> Iterator[Finding]:
    """Texts kept beside numbers that no longer read as these numbers."""
    for name, text in getattr(part, "typed", {}).items():
        size = sizes(type(part)).get(name)
        value = getattr(part, name, None)
        if size is None or not isinstance(value, int | float):
            continue
        try:
            same = abs(size.read(text) - value) <= SAME + abs(value) * SAME
        except InputRefused:
            same = True  # a doubt that was answered at a door
        if not same:
            path = (*steps, name)
            unit = UNIT_WORDS.get(size.unit, "")
            yield finding("JOB-006", path, place=spelled(path), value=f"{shown(value)}{unit}", typed=text)


def _odd_span(job: Job) -> Iterator[Finding]:
    """Heights that span a few millimetres were noted in another unit."""
    heights = [row.station_mm for row in job.form.girths]
    span = max(heights, default=0.0) - min(heights, default=0.0)
    odd = suspicion(span, "span") if len(heights) > 1 and span > 0 else None
    if odd and odd.better:
        said = _said(odd, Size("span"))
        yield finding("JOB-007", ("form", "girths"), value=f"{shown(span)} mm", **said)


def _too_many(job: Job) -> Iterator[Finding]:
    """More readings than a maker takes by hand."""
    count = len(job.form.girths)
    if count > MANY:
        yield finding("JOB-008", ("form", "girths"), count=count)


def unknown_keys(document: BaseModel) -> Iterator[Finding]:
    """Unknown keys of a document, each named once with the number of places where it stands."""
    places: dict[tuple[type[BaseModel], str], list[Steps]] = {}
    for steps, part in _parts(document, ()):
        for key in part.model_extra or {}:
            places.setdefault((type(part), key), []).append((*steps, key))
    for (part_type, key), found in islice(places.items(), UNKNOWN_AT_MOST):
        near = get_close_matches(key, part_type.model_fields, 1, LIKE)
        place = spelled((*found[0][:-1], key[:LONGEST_KEY]))
        if near:
            yield finding("JOB-004", found[0], place=place, nearest=near[0])
        else:
            yield finding("JOB-005", found[0], place=place, count=len(found))
