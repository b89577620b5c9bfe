"""Finding one's way in the job document: the part and key at a path, and the path as people write it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, get_args, get_origin

from pydantic import BaseModel

Steps = tuple[str | int, ...]


@dataclass(frozen=True)
class Place:
    """Where a path leads: the part that holds the field, the field's key, and what is still left inside it.

    part is None if the path leaves the model (an unknown key).
    """

    part: type[BaseModel] | None
    key: str
    rest: Steps = ()


def place(root: type[BaseModel], steps: Steps) -> Place:
    """The place a path leads to, from a model on.

    >>> from backseam.job.document import Job
    >>> place(Job, ("form", "girths", 3, "reading_mm")).part.__name__
    'GirthReading'
    """
    part, found = root, Place(root, "")
    for number, step in enumerate(steps):
        if isinstance(step, int):
            continue
        field = part.model_fields.get(step)
        if field is None:
            return Place(None, step)
        found = Place(part, step, steps[number + 1 :])
        inner = inner_part(field.annotation)
        if inner is None:
            return found
        part = inner
    return found


def inner_part(annotation: Any) -> type[BaseModel] | None:
    """The part inside a field's type, also in a list or `... | None`."""
    if isinstance(annotation, type) and get_origin(annotation) is None:
        return annotation if issubclass(annotation, BaseModel) else None
    found = (inner_part(inner) for inner in get_args(annotation))
    return next((one for one in found if one), None)


def spelled(steps: Steps) -> str:
    """A path as people write it.

    >>> spelled(("form", "girths", 3, "reading_mm"))
    'form.girths[3].reading_mm'
    """
    text = "".join(
        f".{step}" if isinstance(step, str) else "[+]" if step < 0 else f"[{step}]" for step in steps
    )
    return text.removeprefix(".")
