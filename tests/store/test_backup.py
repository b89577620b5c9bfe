"""Backups, plain copies, salvage: what comes back when the book is gone."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest

from backseam.ground.errors import BookDamaged, NotThere, SavedElsewhere
from backseam.store import backup, copies
from backseam.store.book import Book
from backseam.store.opening import journal
from backseam.store.salvage import salvage
from tests.store.conftest import document

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def test_a_backup_is_checked_and_comes_back(tmp_path, book):
    kept = book.add("job", document(1), title="a")
    assert backup.due(book.path, NOON)
    made = backup.make(book, NOON)
    assert made.documents == 1
    assert not backup.due(book.path, NOON + timedelta(hours=23))
    assert backup.due(book.path, NOON + timedelta(hours=25))
    book.save(kept.id, document(2), revision=1, title="a")
    book.close()
    before = backup.restore(book.path, made.name, NOON)
    with Book.open(book.path) as again, Book.open(before) as old:
        assert again.read(kept.id).text == document(1)
        assert old.read(kept.id).text == document(2)


def test_a_sick_book_replaces_no_backup(book):
    kept = book.add("job", document(1), title="a")
    backup.make(book, NOON)
    book.connection.execute("UPDATE document SET title = 'b' WHERE id = ?", (kept.id,))
    with pytest.raises(BookDamaged, match="no backup"):
        backup.make(book, NOON + timedelta(days=1))
    assert len(backup.listed(book.path)) == 1


def test_ten_days_and_twelve_months_are_kept(book):
    place = backup.folder(book.path)
    place.mkdir()
    at = NOON - timedelta(days=800)
    for day in range(800):
        (place / ((at + timedelta(days=day)).strftime(backup.STAMP) + backup.ENDING)).write_bytes(b"")
    backup.prune(place)
    names = sorted(one.name for one in place.iterdir())
    assert len(names) == 10 + 11
    assert names[-1].startswith("2026-11-24")
    assert len({name[:7] for name in names}) == 12


@pytest.mark.parametrize("name", ["../book.sqlite", "none", "2026-11-25T12-00-00Z.backup.sqlite"])
def test_only_a_backup_of_the_list_is_gone_back_to(book, name):
    with pytest.raises(NotThere):
        backup.restore(book.path, name, NOON)


def test_plain_copies_are_the_documents_and_follow_a_new_title(book):
    kept = book.add("job", document(1), title="Cabin knife")
    known = copies.write(book)
    (one,) = copies.folder(book.path).iterdir()
    assert json.loads(one.read_text()) == json.loads(document(1))
    book.save(kept.id, document(2), revision=1, title="Trail / knife")
    assert copies.write(book, known) == {kept.id: 2}
    (one,) = copies.folder(book.path).iterdir()
    assert one.name.startswith("Trail-knife--")
    assert one.read_text() == document(2)


def test_salvage_of_a_book_with_a_page_of_noise(tmp_path):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as made:
        ids = [made.add("job", document(number, 1500), title=str(number)).id for number in range(60)]
    whole = path.read_bytes()
    came_back = []
    for page in range(6, len(whole) // 4096, 9):
        damaged = tmp_path / f"damaged-{page}.sqlite"
        damaged.write_bytes(whole[: 4096 * page] + b"\xa5" * 4096 + whole[4096 * (page + 1) :])
        before = damaged.read_bytes()
        told = salvage(damaged, tmp_path / f"fresh-{page}.sqlite")
        assert damaged.read_bytes() == before
        with Book.open(told.path) as again:
            assert again.health().sound
            good = {line.id for line in again.lines()}
            assert all(again.read(id).text == document(ids.index(id), 1500) for id in good)
        came_back.append(len(good) / len(ids))
    assert sum(came_back) / len(came_back) > 0.9


@pytest.mark.parametrize("share", [0.5, 0.8])
def test_salvage_of_a_book_cut_short_brings_back_what_is_there(tmp_path, share):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as made:
        for number in range(80):
            made.add("job", document(number, 2500), title=str(number))
    whole = path.read_bytes()
    path.write_bytes(whole[: int(share * len(whole))])
    told = salvage(path, tmp_path / "fresh.sqlite")
    assert len(told.whole) + len(told.older) > 0.6 * share * 80


def test_nothing_to_salvage_is_said(tmp_path):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as made:
        made.add("job", "{}", title="a")
    path.write_bytes(path.read_bytes()[:200])
    with pytest.raises(BookDamaged):
        salvage(path, tmp_path / "fresh.sqlite")


def test_a_journal_goes_aside_with_its_book(book):
    """Left beside the backup that takes the book's place, it would be played into that one."""
    book.add("job", document(1), title="a")
    made = backup.make(book, NOON)
    book.close()
    left = bytes(range(1, 200)) * 30
    journal(book.path).write_bytes(left)
    before = backup.restore(book.path, made.name, NOON)
    assert not journal(book.path).exists()
    assert journal(before).read_bytes() == left
    with Book.open(book.path) as again:
        assert again.health().sound


def test_a_window_opened_before_a_restore_writes_over_nothing(book):
    """Had the numbers gone back, saves after the restore would count up to the one the old window holds."""
    kept = book.add("job", document(1), title="a")
    same = book.add("job", document(7), title="b")
    made = backup.make(book, NOON)
    for number in (2, 3):
        book.save(kept.id, document(number), revision=number - 1, title="a")
    late = book.add("job", document(8), title="c")
    book.close()
    backup.restore(book.path, made.name, NOON)
    with Book.open(book.path) as again:
        assert again.health().sound
        restored = again.read(kept.id)
        assert (restored.text, restored.revision, restored.mark) == (document(1), 4, "backup")
        assert again.read(same.id).revision == 1  # not another text, so not another number
        for held in (1, 2, 3):
            with pytest.raises(SavedElsewhere):
                again.save(kept.id, document(9), revision=held, title="a")
        with pytest.raises(NotThere):
            again.save(late.id, document(9), revision=1, title="c")
        assert again.read(kept.id).text == document(1)


def test_the_numbers_go_far_ahead_where_the_book_that_goes_cannot_be_read(book):
    kept = book.add("job", document(1), title="a")
    made = backup.make(book, NOON)
    book.close()
    book.path.write_bytes(b"\xa5" * 8192)
    before = backup.restore(book.path, made.name, NOON)
    assert backup.restore(book.path, made.name, NOON) != before
    assert before.read_bytes() == b"\xa5" * 8192
    with Book.open(book.path) as again:
        assert again.health().sound
        assert again.read(kept.id).revision > 100_000
        with pytest.raises(SavedElsewhere):
            again.save(kept.id, document(9), revision=5, title="a")
