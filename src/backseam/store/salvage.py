"""What can still be read of a damaged book, into a new one. The damaged file is not touched, byte for byte."""

from __future__ import annotations

import shutil
import sqlite3
import struct
import tempfile
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from backseam.ground.errors import BookDamaged, NotABook
from backseam.ground.speech import PLAIN
from backseam.store import opening, rows
from backseam.store.connection import connect, plainly
from backseam.store.ledger import transaction
from backseam.store.rows import COLUMNS, Kept

MOST_ROWS = 1_000_000


@dataclass(frozen=True)
class Salvaged:
    """What came back. whole: as of now; older: from the history, with the date; lost: known by name only."""

    path: Path
    whole: tuple[str, ...]
    older: tuple[tuple[str, str], ...]
    lost: tuple[str, ...]


def salvage(damaged: Path, fresh: Path) -> Salvaged:
    """A new book in `fresh` with all that is still what was written. Raises NotABook, BookDamaged if nothing is."""
    if fresh.exists():
        raise NotABook(PLAIN.say("store.taken", id=fresh.name))
    with tempfile.TemporaryDirectory(prefix="backseam-") as room:
        copy = Path(room) / "book"
        shutil.copyfile(damaged, copy)
        _pad(copy)
        document, revision = {}, {}
        with plainly(copy), closing(_loosely(copy)) as connection:
            for row in _rows(connection, "document"):
                document[str(row["id"])] = row
            for row in _rows(connection, "revision"):
                revision[str(row["id"]), int(row["revision"])] = row
    found = {id: kept for id, row in document.items() if (kept := rows.kept(row, packed=False))}
    history = {key: kept for key, row in revision.items() if (kept := rows.kept(row, packed=True))}
    older: dict[str, Kept] = {}
    for (id, number), kept in sorted(history.items()):
        if id not in found and (id not in older or older[id].revision < number):
            older[id] = kept
    if not found and not older:
        raise BookDamaged(PLAIN.say("store.damaged", book=damaged.name), ("no row could be read",))
    _write(fresh, {**older, **found}, history)
    names = {str(id) for id in document} | {id for id, _ in revision}
    lost = tuple(sorted(names - set(found) - set(older)))
    return Salvaged(
        fresh, tuple(sorted(found)), tuple((id, kept.saved_at) for id, kept in sorted(older.items())), lost
    )


def _pad(copy: Path) -> None:
    """A file cut short gets its size back, so that the pages that are there can be read."""
    with open(copy, "r+b") as file:
        top = file.read(100)
        if len(top) < 100:
            return
        page, pages = struct.unpack(">H", top[16:18])[0], struct.unpack(">I", top[28:32])[0]
        size = file.seek(0, 2)
        if 512 <= page <= 65536 and size < page * pages <= 4 << 30:
            file.truncate(page * pages)


def _loosely(copy: Path) -> sqlite3.Connection:
    connection = connect(copy, "ro")
    connection.execute("PRAGMA cell_size_check = OFF")
    return connection


def _rows(connection: sqlite3.Connection, table: str) -> Iterator[dict[str, Any]]:
    """Row by row, by number: a page that cannot be read costs its own rows only."""
    numbers: set[int] = set()
    for question in (f"SELECT rowid FROM {table}", f"SELECT rowid FROM {table} ORDER BY rowid DESC"):
        with suppress(sqlite3.Error):
            for row in connection.execute(question):
                numbers.add(int(row[0]))
                if len(numbers) > MOST_ROWS:
                    break
    top = max(numbers, default=0)
    for number in range(1, min(top, MOST_ROWS) + 1):
        with suppress(sqlite3.Error, TypeError, ValueError):
            row = connection.execute(
                f"SELECT {', '.join(COLUMNS)} FROM {table} WHERE rowid = ?", (number,)
            ).fetchone()
            if row is not None:
                yield dict(row)


def _write(fresh: Path, documents: dict[str, Kept], history: dict[tuple[str, int], Kept]) -> None:
    opening.create(fresh)
    with plainly(fresh), closing(connect(fresh)) as connection, transaction(connection) as ledger:
        for kept in documents.values():
            ledger.insert("document", kept)
        for (id, number), kept in history.items():
            if id in documents and number <= documents[id].revision:
                ledger.insert("revision", kept)
        for kept in documents.values():
            if (kept.id, kept.revision) not in history:
                ledger.insert("revision", kept)
