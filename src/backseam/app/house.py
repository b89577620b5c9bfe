"""What the routes share: the book, the desk, the keys. One per server."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fastapi import Request

from backseam.app.desk import Desk
from backseam.app.keys import Keys
from backseam.app.tasks import Tasks


def utc_now() -> datetime:
    """The clock of the doors."""
    return datetime.now(UTC)


@dataclass
class House:
    """One server's own. open: opens the book (once for each server, kept open until it ends)."""

    path: Path
    port: int
    keys: Keys
    desk: Desk
    now: Callable[[], datetime] = utc_now
    held: Any = field(default=None, repr=False)

    def __post_init__(self) -> None:
        self.tasks = Tasks(self.desk)

    @property
    def book(self) -> Any:
        """The job book, opened when it is first asked for."""
        if self.held is None:
            store = importlib.import_module("backseam.store.book")
            self.held = store.Book.open(self.path, now=self.now)
        return self.held

    def close(self) -> None:
        """End the workers, close the book."""
        self.desk.close()
        if self.held is not None:
            self.held.close()
            self.held = None


def house_of(request: Request) -> House:
    """The house of a request."""
    house: House = request.app.state.house
    return house
