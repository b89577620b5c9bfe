"""A house with a real server and a real browser, once for all pages."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from tests.app.browser.house import FLAGS, House, chromium


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium."""
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=chromium(), args=FLAGS)
        yield made
        made.close()


@pytest.fixture(scope="session")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """The app with an empty book."""
    made = House.begun(Path(tmp_path_factory.mktemp("house")) / "book.sqlite")
    yield made
    made.close()


@pytest.fixture
def context(house: House, browser: Browser) -> Iterator[BrowserContext]:
    """A browser that was let in."""
    made = house.context(browser)
    yield made
    made.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    """One window."""
    return context.new_page()
