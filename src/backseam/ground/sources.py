"""Physical values and defaults as data: value, range, unit, kind, source, condition.

`defaults.toml` beside this file holds one record a value; a package with tables of its own (`leather`) reads them
with `records`. Nothing with a unit is typed into a function body; `docs/sources.toml` is the bibliography the
source keys point to.
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
    """One value taken from the world. `weak` ones stand in the assumptions block of the bench card.

    direction: of the hide, `along` or `across` the backbone, empty where it does not matter. place: table or page
    in the source, and what of it was seen. use: what the value is for.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    kind: Kind
    source: str
    condition: str = ""
    weak: bool = False
    direction: str = ""
    place: str = ""
    use: str = ""


@cache
def records(package: str, *tables: str) -> dict[str, Value]:
    """The records of a package's tables, by dotted name (`seam.inside_radius`), read once."""
    return {
        f"{group}.{name}": Value(name=f"{group}.{name}", **record)
        for table in tables
        for group, rows in tomllib.loads(files(package).joinpath(table).read_text(encoding="utf-8")).items()
        for name, record in rows.items()
    }


def values() -> dict[str, Value]:
    """The default values, by dotted name (`seam.inside_radius`)."""
    return records("backseam.ground", "defaults.toml")


def default(name: str) -> float:
    """The value of one record.

    >>> default("seam.glue_band")
    15.0
    """
    return values()[name].value
