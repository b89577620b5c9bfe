"""A table of readings as noted while working, as CSV: bytes in, rows of the job document out.

Columns by name, in any order: station_mm, reading_mm, instrument, width_mm, depth_mm, note; also name, pull,
over_film, spread_mm, instrument_mm. `_in` or `_cm` for other units; a cell may carry its own unit. Parted by
commas, semicolons or tabs. Where a cell can be read two ways the table is not taken: the doubt comes back
with its choices, and the door calls again with the answers. Text stays text: nothing is worked out from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from itertools import pairwise
from typing import Any

from pydantic import ValidationError

from backseam.form.girth import Instrument, Pull
from backseam.ground.errors import InDoubt, InputRefused, SeveralRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.numbers import Decimal, Length, Unit, plain, read_length
from backseam.ground.plausible import middle, suspicion
from backseam.ground.speech import PLAIN
from backseam.intake.columns import KNOWN, NUMBERS, Column, Sheet, sheet_of
from backseam.intake.decode import text_of
from backseam.job.document import GirthReading
from backseam.job.fields import same_word
from backseam.job.refused import told

LONGEST_CELL = 2000
MOST_REFUSALS = 20
MOST_TURNS = 3  # one row out of order makes the heights turn round so often
Key = tuple[str | int, ...]
_UNITS: dict[str, Unit] = {"in": "inch", "inch": "inch", "cm": "cm", "m": "m", "mm": "mm"}
_SHORT: dict[Unit, str] = {"inch": " in", "cm": " cm"}
_INSTRUMENTS = {"butted": "strap_butted", "pinched": "strap_pinched", "overlapped": "strap_overlapped"}
_YES, _NO = ("yes", "true", "1", "x", "film"), ("no", "false", "0", "bare")


@dataclass(frozen=True)
class Readings:
    """What a table gave: its readings in the order of the table, and what is worth knowing of it."""

    rows: tuple[GirthReading, ...]
    findings: tuple[Finding, ...]


def read_readings(
    data: bytes, *, unit: Unit | None = None, answers: Mapping[Key, str] | None = None, yes: bool = False
) -> Readings:
    """The readings in a CSV file.

    unit: of columns that name none. answers: to doubts met before, by their place. yes: take what is likely.
    Raises `InputRefused`; `InDoubt` or `SeveralRefused` where a person can mend or decide.
    """
    sheet = sheet_of(text_of(data))
    table = _Table(sheet, unit, dict(answers or {}), yes)
    table.settle_units()
    rows = table.rows()
    if table.refused:
        each = tuple(table.refused[:MOST_REFUSALS])
        raise each[0] if len(each) == 1 else SeveralRefused(each)
    kept = tuple(row for _, row in rows)
    return Readings(kept, (*_of_sheet(sheet), *_of_rows(rows), *table.findings))


@dataclass
class _Table:
    """One pass over the cells; refusals and proposals taken gather here."""

    sheet: Sheet
    unit: Unit | None
    answers: dict[Key, str]
    yes: bool
    refused: list[InputRefused] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    girths: float | None = None
    decimal: Decimal | None = None

    def __post_init__(self) -> None:
        self.decimal = self.sheet.decimal

    def settle_units(self) -> None:
        """The unit of columns that name none: given, answered or asked; then the heights' sense."""
        numbers = (column for column in self.sheet.columns if column.field in NUMBERS and not column.unit)
        unnamed = next((column for column in numbers if self._bare(column)), None)
        if unnamed and self.unit is None:
            self.unit = self._asked_unit(unnamed)
        readings = [size for cell in self.sheet.cells("reading") if (size := self._size(cell, "reading"))]
        self.girths = middle(readings)
        heights = [self._size(cell, "station") for cell in self.sheet.cells("station")]
        self._check_span([height for height in heights if height is not None])

    def rows(self) -> list[tuple[int, GirthReading]]:
        """Every row that can be taken, with its number in the file."""
        taken = ((number, self._row(number, cells)) for number, cells in self.sheet.rows)
        return [(number, row) for number, row in taken if row is not None]

    def _asked_unit(self, column: Column) -> Unit:
        if answer := self.answers.get(("unit",)):
            return _UNITS.get(answer, "mm")
        named = {c.unit for c in self.sheet.columns if c.unit}
        both: tuple[Unit, ...] = ("mm", "inch")
        likely = named if len(named) == 1 else {unit for unit in both if self._sensible(unit)}
        first: Unit = next(iter(likely)) if len(likely) == 1 else "mm"
        if self.yes and len(likely) == 1:
            named_so = {"mm": "millimetres", "inch": "inches", "cm": "centimetres"}
            self.findings.append(finding("TABLE-009", unit=named_so.get(first, first)))
            return first
        choices = ("mm", "inch") if first == "mm" else (first, "mm")
        raise InDoubt(_say("which_unit", column=column.heading), choices, ("unit",), likely=len(likely) == 1)

    def _sensible(self, unit: Unit) -> bool:
        """True if the readings are girths when taken in this unit."""
        bare = [size for cell in self.sheet.cells("reading") if (size := self._size(cell, "reading", unit))]
        return bool(bare) and suspicion(sorted(bare)[len(bare) // 2], "girth") is None

    def _bare(self, column: Column) -> bool:
        """True if a cell of the column has no unit of its own."""
        for cell in self.sheet.cells(column.field):
            try:
                if cell and not read_length(cell, unit="inch", signed=True, thickness=True).given:
                    return True
            except InputRefused:
                continue
        return False

    def _size(self, cell: str, name: str, unit: Unit | None = None) -> float | None:
        try:
            return self._length(cell, name, unit).mm if cell else None
        except InputRefused:
            return None

    def _length(self, cell: str, name: str, unit: Unit | None = None) -> Length:
        column = next(c for c in self.sheet.columns if c.field == name)
        known = unit or column.unit or self.unit
        if name == "station" and (heights := self.answers.get(("heights",))):
            known = _UNITS.get(heights, known)
        return read_length(
            cell,
            unit=known,
            signed=name == "station",
            thickness=name == "thickness",
            decimal=self.decimal,
        )

    def _check_span(self, heights: list[float]) -> None:
        span = max(heights, default=0.0) - min(heights, default=0.0)
        odd = suspicion(span, "span") if len(heights) > 1 and span else None
        unit = {"centimetres": "cm", "inches": "in", "metres": "m"}.get(odd.looks or "") if odd else None
        if not odd or not unit or ("heights",) in self.answers:
            return
        if self.yes:
            self.answers["heights",] = unit
            self.findings.append(finding("TABLE-009", unit=odd.looks))
            return
        looks = PLAIN.say(f"refusals.doubt.looks.{odd.looks}")
        said = _say(
            "heights", value=f"{plain(span)} mm", low=plain(odd.low), high=plain(odd.high), looks=looks
        )
        raise InDoubt(said, (unit, "mm"), ("heights",), likely=True)

    def _row(self, number: int, cells: list[str]) -> GirthReading | None:
        columns = self.sheet.columns
        if any(cell.strip() for cell in cells[len(columns) :]):
            said = _say("surplus", row=number, cells=len(cells), columns=len(columns))
            self.refused.append(InputRefused(said, ("row", number)))
            return None
        before = len(self.refused)
        raw: dict[str, Any] = {"typed": {}}
        for column, cell in zip(columns, cells, strict=False):
            if cell.strip():
                self._cell(number, column, cell.strip(), raw)
        if len(self.refused) > before:
            return None
        return self._reading(number, raw)

    def _reading(self, number: int, raw: dict[str, Any]) -> GirthReading | None:
        if "station_mm" not in raw:
            self.refused.append(InputRefused(_say("no_height", row=number), ("row", number, "station")))
            return None
        if not {"reading_mm", "width_mm", "depth_mm"} & raw.keys():
            self.refused.append(InputRefused(_say("no_girth", row=number), ("row", number)))
            return None
        try:
            return GirthReading.model_validate(raw)
        except ValidationError as error:
            refused = told(error, GirthReading)
            for one in refused.each if isinstance(refused, SeveralRefused) else (refused,):
                self.refused.append(InputRefused(_say("row", row=number, said=str(one)), ("row", number)))
            return None

    def _cell(self, number: int, column: Column, cell: str, raw: dict[str, Any]) -> None:
        place = _say("place", row=number, column=column.heading)
        key: Key = ("row", number, column.field or column.heading)
        try:
            self._take(column, self.answers.get(key, cell), raw)
        except InDoubt as doubt:
            if self.yes and doubt.likely:
                self._take_unseen(number, column, cell, doubt.choices[0], raw)
            else:
                self.refused.append(InDoubt(f"{place}: {doubt}", doubt.choices, key, likely=doubt.likely))
        except InputRefused as refused:
            self.refused.append(InputRefused(f"{place}: {refused}", key))

    def _take_unseen(self, number: int, column: Column, cell: str, taken: str, raw: dict[str, Any]) -> None:
        """The likely meaning of a doubtful cell, noted as taken."""
        said = {"row": number, "column": column.heading, "typed": cell, "taken": taken}
        self.findings.append(finding("TABLE-008", **said))
        self._take(column, taken, raw)
        if column.field in NUMBERS:
            raw["typed"][_key(column.field)] = cell

    def _take(self, column: Column, cell: str, raw: dict[str, Any]) -> None:
        """One cell into the raw reading."""
        if len(cell) > LONGEST_CELL:
            raise InputRefused(_say("too_long_cell", count=len(cell), limit=LONGEST_CELL))
        match column.field:
            case "station" | "reading" | "width" | "depth" | "spread" | "thickness":
                self._number(column, cell, raw)
            case "instrument":
                raw["instrument"] = _instrument(cell)
            case "pull":
                raw["pull"] = _word(cell, tuple(pull.value for pull in Pull))
            case "film":
                raw["over_film"] = _yes(cell)
            case "note" | "name":
                raw[column.field] = cell
            case _:
                raw[column.heading or "column"] = cell

    def _number(self, column: Column, cell: str, raw: dict[str, Any]) -> None:
        length = self._length(cell, column.field)
        kind = {"station": "height", "reading": "girth", "depth": "width", "thickness": "strap"}.get(
            column.field, column.field
        )
        other = self.girths if kind == "girth" else None
        odd = suspicion(length.mm, kind, other, inches=length.unit == "inch" and not length.given)
        if odd and odd.better and not length.given:
            keep = f"{cell}{_SHORT.get(length.unit, ' mm')}"
            said = odd.question(cell)
            raise InDoubt(said, (odd.proposal, keep), likely=True)
        name = _key(column.field)
        raw[name] = length.mm
        raw["typed"][name] = cell if length.given else f"{cell}{_SHORT.get(length.unit, '')}"


def _key(name: str) -> str:
    """The document's key of a number column."""
    return "instrument_mm" if name == "thickness" else f"{name}_mm"


def _instrument(cell: str) -> str:
    key = cell.casefold().strip()
    if key == "strap":
        choices = ("strap_butted", "strap_overlapped", "strap_pinched")
        raise InDoubt(_say("which_strap", typed=cell), choices)
    return _word(_INSTRUMENTS.get(key, cell), tuple(one.value for one in Instrument))


def _word(cell: str, choices: tuple[str, ...]) -> str:
    word = same_word(cell, choices)
    if word in choices:
        return word
    near = get_close_matches(cell.casefold().replace(" ", "_"), choices, 1)
    key = "no_word_near" if near else "no_word"
    raise InputRefused(
        _say(key, typed=cell[:40], choices=", ".join(choices), nearest=near[0] if near else "")
    )


def _yes(cell: str) -> bool:
    word = cell.casefold()
    if word not in _YES + _NO:
        raise InputRefused(_say("yes_or_no", typed=cell[:40]))
    return word in _YES


def _of_sheet(sheet: Sheet) -> Iterator[Finding]:
    if sheet.above:
        yield finding("TABLE-006", row=sheet.header_row)
    for column in sheet.columns:
        if not column.field and column.heading:
            yield finding("TABLE-001", column=column.heading[:40], known=KNOWN)
    if not sheet.whole:
        number, cells = sheet.rows[-1]
        yield finding("TABLE-005", row=number, cells=len(cells), columns=len(sheet.columns))


def _of_rows(rows: list[tuple[int, GirthReading]]) -> Iterator[Finding]:
    unnamed = sum(1 for _, row in rows if row.reading_mm is not None and row.instrument is None)
    if unnamed:
        yield finding("TABLE-007", count=unnamed)
    seen: dict[tuple[float, Any], int] = {}
    for number, row in rows:
        key = (row.station_mm, row.instrument)
        if row.reading_mm is not None and key in seen:
            yield finding("TABLE-002", first=seen[key], second=number, station=row.station_mm)
        elif row.reading_mm is not None:
            seen[key] = number
    yield from _of_order(rows)


def _of_order(rows: list[tuple[int, GirthReading]]) -> Iterator[Finding]:
    heights = [row.station_mm for _, row in rows]
    if _in_order(heights):
        return
    turns = [
        at
        for at in range(1, len(rows) - 1)
        if (heights[at + 1] - heights[at]) * (heights[at] - heights[at - 1]) < 0
    ]
    for at in reversed(turns) if len(turns) <= MOST_TURNS else ():
        around = heights[at - 1], heights[at + 1]
        inside = min(around) <= heights[at] <= max(around)
        if not inside and _in_order(heights[:at] + heights[at + 1 :]):
            said = {"row": rows[at][0], "station": heights[at], "before": around[0], "after": around[1]}
            yield finding("TABLE-003", **said)
            return
    yield finding("TABLE-004")


def _in_order(heights: list[float]) -> bool:
    pairs = list(pairwise(heights))
    return all(a <= b for a, b in pairs) or all(a >= b for a, b in pairs)


def _say(key: str, /, **values: object) -> str:
    return PLAIN.say(f"refusals.csv.{key}", **values)
