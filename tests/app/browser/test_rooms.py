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
UNFOLDED = "document.querySelectorAll('details').forEach((one) => { one.open = true; })"
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
        page.evaluate(UNFOLDED)
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
        page.evaluate(UNFOLDED)
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


TYPED: dict[str, dict[str, str | bool]] = {
    "rings": {"handle_mm": "95", "inside_mm": "93,6", "pull_n": "22; 24; 2,3 kg", "waxed": False},
    "strips": {"thickness_mm": "2", "loads-0-mass_g": "1 kg", "loads-0-length_mm": "101,2"},
    "tilts": {"angles_deg": "19; 20; 21"},
    "rods": {"thickness_mm": "2", "rods-0-rod_mm": "8", "rods-1-rod_mm": "4", "rods-1-cracked": True},
    "straps": {"thickness_mm": "2", "readings_mm": "100,4; 100,6"},
    "dried": {"dry_mm": "97"},
    "squares": {"across_mm": "49,5", "along_mm": "49.5"},
    "scraps": {"room_g": "12", "soaked_g": "19", "cased_g": "16"},
    "dryings": {
        "thickness_mm": "2",
        "piece_g": "60",
        "form_g": "100",
        "temperature_c": "20,5",
        "weights-0-minutes": "60",
        "weights-0-mass_g": "187,3",
        "weights-2-minutes": "900",
        "weights-2-mass_g": "168,2",
        "weights-3-minutes": "1500",
        "weights-3-mass_g": "164,3",
    },
}


def type_test(page: Page, kind: str, fields: dict[str, str | bool]) -> None:
    """One bench test typed in, and learnt from."""
    form = page.locator(f"form[data-list={kind}]")
    if not form.is_visible():
        page.locator("details", has=form).locator("summary").click()
    for name, text in fields.items():
        field = page.locator(f"#{kind}-{name}")
        field.set_checked(text) if isinstance(text, bool) else field.fill(text)
    form.locator("button[type=submit]").click()


def test_every_bench_test_is_typed_in_and_teaches(house: House, page: Page) -> None:
    hide = json.loads(house.ask("POST", "/api/leather", {"document": {**HIDE, "title": "Bench"}}))["id"]
    page.goto(f"{house.base}/leather/{hide}")
    for number, (kind, fields) in enumerate(TYPED.items(), 1):
        type_test(page, kind, fields)
        expect(page.locator("section[aria-labelledby=h-tests] .tests li")).to_have_count(number)
        expect(page.locator("#told li").first).to_contain_text("now")
        expect(page.locator(f"form[data-list={kind}] input.number").first).to_have_value("")
    tests = json.loads(house.ask("GET", f"/api/leather/{hide}"))["document"]["tests"]
    assert {kind: len(many) for kind, many in tests.items()} == dict.fromkeys(TYPED, 1)
    assert [row["cracked"] for row in tests["rods"][0]["rods"]] == [False, True]
    assert [row["minutes"] for row in tests["dryings"][0]["weights"]] == [60, 900, 1500]
    expect(page.locator("section[aria-labelledby=h-known] tbody tr")).not_to_have_count(0)
    page.locator("[data-without='ring 1']").click()
    expect(page.locator("[data-again='ring 1']")).to_be_visible()
    page.locator("[data-again='ring 1']").click()
    expect(page.locator("[data-without='ring 1']")).to_be_visible()


def test_what_is_wrong_in_a_test_is_said_at_its_place(
    house: House, page: Page, rooms: tuple[str, ...]
) -> None:
    page.goto(house.base + rooms[4])
    type_test(page, "rings", {"handle_mm": "100", "inside_mm": "wide"})
    expect(page.locator("#rings-inside_mm-wrong")).not_to_be_empty()
    expect(page.locator("#rings-inside_mm")).to_have_value("wide")
    type_test(
        page, "strips", {"thickness_mm": "2", "loads-3-mass_g": "heavy", "loads-3-length_mm": "104"}
    )  # its first rows are blank: the sentence stands at the row it was typed in
    expect(page.locator("#strips-loads-3-mass_g-wrong")).not_to_be_empty()
    expect(page.locator("#strips-loads-3-mass_g")).to_have_value("heavy")
    type_test(page, "tilts", {"angles_deg": ""})
    expect(page.locator("#tilts-angles_deg-wrong")).to_contain_text("Type what you read")


def test_a_job_is_cut_from_a_hide_and_its_sheath_teaches_it(house: House, page: Page) -> None:
    hide = json.loads(house.ask("POST", "/api/leather", {"document": {**HIDE, "title": "Teaches"}}))["id"]
    job = house.new_job(title="Finished knife", made={"finished_girth_mm": 99.0, "pull_n": [24]})
    page.goto(f"{house.base}/leather/{hide}")
    page.locator("#job").select_option(job)
    page.get_by_role("button", name="Cut it from this hide").click()
    expect(page.locator(f"[data-learn='{job}']")).to_be_visible()
    assert house.document(job)["leather"]["card"] == hide
    page.locator(f"[data-learn='{job}']").click()
    expect(page.locator("#told")).to_contain_text("pull-in")
    expect(page.locator("section[aria-labelledby=h-tests]")).to_contain_text("Finished knife")
    page.locator("#title").fill("Teaches well")
    page.locator("#keep button[type=submit]").click()
    expect(page.locator("h1")).to_have_text("Teaches well")
    page.locator("#away").click()
    page.get_by_role("button", name="Bring it back").click()
    expect(page.locator("h1")).to_have_text("Teaches well")


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
