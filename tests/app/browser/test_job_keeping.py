"""Nothing typed is ever lost: saved by itself, kept across a crash, two windows, a server that is away."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from tests.app.browser.house import House, field, saved

pytestmark = pytest.mark.browser
THICKEST = "form.girths.3.reading_mm"


def test_saved_within_two_seconds_of_the_last_key(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job)
    field(page, THICKEST).fill("103")
    with page.expect_response(lambda got: got.request.method == "PUT", timeout=2000):
        pass
    expect(page.locator("#saved")).to_have_attribute("data-state", "saved")
    assert float(house.document(job)["form"]["girths"][3]["reading_mm"]) == 103


def test_a_reload_in_the_middle_of_typing_offers_the_draft(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job)
    page.route(
        "**/api/jobs/*", lambda route: route.abort() if route.request.method == "PUT" else route.continue_()
    )
    field(page, THICKEST).fill("103.4")
    page.wait_for_timeout(300)
    page.reload()
    page.unroute("**/api/jobs/*")
    expect(page.locator("#draft-take")).to_be_visible()
    expect(field(page, THICKEST)).to_have_value("102")  # never taken by itself
    page.locator("#draft-take").click()
    expect(field(page, THICKEST)).to_have_value("103.4")
    saved(page)
    assert float(house.document(job)["form"]["girths"][3]["reading_mm"]) == 103.4


def test_two_windows_are_told_apart_field_by_field(house: House, page: Page, context: BrowserContext) -> None:
    job = house.new_job()
    house.open(page, job)
    other = context.new_page()
    house.open(other, job)
    field(other, THICKEST).fill("103")
    saved(other)
    field(page, THICKEST).fill("104")
    expect(page.locator("#conflict")).to_be_visible()
    expect(page.locator("#conflict tbody tr")).to_have_count(1)
    assert float(house.document(job)["form"]["girths"][3]["reading_mm"]) == 103  # nothing was written over
    page.locator("#conflict tbody tr td:nth-child(2) input").check()
    page.locator("#conflict-take").click()
    saved(page)
    assert float(house.document(job)["form"]["girths"][3]["reading_mm"]) == 104


def test_a_server_that_is_away_is_waited_for(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job)
    page.route("**/api/**", lambda route: route.abort())
    field(page, THICKEST).fill("103")
    expect(page.locator("#saved")).to_have_attribute("data-state", "away")
    expect(page.locator("#away")).to_be_visible()
    expect(field(page, THICKEST)).to_have_value("103")
    page.unroute("**/api/**")
    expect(page.locator("#saved")).to_have_attribute("data-state", "saved", timeout=15_000)
    assert float(house.document(job)["form"]["girths"][3]["reading_mm"]) == 103


def test_earlier_saves_can_be_looked_at_and_gone_back_to(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job)
    field(page, THICKEST).fill("103")
    saved(page)
    page.locator(".menu summary").click()
    page.locator("#saves-open").click()
    lines = page.locator("#saves-list > li")
    expect(lines).to_have_count(2)
    lines.last.get_by_role("button").last.click()
    page.locator("#saves-close").click()
    expect(field(page, THICKEST)).to_have_value("102")
