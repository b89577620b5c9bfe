"""How fast the job page answers a changed number, in a real browser: hand line, piece and findings, fit.

Run: python -m benchmarks.app_page [turns]. Each turn types another reading; the page itself measures from the key to
the next picture on the screen (software rendering, the server and its workers on the same machine).
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory

from playwright.sync_api import Page, sync_playwright
from tests.app.browser.house import FLAGS, House, chromium

LIMITS = {"hand": 50.0, "work": 150.0, "fit": 300.0}  # ms, 95th percentile
WHAT = {"hand": "hand line and readings", "work": "piece and findings", "fit": "fit"}


def turned(page: Page, turns: int) -> dict[str, list[float]]:
    """Milliseconds from a typed number to the picture, by what was drawn."""
    box = page.locator("[data-field='form.girths.3.reading_mm']:visible").first
    box.focus()
    for turn in range(turns + 5):
        if turn == 5:
            page.evaluate("performance.clearMeasures()")  # the first ones load what is loaded once
        box.fill(f"{101 + (turn % 20) / 10:.1f}")
        page.wait_for_timeout(700)
    told = page.evaluate(
        "performance.getEntriesByType('measure').map(one => [one.name.replace('backseam:', ''), one.duration])"
    )
    return {name: [ms for what, ms in told if what == name] for name in LIMITS}


def rows(views: tuple[str, ...], turns: int) -> list[tuple[str, str, int, float, float, float]]:
    """View, what, count, median, 95th percentile, largest."""
    found = []
    with TemporaryDirectory() as folder, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium(), args=FLAGS)
        house = House.begun(Path(folder) / "book.sqlite", workers=2)
        for view in views:
            page = house.context(browser).new_page()
            house.open(page, house.new_job(), view)
            page.wait_for_timeout(3000)
            for name, times in turned(page, turns).items():
                worst = quantiles(times, n=20)[-1] if len(times) > 1 else max(times, default=float("nan"))
                found.append((view or "?view=back", name, len(times), median(times), worst, max(times)))
            page.close()
        browser.close()
        house.close()
    return found


def main(turns: int = 40) -> int:
    """Prints the table. 1 if a limit is passed."""
    late = 0
    print(f"{'view':<22}{'drawn':<26}{'n':>4}{'median':>9}{'95 %':>8}{'worst':>8}{'limit':>8}   ms")
    for view, name, count, middle, worst, most in rows(
        ("", "?view=flat", "?view=flat&stretch=1&table=1"), turns
    ):
        late += worst > LIMITS[name]
        print(
            f"{view:<22}{WHAT[name]:<26}{count:>4}{middle:>9.0f}{worst:>8.0f}{most:>8.0f}{LIMITS[name]:>8.0f}"
        )
    return int(late > 0)


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:2])))
