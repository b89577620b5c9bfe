"""True size: a bar on the screen is measured once, then the flat piece stands there millimetre for millimetre."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.app.browser.house import House, axe, body_of, changed, field

pytestmark = pytest.mark.browser
PER_MM = 4.0  # pixels for a millimetre on the screen that is played here
COARSE = 2.5  # on one so coarse that all of the drawing is larger than life


def per_mm(page: Page) -> float:
    """Pixels for a millimetre of the drawing, read from the matrix that the browser draws with."""
    found: float = page.evaluate("document.querySelector('#pic').getScreenCTM().a")
    return found


def measured(page: Page, per: float = PER_MM) -> None:
    """The bar measured with a rule, on a screen of so many pixels for a millimetre."""
    width = page.locator("#screen-bar").bounding_box()
    assert width
    page.locator("#screen-read").fill(str(width["width"] / per).replace(".", ","))
    page.keyboard.press("Enter")


def test_a_bar_is_measured_and_the_piece_stands_true(house: House, page: Page) -> None:
    job = house.new_job()
    house.open(page, job, "?view=flat")
    page.locator("#b-true").click()
    expect(page.locator("#screen")).to_be_visible()
    for typed, words in (("a bar", "is no length"), ("9000", "does not fit")):
        page.locator("#screen-read").fill(typed)
        page.locator("#screen-take").click()
        expect(page.locator("#screen-said")).to_contain_text(words)
    measured(page)
    expect(page.locator("#screen")).to_be_hidden()
    assert per_mm(page) == pytest.approx(PER_MM, rel=1e-3)
    expect(page.locator("#b-true")).to_have_attribute("aria-pressed", "true")
    assert page.evaluate("document.querySelector('#truebar .rule').getBBox().width") == pytest.approx(50)
    before = body_of(page)
    field(page, "form.girths.3.reading_mm").fill("103")  # a changed number does not move the scale
    changed(page, before)
    assert per_mm(page) == pytest.approx(PER_MM, rel=1e-3)
    page.locator("#b-true").click()
    expect(page.locator("#b-true")).to_have_attribute("aria-pressed", "false")


def test_by_keys_in_this_browser_and_smaller_than_all_of_it(house: House, page: Page) -> None:
    page.set_viewport_size({"width": 1920, "height": 1080})
    house.open(page, house.new_job(), "?view=flat")
    page.locator("#picture").focus()
    page.keyboard.press("1")
    measured(page, COARSE)
    whole = per_mm(page)
    page.keyboard.press("0")
    assert per_mm(page) > whole  # all of it is larger than life on a large screen
    page.reload()
    page.wait_for_selector("#ground .view")
    page.locator("#picture").focus()
    page.keyboard.press("1")  # known already
    expect(page.locator("#screen")).to_be_hidden()
    assert per_mm(page) == pytest.approx(COARSE, rel=1e-3)
    page.set_viewport_size({"width": 1280, "height": 900})
    page.wait_for_timeout(200)
    assert per_mm(page) == pytest.approx(COARSE, rel=1e-3)  # also in a smaller window


def test_the_bar_has_no_barrier(house: House, browser: Browser) -> None:
    context = house.context(browser, bypass_csp=True, viewport={"width": 360, "height": 780})
    page = context.new_page()
    house.open(page, house.new_job(), "?view=flat")
    page.locator("#b-true").click()
    assert axe(page) == []
    measured(page)
    assert per_mm(page) == pytest.approx(PER_MM, rel=1e-3)
    context.close()
