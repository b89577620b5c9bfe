"""The table of readings: added, taken out, pasted; gates below it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from tests.app.browser.house import House, saved

pytestmark = pytest.mark.browser


def test_a_reading_is_added_typed_and_taken_out(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job, "?table=1")
    rows = page.locator("#readings tbody tr")
    expect(rows).to_have_count(5)
    page.locator("#add-row").click()
    expect(rows).to_have_count(6)
    page.keyboard.type("120")
    page.keyboard.press("Tab")
    page.keyboard.type("99,4")
    saved(page)
    row = house.document(job)["form"]["girths"][5]
    assert (float(row["station_mm"]), str(row["reading_mm"]).replace(",", ".")) == (120, "99.4")
    page.locator("#h-stage").click()
    expect(rows.nth(2)).to_have_attribute("data-reading", "5")  # rows stand as the sheath stands, mouth up
    rows.nth(2).locator(".more button").click()
    expect(rows).to_have_count(5)
    page.keyboard.press("Control+z")
    expect(rows).to_have_count(6)


def test_a_table_is_pasted_from_a_spreadsheet(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job, "?table=1")
    page.locator("#paste-open").click()
    page.locator("#paste-text").fill("0\t82,0\n40\t87,8\n95\t95,4\n140\t102,0\n147\t101,2\n150\t101,0")
    page.locator("#paste-take").click()
    expect(page.locator("#readings tbody tr")).to_have_count(6)
    expect(page.locator("#readings-said")).to_contain_text("6")
    saved(page)
    assert len(house.document(job)["form"]["girths"]) == 6
    page.keyboard.press("Control+z")
    expect(page.locator("#readings tbody tr")).to_have_count(5)


def test_a_gate_that_is_out_says_so_and_what_is_still_free(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    gate = page.locator(".gate[data-gate='rows_count']")
    gate.locator("input").nth(0).fill("35")
    gate.locator("input").nth(1).fill("36")
    expect(gate).to_have_attribute("data-state", "out")
    gate.get_by_role("button").click()
    expect(gate.locator(".ways li").first).to_be_visible(timeout=20_000)
    gate.locator("input").nth(1).fill("35")
    expect(gate).to_have_attribute("data-state", "held")


def test_a_mouth_moved_by_the_slider(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job)
    slider = page.locator("#fit-slide input")
    slider.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    saved(page)
    assert house.document(job)["form"]["landmarks"]["mouth_above_thickest_mm"] == 6
    expect(page.locator("#fit .verdict")).not_to_be_empty()
