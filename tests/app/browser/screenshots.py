"""Every page as a picture, light and dark, telephone to wide screen: `python -m tests.app.browser.screenshots DIR`."""

from __future__ import annotations

import json
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright
from tests.app.browser.house import FLAGS, House, chromium

HIDE = {"kind": "backseam.leather", "version": 1, "title": "Shoulder 12", "thickness_mm": [2.0, 2.1, 1.9]}
RING = {"handle_mm": 100, "inside_mm": 99.1, "pull_n": [40, 42, 39], "date": "2026-11-20"}
SIZES = {"phone": (360, 780), "tablet": (768, 1024), "laptop": (1280, 900), "wide": (1920, 1080)}
FEW = (("laptop", "light"), ("laptop", "dark"), ("phone", "light"), ("wide", "light"), ("tablet", "dark"))


def addresses(house: House) -> dict[str, str]:
    """A book with something in it, and the pages to look at."""
    since = (datetime.now(UTC) - timedelta(minutes=4)).isoformat()
    job = house.new_job()
    house.new_job(
        title="Antler drop point",
        customer="Eskil Rydh",
        making={"done": [{"act": "printed"}, {"act": "cut"}], "now": {"act": "soak", "since": since}},
    )
    hide = json.loads(house.ask("POST", "/api/leather", {"document": HIDE}))["id"]
    tests = {"kind": "backseam.leather-tests", "version": 1, "tests": {"rings": [RING]}}
    house.ask("POST", f"/api/leather/{hide}/learn", {"tests": tests})
    return {
        "today": "/",
        "new-job": "/new",
        "round": "/welcome",
        "job": f"/jobs/{job}",
        "job-unrolled": f"/jobs/{job}?view=flat&stretch=1",
        "job-readings": f"/jobs/{job}?table=1",
        "leather": "/leather",
        "hide": f"/leather/{hide}",
        "papers": f"/papers/{job}",
        "settings": "/settings",
        "nowhere": "/jobs/not-there",
    }


def pictures(house: House, browser: Browser, folder: Path) -> None:
    """All pages in the sizes and lights of FEW."""
    folder.mkdir(parents=True, exist_ok=True)
    found = addresses(house)
    for size, scheme in FEW:
        width, height = SIZES[size]
        context = house.context(browser, viewport={"width": width, "height": height}, color_scheme=scheme)
        page = context.new_page()
        for name, address in found.items():
            page.goto(house.base + address)
            page.wait_for_load_state("networkidle")
            page.wait_for_timeout(700)
            page.screenshot(path=folder / f"{name}-{size}-{scheme}.png")
        context.close()


def main(folder: str) -> None:
    """Begin a house on a book of its own, and look at it."""
    with tempfile.TemporaryDirectory() as room, sync_playwright() as play:
        house = House.begun(Path(room) / "book.sqlite")
        browser = play.chromium.launch(executable_path=chromium(), args=FLAGS)
        pictures(house, browser, Path(folder))
        browser.close()
        house.close()


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "docs/pictures/pages")
