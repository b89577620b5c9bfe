"""A process that saves without end and tells each save only after it is acknowledged; killed by the tests."""

from __future__ import annotations

import json
from multiprocessing.connection import Connection
from pathlib import Path

from backseam.store import opening
from backseam.store.book import Book

AT_ONCE = 0.02  # seconds: nobody else is writing, so a journal that lies there is a dead writer's


def main(path: str, id: str, seed: int, told: Connection) -> None:
    """Save for ever."""
    opening.WRITER = AT_ONCE
    with Book.open(Path(path)) as book:
        revision, turn = book.read(id).revision, 0
        while True:
            turn += 1
            text = json.dumps({"turn": turn, "seed": seed, "note": "x" * (997 * turn % 60_000)})
            made = book.save(id, text, revision=revision, title="job")
            revision = made.revision
            told.send((revision, made.sha256))
