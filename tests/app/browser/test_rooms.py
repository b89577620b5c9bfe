"""The rooms: Today, a new job, leather, papers, settings, each used as a maker would, and looked at by axe."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.app.browser.house import BARREL, House, axe

pytestmark = pytest.mark.browser
HIDE = {"kind": "backseam.leather", "version": 1, "title": "Shoulder 12", "thickness_mm": [2.0]}
READINGS = {
    "mouth": ("147", "101,2"),
    "thickest": ("140", "102"),
    "between": ("40", "87.8"),
    "junction": ("95", "95.4"),
    "bottom": ("0", "82"),
}


@pytest.fixture(scope="module")
def rooms(house: House) -> tuple[str, ...]:
    """A book with a job, a job in its bath, and a hide; every address there is."""
    since = (datetime.now(UTC) - timedelta(minutes=4)).isoformat()
    job = house.new_job(title="Trail knife")
    house.new_job(
        title="Antler knife", making={"done": [{"act": "printed"}], "now": {"act": "soak", "since": since}}
    )
    hide = json.loads(house.ask("POST", "/api/leather", {"document": HIDE}))["id"]
    return ("/", "/new", "/welcome", "/leather", f"/leather/{hide}", "/papers", f"/papers/{job}", "/settings")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_barrier_in_any_room(house: House, browser: Browser, rooms: tuple[str, ...], scheme: str) -> None:
    context = house.context(browser, color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    found = {}
    for address in rooms:
        page.goto(house.base + address)
        page.wait_for_load_state("networkidle")
        found[address] = axe(page)
    assert {address: told for address, told in found.items() if told} == {}
    context.close()


@pytest.mark.parametrize("width", [360, 768, 1280, 1920])
def test_no_room_is_cut_off_at(house: House, browser: Browser, rooms: tuple[str, ...], width: int) -> None:
    context = house.context(browser, viewport={"width": width, "height": 900})
    page = context.new_page()
    small = """() => [...document.querySelectorAll('main .btn, main input:not(.sr), main select, .rail a')]
        .filter(e => e.offsetParent && e.getBoundingClientRect().height < 43.5).map(e => e.outerHTML.slice(0, 80))"""
    for address in rooms:
        page.goto(house.base + address)
        page.wait_for_load_state("networkidle")
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address
        assert page.evaluate(small) == [], address
    context.close()


def test_five_readings_of_a_new_knife_reach_a_printed_pattern(house: House, page: Page) -> None:
    """As a new user would: at most 15 fields, and nothing to look up."""
    page.goto(house.base + "/")
    clicks = fields = 0
    page.get_by_role("link", name="New job").click()
    clicks += 1
    page.locator("#title").fill("Creek knife")
    page.locator("#thickness").fill("2.0")
    fields += 2
    for row, (height, girth) in READINGS.items():
        for part, text in (("height", height), ("girth", girth)):
            if (row, part) != ("bottom", "height"):
                page.locator(f"#{row}-{part}").fill(text)
                fields += 1
    page.get_by_role("button", name="Draw the sheath").click()
    clicks += 1
    expect(page.locator("#read-holes")).not_to_have_text("–", timeout=30_000)
    page.locator("#print").click()
    clicks += 1
    page.wait_for_url("**/papers/**")
    expect(page.locator("#papers figure").first).to_be_visible(timeout=60_000)
    with page.expect_download(timeout=60_000) as loading:
        page.get_by_role("link", name="All as one PDF").click()
    clicks += 1
    assert Path(loading.value.path()).read_bytes().startswith(b"%PDF")
    assert fields <= 15
    assert clicks <= 5


def test_a_new_job_says_what_is_missing_and_keeps_what_was_typed(house: House, page: Page) -> None:
    page.goto(house.base + "/new")
    page.locator("#mouth-height").fill("147")
    page.locator("#mouth-girth").fill("9O,5")
    page.get_by_role("button", name="Draw the sheath").click()
    expect(page.locator("#thickest-girth-wrong")).not_to_be_empty()
    for row, (height, girth) in READINGS.items():
        page.locator(f"#{row}-height").fill(height)
        if row != "mouth":
            page.locator(f"#{row}-girth").fill(girth)
    page.get_by_role("button", name="Draw the sheath").click()
    expect(page.locator("#mouth-girth-wrong")).not_to_be_empty()
    expect(page.locator("#mouth-girth")).to_have_value("9O,5")


def test_a_table_is_pasted_into_a_new_job(house: House, page: Page) -> None:
    page.goto(house.base + "/new")
    page.locator("#title").fill("Table knife")
    page.locator("summary").click()
    rows = "\n".join(f"{r['station_mm']}\t{r['reading_mm']}\tstrap butted" for r in BARREL["form"]["girths"])
    page.locator("#table").fill("height\treading\tinstrument\n" + rows)
    page.locator("#from-table").click()
    page.wait_for_url("**/jobs/**")
    assert len(house.document(page.url.rsplit("/", 1)[1])["form"]["girths"]) == len(BARREL["form"]["girths"])


def test_today_tells_what_is_soaking_and_takes_it_out(
    house: House, page: Page, rooms: tuple[str, ...]
) -> None:
    page.goto(house.base + "/")
    row = page.locator("#now li", has_text="Antler knife")
    expect(row).to_contain_text("min")
    expect(row).to_contain_text("no more bubbles")
    assert row.locator(".pic path").first.evaluate("one => one.getBBox().width") > 5
    row.get_by_role("button").click()
    expect(page.locator("#now li", has_text="Resting")).to_be_visible()
    page.reload()
    expect(page.locator("#now li", has_text="Resting")).to_be_visible()


def test_today_finds_a_job(house: House, page: Page, rooms: tuple[str, ...]) -> None:
    page.goto(house.base + "/")
    page.locator("#q").fill("antler")
    expect(page.locator(".card:visible")).to_have_count(1)
    page.locator("#q").fill("nothing of the kind")
    expect(page.locator("#none")).to_be_visible()


def test_a_file_is_brought_in(house: House, page: Page, tmp_path: Path) -> None:
    kept = tmp_path / "job.json"
    kept.write_text(json.dumps({**BARREL, "title": "From a file", "id": ""}))
    page.goto(house.base + "/")
    page.locator("#file").set_input_files(kept)
    page.wait_for_url("**/jobs/**")
    expect(page.locator("h1")).to_have_text("From a file")


def test_a_hide_learns_from_its_ring(house: House, page: Page, rooms: tuple[str, ...]) -> None:
    page.goto(house.base + rooms[4])
    page.locator("#handle_mm").fill("100")
    page.locator("#inside_mm").fill("99,1")
    page.locator("#pull_n").fill("40; 42; 39")
    page.locator("#ring button[type=submit]").click()
    expect(page.locator("#learned li").first).to_be_visible(timeout=30_000)
    page.reload()
    expect(page.locator("section[aria-labelledby=h-known] tbody tr").first).to_be_visible()
    expect(page.locator(".tests")).to_contain_text("ring 1")


def test_a_wild_pull_is_said_at_its_place(house: House, page: Page, rooms: tuple[str, ...]) -> None:
    page.goto(house.base + rooms[4])
    page.locator("#handle_mm").fill("100")
    page.locator("#inside_mm").fill("wide")
    page.locator("#ring button[type=submit]").click()
    expect(page.locator("#inside_mm-wrong")).not_to_be_empty()
    expect(page.locator("#inside_mm")).to_have_value("wide")


def test_the_bars_of_a_printer_correct_the_next_print(
    house: House, page: Page, rooms: tuple[str, ...]
) -> None:
    page.goto(house.base + rooms[6])
    page.locator("#bar_across_mm").fill("149,5")
    page.locator("#bars button").click()
    expect(page.locator("#said")).to_contain_text("corrected", timeout=60_000)
    assert house.document(rooms[6].rsplit("/", 1)[1])["paper"]["bar_across_mm"] == 149.5


def test_settings_turn_the_pages_to_inches_and_back(house: House, page: Page) -> None:
    page.goto(house.base + "/settings")
    expect(page.locator("#said")).to_be_empty()
    page.locator("#units").select_option("inch")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("label[for='construction.pitch_mm']")).to_contain_text("inch")
    page.locator("#units").select_option("mm")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("label[for='construction.pitch_mm']")).to_contain_text("mm")


def test_a_backup_is_made_and_listed(house: House, page: Page) -> None:
    page.goto(house.base + "/settings")
    page.locator("#backup").click()
    expect(page.locator("#backups tbody tr").first).to_be_visible()


def test_the_keyboard_reaches_everything_on_today(house: House, page: Page) -> None:
    page.goto(house.base + "/")
    page.wait_for_load_state("networkidle")
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    for _ in range(12):
        page.keyboard.press("Tab")
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none"


def test_a_job_is_brought_back_from_its_plain_copy(house: House, page: Page) -> None:
    page.goto(house.base + "/settings")
    page.locator("#copies tbody button").first.click()
    expect(page.locator("#said")).to_contain_text("brought back")
