"""One writing transaction and what it adds to and takes from the tally.

The tally is a sum, so that a save costs the same in a book of ten jobs and of ten thousand.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from typing import Any

from backseam.store import rows
from backseam.store.rows import COLUMNS, Kept

LAST = 50  # revisions of a document that are always kept
DAYS = 50  # earlier days of which the last revision is kept


class Ledger:
    """Writes rows inside an open transaction and keeps the sums."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection
        self._sum = 0
        self._count = {"document": 0, "revision": 0}

    def insert(self, table: str, kept: Kept) -> None:
        """A new row."""
        row = rows.columns(kept, packed=table == "revision")
        marks = ", ".join(f":{name}" for name in COLUMNS)
        self.connection.execute(f"INSERT INTO {table} ({', '.join(COLUMNS)}) VALUES ({marks})", row)
        self._note(table, row, 1)

    def replace(self, kept: Kept, *, over: int) -> bool:
        """Today's row of a document, if its revision is still `over`; False, and nothing written, if it is not."""
        earlier = self._row(kept.id)
        row = rows.columns(kept, packed=False)
        sets = ", ".join(f"{name} = :{name}" for name in COLUMNS if name != "id")
        done = self.connection.execute(
            f"UPDATE document SET {sets} WHERE id = :id AND revision = :over", row | {"over": over}
        )
        if earlier is None or done.rowcount != 1:
            return False
        self._note("document", earlier, -1)
        self._note("document", row, 1)
        return True

    def prune(self, id: str) -> None:
        """Takes out the revisions of a document that are neither among the last nor the last of a day."""
        found = self.connection.execute(
            "SELECT id, revision, saved_at, seal FROM revision WHERE id = ? ORDER BY revision DESC", (id,)
        ).fetchall()
        if len(found) > LAST:
            stay = staying([row["saved_at"] for row in found])
            for row, stays in zip(found, stay, strict=True):
                if not stays:
                    self.connection.execute(
                        "DELETE FROM revision WHERE id = ? AND revision = ?", (id, row["revision"])
                    )
                    self._note("revision", row, -1)

    def settle(self) -> None:
        """Writes the tally."""
        noted = int(self.connection.execute("SELECT sum FROM tally").fetchone()[0], 16)
        self.connection.execute(
            "UPDATE tally SET documents = documents + ?, revisions = revisions + ?, sum = ?",
            (self._count["document"], self._count["revision"], f"{(noted + self._sum) % rows.RING:x}"),
        )

    def recount(self) -> None:
        """Sets the tally to nothing and notes every row that is there."""
        self.connection.execute("UPDATE tally SET documents = 0, revisions = 0, sum = '0'")
        self._sum, self._count = 0, {"document": 0, "revision": 0}
        for table in ("document", "revision"):
            for row in self.connection.execute(f"SELECT id, revision, seal FROM {table}"):
                self._note(table, row, 1)

    def _row(self, id: str) -> sqlite3.Row | None:
        found: sqlite3.Row | None = self.connection.execute(
            "SELECT id, revision, seal FROM document WHERE id = ?", (id,)
        ).fetchone()
        return found

    def _note(self, table: str, row: Mapping[str, Any] | sqlite3.Row, times: int) -> None:
        self._sum += times * rows.weight(table, row["id"], row["revision"], row["seal"])
        self._count[table] += times


def staying(saved: list[str]) -> list[bool]:
    """Which revisions stay, from their dates, newest first: the last 50, before these the last of each of 50 days.

    >>> staying(["2026-11-25T10:00:00Z"] * 52)[-3:]
    [True, False, False]
    >>> staying(["2026-11-25T10:00:00Z"] * 51 + ["2026-11-24T10:00:00Z"] * 2)[-3:]
    [False, True, False]
    """
    stay, days, before = [], 0, ""
    for place, date in enumerate(saved):
        new_day = date[:10] != before
        before = date[:10]
        days += new_day and place >= LAST
        stay.append(place < LAST or (new_day and days <= DAYS))
    return stay


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[Ledger]:
    """BEGIN IMMEDIATE … COMMIT, the tally within; whatever goes wrong inside leaves the book as it was."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        ledger = Ledger(connection)
        yield ledger
        ledger.settle()
        connection.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            if connection.in_transaction:
                connection.execute("ROLLBACK")
        raise
