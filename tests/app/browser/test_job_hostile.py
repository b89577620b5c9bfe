"""A hostile page in a real browser, while the app is open beside it: nothing is read, nothing is changed.

A page of another port on 127.0.0.1 is of the same site, so the browser sends it our cookie: only the guard stands
there.
Each guard that it leans on is switched off once, and then the page gets through: so the moves are real ones.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser
from tests.app.browser.house import House

from backseam.app import guard

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """An app of its own: what a saboteur lets in spoils no other test."""
    made = House.begun(tmp_path_factory.mktemp("hostile") / "book.sqlite", workers=0)
    yield made
    made.close()


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        """Nothing."""


@pytest.fixture(scope="module")
def elsewhere() -> Iterator[int]:
    """A server of somebody else's, on another port; it has one page."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(Path(__file__).parent)))
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield server.server_address[1]
    server.shutdown()
    thread.join(5)
    server.server_close()


Visit = Callable[[str], tuple[list[str], list[str]]]


@pytest.fixture
def visit(house: House, browser: Browser, elsewhere: int) -> Iterator[Visit]:
    """The maker's own browser, the app open in one window, goes to somebody else's page and presses its button."""
    context = house.context(browser)
    job = house.new_job()
    context.new_page().goto(f"{house.base}/jobs/{job}")

    def visiting(host: str) -> tuple[list[str], list[str]]:
        page = context.new_page()
        page.goto(f"http://{host}:{elsewhere}/hostile.html?job={job}&app={quote(house.base)}")
        page.locator("#go").click()
        page.wait_for_function("document.title === 'done'")
        return page.evaluate("loot"), page.evaluate("tried")

    yield visiting
    context.close()


def book(house: House) -> str:
    """Everything in the book, as text."""
    jobs = json.loads(house.ask("GET", "/api/jobs"))["lines"]
    backups = json.loads(house.ask("GET", "/api/backups"))
    return json.dumps([jobs, backups, [house.document(one["id"]) for one in jobs]], sort_keys=True)


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost"])
def test_a_hostile_page_reads_nothing_and_changes_nothing(house: House, visit: Visit, host: str) -> None:
    before = book(house)
    loot, tried = visit(host)
    assert len(tried) > 80
    assert loot == []
    assert book(house) == before


def test_without_the_look_at_where_it_comes_from_it_changes_the_book(
    house: House, visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = book(house)
    monkeypatch.setattr(guard, "SAFE", guard.METHODS)
    visit("127.0.0.1")
    assert book(house) != before


def test_without_the_headers_that_keep_it_to_itself_it_reads(
    visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(guard, "EVERYWHERE", {})
    loot, _ = visit("127.0.0.1")
    assert loot != []
