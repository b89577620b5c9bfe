"""Older job documents, brought up to date step by step: one pure function for each step, in order.

Version 1 is the first, so there is no step yet. A step takes the raw document of its version and gives that
of the next; it never looks at the present model. A sample of every version released is kept with the tests.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from backseam.ground.errors import DocumentTooNew, InputRefused
from backseam.ground.speech import PLAIN
from backseam.job.document import KIND, VERSION

Raw = dict[str, Any]
Step = Callable[[Raw], Raw]

# By the version it starts from.
STEPS: Mapping[int, Step] = {}


def upgraded(raw: Any, steps: Mapping[int, Step] = STEPS, newest: int = VERSION, kind: str = KIND) -> Raw:
    """The raw document in the newest version; kind: which of Backseam's documents it has to be.

    Raises `InputRefused` if it is none of that kind, `DocumentTooNew` if a newer program wrote it.
    """
    version = _version(raw, newest, kind)
    if version > newest:
        raise DocumentTooNew(PLAIN.say("refusals.json.newer", version=version, newest=newest), ("version",))
    document: Raw = raw
    for step in range(version, newest):
        document = {**steps[step](document), "version": step + 1}
    return document


def _version(raw: Any, newest: int, wanted: str) -> int:
    def refused(key: str, *where: str, **values: object) -> InputRefused:
        name = PLAIN.say(f"refusals.json.name.{wanted.removeprefix('backseam.')}")
        return InputRefused(PLAIN.say(f"refusals.json.{key}", name=name, wanted=wanted, **values), where)

    if not isinstance(raw, dict):
        raise refused("no_object")
    kind = raw.get("kind")
    if kind is None:
        raise refused("no_kind", "kind")
    if kind != wanted:
        key = "other_backseam" if isinstance(kind, str) and kind.startswith("backseam.") else "other_kind"
        raise refused(key, "kind", kind=str(kind)[:60])
    version = raw.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise refused("no_version", "version", newest=newest)
    return version
