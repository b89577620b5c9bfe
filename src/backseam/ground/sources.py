"""Physical values and defaults as data: value, range, unit, kind, source, condition.

`defaults.toml` beside this file holds one record a value. Nothing with a unit is typed into a function body;
`docs/sources.toml` is the bibliography the source keys point to.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

Kind = Literal["standard", "published", "measured", "derived", "common practice", "assumed"]


@dataclass(frozen=True)
class Value:
    """One value taken from the world. `weak` ones stand in the assumptions block of the bench card."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    kind: Kind
    source: str
    condition: str = ""
    weak: bool = False


@cache
def values() -> dict[str, Value]:
    """All records, by dotted name (`seam.inside_radius`)."""
    text = files("backseam.ground").joinpath("defaults.toml").read_text(encoding="utf-8")
    return {
        f"{group}.{name}": Value(name=f"{group}.{name}", **record)
        for group, records in tomllib.loads(text).items()
        for name, record in records.items()
    }


def default(name: str) -> float:
    """The value of one record.

    >>> default("seam.glue_band")
    15.0
    """
    return values()[name].value
