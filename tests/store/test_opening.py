"""A book is looked at when it is opened: damage of the whole keeps it closed, damage of a row is said."""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing

import pytest

from backseam.ground.errors import BookDamaged, DocumentDamaged
from backseam.store import opening, rows
from backseam.store.book import Book
from backseam.store.check import findings_of
from backseam.store.connection import connect
from backseam.store.ledger import transaction
from backseam.store.rows import Kept
from tests.store.conftest import document
from tests.voice import assert_clear


@pytest.fixture
def path(tmp_path):
    where = tmp_path / "book.sqlite"
    with Book.open(where) as made:
        for number in range(20):
            made.add("job", document(number), title=f"job {number}", id=f"job-{number}")
    return where


def changed(path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as plain:
        plain.execute(statement)
        plain.commit()


def codes(book: Book) -> list[str]:
    found = findings_of(book.opened_as)
    for one in found:
        assert_clear(one.text())
        assert_clear(one.remedy())
    return [one.code for one in found]


def test_a_whole_book_raises_nothing(path):
    with Book.open(path) as book:
        assert book.opened_as.sound
        assert codes(book) == []


def test_a_damaged_document_is_said_at_opening_and_the_others_open(path):
    changed(path, "UPDATE document SET text = x'7b7d' WHERE id = 'job-7'")
    with Book.open(path) as book:
        assert codes(book) == ["STORE-003"]
        assert book.read("job-8").text == document(8)
        with pytest.raises(DocumentDamaged):
            book.read("job-7")
        book.mend("job-7")
    with Book.open(path) as book:
        assert codes(book) == []


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM revision WHERE id = 'job-7'; ",
        "DELETE FROM revision",
    ],
)
def test_a_row_taken_out_behind_our_back_is_said(path, statement):
    changed(path, statement)
    with Book.open(path) as book:
        assert codes(book) == ["STORE-004"]


def test_another_id_is_noticed(path):
    changed(path, "UPDATE revision SET id = 'job-8', revision = 2 WHERE id = 'job-7'")
    with Book.open(path) as book:
        assert "STORE-003" in codes(book)


def test_tables_that_were_changed_keep_the_book_closed(path):
    changed(path, "DROP INDEX listing")
    before = path.read_bytes()
    with pytest.raises(BookDamaged):
        Book.open(path)
    assert path.read_bytes() == before


def test_a_page_of_noise_keeps_the_book_closed_and_untouched(path):
    raw = bytearray(path.read_bytes())
    raw[4096 : 2 * 4096] = b"\xa5" * 4096
    path.write_bytes(raw)
    with pytest.raises(BookDamaged):
        Book.open(path)
    assert path.read_bytes() == bytes(raw)


def test_a_text_that_is_not_the_one_of_its_hash_is_not_read_even_under_a_right_seal(path, monkeypatch):
    with closing(connect(path)) as connection, transaction(connection) as ledger:
        text = '{"reading_mm": 68.0}'
        wrong = Kept("wrong", "job", "wrong", 1, "2026-11-25T09:00:00.000Z", rows.digest(b"86.0"), text)
        ledger.insert("document", wrong)
        ledger.insert("revision", wrong)
    with Book.open(path) as book:
        assert book.opened_as.sound  # the seal alone does not see it
        with pytest.raises(DocumentDamaged):
            book.read("wrong")
        monkeypatch.setattr(rows, "same_text", lambda text, sha: True)
        assert book.read("wrong").text == text  # the guard off


def test_a_thousand_jobs_are_looked_at_in_two_seconds(tmp_path):
    where = tmp_path / "book.sqlite"
    opening.create(where)
    with closing(connect(where)) as connection, transaction(connection) as ledger:
        for number in range(1000):
            text = document(number, 5000)
            kept = Kept(
                f"job-{number}", "job", "a", 1, "2026-11-25T09:00:00.000Z", rows.digest(text.encode()), text
            )
            ledger.insert("document", kept)
            ledger.insert("revision", kept)
    start = time.process_time()
    with Book.open(where) as book:
        assert book.opened_as.documents == 1000
    assert time.process_time() - start < 2
