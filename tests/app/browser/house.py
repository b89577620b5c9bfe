"""A house to try the pages in: the real server on a book of its own; and what the tests of pages have in common."""

from __future__ import annotations

import json
import shutil
import socket
import threading
import time
from copy import deepcopy
from dataclasses import dataclass
from dataclasses import field as later
from http.cookiejar import CookieJar
from importlib.resources import files
from pathlib import Path
from typing import Any
from urllib.request import HTTPCookieProcessor, OpenerDirector, Request, build_opener

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

ROOT = Path(__file__).parents[3]
FLAGS = [
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync", "--use-gl=angle", "--use-angle=swiftshader"),
    "--enable-unsafe-swiftshader",
]
BARREL: dict[str, Any] = json.loads(files("backseam.samples").joinpath("barrel.json").read_bytes())
expect.set_options(timeout=15_000)  # patient: machines that test are busy
PAGE = ROOT / "src/backseam/app/static/page/job.js"


def chromium() -> str:
    """The system's Chromium, or no browser tests."""
    found = next(
        (p for name in ("chromium", "chromium-browser", "google-chrome") if (p := shutil.which(name))), None
    )
    if found is None:
        pytest.skip("no Chromium on this machine")
    return found


@dataclass
class House:
    """A server that runs. base: its address; opener: a client that was let in."""

    base: str
    opener: OpenerDirector
    cookies: CookieJar
    server: Any
    thread: threading.Thread
    kept: dict[str, Any] = later(default_factory=dict)

    @staticmethod
    def begun(book: Path, workers: int = 1) -> House:
        """The app on a free port, in a thread, let in by its token."""
        import uvicorn

        from backseam.app.server import create

        if not PAGE.exists():
            pytest.skip("the page is not built: make page")
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        app = create(book, port=port, token="let-me-in", workers=workers)
        server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=port, log_level="warning"))
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        until = time.monotonic() + 60
        while not server.started:
            if time.monotonic() > until:
                raise RuntimeError("the server did not begin")
            time.sleep(0.05)
        cookies = CookieJar()
        made = House(
            f"http://127.0.0.1:{port}", build_opener(HTTPCookieProcessor(cookies)), cookies, server, thread
        )
        made.ask("GET", "/enter?token=let-me-in")
        for warmed in ("work", "fit"):  # the first answer waits until a worker has loaded
            made.ask("POST", f"/api/{warmed}", {"document": BARREL})
        return made

    def ask(self, method: str, path: str, body: Any = None) -> bytes:
        """One request as the page makes it."""
        data = None if body is None else json.dumps(body).encode()
        heads = {"origin": self.base, "sec-fetch-site": "same-origin", "content-type": "application/json"}
        with self.opener.open(Request(self.base + path, data, heads, method=method)) as answer:
            read: bytes = answer.read()
        return read

    def new_job(self, **over: Any) -> str:
        """A job like the sample, in the book."""
        made = json.loads(self.ask("POST", "/api/jobs", {"document": {**deepcopy(BARREL), **over}}))
        return str(made["id"])

    def document(self, job: str) -> dict[str, Any]:
        """The job as it lies in the book."""
        told: dict[str, Any] = json.loads(self.ask("GET", f"/api/jobs/{job}"))["document"]
        return told

    def context(self, browser: Browser, **how: Any) -> BrowserContext:
        """A browser that was let in."""
        made = browser.new_context(**{"viewport": {"width": 1280, "height": 1000}, **how})
        made.set_default_timeout(20_000)
        made.add_cookies([{"name": c.name, "value": c.value or "", "url": self.base} for c in self.cookies])
        return made

    def open(self, page: Page, job: str, query: str = "") -> None:
        """The job page, drawn for the first time."""
        page.goto(f"{self.base}/jobs/{job}{query}")
        page.wait_for_selector("#ground .view")
        expect(page.locator("#read-holes")).not_to_have_text("–")

    def close(self) -> None:
        """End the server."""
        self.server.should_exit = True
        self.thread.join(10)


def field(page: Page, path: str) -> Locator:
    """The field of a place in the document, in an open place or in the table."""
    return page.locator(f"[data-field='{path}']:visible").first


def body_of(page: Page) -> str:
    """The pictures as they are drawn."""
    text: str = page.evaluate("document.querySelector('#ground').innerHTML")
    return text


def saved(page: Page) -> None:
    """Wait until everything is in the book."""
    expect(page.locator("#saved[data-state='saved'][data-waiting='false']")).to_have_count(1)


def changed(page: Page, before: str) -> None:
    """Wait until the pictures are others. (The page allows no eval, so it is looked at from outside.)"""
    until = time.monotonic() + 10
    while body_of(page) == before:
        assert time.monotonic() < until, "the drawing stayed as it was"
        page.wait_for_timeout(30)


def axe(page: Page) -> list[str]:
    """What an accessibility check finds, WCAG 2.2 A and AA."""
    source = ROOT / "page/node_modules/axe-core/axe.min.js"
    if not source.exists():
        pytest.skip("axe-core is not here: make page")
    page.add_script_tag(content=source.read_text(encoding="utf-8"))
    told = page.evaluate(
        "axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']})"
        ".then(r => r.violations.map("
        "v => v.id + ': ' + v.nodes.map(n => n.target + ' ' + n.failureSummary).join(' | ')))"
    )
    return [str(one) for one in told]
