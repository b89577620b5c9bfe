"""Checks that were looked at and accepted with a reason: kept in the job, good as long as nothing they speak of moves.

An acceptance names the finding (code and place) and the hash of its datum: what stands at that place in the document,
with the numbers the finding compares. When either moves, the acceptance lapses and the check stands open again. A stop
is never accepted: the paper would be wrong. A note needs none.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from enum import Enum
from hashlib import sha256
from typing import Annotated, Any, ClassVar

from pydantic import AfterValidator, BaseModel, Field

from backseam.ground.findings import Finding, Path, Severity
from backseam.job.fields import one_line
from backseam.job.part import Part

LETTERS = 16  # of the hash: enough to tell one datum from another


class AcceptedPart(Part):
    """One check, accepted. datum: the hash of what it spoke of. why: the reason, in the maker's own words."""

    book: ClassVar[str] = "accepted"

    code: Annotated[str, Field(min_length=1, max_length=40), AfterValidator(one_line)]
    where: Annotated[list[str | int], Field(max_length=12)] = Field(default_factory=list)
    datum: Annotated[str, Field(min_length=1, max_length=80), AfterValidator(one_line)]
    why: Annotated[str, Field(min_length=1, max_length=500), AfterValidator(one_line)]


def datum_of(job: BaseModel, found: Finding) -> str:
    """The hash of what a finding speaks of: the value at its place, and the numbers it compares.

    Numbers of the finding count with three figures: a change that no text would show is none.
    """
    numbers = {name: _figures(value) for name, value in found.numbers.items()}
    spoken = json.dumps([_standing(job, found.where), numbers], sort_keys=True, default=str)
    return sha256(spoken.encode()).hexdigest()[:LETTERS]


def reason_for(job: BaseModel, accepted: Iterable[AcceptedPart], found: Finding) -> str:
    """Why a check was accepted, "" if it was not, or no longer is."""
    if found.severity is not Severity.CHECK:
        return ""
    named = [one for one in accepted if one.code == found.code and tuple(one.where) == tuple(found.where)]
    if not named:
        return ""
    datum = datum_of(job, found)
    return next((one.why for one in reversed(named) if one.datum == datum), "")


def open_checks(job: BaseModel, accepted: Iterable[AcceptedPart], findings: Iterable[Finding]) -> int:
    """How many checks are still to be looked at."""
    known = tuple(accepted)
    return sum(1 for one in findings if one.severity is Severity.CHECK and not reason_for(job, known, one))


def _standing(root: Any, path: Path) -> Any:
    """What stands at a place, as plain values without what was typed; None where nothing does."""
    if not path:
        return None
    at = root
    for step in path:
        if isinstance(step, int):
            at = at[step] if isinstance(at, list | tuple) and 0 <= step < len(at) else None
        else:
            at = getattr(at, step, None)
    return _plain(at)


def _plain(value: Any) -> Any:
    if isinstance(value, BaseModel):
        return {name: _plain(getattr(value, name)) for name in type(value).model_fields if name != "typed"}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value.value if isinstance(value, Enum) else value


def _figures(value: Any) -> str:
    return f"{value:.3g}" if isinstance(value, int | float) and not isinstance(value, bool) else str(value)
