"""The way into a job book: open, list, read, add, save, remove, bring back, look back.

A save is one transaction: the revision that the page was opened with must be the one in the book, or nothing is
written and both versions are kept. What it said was saved is on the disk when it says so.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from secrets import token_hex
from typing import Self

from backseam.ground.errors import (
    BookDamaged,
    BookReadOnly,
    DocumentDamaged,
    NotThere,
    SavedElsewhere,
    StoreError,
)
from backseam.ground.speech import PLAIN
from backseam.store import migrate, opening, rows, schema
from backseam.store.check import Health, check
from backseam.store.connection import Connections, plainly
from backseam.store.ledger import Ledger, transaction
from backseam.store.rows import COLUMNS, FACTS, LINE_COLUMNS, Kept, Line

Now = Callable[[], datetime]


def utc_now() -> datetime:
    """The clock of the doors."""
    return datetime.now(UTC)


class Book:
    """One open book. read_only: True for a book of a newer Backseam or a file that cannot be written."""

    def __init__(self, path: Path, connections: Connections, *, read_only: bool, now: Now) -> None:
        self.path = path
        self.read_only = read_only
        self.opened_as = Health()
        self._connections = connections
        self._now = now

    @classmethod
    def open(cls, path: Path, *, now: Now = utc_now) -> Self:
        """The book in this file, made if there is none, brought up to date if it is older, every row looked at.

        `opened_as` tells what that look saw; rows that are damaged keep nobody from the others.

        Raises BookDamaged (NotABook), BookFull, BookBusy, BookReadOnly, BookGone. A newer book opens read-only.
        """
        path = Path(path)
        if not path.exists():
            opening.create(path)
        with plainly(path):
            head = opening.header(path)
            newer = head.version > len(schema.STEPS)
            if not newer:
                opening.settle_journal(path)
            connections = Connections(path, read_only=newer)
            if not newer and head.version < len(schema.STEPS):
                _upgrade(path, connections.here(), now())
            book = cls(path, connections, read_only=newer, now=now)
            book.opened_as = Health() if newer else check(connections.here())
        if book.opened_as.structure:
            book.close()
            raise BookDamaged(_say("damaged", book=path.name), book.opened_as.structure)
        return book

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close every connection."""
        self._connections.close()

    @property
    def connection(self) -> sqlite3.Connection:
        """This thread's connection: for `backup` and `check` only."""
        return self._connections.here()

    def health(self) -> Health:
        """A full check of file, rows and count."""
        with plainly(self.path):
            return check(self._connections.here())

    def lines(self, kind: str = "job", search: str = "", *, removed: bool = False) -> tuple[Line, ...]:
        """The documents of a kind, last saved first; search: words that all stand in title, customer or id."""
        found = self._all(
            f"SELECT {', '.join(LINE_COLUMNS)}, removed_at FROM document"
            " WHERE kind = ? AND (removed_at != '') = ? ORDER BY saved_at DESC, id",
            (kind, removed),
        )
        wanted = search.casefold().split()
        made = (Line(**{name: row[name] for name in (*LINE_COLUMNS, "removed_at")}) for row in found)
        return tuple(
            line
            for line in made
            if all(word in f"{line.title} {line.customer} {line.id}".casefold() for word in wanted)
        )

    def read(self, id: str) -> Kept:
        """A document as of now. Raises NotThere, DocumentDamaged."""
        row = self._one(f"SELECT {', '.join(COLUMNS)} FROM document WHERE id = ?", (id,))
        if row is None:
            raise NotThere(_say("not_there", id=id))
        found = rows.kept(dict(row), packed=False)
        if found is None:
            raise self._damaged(id, int(row["revision"]), str(row["title"]))
        if found.removed_at:
            raise NotThere(_say("removed", id=id), found.removed_at)
        return found

    def add(
        self,
        kind: str,
        text: str,
        *,
        title: str,
        facts: Mapping[str, str] | None = None,
        id: str | None = None,
    ) -> Kept:
        """A new document, revision 1. Raises StoreError if the id is in the book."""
        name = id or token_hex(8)
        made = self._made(name, kind, text, title, facts or {}, 1, "")
        with self._writing(len(text)) as ledger:
            if self._revision(name) is not None:
                raise StoreError(_say("taken", id=name))
            ledger.insert("document", made)
            ledger.insert("revision", made)
        return made

    def save(
        self,
        id: str,
        text: str,
        *,
        revision: int,
        title: str,
        facts: Mapping[str, str] | None = None,
        mark: str = "",
    ) -> Kept:
        """The next revision of a document. revision: the one it was opened with.

        Raises SavedElsewhere with theirs if the book has another one; then nothing is written.
        """
        kind = self._kind(id)
        made = self._made(id, kind, text, title, facts or {}, revision + 1, mark)
        with self._writing(len(text)) as ledger:
            if self._revision(id) != revision or not ledger.replace(made, over=revision):
                theirs = self.read(id)
                raise SavedElsewhere(_say("saved_elsewhere", at=theirs.saved_at[11:16]), theirs)
            ledger.insert("revision", made)
            ledger.prune(id)
        return made

    def remove(self, id: str, *, revision: int) -> None:
        """Take a document out; its history stays, and it can be brought back."""
        self._turn(id, revision, self._stamp())

    def bring_back(self, id: str) -> Kept:
        """A removed document, as it was."""
        with plainly(self.path):
            row = self._one(f"SELECT {', '.join(COLUMNS)} FROM document WHERE id = ?", (id,))
        found = rows.kept(dict(row), packed=False) if row is not None else None
        if found is None:
            raise NotThere(_say("not_there", id=id))
        return self._turn(id, found.revision, "") if found.removed_at else found

    def history(self, id: str) -> tuple[Line, ...]:
        """Its revisions, newest first: the last 50, and the last of earlier days."""
        found = self._all(
            f"SELECT {', '.join(LINE_COLUMNS)}, removed_at FROM revision WHERE id = ? ORDER BY revision DESC",
            (id,),
        )
        if not found:
            raise NotThere(_say("not_there", id=id))
        return tuple(Line(**{name: row[name] for name in (*LINE_COLUMNS, "removed_at")}) for row in found)

    def at(self, id: str, revision: int) -> Kept:
        """A document as it was at a revision. Raises NotThere, DocumentDamaged."""
        row = self._one(
            f"SELECT {', '.join(COLUMNS)} FROM revision WHERE id = ? AND revision = ?", (id, revision)
        )
        if row is None:
            raise NotThere(_say("not_there", id=id))
        found = rows.kept(dict(row), packed=True)
        if found is None:
            raise self._damaged(id, revision, str(row["title"]))
        return found

    def last_good(self, id: str) -> Kept | None:
        """The newest revision that is still what was written; None if none is."""
        for row in self._all(
            f"SELECT {', '.join(COLUMNS)} FROM revision WHERE id = ? ORDER BY revision DESC", (id,)
        ):
            found = rows.kept(dict(row), packed=True)
            if found is not None:
                return found
        return None

    def mend(self, id: str) -> Kept:
        """Put the last good revision of a damaged document in its place. Raises DocumentDamaged if there is none."""
        good = self.last_good(id)
        row = self._one("SELECT revision, title FROM document WHERE id = ?", (id,))
        if good is None or row is None:
            raise self._damaged(id, 0, id)
        made = replace(good, revision=int(row["revision"]) + 1, saved_at=self._stamp(), mark="mended")
        with self._writing(len(good.text)) as ledger:
            ledger.replace(made, over=int(row["revision"]))
            ledger.insert("revision", made)
        return made

    def _turn(self, id: str, revision: int, removed_at: str) -> Kept:
        with plainly(self.path):
            row = self._one(f"SELECT {', '.join(COLUMNS)} FROM document WHERE id = ?", (id,))
        found = rows.kept(dict(row), packed=False) if row is not None else None
        if found is None:
            raise NotThere(_say("not_there", id=id))
        made = replace(found, revision=revision + 1, removed_at=removed_at, saved_at=self._stamp())
        with self._writing(len(found.text)) as ledger:
            if self._revision(id) != revision or not ledger.replace(made, over=revision):
                raise SavedElsewhere(_say("saved_elsewhere", at=found.saved_at[11:16]), found)
            ledger.insert("revision", made)
            ledger.prune(id)
        return made

    def _made(
        self,
        id: str,
        kind: str,
        text: str,
        title: str,
        facts: Mapping[str, str],
        revision: int,
        mark: str,
    ) -> Kept:
        raw = text.encode("utf-8")
        if len(raw) > rows.LARGEST_TEXT:
            size = f"{len(raw) / 1e6:.1f}"
            raise StoreError(_say("too_large", size=size, most=f"{rows.LARGEST_TEXT / 1e6:.0f}"))
        known = {name: str(facts.get(name, "")) for name in FACTS}
        stamp = self._stamp()
        return Kept(id, kind, title, revision, stamp, rows.digest(raw), text, **known, mark=mark)

    def _stamp(self) -> str:
        return self._now().astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")

    def _kind(self, id: str) -> str:
        row = self._one("SELECT kind FROM document WHERE id = ?", (id,))
        if row is None:
            raise NotThere(_say("not_there", id=id))
        return str(row["kind"])

    def _revision(self, id: str) -> int | None:
        row = self._one("SELECT revision FROM document WHERE id = ?", (id,))
        return None if row is None else int(row["revision"])

    def _damaged(self, id: str, revision: int, title: str) -> DocumentDamaged:
        good = self.last_good(id)
        name = title or id
        text = (
            _say("document_damaged", title=name, at=good.saved_at)
            if good
            else _say("document_lost", title=name)
        )
        return DocumentDamaged(text, id, revision)

    @contextmanager
    def _writing(self, size: int) -> Iterator[Ledger]:
        if self.read_only:
            raise BookReadOnly(_say("newer", book=self.path.name))
        with plainly(self.path, size=size), transaction(self._connections.here()) as ledger:
            yield ledger

    def _one(self, question: str, values: tuple[object, ...]) -> sqlite3.Row | None:
        with plainly(self.path):
            found: sqlite3.Row | None = self._connections.here().execute(question, values).fetchone()
            return found

    def _all(self, question: str, values: tuple[object, ...]) -> list[sqlite3.Row]:
        with plainly(self.path):
            return self._connections.here().execute(question, values).fetchall()


def _upgrade(path: Path, connection: sqlite3.Connection, at: datetime) -> None:
    """Brings an older book up to date, after a copy of it as it is was laid beside; a damaged one is left alone."""
    health = check(connection)
    if health.structure:
        raise BookDamaged(_say("damaged", book=path.name), health.structure)
    earlier = migrate.version(connection)
    name = f"{path.stem}-before-{at.astimezone(UTC):%Y-%m-%dT%H-%M-%SZ}-v{earlier}{path.suffix}"
    part = path.with_name(f".{name}.{token_hex(4)}")  # never half a copy under a final name
    try:
        with closing(sqlite3.connect(part)) as copy:
            connection.backup(copy)
        part.replace(path.with_name(name))
    finally:
        part.unlink(missing_ok=True)
    migrate.upgrade(connection)


def sound(book: Book) -> bool:
    """True if nothing at all is wrong with the book; never raises BookDamaged."""
    try:
        return book.health().sound
    except BookDamaged:
        return False


def _say(key: str, **values: object) -> str:
    return PLAIN.say(f"store.{key}", **values)
