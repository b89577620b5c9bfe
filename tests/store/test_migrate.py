"""Every book ever written opens in this program and says the same; a step runs once, whole or not at all."""

from __future__ import annotations

import json
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from backseam.ground.errors import BookDamaged
from backseam.store import migrate, opening, schema
from backseam.store.book import Book
from backseam.store.connection import connect

FROZEN = sorted((Path(__file__).parent / "frozen").glob("*.sqlite"))
NEXT = ("ALTER TABLE tally ADD COLUMN note TEXT NOT NULL DEFAULT ''",)


@pytest.fixture(params=FROZEN, ids=lambda path: path.stem)
def old(request, tmp_path) -> Path:
    path = tmp_path / "book.sqlite"
    path.write_bytes(request.param.read_bytes())
    return path


def test_there_is_a_frozen_book_of_every_version():
    assert [path.stem for path in FROZEN] == [f"v{number + 1}" for number in range(len(schema.STEPS))]


def test_a_frozen_book_opens_and_says_what_it_said(old):
    said = json.loads((Path(__file__).parent / "frozen" / "said.json").read_text(encoding="utf-8"))
    with Book.open(old) as book:
        assert {line.id: [line.title, line.revision] for line in book.lines()} == said["lines"]
        assert {id: book.read(id).text for id in said["texts"]} == said["texts"]
        assert book.health().sound


def test_a_step_keeps_the_documents_and_a_copy_of_the_book_before_it(old, monkeypatch):
    before = old.read_bytes()
    with closing(sqlite3.connect(old)) as plain:
        texts = plain.execute("SELECT id, text FROM document ORDER BY id").fetchall()
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, NEXT))
    with Book.open(old) as book:
        assert book.health().sound
        found = book.connection.execute("SELECT id, text FROM document ORDER BY id").fetchall()
        assert [tuple(row) for row in found] == texts
        assert migrate.version(book.connection) == len(schema.STEPS)
    (copy,) = old.parent.glob("book-before-*-v1.sqlite")
    with closing(sqlite3.connect(copy)) as plain:
        assert plain.execute("SELECT id, text FROM document ORDER BY id").fetchall() == texts
    upgraded = old.read_bytes()
    assert upgraded != before
    Book.open(old).close()
    assert old.read_bytes() == upgraded  # twice is once


def test_a_step_that_breaks_off_leaves_the_old_book(old, monkeypatch):
    with closing(connect(old)) as connection:
        monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, (*NEXT, "NO SUCH STATEMENT")))
        before = old.read_bytes()
        with pytest.raises(sqlite3.OperationalError):
            migrate.upgrade(connection)
    assert old.read_bytes() == before


def test_two_that_open_an_old_book_at_once_run_each_step_once(old, monkeypatch):
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, NEXT))
    assert sum(_race(old)) == 1


def test_without_reading_the_version_again_a_step_would_run_twice(old, monkeypatch):
    """The guard off: what was read before the transaction is believed inside it."""
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, NEXT))
    seen: dict[int, int] = {}
    real = migrate.version

    def first_look(connection: sqlite3.Connection) -> int:
        if connection.in_transaction:
            return seen[id(connection)]
        seen[id(connection)] = real(connection)
        return seen[id(connection)]

    monkeypatch.setattr(migrate, "version", first_look)
    with pytest.raises((sqlite3.OperationalError, AssertionError), match="duplicate column"):
        _race(old)


def _race(path: Path) -> list[int]:
    """Two connections that both see the old version before either may write; how many steps each ran."""
    both, ran, faults = threading.Barrier(2), [], []

    class Held(sqlite3.Connection):
        def execute(self, statement, *values):
            if statement == "BEGIN IMMEDIATE" and not self.in_transaction:
                both.wait(5) if not getattr(self, "met", False) else None
                self.met = True
            return super().execute(statement, *values)

    def run() -> None:
        with closing(sqlite3.connect(path, isolation_level=None, timeout=5, factory=Held)) as connection:
            try:
                ran.append(migrate.upgrade(connection))
            except sqlite3.Error as fault:
                faults.append(fault)

    threads = [threading.Thread(target=run) for _ in range(2)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    if faults:
        raise faults[0]
    return ran


def test_an_old_book_that_is_damaged_is_not_brought_up_to_date(old, monkeypatch):
    raw = bytearray(old.read_bytes())
    raw[4096 : 2 * 4096] = b"\xa5" * 4096
    old.write_bytes(raw)
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, NEXT))
    with pytest.raises(BookDamaged):
        Book.open(old)
    assert old.read_bytes() == bytes(raw)


def test_a_book_is_whole_from_its_first_moment(tmp_path):
    path = tmp_path / "book.sqlite"
    opening.create(path)
    assert opening.header(path).version == len(schema.STEPS)
    assert [one.name for one in tmp_path.iterdir()] == ["book.sqlite"]
