"""Two versions of a document, field by field. It knows JSON and nothing of jobs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

Where = tuple[str | int, ...]
NOTHING = None  # what stands for a field that one version does not have


@dataclass(frozen=True)
class Difference:
    """A field in which two versions differ; None where one of them does not have it."""

    where: Where
    mine: Any
    theirs: Any


def differences(mine: str, theirs: str) -> tuple[Difference, ...]:
    """Every field in which the two texts of JSON differ, in the order of `mine`, then what only `theirs` has.

    >>> differences('{"a": 1, "b": [1, 2]}', '{"a": 1, "b": [1, 3], "c": 4}')
    (Difference(where=('b', 1), mine=2, theirs=3), Difference(where=('c',), mine=None, theirs=4))
    """
    return tuple(_differ(json.loads(mine), json.loads(theirs), ()))


def _differ(mine: Any, theirs: Any, where: Where) -> Iterator[Difference]:
    if isinstance(mine, dict) and isinstance(theirs, dict):
        for key in dict.fromkeys((*mine, *theirs)):
            yield from _differ(mine.get(key, NOTHING), theirs.get(key, NOTHING), (*where, key))
    elif isinstance(mine, list) and isinstance(theirs, list):
        for at in range(max(len(mine), len(theirs))):
            one = mine[at] if at < len(mine) else NOTHING
            other = theirs[at] if at < len(theirs) else NOTHING
            yield from _differ(one, other, (*where, at))
    elif type(mine) is not type(theirs) or mine != theirs:
        yield Difference(where, mine, theirs)
