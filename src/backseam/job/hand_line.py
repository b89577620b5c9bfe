"""The hand line alone, at once: readings turned to the strap, half of it each side, dots to join.

The maker's own way, without the form between the readings and without the flat piece, so that a page can answer each
key. A row that cannot be taken is named and left out; the others stay.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from backseam.form.build import rows_read
from backseam.ground.errors import InputRefused, SeveralRefused
from backseam.ground.units import Mm
from backseam.job.inputs import inputs
from backseam.job.text import job_of
from backseam.job.upgrade import upgraded

TURNS = 4  # left out, tried again


@dataclass(frozen=True)
class HandRow:
    """One height. reading: row of form.girths; station: from the bottom edge; strap: what a butted strap of this
    leather reads there; half_width: where the dot goes, each side of the centre line."""

    reading: int
    name: str
    station: Mm
    strap: Mm
    half_width: Mm


@dataclass(frozen=True)
class HandLine:
    """Rows from the bottom edge up, and what could not be taken, with its place."""

    rows: tuple[HandRow, ...]
    refused: tuple[InputRefused, ...]


def hand_line(raw: Any) -> HandLine:
    """The hand line of a raw document. Raises InputRefused if it is no job at all.

        strap = girth + pi * thickness;  half width = strap / 2     (form.girth.butted)

    Tested: equal to the dots of the whole work for every sample.

    >>> row = {"station_mm": 40, "reading_mm": 100, "instrument": "strap_butted"}
    >>> job = {"kind": "backseam.job", "version": 1, "form": {"girths": [row]}, "construction": {"film_mm": 0}}
    >>> round(hand_line(job).rows[0].half_width, 2)        # the strap itself was read: 100 / 2
    50.0
    """
    document = upgraded(raw)
    refused: list[InputRefused] = []
    numbers = list(range(len(_girths(document))))
    for _ in range(TURNS):
        try:
            given = inputs(job_of(document)).form
            rows = rows_read(given) if given.readings else ()
        except InputRefused as met:
            each = met.each if isinstance(met, SeveralRefused) else (met,)
            refused += [_placed(one, numbers) for one in each]
            document, kept = _without(document, [one.where for one in each])
            numbers = [numbers[i] for i in kept]
            continue
        told = tuple(HandRow(numbers[r.index], r.name, r.read_at, 2 * r.hand, r.hand) for r in rows)
        return HandLine(told, tuple(refused))
    return HandLine((), tuple(refused))


def _girths(document: dict[str, Any]) -> list[Any]:
    form = document.get("form")
    found = form.get("girths") if isinstance(form, dict) else None
    return found if isinstance(found, list) else []


def _placed(refused: InputRefused, numbers: list[int]) -> InputRefused:
    """The refusal with the row as it was numbered at first."""
    where = refused.where
    if where[:2] == ("form", "girths") and len(where) > 2 and isinstance(where[2], int):
        row = numbers[where[2]] if where[2] < len(numbers) else where[2]
        return InputRefused(str(refused), (*where[:2], row, *where[3:]))
    return refused


def _without(
    document: dict[str, Any], places: list[tuple[str | int, ...]]
) -> tuple[dict[str, Any], list[int]]:
    """The document without the rows and fields named, and which rows of the readings are left."""
    left = deepcopy(document)
    rows = _girths(left)
    bad = {where[2] for where in places if where[:2] == ("form", "girths") and len(where) > 2}
    kept = [i for i in range(len(rows)) if i not in bad]
    rows[:] = [rows[i] for i in kept]
    for where in places:
        if where[:2] == ("form", "girths") and len(where) > 2:
            continue
        _drop(left, where)
    return left, kept


def _drop(holder: Any, where: tuple[str | int, ...]) -> None:
    """Take away what stands at a place; a place within a list takes the whole list."""
    for step, after in pairwise(where):
        if not isinstance(holder, dict):
            return
        if isinstance(after, int):
            holder.pop(step, None)
            return
        holder = holder.get(step)
    if isinstance(holder, dict) and where:
        holder.pop(where[-1], None)
