"""From any older version of the book to the one of this program, one step at a time, each whole or not at all.

Several programs may open a book at the same moment: the version is read again inside the transaction that would
change it, so that a step runs once.
"""

from __future__ import annotations

import sqlite3

from backseam.store import schema


def version(connection: sqlite3.Connection) -> int:
    """The version noted in the file's header; 0 for a file without tables."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def upgrade(connection: sqlite3.Connection) -> int:
    """Runs the steps that are missing; gives how many ran here. A book that is up to date is not written to."""
    ran = 0
    while version(connection) < len(schema.STEPS):
        connection.execute("BEGIN IMMEDIATE")
        try:
            at = version(connection)  # again, now that no other program can write
            if at < len(schema.STEPS):
                _step(connection, at)
                ran += 1
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
    return ran


def _step(connection: sqlite3.Connection, at: int) -> None:
    for statement in schema.STEPS[at]:
        connection.execute(statement)
    connection.execute("UPDATE tally SET version = ?", (at + 1,))
    connection.execute(f"PRAGMA user_version = {at + 1}")
    connection.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
