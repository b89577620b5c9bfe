"""A check is accepted with a reason: kept in the job, undone like any other act; a stop never is."""

from __future__ import annotations

from copy import deepcopy

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.app.browser.house import BARREL, House, axe, saved

pytestmark = pytest.mark.browser
WHY = "Thong is narrow, tried on scrap"


def close(house: House, gap: float = 4.5) -> str:
    """A job whose hanger holes come close to the stitch line."""
    made = deepcopy(BARREL["construction"])
    made["hanger"] = {**made.get("hanger", {}), "from_stitch_mm": gap}
    return house.new_job(construction=made)


def test_a_check_is_accepted_with_a_reason_and_opened_again(house: House, page: Page) -> None:
    job = close(house)
    house.open(page, job)
    expect(page.locator("#n-check")).to_have_text("1 to check")
    page.locator("#findings-fold > summary").click()
    check = page.locator(".finding.check")
    check.locator("[data-accept]").click()
    reason = check.locator("[data-why]")
    expect(reason).to_be_focused()
    page.keyboard.press("Enter")
    expect(check.locator(".wrong")).to_contain_text("Say why")  # never without a reason
    reason.fill(WHY)
    page.keyboard.press("Enter")
    expect(check).to_contain_text(f"Accepted: {WHY}")
    expect(page.locator("#n-check")).to_be_hidden()
    expect(page.locator("#n-accepted")).to_have_text("1 accepted")
    saved(page)
    assert house.document(job)["accepted"][0]["why"] == WHY
    page.reload()
    expect(page.locator("#n-accepted")).to_have_text("1 accepted")
    page.locator("#h-stage").click()
    page.keyboard.press("Control+z")
    expect(page.locator("#n-check")).to_have_text("1 to check")
    page.keyboard.press("Control+Shift+z")
    expect(page.locator("#n-accepted")).to_be_visible()


def test_it_lapses_when_its_number_moves_and_a_stop_has_no_such_button(house: House, page: Page) -> None:
    house.open(page, close(house))
    page.locator("#findings-fold > summary").click()
    page.locator(".finding.check [data-accept]").click()
    page.locator(".finding.check [data-why]").fill(WHY)
    page.locator("[data-accept-take]").click()
    expect(page.locator("#n-accepted")).to_be_visible()
    page.locator("#panel-hanger summary").click()
    gap = page.locator("#panel-hanger [data-field='construction.hanger.from_stitch_mm']")
    gap.fill("4.2")
    expect(page.locator("#n-check")).to_have_text("1 to check")
    gap.fill("abc")
    expect(page.locator(".finding.stop")).to_be_visible()
    expect(page.locator(".finding.stop [data-accept]")).to_have_count(0)


def test_a_reason_being_typed_outlives_an_answer(house: House, browser: Browser) -> None:
    context = house.context(browser, bypass_csp=True)
    page = context.new_page()
    house.open(page, close(house))
    page.locator("#findings-fold > summary").click()
    page.locator(".finding.check [data-accept]").click()
    page.keyboard.type("Half a rea")
    page.evaluate("document.querySelector('#v-flat').click()")  # another answer comes while it is typed
    expect(page.locator("#ground .piece")).to_be_visible()
    page.locator(".finding.check [data-why]").focus()
    page.keyboard.press("End")
    page.keyboard.type("son")
    expect(page.locator(".finding.check [data-why]")).to_have_value("Half a reason")
    assert axe(page) == []
    context.close()
