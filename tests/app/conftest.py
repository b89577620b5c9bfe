"""The app on a book of its own, and a client that was let in."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from importlib.resources import files
from typing import Any

import pytest
from fastapi.testclient import TestClient

from backseam.app.server import create

PORT = 8123
HERE = f"http://127.0.0.1:{PORT}"


def alone(work: Coroutine[Any, Any, Any]) -> Any:
    """Run it in a loop of its own, in a thread of its own: a browser under test keeps a loop running in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()


def sample(name: str = "barrel") -> dict[str, Any]:
    """A sample job as plain values."""
    made: dict[str, Any] = json.loads(files("backseam.samples").joinpath(f"{name}.json").read_bytes())
    return made


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """Where the book lies."""
    return tmp_path_factory.mktemp("app") / "book.sqlite"


@pytest.fixture(scope="module")
def app(book):
    """The app, working inside its own process."""
    return create(book, port=PORT, token="let-me-in", workers=0)


@pytest.fixture(scope="module")
def client(app) -> Iterator[TestClient]:
    """A browser that came in through the link."""
    with TestClient(app, base_url=HERE, raise_server_exceptions=False) as made:
        made.headers["sec-fetch-site"] = "same-origin"
        assert made.get("/enter?token=let-me-in", follow_redirects=False).status_code == 303
        yield made


@pytest.fixture
def job(client) -> str:
    """A fresh job in the book; its id."""
    return str(client.post("/api/jobs", json={"document": sample()}).json()["id"])
