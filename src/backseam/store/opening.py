"""Before a book is opened for writing: is it one, is it ours, did its last writer finish?

A file that is cut short, empty, of another program or newer than this one is never opened for writing. A journal
left beside the book by a writer that was killed is tried on a copy first: a journal that belongs to another file
would spoil the book.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import struct
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from secrets import token_hex

from backseam.ground.errors import BookDamaged, BookGone, NotABook
from backseam.ground.speech import PLAIN
from backseam.store import migrate, schema
from backseam.store.check import Health, check
from backseam.store.connection import connect, in_words, plainly

MAGIC = b"SQLite format 3\x00"
WRITER = 1.0  # seconds in which another program's save is over and its journal gone
LOOK_AGAIN = 0.02  # seconds between two looks


@dataclass(frozen=True)
class Header:
    """What the first 100 bytes of a file say. `pages` and `page` give the size it should have."""

    application: int
    version: int
    page: int
    pages: int


def header(path: Path) -> Header:
    """The header of a file that is a job book. Only for a file that this program has not open."""
    with open(path, "rb") as file:
        top = file.read(100)
        size = file.seek(0, os.SEEK_END)
    if size == 0:
        raise NotABook(_say("empty", book=path.name), ("0 bytes",))
    if len(top) < 100 or not top.startswith(MAGIC):
        raise NotABook(_say("not_a_book", book=path.name), ("no book's header",))
    page, pages = struct.unpack(">H", top[16:18])[0], struct.unpack(">I", top[28:32])[0]
    version, application = (struct.unpack(">I", top[at : at + 4])[0] for at in (60, 68))
    if application != schema.APPLICATION_ID:
        raise NotABook(_say("not_a_book", book=path.name), ("another program's mark",))
    if size < page * pages and not journal(path).exists():
        raise BookDamaged(_say("cut", book=path.name), (f"{size} of {page * pages} bytes",))
    return Header(application, version, page, pages)


def journal(path: Path) -> Path:
    """The journal that a writer keeps beside the book while it writes."""
    return path.with_name(path.name + "-journal")


def create(path: Path) -> None:
    """A new, empty book, whole from the first moment; leaves a book alone that came into being meanwhile."""
    if not path.parent.is_dir():
        raise BookGone(_say("no_folder", folder=str(path.parent)))
    fresh = path.with_name(f"{path.name}.{token_hex(6)}.new")
    try:
        with plainly(path), closing(connect(fresh, "rwc")) as connection:
            connection.execute(f"PRAGMA page_size = {schema.PAGE}")
            migrate.upgrade(connection)
        put_if_absent(fresh, path)
    except OSError as fault:
        raise in_words(sqlite3.OperationalError(str(fault)), path) from fault
    finally:
        fresh.unlink(missing_ok=True)
        journal(fresh).unlink(missing_ok=True)


def put_if_absent(fresh: Path, path: Path) -> None:
    """Gives a finished file its name unless that name is taken; never writes over anything."""
    try:
        os.link(fresh, path)
    except FileExistsError:
        return
    except OSError:  # a disk without links, such as a stick's
        if not path.exists():
            fresh.rename(path)
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Makes a new name in a folder last through a power cut, where the system knows how."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def settle_journal(path: Path) -> None:
    """Tries a journal beside the book on a copy, before it may touch the book. Raises BookDamaged if it spoils.

    A copy taken while another program writes may look damaged: it is looked at again until that save must be over.
    """
    until = time.monotonic() + WRITER
    while hot(path):
        with aside(path) as copy:
            tried = _health(copy)
        if not tried.structure and not tried.damaged and tried.tally:
            return
        if time.monotonic() > until and hot(path):
            seen = tried.structure or ("the journal does not fit",)
            raise BookDamaged(_say("wrong_journal", book=path.name), seen)
        time.sleep(LOOK_AGAIN)


def hot(path: Path) -> bool:
    """True if a journal with something in it lies beside the book."""
    try:
        with open(journal(path), "rb") as file:
            return any(file.read(28))
    except FileNotFoundError:
        return False


@contextmanager
def aside(path: Path) -> Iterator[Path]:
    """A copy of the book and its journal in a folder of its own, for a look that must not touch the book."""
    with tempfile.TemporaryDirectory(prefix="backseam-") as folder:
        copy = Path(folder) / path.name
        shutil.copyfile(path, copy)
        with suppress(FileNotFoundError):
            shutil.copyfile(journal(path), journal(copy))
        yield copy


def _health(copy: Path) -> Health:
    try:
        with closing(connect(copy)) as connection:
            return check(connection)
    except sqlite3.Error as fault:
        return Health(structure=(str(fault),))


def _say(key: str, **values: object) -> str:
    return PLAIN.say(f"store.{key}", **values)
