"""Kills in mid-save, full disks, flipped bits: nothing that was acknowledged is lost, nothing changed goes unnoticed.

Zero is a claim with a size: no failure in n trials supports "below 3/n" at 95 % (the rule of three; from memory).
"""

from __future__ import annotations

import os
import random
import resource
import sqlite3
import subprocess
import sys
import time
from contextlib import closing, suppress
from multiprocessing import get_context
from pathlib import Path

import pytest

from backseam.ground.errors import BackseamError, BookBusy, BookFull, StoreError
from backseam.store import opening, rows
from backseam.store.book import Book
from backseam.store.check import check
from tests.store import saving
from tests.store.conftest import document

SOAK = bool(os.environ.get("BACKSEAM_SOAK"))  # the long runs of `make soak`
KILLS = 3000 if SOAK else 100
PROCESSES = get_context("fork")  # all that is needed is loaded: a kill costs a tenth of a second


def killed(path: Path, id: str, seed: int, after: float) -> list[tuple[int, str]]:
    """Let a process save, kill it after some time; what it had acknowledged."""
    reader, writer = PROCESSES.Pipe(duplex=False)
    one = PROCESSES.Process(target=saving.main, args=(str(path), id, seed, writer))
    one.start()
    writer.close()
    told = [reader.recv()]
    time.sleep(after)
    one.kill()
    with suppress(EOFError):
        while True:
            told.append(reader.recv())
    one.join()
    reader.close()
    return told


def test_a_hundred_kills_lose_no_acknowledged_save(tmp_path, monkeypatch):
    monkeypatch.setattr(opening, "WRITER", saving.AT_ONCE)
    path = tmp_path / "book.sqlite"
    chance = random.Random(7)
    with Book.open(path) as book:
        id = book.add("job", document(0), title="job").id
    saves = 0
    for turn in range(KILLS):
        told = killed(path, id, turn, chance.uniform(0, 0.08))
        saves += len(told)
        with Book.open(path) as book:
            now = book.read(id)
            last, sha = told[-1]
            assert now.revision in (last, last + 1)
            assert book.at(id, last).sha256 == sha == rows.digest(book.at(id, last).text.encode())
    with Book.open(path) as book:
        assert book.health().sound
    assert saves > KILLS


def test_two_processes_open_a_new_book_at_once(tmp_path):
    for turn in range(6):
        path = tmp_path / f"book-{turn}.sqlite"
        code = (
            "from pathlib import Path; from backseam.store.book import Book;"
            f"Book.open(Path({str(path)!r})).add('job', '{{}}', title='x')"
        )
        both = [subprocess.Popen([sys.executable, "-c", code], stderr=subprocess.PIPE) for _ in range(2)]
        for one in both:
            assert one.communicate()[1] == b""
            assert one.returncode == 0
        with Book.open(path) as book:
            assert len(book.lines()) == 2
            assert book.health().sound


@pytest.mark.parametrize("seed", range(400 if SOAK else 50))
def test_a_full_book_costs_the_save_that_failed_and_nothing_else(tmp_path, seed):
    """A page ceiling: the disk is full at a random size."""
    chance = random.Random(seed)
    path = tmp_path / "book.sqlite"
    with Book.open(path) as book:
        id = book.add("job", document(0), title="job").id
        ceiling = book.connection.execute("PRAGMA page_count").fetchone()[0] + chance.randrange(1, 40)
        book.connection.execute(f"PRAGMA max_page_count = {ceiling}")
        revision, said = 1, ""
        for turn in range(2000):
            try:
                made = book.save(id, noise(chance, 9000), revision=revision, title=f"job {turn}")
            except BookFull as full:
                said = str(full)
                break
            revision = made.revision
        assert "No room" in said
        assert book.read(id).revision == revision
        book.connection.execute("PRAGMA max_page_count = 1000000")
        assert book.save(id, document(1), revision=revision, title="job").revision == revision + 1
        assert book.health().sound


def noise(chance: random.Random, most: int) -> str:
    """A document that does not deflate."""
    return '{"n": "' + "".join(chance.choices("0123456789abcdef", k=chance.randrange(most))) + '"}'


def _limited(path: str, id: str, ceiling: int) -> str:
    return f"""
import resource, signal
from secrets import token_hex
from pathlib import Path
from backseam.store.book import Book
from backseam.ground.errors import BookFull
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, ({ceiling}, resource.RLIM_INFINITY))
book = Book.open(Path({path!r}))
revision = book.read({id!r}).revision
try:
    for turn in range(400):
        text = '{{"n": "' + token_hex(turn * 331 % 12000) + '"}}'
        revision = book.save({id!r}, text, revision=revision, title='job').revision
except BookFull as full:
    print(revision, full)
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
print(book.save({id!r}, '{{}}', revision=revision, title='job').revision)
"""


@pytest.mark.skipif(not hasattr(resource, "RLIMIT_FSIZE"), reason="no ceiling for files on this system")
@pytest.mark.parametrize("seed", range(200 if SOAK else 50))
def test_a_ceiling_for_files_is_a_full_disk_too(tmp_path, seed):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as book:
        id = book.add("job", document(0), title="job").id
    ceiling = path.stat().st_size + random.Random(seed).randrange(4096, 200_000)
    done = subprocess.run(
        [sys.executable, "-c", _limited(str(path), id, ceiling)], capture_output=True, text=True, check=True
    )
    first, last = done.stdout.splitlines()
    assert "No room" in first
    assert int(last) == int(first.split()[0]) + 1
    with Book.open(path) as book:
        assert book.read(id).revision == int(last)
        assert book.health().sound


def flips(raw: bytes, count: int, seed: int):
    chance = random.Random(seed)
    for _ in range(count):
        place = chance.randrange(len(raw))
        changed = bytearray(raw)
        changed[place] ^= 1 << chance.randrange(8)
        yield bytes(changed)


def read_all(connection: sqlite3.Connection) -> dict[str, str | None]:
    """Every document as it reads, unchecked."""
    return {
        row["id"]: row["text"].decode("utf-8", "replace")
        for row in connection.execute("SELECT id, text FROM document")
    }


def test_four_thousand_flipped_bits_are_all_noticed(tmp_path):
    """A bit flipped anywhere: either the check sees it, or every document reads as it was written."""
    path = tmp_path / "book.sqlite"
    with Book.open(path) as book:
        for number in range(12):
            book.add("job", document(number, 700), title=f"job {number}")
    raw = path.read_bytes()
    with closing(sqlite3.connect(path)) as plain:
        plain.row_factory = sqlite3.Row
        before = read_all(plain)
    changed = unnoticed = 0
    for flipped in flips(raw, 40_000 if SOAK else 4000, 11):
        with closing(sqlite3.connect(":memory:")) as memory:
            memory.row_factory = sqlite3.Row
            memory.text_factory = lambda text: text.decode("utf-8", "replace")
            try:
                memory.deserialize(flipped)
                same = read_all(memory) == before
            except (sqlite3.Error, AttributeError, TypeError, UnicodeDecodeError):
                changed += 1
                continue  # it does not even read: nobody takes that for the job
            if not same:
                changed += 1
                unnoticed += check(memory).sound
    assert changed > 500
    assert unnoticed == 0


def test_without_the_seals_flips_go_unnoticed(tmp_path, monkeypatch):
    """The guard off: the same flips are seen by SQLite's own check only, and some are not."""
    monkeypatch.setattr(rows, "whole", lambda row: True)
    with pytest.raises(AssertionError):
        test_four_thousand_flipped_bits_are_all_noticed(tmp_path)


def test_any_flip_in_the_file_gives_a_sentence_or_the_job_as_it_was(tmp_path):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as book:
        ids = [book.add("job", document(number, 700), title=f"job {number}").id for number in range(4)]
    raw = path.read_bytes()
    for turn, flipped in enumerate(flips(raw, 300, 3)):
        damaged = tmp_path / f"{turn}.sqlite"
        damaged.write_bytes(flipped)
        with suppress(BackseamError), Book.open(damaged) as book:
            for number, id in enumerate(ids):
                with suppress(StoreError):
                    assert book.read(id).text == document(number, 700)
        damaged.unlink()


@pytest.mark.parametrize("fill", [b"\x00", b"\xa5"])
def test_a_page_that_is_gone_is_noticed(tmp_path, fill):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as book:
        for number in range(30):
            book.add("job", document(number, 900), title=str(number))
    raw = path.read_bytes()
    for page in range(1, len(raw) // 4096):
        damaged = raw[: 4096 * page] + fill * 4096 + raw[4096 * (page + 1) :]
        if damaged == raw:
            continue
        with closing(sqlite3.connect(":memory:")) as memory:
            memory.row_factory = sqlite3.Row
            memory.text_factory = lambda text: text.decode("utf-8", "replace")
            memory.deserialize(damaged)
            assert not check(memory).sound, f"page {page}"


def test_another_programs_long_save_is_waited_for_then_said(tmp_path, monkeypatch):
    path = tmp_path / "book.sqlite"
    monkeypatch.setattr("backseam.store.connection.BUSY", 0.2)
    with Book.open(path) as book:
        id = book.add("job", document(0), title="a").id
        with closing(sqlite3.connect(path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(BookBusy, match="Another program"):
                book.save(id, document(1), revision=1, title="a")
            other.execute("ROLLBACK")
        assert book.save(id, document(1), revision=1, title="a").revision == 2


def test_a_journal_of_another_book_is_not_played_back(tmp_path):
    path = tmp_path / "book.sqlite"
    with Book.open(path) as book:
        id = book.add("job", document(0), title="a").id
    opening.journal(path).write_bytes(bytes(range(1, 200)) * 30)
    with suppress(BackseamError), Book.open(path) as book:
        assert book.read(id).text == document(0)
