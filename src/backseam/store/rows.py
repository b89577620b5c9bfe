"""A row of the book, its hash and its seal.

Every row carries the SHA-256 of its document's text and a seal over all that stands in the row, title and dates
included: a flipped bit anywhere in it is seen. The same row shape lies in two tables, so that the state of today
stands twice, on different pages of the file: `document` as plain text, `revision` deflated.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

FACTS = ("promised", "customer", "stage")
COLUMNS = (
    "id",
    "revision",
    "kind",
    "title",
    *FACTS,
    "saved_at",
    "mark",
    "removed_at",
    "sha256",
    "seal",
    "text",
)
LARGEST_TEXT = 5_000_000  # bytes of one document, as for a job file
RING = 1 << 256


@dataclass(frozen=True)
class Kept:
    """One document as it lies in the book. `saved_at` is ISO 8601 in UTC; `removed_at` is empty unless removed."""

    id: str
    kind: str
    title: str
    revision: int
    saved_at: str
    sha256: str
    text: str
    promised: str = ""
    customer: str = ""
    stage: str = ""
    mark: str = ""
    removed_at: str = ""

    @property
    def facts(self) -> dict[str, str]:
        """The indexed columns, as they were given."""
        return {name: getattr(self, name) for name in FACTS}


@dataclass(frozen=True)
class Line:
    """A row of a listing: a kept document without its text."""

    id: str
    kind: str
    title: str
    revision: int
    saved_at: str
    sha256: str
    promised: str = ""
    customer: str = ""
    stage: str = ""
    mark: str = ""
    removed_at: str = ""


LINE_COLUMNS = (
    "id",
    "kind",
    "title",
    "revision",
    "saved_at",
    "sha256",
    *FACTS,
    "mark",
    "removed_at",
)


def digest(text: bytes) -> str:
    """SHA-256 of a document's bytes, as hexadecimal digits.

    >>> digest(b"{}")[:12]
    '44136fa355b3'
    """
    return sha256(text).hexdigest()


def seal(columns: Mapping[str, Any]) -> str:
    """SHA-256 over every column of a row but the seal, each with its length before it."""
    total = sha256()
    for name in COLUMNS:
        if name != "seal":
            value = columns[name]
            part = value if isinstance(value, bytes) else str(value).encode("utf-8", "surrogatepass")
            total.update(b"%d:" % len(part))
            total.update(part)
    return total.hexdigest()


def columns(kept: Kept, *, packed: bool) -> dict[str, Any]:
    """The columns to write for a document: `packed` for the history, plain for the document of today."""
    text = kept.text.encode("utf-8")
    row = {name: getattr(kept, name) for name in COLUMNS if name not in ("seal", "text")}
    row["text"] = zlib.compress(text) if packed else text
    row["seal"] = seal(row)
    return {name: row[name] for name in COLUMNS}


def kept(row: Mapping[str, Any], *, packed: bool) -> Kept | None:
    """The document in a row as it was read, or None if it is not what was written.

    Looks at the seal over the whole row and at the SHA-256 of the text itself.
    """
    if not whole(row):
        return None
    text = unpacked(row["text"]) if packed else row["text"]
    if text is None or not same_text(text, row["sha256"]):
        return None
    try:
        values = {name: row[name] for name in COLUMNS if name not in ("seal", "text")}
        return Kept(**values, text=text.decode("utf-8"))
    except UnicodeDecodeError:
        return None


def whole(row: Mapping[str, Any]) -> bool:
    """True if the row has the right kinds of values and its seal fits all that stands in it."""
    return typed(row) and seal(row) == row["seal"]


def typed(row: Mapping[str, Any]) -> bool:
    """True if each column holds the kind of value that is written there."""
    return all(
        isinstance(row[name], bytes if name == "text" else int if name == "revision" else str)
        for name in COLUMNS
    )


def same_text(text: bytes, sha: str) -> bool:
    """True if the text has this SHA-256."""
    return digest(text) == sha


def unpacked(packed: bytes) -> bytes | None:
    """A deflated text, or None if it does not inflate to one within the limit."""
    inflater = zlib.decompressobj()
    try:
        text = inflater.decompress(packed, LARGEST_TEXT)
    except zlib.error:
        return None
    return text if inflater.eof else None


def weight(table: str, id: str, revision: int, seal: str) -> int:
    """What one row adds to the tally: SHA-256 of table, id, revision and seal, as a number."""
    return int.from_bytes(
        sha256(f"{table}\n{id}\n{revision}\n{seal}".encode("utf-8", "surrogatepass")).digest()
    )


def total(rows: Iterable[tuple[str, int, str]], table: str) -> int:
    """The sum of the weights of (id, revision, seal), whatever their order."""
    return sum(weight(table, *row) for row in rows) % RING
