"""Signal 9 inside a backup and inside a migration: the old state or the new one, never a third."""

from __future__ import annotations

import os
import time
from datetime import UTC, datetime
from multiprocessing import get_context
from pathlib import Path

import pytest

from backseam.store import backup, schema
from backseam.store.book import Book
from tests.store.conftest import document

KILLS = 200 if os.environ.get("BACKSEAM_SOAK") else 48
PROCESSES = get_context("fork")
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
OLD = Path(__file__).parent / "frozen" / "v1.sqlite"
LENGTHEN = tuple(f"ALTER TABLE tally ADD COLUMN note_{n} TEXT NOT NULL DEFAULT ''" for n in range(12))


def killed(act, *given: object, after: float) -> bool:
    """Run it in a process and kill that after some time; True if it was not through."""
    one = PROCESSES.Process(target=act, args=given)
    one.start()
    time.sleep(after)
    one.kill()
    one.join()
    return one.exitcode != 0


def _backup(path: Path, turn: int) -> None:
    with Book.open(path) as book:
        backup.make(book, NOON.replace(hour=turn // 60 % 24, minute=turn % 60))


def _upgrade(path: Path) -> None:
    schema.STEPS = (*schema.STEPS, LENGTHEN)
    Book.open(path).close()


@pytest.mark.skipif(os.name == "nt", reason="no signal 9")
def test_killed_inside_a_backup_every_backup_of_the_list_is_whole(tmp_path):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as book:
        for number in range(60):
            book.add("job", document(number, 3000), title=str(number))
    broken = sum(killed(_backup, path, turn, after=0.004 * (turn % 12)) for turn in range(KILLS))
    assert broken
    for one in backup.listed(path):
        assert one.documents == 60
        with Book.open(backup.folder(path) / one.name) as copy:
            assert copy.health().sound
    with Book.open(path) as book:
        assert book.health().sound
        assert len(book.lines()) == 60
        assert backup.make(book, NOON).documents == 60  # and the next one goes through
    assert not [one for one in backup.folder(path).iterdir() if one.name.startswith(".")]


@pytest.mark.skipif(os.name == "nt", reason="no signal 9")
def test_killed_inside_a_migration_it_is_the_old_book_or_the_new_one(tmp_path, monkeypatch):
    broken = 0
    with Book.open(_copied(tmp_path, "said")) as book:
        said = {line.id: book.read(line.id).text for line in book.lines()}
    for turn in range(KILLS):
        path = _copied(tmp_path, str(turn))
        broken += killed(_upgrade, path, after=0.003 * (turn % 12))
        with monkeypatch.context() as patch:
            patch.setattr(schema, "STEPS", (*schema.STEPS, LENGTHEN))
            with Book.open(path) as book:
                assert book.health().sound
                assert {id: book.read(id).text for id in said} == said
                columns = [row[1] for row in book.connection.execute("PRAGMA table_info(tally)")]
                assert sum(name.startswith("note_") for name in columns) == 12
    assert broken


def _copied(folder: Path, name: str) -> Path:
    place = folder / name
    place.mkdir()
    (place / "book.sqlite").write_bytes(OLD.read_bytes())
    return place / "book.sqlite"
