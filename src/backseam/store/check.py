"""Is the book what was written? The file's structure, every row's seal, and the count of rows.

SQLite's own check sees about one flipped bit in a hundred; the seals see the rest. What was removed or renamed
behind our back shows in the tally: how many rows there are, and a sum over (id, revision, seal) of all of them.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from functools import cache

from backseam.ground.findings import Finding, finding
from backseam.store import migrate, rows, schema

NAMED = 5  # documents named in a finding
MOST_SAID = 20  # lines of SQLite's own check that are kept
TABLES = ("document", "revision")


@dataclass(frozen=True)
class Damaged:
    """A row that is not what was written. table: `document` (as of today) or `revision` (history)."""

    table: str
    id: str
    revision: int
    title: str
    saved_at: str


@dataclass(frozen=True)
class Health:
    """What a full check saw. structure: what is wrong with the file as a whole, in SQLite's words."""

    structure: tuple[str, ...] = ()
    damaged: tuple[Damaged, ...] = ()
    missing: int = 0  # rows fewer (or, below zero, more) than were noted
    tally: bool = True  # the noted sum over all rows fits
    documents: int = 0
    revisions: int = 0

    @property
    def sound(self) -> bool:
        """True if nothing at all was noticed."""
        return not self.structure and not self.damaged and self.tally and not self.missing


def findings_of(health: Health) -> tuple[Finding, ...]:
    """What a person should know of a check: documents that are damaged, rows that came or went behind our back."""
    found = []
    if health.damaged:
        named = sorted({f'"{one.title}"' for one in health.damaged})
        found.append(finding("STORE-003", (), count=len(named), titles=", ".join(named[:NAMED])))
    if health.missing or (not health.tally and not health.damaged):
        found.append(finding("STORE-004", (), count=abs(health.missing)))
    return tuple(found)


def check(connection: sqlite3.Connection) -> Health:
    """Looks at every page and every row, in one unmoving view of the book. Writes nothing."""
    try:
        connection.execute("BEGIN")
        try:
            return _check(connection)
        finally:
            if connection.in_transaction:
                connection.execute("COMMIT")
    except UnicodeDecodeError as fault:
        return Health(structure=(str(fault),))
    except sqlite3.DatabaseError as fault:
        if (getattr(fault, "sqlite_errorcode", 0) or 0) & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_IOERR):
            raise
        return Health(structure=(str(fault),))


def _check(connection: sqlite3.Connection) -> Health:
    structure = _structure(connection)
    if structure:
        return Health(structure=structure)
    damaged: list[Damaged] = []
    counts, total = {}, 0
    for table in TABLES:
        counts[table] = 0
        for row in connection.execute(f"SELECT {', '.join(rows.COLUMNS)} FROM {table}"):
            counts[table] += 1
            total += rows.weight(table, row["id"], row["revision"], row["seal"])
            if not rows.whole(row):
                damaged.append(_damaged(table, row))
    noted = connection.execute("SELECT version, documents, revisions, sum FROM tally").fetchall()
    if [type(part) for row in noted for part in row] != [int, int, int, str] or (
        noted[0]["version"] != migrate.version(connection)
    ):
        return Health(structure=("the tally is not there or names another version",))
    missing = sum(noted[0][f"{table}s"] - counts[table] for table in TABLES)
    fits = noted[0]["sum"] == f"{total % rows.RING:x}"
    return Health((), tuple(damaged), missing, fits, counts["document"], counts["revision"])


def _structure(connection: sqlite3.Connection) -> tuple[str, ...]:
    said = [str(row[0]) for row in connection.execute(f"PRAGMA integrity_check({MOST_SAID})")]
    if said != ["ok"]:
        return tuple(said)
    if laid_out(connection) != expected(migrate.version(connection)):
        return ("the tables are not those of a job book",)
    orphans = connection.execute("PRAGMA foreign_key_check").fetchall()
    return (f"{len(orphans)} revisions without their document",) if orphans else ()


def laid_out(connection: sqlite3.Connection) -> tuple[tuple[str, ...], ...]:
    """The tables and indexes of a file, as their own statements say."""
    found = connection.execute(
        "SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_master ORDER BY type, name"
    )
    return tuple(tuple(str(part) for part in row) for row in found)


def expected(version: int) -> tuple[tuple[str, ...], ...]:
    """The tables and indexes a book of this version has, by the steps as they are now."""
    return _after(schema.STEPS, version)


@cache
def _after(steps: tuple[tuple[str, ...], ...], version: int) -> tuple[tuple[str, ...], ...]:
    """The tables and indexes a book of this version has; none for a version this program does not know."""
    if not 0 < version <= len(steps):
        return ()
    fresh = sqlite3.connect(":memory:")
    try:
        for step in steps[:version]:
            for statement in step:
                fresh.execute(statement)
        return laid_out(fresh)
    finally:
        fresh.close()


def _damaged(table: str, row: sqlite3.Row) -> Damaged:
    revision = row["revision"] if isinstance(row["revision"], int) else 0
    return Damaged(table, str(row["id"]), revision, str(row["title"]), str(row["saved_at"]))
