"""The first opening: a new book with three sample jobs to look at."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from importlib.resources import files
from pathlib import Path

from backseam.app.keeping import JOBS
from backseam.store.book import Book

SAMPLES = ("slim", "stout", "barrel")  # the last one stands first in the listing


def opened(path: Path, now: Callable[[], datetime]) -> Book:
    """The book in this file; a new one has the samples in it. Raises StoreError."""
    fresh = not path.exists()
    book = Book.open(path, now=now)
    if fresh:
        for name in SAMPLES:
            JOBS.add(
                book, json.loads(files("backseam.samples").joinpath(f"{name}.json").read_bytes()), id=name
            )
    return book
