"""Any field of a job by its dotted path: `leather.thickness_mm`, `form.girths[3].reading_mm`.

A value given as text is read as the document reads it (the number reader, words in any case), or as JSON
where it opens with a bracket or brace; `null` takes the field out again, back to the house default.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import get_close_matches
from itertools import pairwise
from typing import Any

from pydantic import BaseModel

from backseam.ground.errors import InputRefused
from backseam.ground.speech import PLAIN
from backseam.job.document import Job
from backseam.job.fields import sizes
from backseam.job.refused import at
from backseam.job.text import job_of, raw_job, raw_of
from backseam.job.walk import Steps, inner_part, place, spelled

_STEP = re.compile(r"\.?([A-Za-z_][A-Za-z0-9_]*)|[\[.]([0-9]{1,6}|\+)\]?")
UNSET = "null"


def put(job: Job, path: str, value: Any) -> Job:
    """The job with one field changed; all else as it was. Raises `InputRefused` with path and remedy."""
    return put_all(job, [(path, value)])


def put_all(job: Job, changes: list[tuple[str, Any]]) -> Job:
    """The job with several fields changed at once, checked together at the end."""
    raw = raw_job(job)
    for path, value in changes:
        put_raw(raw, path, value)
    return job_of(raw)


def put_raw(raw: dict[str, Any], path: str, value: Any) -> None:
    """Change one field of a raw document in place, without checking its value yet.

    `girths[+]` adds an entry at the end of a list.
    """
    steps = steps_of(path)
    where = place(Job, steps)
    if where.part is None:
        raise _unknown(path, steps)
    _forget_typed(raw, steps)
    _put(raw, steps, _value(value, where.part, where.key, steps), path)


def get(job: Job, path: str) -> Any:
    """The value of a field, plain; None if it was left out."""
    steps = steps_of(path)
    if place(Job, steps).part is None:
        raise _unknown(path, steps)
    return _found(raw_job(job), steps)


def steps_of(path: str) -> Steps:
    """The steps of a dotted path; `+` for a new entry comes as -1.

    >>> steps_of("form.girths[3].reading_mm")
    ('form', 'girths', 3, 'reading_mm')
    """
    steps: list[str | int] = []
    at_end = 0
    while match := _STEP.match(path, at_end):
        steps.append(match[1] if match[1] else -1 if match[2] == "+" else int(match[2]))
        at_end = match.end()
    if not steps or at_end != len(path):
        raise InputRefused(PLAIN.say("refusals.path.unreadable", path=path[:60]))
    return tuple(steps)


def all_paths(part: type[BaseModel] = Job, front: str = "") -> Iterator[str]:
    """Every path of the document, lists as `[]`."""
    for name, field in part.model_fields.items():
        inner = inner_part(field.annotation)
        if inner is None:
            yield front + name
        else:
            several = "list[" in str(field.annotation)
            yield from all_paths(inner, f"{front}{name}{'[]' if several else ''}.")


def _value(value: Any, part: type[BaseModel], key: str, steps: Steps) -> Any:
    """A text as the field takes it: JSON in brackets, otherwise as it stands."""
    if not isinstance(value, str):
        return value
    text = value.strip()
    if text == UNSET:
        return None
    field = part.model_fields[key]
    if text[:1] in "[{" and text and (inner_part(field.annotation) or key in sizes(part)):
        try:
            return raw_of(text)
        except InputRefused:
            raise InputRefused(at(steps, PLAIN.say("refusals.path.broken", text=text[:40])), steps) from None
    return text


def _put(raw: Any, steps: Steps, value: Any, path: str) -> None:
    holder = raw
    for step, following in pairwise(steps):
        empty: Any = [] if isinstance(following, int) else {}
        holder = _entered(holder, step, empty, path)
    last = steps[-1]
    if isinstance(holder, dict) and isinstance(last, str):
        if value is None:
            holder.pop(last, None)
        else:
            holder[last] = value
    elif isinstance(holder, list) and isinstance(last, int):
        if last == -1 or last == len(holder):
            holder.append(value)
        elif last > len(holder):
            raise InputRefused(PLAIN.say("refusals.path.beyond", path=path, count=len(holder)), steps)
        elif value is None:
            del holder[last]
        else:
            holder[last] = value
    else:
        raise InputRefused(PLAIN.say("refusals.path.unreadable", path=path), steps)


def _entered(holder: Any, step: str | int, empty: Any, path: str) -> Any:
    """One level down, made if it is not there yet."""
    if isinstance(holder, dict) and isinstance(step, str):
        inner = holder.get(step)
        if not isinstance(inner, type(empty)):
            inner = holder[step] = empty
        return inner
    if isinstance(holder, list) and isinstance(step, int):
        if step == -1 or step == len(holder):
            holder.append(empty)
            return empty
        if step < len(holder):
            return holder[step]
        raise InputRefused(PLAIN.say("refusals.path.beyond", path=path, count=len(holder)))
    raise InputRefused(PLAIN.say("refusals.path.unreadable", path=path))


def _forget_typed(raw: Any, steps: Steps) -> None:
    """A number given anew is no longer what was typed before."""
    names = [step for step in steps if isinstance(step, str)]
    holder = _found(raw, steps[: len(steps) - 1 - steps[::-1].index(names[-1])])
    typed = holder.get("typed") if isinstance(holder, dict) else None
    if isinstance(typed, dict):
        typed.pop(names[-1], None)
        if not typed:
            del holder["typed"]


def _found(raw: Any, steps: Steps) -> Any:
    for step in steps:
        if isinstance(raw, dict) and isinstance(step, str):
            raw = raw.get(step)
        elif isinstance(raw, list) and isinstance(step, int) and 0 <= step < len(raw):
            raw = raw[step]
        else:
            return None
    return raw


def _unknown(path: str, steps: Steps) -> InputRefused:
    known = list(all_paths())
    plain = spelled(tuple("" if isinstance(step, int) else step for step in steps)).replace("..", ".")
    bare = {one.replace("[]", ""): one for one in known}
    last = {one: one.rpartition(".")[2] for one in known}
    near = get_close_matches(plain, bare, 1, 0.75)
    nearest = [bare[one] for one in near] or [
        one for one, name in last.items() if name.startswith(str(steps[-1])) or name == str(steps[-1])
    ]
    key = "unknown_near" if nearest else "unknown"
    return InputRefused(
        PLAIN.say(f"refusals.path.{key}", path=path, nearest=nearest[0] if nearest else ""), steps
    )
