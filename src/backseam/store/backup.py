"""Backups of a book: a new file through SQLite, checked, then given its name; a sick book replaces none.

Kept are the last of each of the 10 newest days and of each of the 12 newest months.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from secrets import token_hex

from backseam.ground.errors import BookDamaged, NotThere
from backseam.ground.speech import PLAIN
from backseam.store import rows, schema
from backseam.store.book import Book
from backseam.store.check import check
from backseam.store.connection import connect, in_words, plainly
from backseam.store.ledger import transaction
from backseam.store.migrate import upgrade, version
from backseam.store.opening import journal, sync_folder

DAYS, MONTHS = 10, 12
LEAP = 100_000  # revisions ahead, where the numbers of the book that goes cannot be read
ENDING = ".backup.sqlite"
STAMP = "%Y-%m-%dT%H-%M-%SZ"


@dataclass(frozen=True)
class Backup:
    """One backup in the folder. made_at: ISO UTC; documents: how many jobs, cards and settings it holds."""

    name: str
    made_at: str
    bytes: int
    documents: int


def folder(book: Path) -> Path:
    """Where the backups of a book lie."""
    return book.with_name(f"{book.stem}-backups")


def make(book: Book, at: datetime) -> Backup:
    """A checked backup of the book as it is. Raises BookDamaged if the book is not sound: an older one stays."""
    place = folder(book.path)
    try:
        place.mkdir(exist_ok=True)
    except OSError as fault:
        raise in_words(sqlite3.OperationalError(str(fault)), book.path) from fault
    name = at.astimezone(UTC).strftime(STAMP) + ENDING
    part = place / f".{name}.{token_hex(4)}"
    try:
        with plainly(book.path, size=book.path.stat().st_size):
            with closing(sqlite3.connect(part)) as fresh:
                book.connection.backup(fresh)
            with closing(connect(part)) as fresh:
                health = check(fresh)
        if not health.sound:
            raise BookDamaged(_say("sick_backup"), health.structure)
        _last(part)
        os.replace(part, place / name)
        sync_folder(place)
    finally:
        part.unlink(missing_ok=True)
    prune(place)
    return Backup(name, _iso(name), (place / name).stat().st_size, health.documents)


def due(book: Path, at: datetime) -> bool:
    """True if the newest backup is a day old or there is none."""
    names = _names(folder(book))
    if not names:
        return True
    newest = datetime.strptime(names[0].removesuffix(ENDING), STAMP).replace(tzinfo=UTC)
    return (at - newest).total_seconds() >= 24 * 3600


def listed(book: Path) -> tuple[Backup, ...]:
    """The backups there are, newest first."""
    place = folder(book)
    return tuple(
        Backup(name, _iso(name), (place / name).stat().st_size, _documents(place / name))
        for name in _names(place)
    )


def prune(place: Path) -> None:
    """Takes out what is neither the last of one of the newest days nor of one of the newest months."""
    names = _names(place)
    stay: set[str] = set()
    for length, most in ((10, DAYS), (7, MONTHS)):
        last: dict[str, str] = {}
        for name in names:
            last.setdefault(name[:length], name)
        stay.update(list(last.values())[:most])
    for name in names:
        if name not in stay:
            (place / name).unlink(missing_ok=True)
    for part in place.glob(f".*{ENDING}.*"):  # of a backup that was broken off
        part.unlink(missing_ok=True)


def restore(book: Path, name: str, at: datetime) -> Path:
    """The backup takes the book's place; the book of before lies beside it under a name of its own, untouched.

    The book must not be open. Gives where the book of before lies. Raises NotThere, BookDamaged.
    """
    source = folder(book) / name
    if name not in _names(folder(book)):
        raise NotThere(_say("no_backup", name=name))
    with plainly(source), closing(connect(source, "ro")) as connection:
        health = check(connection)
    if not health.sound:
        raise BookDamaged(_say("damaged", book=name), health.structure)
    fresh = book.with_name(f".{book.name}.{token_hex(4)}")
    before = _aside(book, at)
    try:
        with plainly(source, size=source.stat().st_size):
            shutil.copyfile(source, fresh)
            _go_on_from(fresh, _revisions(book), at)
            _last(fresh)
            _set_aside(book, before)
            os.replace(fresh, book)
    finally:
        fresh.unlink(missing_ok=True)
    sync_folder(book.parent)
    return before


def _revisions(book: Path) -> dict[str, tuple[int, str]] | None:
    """Revision and seal of each document of the book that goes; None if they cannot be read."""
    try:
        with closing(connect(book, "ro")) as connection:
            found = connection.execute("SELECT id, revision, seal FROM document").fetchall()
    except (sqlite3.Error, OSError):
        return None
    return {str(id): (int(revision), str(seal)) for id, revision, seal in found}


def _go_on_from(fresh: Path, gone: dict[str, tuple[int, str]] | None, at: datetime) -> None:
    """Numbers go on, they never go back: a window opened before must not take the restored text for its own."""
    with closing(connect(fresh)) as connection:
        if version(connection) > len(schema.STEPS):
            return  # of a newer program: it opens to look at only
        upgrade(connection)
        stamp = at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        with transaction(connection) as ledger:
            for row in connection.execute(f"SELECT {', '.join(rows.COLUMNS)} FROM document").fetchall():
                here = int(row["revision"])
                there, seal = (here + LEAP, "") if gone is None else gone.get(str(row["id"]), (0, ""))
                kept = rows.kept(dict(row), packed=False)
                if kept is not None and there and seal != row["seal"]:
                    made = replace(kept, revision=max(here, there) + 1, saved_at=stamp, mark="backup")
                    ledger.replace(made, over=here)
                    ledger.insert("revision", made)
                    ledger.prune(made.id)


def _aside(book: Path, at: datetime) -> Path:
    """A name for the book that goes which nothing has yet: what lies aside is never written over."""
    stem = f"{book.stem}-before-{at.astimezone(UTC).strftime(STAMP)}"
    names = (f"{stem}{more}{book.suffix}" for more in ("", *(f"-{n}" for n in range(2, 1000))))
    return next(one for name in names if not (one := book.with_name(name)).exists())


def _set_aside(book: Path, before: Path) -> None:
    """The book under a second name, so that there is a book at every moment; its journal goes with it."""
    try:
        os.link(book, before)
    except FileNotFoundError:
        return
    except OSError:  # a disk without second names
        os.replace(book, before)
    with suppress(FileNotFoundError):  # a journal belongs to its book: beside another it would spoil that one
        os.replace(journal(book), journal(before))


def _names(place: Path) -> list[str]:
    if not place.is_dir():
        return []
    return sorted((one.name for one in place.glob(f"[0-9]*{ENDING}") if one.is_file()), reverse=True)


def _iso(name: str) -> str:
    day, _, time = name.removesuffix(ENDING).partition("T")
    return f"{day}T{time.replace('-', ':')}"


def _documents(path: Path) -> int:
    try:
        with closing(connect(path, "ro")) as connection:
            return int(connection.execute("SELECT documents FROM tally").fetchone()[0])
    except sqlite3.Error:
        return 0


def _last(path: Path) -> None:
    """Makes a file's bytes last through a power cut."""
    with open(path, "rb+") as file:
        os.fsync(file.fileno())


def _say(key: str, **values: object) -> str:
    return PLAIN.say(f"store.{key}", **values)
