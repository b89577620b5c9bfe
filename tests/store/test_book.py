"""The job book: what is saved is there, nothing is saved over another's, what is damaged is noticed."""

from __future__ import annotations

import json
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from backseam.ground.errors import (
    BookDamaged,
    BookGone,
    BookReadOnly,
    DocumentDamaged,
    NotABook,
    NotThere,
    SavedElsewhere,
    StoreError,
)
from backseam.store import schema
from backseam.store.book import Book
from backseam.store.ledger import LAST, Ledger
from tests.store.conftest import document


def test_what_was_saved_is_read_back(book):
    kept = book.add(
        "job", document(1), title="Cabin knife", facts={"customer": "Ines", "promised": "2026-12-11"}
    )
    assert book.read(kept.id) == kept
    later = book.save(kept.id, document(2), revision=1, title="Cabin knife", mark="thickness")
    assert (later.revision, later.mark) == (2, "thickness")
    assert book.read(kept.id).text == document(2)
    assert book.at(kept.id, 1).text == document(1)
    assert [line.revision for line in book.history(kept.id)] == [2, 1]
    assert book.health().sound


def test_a_stale_save_is_refused_and_carries_theirs(book):
    kept = book.add("job", document(1), title="a")
    theirs = book.save(kept.id, document(2), revision=1, title="a")
    with pytest.raises(SavedElsewhere, match="other window") as refused:
        book.save(kept.id, document(3), revision=1, title="a")
    assert refused.value.theirs == theirs
    assert book.read(kept.id).text == document(2)
    assert len(book.history(kept.id)) == 2


def test_without_the_check_of_revisions_a_save_would_be_lost(book, monkeypatch):
    """The guard off: theirs is overwritten silently, so the test above is red."""
    replace = Ledger.replace
    monkeypatch.setattr(
        Ledger, "replace", lambda self, made, over: replace(self, made, over=1) or replace(self, made, over=2)
    )
    insert = Ledger.insert
    monkeypatch.setattr(
        Ledger, "insert", lambda self, table, made: made.revision == 2 or insert(self, table, made)
    )
    monkeypatch.setattr(Book, "_revision", lambda self, id: 1 if self.lines() else None)
    with pytest.raises(pytest.fail.Exception, match="DID NOT RAISE"):
        test_a_stale_save_is_refused_and_carries_theirs(book)
    (line,) = book.lines()
    assert book.read(line.id).text == document(3)


def test_removed_and_brought_back(book):
    kept = book.add("job", document(1), title="a")
    book.remove(kept.id, revision=1)
    assert book.lines() == ()
    assert [line.id for line in book.lines(removed=True)] == [kept.id]
    with pytest.raises(NotThere, match="taken out"):
        book.read(kept.id)
    assert book.bring_back(kept.id).text == document(1)
    assert book.bring_back(kept.id).revision == 3
    assert book.health().sound


def test_listing_and_search(book):
    book.add("job", document(1), title="Cabin knife", facts={"customer": "Ines Halden"})
    book.add("job", document(2), title="Camp knife", facts={"customer": "Peder"})
    book.add("leather", "{}", title="Shoulder 12")
    assert [line.title for line in book.lines()] == ["Camp knife", "Cabin knife"]
    assert [line.title for line in book.lines(search="ines")] == ["Cabin knife"]
    assert [line.title for line in book.lines("leather")] == ["Shoulder 12"]
    assert book.lines(search="no such") == ()


def test_the_last_fifty_revisions_stay(book):
    kept = book.add("job", document(0), title="a")
    for number in range(1, LAST + 20):
        book.save(kept.id, document(number), revision=number, title="a")
    assert LAST <= len(book.history(kept.id)) <= LAST + 1
    assert book.health().sound


def test_odd_requests_are_refused_in_a_sentence(book):
    kept = book.add("job", "{}", title="a", id="one")
    with pytest.raises(StoreError, match="already"):
        book.add("job", "{}", title="b", id="one")
    with pytest.raises(NotThere, match="no two"):
        book.save("two", "{}", revision=1, title="b")
    with pytest.raises(NotThere):
        book.at(kept.id, 7)
    with pytest.raises(NotThere):
        book.history("two")
    with pytest.raises(StoreError, match="MB"):
        book.save("one", "x" * 5_000_001, revision=1, title="a")
    assert book.read("one").revision == 1


def test_a_damaged_document_is_noticed_and_its_last_good_version_offered(book):
    kept = book.add("job", document(1), title="Cabin knife")
    book.save(kept.id, document(2), revision=1, title="Cabin knife")
    book.connection.execute("UPDATE document SET text = ? WHERE id = ?", (document(7).encode(), kept.id))
    with pytest.raises(DocumentDamaged, match="last good version"):
        book.read(kept.id)
    assert book.last_good(kept.id).text == document(2)
    assert not book.health().sound
    assert book.mend(kept.id).text == document(2)
    assert book.read(kept.id).text == document(2)


def test_eight_threads_save_and_nothing_is_lost(book):
    kept = book.add("job", document(0), title="a")
    told: list[int] = []
    guard = threading.Lock()

    def saves(number: int) -> None:
        for turn in range(12):
            while True:
                now = book.read(kept.id)
                try:
                    made = book.save(kept.id, document(100 * number + turn), revision=now.revision, title="a")
                except SavedElsewhere:
                    continue
                with guard:
                    told.append(made.revision)
                break

    threads = [threading.Thread(target=saves, args=(number,)) for number in range(8)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(told) == list(range(2, 98))
    assert book.read(kept.id).revision == 97
    assert book.health().sound


def test_a_newer_book_opens_to_look_at_and_not_a_byte_changes(tmp_path):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as made:
        kept = made.add("job", document(1), title="a")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA user_version = {len(schema.STEPS) + 1}")
    before = path.read_bytes()
    with Book.open(path) as newer:
        assert newer.read_only
        assert newer.read(kept.id).text == document(1)
        with pytest.raises(BookReadOnly, match="newer"):
            newer.save(kept.id, document(2), revision=1, title="a")
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "content", [b"", b"hello", b"SQLite format 3\x00" + b"\x00" * 84, bytes(range(256)) * 20]
)
def test_what_is_no_book_is_left_alone(tmp_path, content):
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(NotABook):
        Book.open(path)
    assert path.read_bytes() == content


def test_another_programs_database_is_left_alone(tmp_path):
    path = tmp_path / "other.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE things (a)")
        connection.commit()
    before = path.read_bytes()
    with pytest.raises(NotABook, match="no job book"):
        Book.open(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("share", [0.3, 0.6, 0.99])
def test_a_book_cut_short_is_never_written_to(tmp_path, share):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as made:
        for number in range(40):
            made.add("job", document(number, 2000), title=f"job {number}")
    whole = path.read_bytes()
    cut = whole[: int(len(whole) * share)]
    path.write_bytes(cut)
    with pytest.raises(BookDamaged):
        Book.open(path)
    assert path.read_bytes() == cut


def test_a_folder_that_vanishes_is_a_sentence(tmp_path):
    with pytest.raises(BookGone, match="no folder"):
        Book.open(tmp_path / "none" / "book.sqlite")
    path = tmp_path / "here" / "book.sqlite"
    path.parent.mkdir()
    with Book.open(path) as made:
        kept = made.add("job", document(1), title="a")
        aside = tmp_path / "aside"
        path.parent.rename(aside)
        with pytest.raises(BookGone, match="no longer"):
            made.save(kept.id, document(2), revision=1, title="a")
        aside.rename(path.parent)
        assert made.save(kept.id, document(2), revision=1, title="a").revision == 2


def test_every_change_of_a_book_shows_in_its_tally(book):
    for number in range(5):
        book.add("job", document(number), title=str(number))
    line = book.lines()[0]
    book.connection.execute("PRAGMA foreign_keys = OFF")
    book.connection.execute("DELETE FROM document WHERE id = ?", (line.id,))
    assert book.health().structure or book.health().missing
    health = book.health()
    assert not health.sound
    assert "without their document" in health.structure[0]


def test_the_text_is_the_same_to_the_byte(book):
    text = json.dumps({"title": "Kniv “x” \u202e ø 刀 \U0001f52a", "n": 1.10}, ensure_ascii=False)
    assert book.read(book.add("job", text, title="x").id).text == text


def test_a_book_lies_in_one_file_at_rest(tmp_path):
    with Book.open(tmp_path / "book.sqlite") as made:
        made.add("job", "{}", title="a")
    assert [one.name for one in Path(tmp_path).iterdir()] == ["book.sqlite"]
