"""The drawing answers hand and keys: places, holes, zoom, drags, measuring, the form in 3-D."""

from __future__ import annotations

from itertools import pairwise

import pytest
from playwright.sync_api import Page, expect
from tests.app.browser.house import House, body_of, changed, field, saved

pytestmark = pytest.mark.browser
THICKEST = "form.girths.3.reading_mm"


def test_a_place_is_touched_and_its_numbers_come_up(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    page.locator(".mark[data-mark='bottom'] .touch").first.click()
    expect(page.locator(".place[data-place='bottom'] .card")).to_be_visible()
    expect(page.locator(".place[data-place='thickest'] .card")).to_be_hidden()
    expect(page.locator(".mark[data-mark='bottom']")).to_have_class("mark lit")
    page.keyboard.press("Escape")
    expect(page.locator(".place[data-place='bottom'] .card")).to_be_hidden()


def test_the_whole_way_by_keys(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    page.locator("#picture").focus()
    for _ in range(12):
        page.keyboard.press("ArrowUp")
    for _ in range(12):
        if page.locator(".mark.lit[data-mark='thickest']").count():
            break
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Alt+ArrowUp")
    expect(field(page, THICKEST)).to_have_value("102.1")
    page.keyboard.press("Alt+Shift+ArrowDown")
    expect(field(page, THICKEST)).to_have_value("101.1")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#hole-name")).to_contain_text("13")
    expect(page.locator("#why")).not_to_be_empty()
    page.keyboard.press("Enter")
    expect(page.locator(".place[data-place='thickest'] .tag")).to_be_focused()


def test_zoom_by_keys_wheel_and_buttons(house: House, page: Page) -> None:
    house.open(page, house.new_job(), "?view=flat")
    whole = page.locator("#pic").get_attribute("viewBox")
    page.locator("#picture").focus()
    page.keyboard.press("+")
    near = page.locator("#pic").get_attribute("viewBox")
    assert near != whole
    page.keyboard.press("0")
    expect(page.locator("#pic")).to_have_attribute("viewBox", whole or "")
    box = page.locator("#picture").bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 200)
    page.mouse.wheel(0, -400)
    expect(page.locator("#pic.near")).to_have_count(1)
    page.locator("#zoom-fit").click()
    expect(page.locator("#pic")).to_have_attribute("viewBox", whole or "")


def test_a_drag_changes_the_reading_and_is_one_undo(house: House, page: Page) -> None:
    house.open(page, house.new_job(), "?view=flat")
    knob = page.locator(".knob[data-reading='1'][data-side='1'] .grip")
    box = knob.bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 7):
        page.mouse.move(x + step, y + step)  # up and down does not count
    page.mouse.up()
    row = page.locator("#readings [data-field='form.girths.1.reading_mm']")
    moved = float(row.input_value())
    assert moved > 87.8
    assert round(moved * 10) == pytest.approx(moved * 10)
    page.keyboard.press("Control+z")
    assert float(row.input_value()) == 87.8


def test_a_landmark_is_dragged_up_and_down(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job, "?view=flat")
    box = page.locator(".knob[data-landmark='liner'] .grip").bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 5, steps=3)
    page.mouse.up()
    saved(page)
    assert house.document(job)["form"]["landmarks"]["liner_end_mm"] < 93


def test_measuring_between_two_holes(house: House, page: Page) -> None:
    house.open(page, house.new_job(), "?view=flat")
    page.locator("#b-measure").click()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(page.locator("#measured")).to_contain_text("4.")
    page.keyboard.press("Escape")
    expect(page.locator("#measured")).to_be_empty()


def test_hand_line_and_stretch_can_be_put_away(house: House, page: Page) -> None:
    house.open(page, house.new_job(), "?view=flat")
    expect(page.locator("#handline .ghostline")).to_have_count(2)
    page.locator("#b-hand").click()
    expect(page.locator("#handline .ghostline")).to_have_count(0)
    before = body_of(page)
    page.locator("#b-stretch").click()
    expect(page.locator("#key")).to_be_visible()
    changed(page, before)


def test_the_form_in_three_dimensions(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    page.locator("#v-solid").click()
    expect(page.locator("#solid-picture canvas")).to_be_visible()
    expect(page.locator("#solid-said")).to_be_empty(timeout=20_000)
    expect(page.locator("#section-said")).to_contain_text("round")
    inked = """() => {
        const from = document.querySelector('#solid-picture canvas'), to = document.createElement('canvas');
        to.width = to.height = 60;
        const pen = to.getContext('2d');
        pen.drawImage(from, 0, 0, 60, 60);
        return pen.getImageData(0, 0, 60, 60).data.filter((value, n) => n % 4 === 3 && value > 40).length;
    }"""
    assert page.evaluate(inked) > 100  # kept after it was drawn, so that it prints
    page.locator("#solid-upper").click()
    expect(page.locator("#solid-upper")).to_have_attribute("aria-pressed", "false")


def test_the_table_takes_the_place_of_its_readings(house: House, page: Page) -> None:
    house.open(page, house.new_job(), "?table=1")
    expect(page.locator(".place[data-place='hanger'] .tag")).to_be_visible()
    expect(page.locator(".place[data-place='mouth'] .tag")).to_be_hidden()
    page.locator(".mark[data-mark='mouth'] .touch").first.click()
    expect(page.locator("#readings [data-field='form.girths.4.reading_mm']")).to_be_focused()


def test_marks_of_heights_close_together_have_room(house: House, page: Page) -> None:
    house.open(page, house.new_job(), "?view=flat")
    found = page.locator(".knob.level .grip").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().top).sort((a, b) => a - b)"
    )
    assert len(found) >= 4
    assert min(b - a for a, b in pairwise(found)) >= 23.5  # a grip is 24 pixels high


def test_why_says_in_words_where_a_line_comes_from(house: House, page: Page) -> None:
    house.open(page, house.new_job(), "?view=flat")
    page.locator("#hole-below").click()
    expect(page.locator("#why .reasons")).to_contain_text("moves it", timeout=20_000)
    expect(page.locator("#why")).to_contain_text("from the centre line")
    expect(page.locator("#why")).not_to_contain_text("hole:")


def test_the_menu_folds_when_it_was_used_or_left(house: House, page: Page) -> None:
    house.open(page, house.new_job())
    page.locator(".menu summary").click()
    page.locator("#saves-open").click()
    expect(page.locator("#saves")).to_be_visible()
    page.locator("#saves-close").click()
    expect(page.locator("#duplicate")).to_be_hidden()
    page.locator(".menu summary").click()
    expect(page.locator("#duplicate")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator("#duplicate")).to_be_hidden()
