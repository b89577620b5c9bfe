"""Connections to the book's file: their settings, one a thread, none across a fork, and plain words for faults.

While a book is open its file is touched through SQLite alone: on many systems closing any other handle to the
file would drop the locks of this program's connections.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from backseam.ground.errors import (
    BookBusy,
    BookDamaged,
    BookFull,
    BookGone,
    BookReadOnly,
    StoreError,
)
from backseam.ground.speech import PLAIN

BUSY = 5.0  # seconds a save waits for another one
ROOM = 4  # times a document's size that a save may need: the journal, the row of today, the history
LEAST_ROOM = 1_000_000  # bytes asked for when a disk is full
_left_to_the_parent: list[Any] = []  # connections met after a fork: never used, never closed here


def connect(path: Path, mode: str = "rw") -> sqlite3.Connection:
    """A connection with the settings of the book. mode: `rw`, `ro`, or `rwc` for a new file."""
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, timeout=BUSY, isolation_level=None, check_same_thread=False)
    try:
        dress(connection, writing=mode != "ro")
    except BaseException:
        connection.close()
        raise
    return connection


def dress(connection: sqlite3.Connection, *, writing: bool) -> None:
    """The settings: rollback journal, full sync with the folder, foreign keys, nothing trusted in the file."""
    connection.row_factory = sqlite3.Row
    connection.text_factory = lambda raw: raw.decode(
        "utf-8", "replace"
    )  # a damaged title is shown, not fatal
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA trusted_schema = OFF")
    connection.execute("PRAGMA cell_size_check = ON")
    connection.execute("PRAGMA synchronous = EXTRA")  # FULL, and the folder after the journal is gone
    if writing:
        connection.execute("PRAGMA journal_mode = DELETE")


class Connections:
    """One connection for each thread that asks, to one file."""

    def __init__(self, path: Path, *, read_only: bool = False) -> None:
        self.path = path
        self.read_only = read_only
        self._open: dict[threading.Thread, sqlite3.Connection] = {}
        self._guard = threading.Lock()
        self._process = os.getpid()

    def here(self) -> sqlite3.Connection:
        """This thread's connection, opened if there is none yet. The file must be there."""
        self.heed_fork()
        me = threading.current_thread()
        with self._guard:
            if me not in self._open:
                self._drop_dead()
                self._open[me] = connect(self.path, "ro" if self.read_only else "rw")
            return self._open[me]

    def heed_fork(self) -> bool:
        """True after a fork: the parent's connections are put aside, untouched."""
        if os.getpid() == self._process:
            return False
        _left_to_the_parent.append(self._open)
        self._open, self._guard, self._process = {}, threading.Lock(), os.getpid()
        return True

    def drop(self) -> None:
        """Closes this thread's connection; the next call opens a new one."""
        with self._guard:
            _close(self._open.pop(threading.current_thread(), None))

    def close(self) -> None:
        """Closes them all."""
        if self.heed_fork():
            return
        with self._guard:
            for connection in self._open.values():
                _close(connection)
            self._open.clear()

    def _drop_dead(self) -> None:
        for thread in [one for one in self._open if not one.is_alive()]:
            _close(self._open.pop(thread))


def _close(connection: sqlite3.Connection | None) -> None:
    if connection is not None:
        with suppress(sqlite3.Error):
            connection.close()


@contextmanager
def plainly(path: Path, *, size: int = 0) -> Iterator[None]:
    """Turns what SQLite reports inside into one of the store's errors. size: bytes that were to be written."""
    try:
        yield
    except sqlite3.Error as fault:
        raise in_words(fault, path, size) from fault
    except UnicodeDecodeError as fault:  # a damaged schema, told by SQLite in its own damaged words
        raise BookDamaged(_say("damaged", book=path.name), (str(fault),)) from fault


def in_words(fault: sqlite3.Error, path: Path, size: int = 0) -> StoreError:
    """The store's error for a fault of SQLite, with one sentence for a person."""
    code = getattr(fault, "sqlite_errorcode", None) or 0
    if not path.parent.is_dir() or not path.exists() or code == sqlite3.SQLITE_READONLY_DBMOVED:
        return BookGone(_say("gone", book=path.name, folder=str(path.parent)))
    match code & 0xFF:
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED | sqlite3.SQLITE_PROTOCOL:
            return BookBusy(_say("busy", book=path.name, seconds=f"{BUSY:.0f}"))
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_PERM | sqlite3.SQLITE_AUTH:
            return BookReadOnly(_say("read_only", book=path.name, folder=str(path.parent)))
        case sqlite3.SQLITE_FULL | sqlite3.SQLITE_IOERR | sqlite3.SQLITE_TOOBIG | sqlite3.SQLITE_NOMEM:
            return full(path, size)
    return BookDamaged(_say("damaged", book=path.name), (str(fault),))


def full(path: Path, size: int) -> BookFull:
    """The sentence for a save that found no room: what was not saved, and how much room it takes."""
    need = max(LEAST_ROOM, ROOM * size)
    return BookFull(_say("full", folder=str(path.parent), free=_mb(free_bytes(path)), need=_mb(need)))


def free_bytes(path: Path) -> int:
    """Bytes free on the disk of this file's folder; 0 if that cannot be told."""
    try:
        return shutil.disk_usage(path.parent).free
    except OSError:
        return 0


def _mb(size: float) -> str:
    return f"{size / 1e6:.1f}"


def _say(key: str, **values: object) -> str:
    return PLAIN.say(f"store.{key}", **values)
