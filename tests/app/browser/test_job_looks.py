"""How the job page stands: at every width, by day and night, on paper, for readers of screens."""

from __future__ import annotations

import json
from pathlib import Path
from urllib.error import HTTPError

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.app.browser.house import ROOT, House, axe

pytestmark = pytest.mark.browser
VIEWS = ("", "?table=1", "?view=flat&stretch=1")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("view", VIEWS)
def test_no_barrier(house: House, browser: Browser, scheme: str, view: str) -> None:
    context = house.context(browser, color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    house.open(page, house.new_job(), view)
    for summary in page.locator(".panel > summary").all():
        summary.click()
    page.locator("#findings-fold > summary").click()
    assert axe(page) == []
    context.close()


@pytest.mark.parametrize("width", [360, 768, 1280, 1920])
def test_nothing_is_cut_off_at(house: House, browser: Browser, width: int) -> None:
    context = house.context(browser, viewport={"width": width, "height": 900})
    page = context.new_page()
    house.open(page, house.new_job())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    scroll = "(() => { const s = document.querySelector('.scroll'); return s.scrollWidth - s.clientWidth })()"
    assert page.evaluate(scroll) <= 1
    page.locator("#v-flat").click()
    expect(page.locator("#ground .piece")).to_be_visible()
    small = """() => [...document.querySelectorAll('.place .tag, .stage .btn, .jobhead .btn, summary')]
        .filter(e => e.offsetParent && e.getBoundingClientRect().height < 43.5).map(e => e.outerHTML.slice(0, 80))"""
    assert page.evaluate(small) == []
    context.close()


def test_arms_length_is_larger(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    size = "parseFloat(getComputedStyle(document.querySelector('.tag i')).fontSize)"
    before = page.evaluate(size)
    page.locator("#reach").click()
    assert page.evaluate(size) == pytest.approx(1.2 * before)
    page.locator("#reach").click()


def test_motion_is_still_where_it_is_not_wanted(house: House, browser: Browser) -> None:
    context = house.context(browser, reduced_motion="reduce")
    page = context.new_page()
    house.open(page, house.new_job())
    assert page.evaluate("getComputedStyle(document.querySelector('.btn')).transitionDuration") == "0s"
    context.close()


def test_it_prints(house: House, page: Page, tmp_path: Path) -> None:
    house.open(page, house.new_job())
    page.pdf(path=tmp_path / "job.pdf", format="A4")
    assert (tmp_path / "job.pdf").read_bytes().startswith(b"%PDF")
    page.emulate_media(media="print")
    expect(page.locator("#pic")).to_be_visible()
    expect(page.locator("#way")).to_be_hidden()


def test_own_scripts_only(house: House, page: Page) -> None:
    met: list[str] = []
    page.on("request", lambda asked: met.append(asked.url))
    page.on("console", lambda said: met.append(said.text) if "Content Security Policy" in said.text else None)
    house.open(page, house.new_job())
    page.locator("#v-solid").click()
    page.wait_for_timeout(1500)
    assert [one for one in met if not one.startswith((house.base, "data:", "blob:"))] == []
    assert (
        ROOT / "src/backseam/app/static/page/job.js"
    ).stat().st_size < 120_000  # the form in 3-D comes on demand


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_address_that_leads_nowhere_says_what_to_do(house: House, browser: Browser, scheme: str) -> None:
    context = house.context(
        browser, color_scheme=scheme, bypass_csp=True, viewport={"width": 360, "height": 780}
    )
    page = context.new_page()
    for address in ("/jobs/not-there", "/leather/not-there", "/papers/not-there", "/nowhere", "/jobs/a/b"):
        answer = page.goto(house.base + address)
        assert answer
        assert answer.status == 404
        expect(page.locator("h1")).to_have_text("Nothing stands at this address")
        assert axe(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.get_by_role("link", name="Go to Today").click()
    expect(page.locator("#main")).to_be_visible()
    context.close()


def test_a_job_that_was_taken_out_is_brought_back(house: House, page: Page) -> None:
    job = house.new_job()
    house.ask("DELETE", f"/api/jobs/{job}?revision=1")
    page.goto(f"{house.base}/jobs/{job}")
    expect(page.locator("h1")).to_have_text("Taken out of the book")
    page.locator("#bring-back").click()
    page.wait_for_selector("#ground .view")


def test_programs_are_still_answered_in_json(house: House) -> None:
    for address in ("/api/jobs/not-there", "/jobs/not-there", "/nowhere"):
        with pytest.raises(HTTPError) as met:
            house.ask("GET", address)
        assert met.value.code == 404
        assert json.loads(met.value.read())["text"]
