"""Which column of a table is which: delimiter, header row, names and units, as people write them."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from io import StringIO
from typing import Literal

from backseam.ground.errors import InputRefused
from backseam.ground.numbers import Decimal, Unit
from backseam.ground.speech import PLAIN

MOST_ROWS = 10_000
MOST_COLUMNS = 60
HEADER_WITHIN = 20  # rows from the top
DELIMITERS = (";", "\t", ",")

Field = Literal[
    "station",
    "reading",
    "width",
    "depth",
    "spread",
    "thickness",
    "instrument",
    "note",
    "name",
    "pull",
    "film",
    "",
]
NUMBERS: tuple[Field, ...] = ("station", "reading", "width", "depth", "spread", "thickness")
KNOWN = ", ".join(
    (
        *("station_mm", "reading_mm", "instrument", "width_mm", "depth_mm", "note"),
        *("name", "pull", "over_film", "spread_mm", "instrument_mm"),
    )
)
_NAMES: dict[str, Field] = {
    "station": "station",
    "height": "station",
    "reading": "reading",
    "girth": "reading",
    "width": "width",
    "depth": "depth",
    "spread": "spread",
    "instrument": "instrument",
    "note": "note",
    "notes": "note",
    "name": "name",
    "pull": "pull",
    "over_film": "film",
    "film": "film",
}
_UNITS: dict[str, Unit] = {
    "mm": "mm",
    "cm": "cm",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    '"': "inch",
}
_HEADING = re.compile(r'(?P<name>.*?)[\s_-]*[(\[]?(?P<unit>mm|cm|in|inch|inches|")[)\]]?', re.IGNORECASE)

Row = list[str]


@dataclass(frozen=True)
class Column:
    """One column: its heading as written, what it is ("" if unknown), its unit if the heading says one."""

    heading: str
    field: Field
    unit: Unit | None


@dataclass(frozen=True)
class Sheet:
    """A table of cells: its columns, and the rows below the header with their numbers in the file, from 1."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[int, Row], ...]
    header_row: int
    delimiter: str
    above: bool  # something stands above the header
    whole: bool  # the text ends with a line end, or the last row is as long as the header

    def cells(self, field: Field) -> list[str]:
        """All cells of one field that hold something."""
        at = [number for number, column in enumerate(self.columns) if column.field == field]
        return [row[number].strip() for _, row in self.rows for number in at if number < len(row)]

    @property
    def decimal(self) -> Decimal | None:
        """The decimal mark that the table shows beyond doubt; a table parted by commas writes points."""
        if self.delimiter == ",":
            return "."
        cells = [cell for field in NUMBERS for cell in self.cells(field)]
        commas = any(re.search(r"\d,\d{1,2}(?!\d)", cell) for cell in cells)
        points = any(re.search(r"\d\.\d{1,2}(?!\d)", cell) for cell in cells)
        return None if commas == points else "," if commas else "."


def sheet_of(text: str) -> Sheet:
    """The table in a text. Raises `InputRefused` if there is none with a height in it."""
    if not text.strip():
        raise InputRefused(_say("empty"))
    given = re.match(r"sep=(.)\r?\n", text)
    body = text[given.end() :] if given else text
    skipped = 1 if given else 0
    delimiter = given[1] if given and given[1] in DELIMITERS else _delimiter(body)
    rows = list(enumerate(_cells(body, delimiter, skipped), 1 + skipped))
    filled = [(number, row) for number, row in rows if any(cell.strip() for cell in row)]
    header = next((one for one in filled[:HEADER_WITHIN] if _known(one[1])), None)
    if header is None:
        raise InputRefused(_say("no_header"))
    columns = tuple(_column(cell) for cell in _trimmed(header[1]))
    _check(columns)
    under = [(number, row) for number, row in filled if number > header[0]]
    if not under:
        raise InputRefused(_say("no_rows"))
    if len(under) > MOST_ROWS:
        raise InputRefused(_say("too_many_rows", limit=MOST_ROWS))
    whole = text.endswith(("\n", "\r")) or len(under[-1][1]) >= len(columns)
    return Sheet(columns, tuple(under), header[0], delimiter, header is not filled[0], whole)


def _check(columns: tuple[Column, ...]) -> None:
    if len(columns) > MOST_COLUMNS:
        raise InputRefused(_say("too_many_columns", limit=MOST_COLUMNS, known=KNOWN))
    fields = [column.field for column in columns]
    if not {"reading", "width", "depth"} & set(fields):
        raise InputRefused(_say("no_reading"))
    for number, column in enumerate(columns):
        if column.field and column.field in fields[:number]:
            raise InputRefused(_say("twice", column=column.heading))


def _delimiter(text: str) -> str:
    """The delimiter under which most headings are known, looking at the first filled rows."""
    first = [line for line in text.splitlines()[: 2 * HEADER_WITHIN] if line.strip()][:HEADER_WITHIN]

    def known(delimiter: str) -> int:
        return max((_known(line.split(delimiter)) for line in first), default=0)

    return max(DELIMITERS, key=known)


def _known(row: Row) -> int:
    """How many headings of a row are known; none if there is no height among them."""
    fields = [_column(cell).field for cell in row[: MOST_COLUMNS + 1]]
    return sum(1 for field in fields if field) if "station" in fields else 0


def _column(cell: str) -> Column:
    heading = cell.strip().strip('"').strip()
    match = _HEADING.fullmatch(heading)
    bare, unit = (match["name"], _UNITS[match["unit"].lower()]) if match else (heading, None)
    key = re.sub(r"[\s\-_]+", "_", bare.strip().casefold())
    field = _NAMES.get(key, "")
    if field == "instrument" and unit:
        field = "thickness"
    if field not in NUMBERS and unit:
        return Column(heading, "", None)
    return Column(heading, field, unit)


def _cells(text: str, delimiter: str, skipped: int) -> list[Row]:
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter, skipinitialspace=True, strict=True)
    rows: list[Row] = []
    try:
        for row in reader:
            rows.append(row)
    except csv.Error:
        raise InputRefused(_say("unreadable", row=len(rows) + 1 + skipped)) from None
    return rows


def _trimmed(row: Row) -> Row:
    """A row without the empty cells at its end."""
    end = len(row)
    while end and not row[end - 1].strip():
        end -= 1
    return row[:end]


def _say(key: str, /, **values: object) -> str:
    return PLAIN.say(f"refusals.csv.{key}", **values)
