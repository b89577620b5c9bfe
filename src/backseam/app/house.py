"""What the routes share: the book, the desk, the keys. One per server."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fastapi import Request

from backseam.app.desk import Ask, Desk, Lane
from backseam.app.hides import named, with_hide
from backseam.app.keys import Keys
from backseam.app.settings import settings_in
from backseam.app.tasks import Tasks
from backseam.ground.errors import StoreError
from backseam.ground.speech import PLAIN
from backseam.store import backup, copies, place
from backseam.store.book import Book
from backseam.store.check import findings_of

COPIES_EVERY = 600.0  # seconds


def utc_now() -> datetime:
    """The clock of the doors."""
    return datetime.now(UTC)


@dataclass
class House:
    """One server's own."""

    path: Path
    port: int
    keys: Keys
    desk: Desk
    book: Book
    now: Callable[[], datetime] = utc_now
    tasks: Tasks = field(init=False)
    troubles: dict[str, str] = field(default_factory=dict)
    copied: dict[str, int] = field(default_factory=dict)
    swapping: threading.RLock = field(default_factory=threading.RLock, repr=False)

    def __post_init__(self) -> None:
        self.tasks = Tasks(self.desk)

    def units(self) -> str:
        """The workshop's units."""
        return settings_in(self.book).units

    async def ask(
        self, lane: Lane, name: str, given: dict[str, Any], client: str = "", seq: int = 0
    ) -> bytes:
        """What a worker answers, reckoned with the hide each job is cut from. Raises Refusal, InputRefused."""
        return await self.desk.ask(lane, Ask(name, await self.reckoned(given)), client, seq)

    async def reckoned(self, given: dict[str, Any]) -> dict[str, Any]:
        """What is asked, its job with what the card of its hide knows. Raises InputRefused."""
        if not named(given.get("document")):
            return given
        found = await asyncio.to_thread(with_hide, self.book, given["document"])
        return {**given, "document": found}

    def say(self, key: str, /, **values: object) -> str:
        """A word of the API's own."""
        return PLAIN.say(f"api.{key}", **values)

    def backups(self) -> list[dict[str, Any]]:
        """Copies of the whole book, newest first."""
        return [asdict(one) for one in backup.listed(self.path)]

    def doubts(self) -> list[str]:
        """What a person should know of the book's place, and of backups and copies that did not go through."""
        seen = (*place.findings(self.path), *findings_of(self.book.opened_as))
        found = [f"{one.text()} {one.remedy()}" for one in seen]
        return [*found, *self.troubles.values()]

    def restore(self, name: str) -> None:
        """The book as it was in a backup; that of before stays beside it. Raises NotThere, BookDamaged."""
        with self.swapping:
            self.book.close()
            try:
                backup.restore(self.path, name, self.now())
            finally:
                self.book = Book.open(self.path, now=self.now)
            self.copied = {}

    def keep_daily(self) -> None:
        """A backup, if the newest is a day old; a sick book replaces none."""
        with self.swapping:
            if not self.book.read_only and backup.due(self.path, self.now()):
                self._kept("backup", lambda: backup.make(self.book, self.now()))

    def keep_copies(self) -> None:
        """What changed, as plain files."""

        def write() -> None:
            before = dict(self.copied)
            self.copied = copies.write(self.book, before)

        with self.swapping:
            self._kept("copies", write)

    def _kept(self, what: str, act: Callable[[], object]) -> None:
        """Keeping a second time must never stop the work: what went wrong is remembered, and said on the page."""
        try:
            act()
            self.troubles.pop(what, None)
        except (StoreError, OSError) as error:
            self.troubles[what] = str(error)

    async def watch(self) -> None:
        """While the server runs, every ten minutes: a backup when a day has passed, and plain copies."""
        while True:
            await asyncio.to_thread(self.keep_daily)
            await asyncio.to_thread(self.keep_copies)
            await asyncio.sleep(COPIES_EVERY)

    def close(self) -> None:
        """End the workers, keep what changed a second time, close the book."""
        self.desk.close()
        self.keep_copies()
        self.keep_daily()
        self.book.close()


def house_of(request: Request) -> House:
    """The house of a request."""
    house: House = request.app.state.house
    return house
