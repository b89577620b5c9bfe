"""Books for tests: a clock that moves by a second a save, a book with some jobs in it."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from backseam.store.book import Book


class Clock:
    """Tells a second later each time."""

    def __init__(self) -> None:
        self.at = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at


def document(number: int, size: int = 300) -> str:
    return json.dumps({"kind": "backseam.job", "number": number, "note": "x" * size})


MEMORY = Path("/dev/shm")


@pytest.fixture
def tmp_path() -> Iterator[Path]:
    """A folder in memory where there is one: thousands of saves, each with its syncs, would wear out a disk.

    A kill is not a power cut; what a disk does with a sync is not tested here.
    """
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as room:
        yield Path(room)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def book(tmp_path: Path, clock: Clock) -> Iterator[Book]:
    with Book.open(tmp_path / "book.sqlite", now=clock) as opened:
        yield opened
