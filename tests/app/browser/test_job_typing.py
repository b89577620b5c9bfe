"""Typing on the job page: what was typed stays, what it gives is drawn, what cannot be is said at the field."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from tests.app.browser.house import House, body_of, changed, field, saved

pytestmark = pytest.mark.browser
THICKEST = "form.girths.3.reading_mm"


def test_a_typed_number_moves_the_drawing_and_is_saved(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job, "?view=flat")
    before = body_of(page)
    field(page, THICKEST).fill("104,5")
    expect(page.locator("#readings tr[data-reading='3'] .half span")).to_have_text("hand 52.3")
    changed(page, before)
    saved(page)
    assert house.document(job)["form"]["girths"][3]["reading_mm"] in ("104,5", 104.5)
    page.reload()
    expect(field(page, THICKEST)).to_have_value("104,5")


def test_what_cannot_be_read_stays_in_the_field_and_says_why(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    before = body_of(page)
    box = field(page, THICKEST)
    box.fill("1O2,x")
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(box).to_have_value("1O2,x")
    expect(page.locator(f"[id='{box.get_attribute('aria-describedby')}']")).not_to_be_empty()
    expect(page.locator("#n-stop")).to_be_visible()
    expect(page.locator("#print")).to_have_attribute("aria-disabled", "true")
    assert body_of(page) == before  # the last good drawing
    box.fill("102")
    expect(page.locator("#print")).to_have_attribute("aria-disabled", "false")
    expect(box).not_to_have_attribute("aria-invalid", "true")


def test_a_stop_opens_the_foot_and_leads_to_its_field(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    expect(page.locator("#findings-fold")).not_to_have_attribute("open", "")
    field(page, THICKEST).fill("66")
    expect(page.locator("#findings-fold")).to_have_attribute("open", "")
    expect(field(page, THICKEST)).to_be_focused()  # typing was not disturbed
    page.locator(".finding.stop button").first.click()
    assert "form.girths.3" in (page.evaluate("document.activeElement.dataset.field") or "")


def test_undo_and_redo_go_field_by_field_and_outlive_a_reload(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    field(page, THICKEST).press_sequentially("")
    field(page, THICKEST).fill("103")
    page.locator("#h-stage").click()
    field(page, THICKEST).fill("104")
    page.locator("#h-stage").click()
    saved(page)
    page.keyboard.press("Control+z")
    expect(field(page, THICKEST)).to_have_value("103")
    page.keyboard.press("Control+z")
    expect(field(page, THICKEST)).to_have_value("102")
    page.keyboard.press("Control+Shift+z")
    expect(field(page, THICKEST)).to_have_value("103")
    page.locator("#undo").click()
    expect(field(page, THICKEST)).to_have_value("102")
    page.keyboard.press("Control+Shift+z")
    saved(page)
    page.reload()
    expect(field(page, THICKEST)).to_have_value("103")
    page.keyboard.press("Control+z")
    expect(field(page, THICKEST)).to_have_value("102")


def test_acts_can_be_undone_without_end(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    box = field(page, THICKEST)
    for n in range(40):
        box.fill(str(100 + n / 20))
        box.blur()
    for _ in range(40):
        page.keyboard.press("Control+z")
    expect(box).to_have_value("102")
    for _ in range(40):
        page.keyboard.press("Control+Shift+z")
    expect(box).to_have_value("101.95")


def test_empty_means_the_house_default(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job)
    page.locator("#panel-sew summary").click()
    box = page.locator("#panel-sew [data-field='construction.pitch_mm']")
    expect(box).to_have_value("4")
    box.fill("")
    saved(page)
    assert "pitch_mm" not in house.document(job)["construction"]


def test_hostile_names_stay_text(house: House, page: Page) -> None:
    title = "</script><img src=x onerror=alert(1)>{{7*7}}"
    job = house.new_job(title=title, customer='"><svg onload=alert(2)>')
    page.on("dialog", lambda met: pytest.fail(met.message))
    house.open(page, job)
    expect(page.locator("h1")).to_have_text(title)
    page.locator("#panel-ask summary").click()
    expect(page.locator("#panel-ask [data-field='title']")).to_have_value(title)


def test_the_corners_of_a_section_are_typed_and_pasted(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job)
    page.locator("#panel-form summary").click()
    panel = page.locator("#panel-form")
    corners = panel.locator("[data-field='form.sections.0.points_mm']")
    expect(corners).to_be_hidden()  # asked for where the section is a polygon
    panel.locator("[data-field='form.sections.0.kind']").select_option("polygon")
    corners.fill("-9 -13\n9\n9 13")
    expect(corners).to_have_attribute("aria-invalid", "true")
    expect(panel.locator(".field.points .wrong").first).to_contain_text("Line 2 has 1 of the two numbers")
    corners.fill("-9\t-13\n9\t-13\n11,5\t0\n9\t13\n-9\t13")  # as a spreadsheet gives it
    expect(corners).not_to_have_attribute("aria-invalid", "true")
    expect(panel.locator(".outline").first.locator("circle")).to_have_count(5)
    saved(page)
    page.reload()
    page.locator("#panel-form summary").click()
    expect(corners).to_have_value("-9; -13\n9; -13\n11.5; 0\n9; 13\n-9; 13")
