"""The card's page of what is foreseen, and the care card: complete, on their sheets, safety first.

Read back with PDFium, which did not write it.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pypdfium2 as pdfium
import pytest
from tests.jobs import sample
from tests.papers.sheets.test_bench_card import MARKUP, inked, plain, text_of

from backseam.fit.hold import LIMITS, Hold
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.job.foreseen import all_findings, foresee, mould
from backseam.job.recipe import work
from backseam.leather.wet import Room
from backseam.papers.model import Words
from backseam.papers.sheets import bench_card, card_forecast, care_card
from backseam.papers.sheets.hold_ladder import ladder, rung

POINT = 25.4 / 72


@cache
def made(name="barrel"):
    worked = work(sample(name))
    return worked, foresee(worked)


def card(name="barrel", speech=PLAIN, sheet="A4"):
    worked, told = made(name)
    return bench_card.write(worked, speech, sheet, told, all_findings(worked, told))


@pytest.mark.parametrize(("sheet", "units"), [("A4", "mm"), ("Letter", "inch")])
@pytest.mark.parametrize("name", ["barrel", "bent-inside", "slim"])
def test_one_page_more_and_nothing_over_the_edge(name, sheet, units):
    size = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[sheet]
    pages = list(pdfium.PdfDocument(card(name, Speech(units), sheet)))
    assert len(pages) == 3
    left, top, right, bottom = inked(pages[2])
    assert left > 9
    assert top > 9
    assert right < size[0] - 9
    assert bottom < size[1] - 8


def test_the_map_lies_across_on_a_page_of_its_own():
    worked, told = made()
    done = told.moulded(mould(worked))
    pages = list(pdfium.PdfDocument(bench_card.write(worked, PLAIN, "A4", done, all_findings(worked, done))))
    assert len(pages) == 4
    assert pages[3].get_width() > pages[3].get_height()
    said = plain(pages[3].get_textpage().get_text_range())
    for item in done.moulding.findings:
        assert plain(item.text()) in said
    assert plain("Taken on trust") in said


def test_safety_stands_first_on_the_card():
    said = text_of(card())
    first = said.index(plain("Upside down and shaken"))
    assert first < said.index(plain("Before cutting"))


def test_all_of_it_is_on_the_paper():
    worked, told = made()
    content = card_forecast.contents(worked, told, "x", PLAIN)
    said = text_of(card())
    for row in content["when"]["rows"]:
        assert all(plain(cell) in said for cell in row)
    for line in (*content["hold"]["lines"], *content["hang"]["lines"]):
        assert plain(line) in said
    for row in content["trust"]["rows"]:
        assert all(plain(cell) in said for cell in row)


def test_no_newton_is_printed_until_one_was_measured():
    worked, told = made()
    content = card_forecast.contents(worked, told, "x", PLAIN)
    assert " N" not in " ".join(content["hold"]["lines"])
    assert not [m for m in ladder(told.fit, PLAIN, 120.0).marks if isinstance(m, Words) and " N" in m.text]


def test_every_weak_value_that_hold_and_clock_rest_on_is_named():
    worked, told = made()
    named = {record.name for record, _ in card_forecast.trusted(worked, told)}
    assert set(told.clock.weak) <= named
    assert {part.name for part in told.fit.parts if part.weak and "." in part.name} - {
        "reading.film"
    } <= named


@pytest.mark.parametrize("part", ["shoulder", "bend", "belly", "harness"])
def test_every_kind_of_leather_and_a_fan_have_their_words(part):
    job = sample()
    job.leather.part = part
    worked = work(job)
    told = foresee(worked, Room(24.0, 0.4, moving=True), 14 * 60)
    content = card_forecast.contents(worked, told, "x", PLAIN)
    assert content["trust"]["rows"]
    assert content["when"]["head"][0].endswith("14:00")


def test_rungs_are_of_equal_width_and_begin_at_their_limits():
    """Five words, a fifth each; their limits are the defaults of the hold."""
    assert [rung(default(limit)) for limit in LIMITS] == pytest.approx([0.2, 0.4, 0.6, 0.8])
    assert rung(0.0) == 0.0
    assert rung(1e9) == 1.0
    assert len(Hold) == 5


# --- the care card -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("sheet", "size"), [("A4", (148, 210)), ("Letter", (139.7, 215.9))])
@pytest.mark.parametrize("name", ["barrel", "tube", "slim"])
def test_the_care_card_is_one_small_page(name, sheet, size):
    worked, told = made(name)
    pages = list(pdfium.PdfDocument(care_card.write(worked, PLAIN, sheet, told)))
    assert len(pages) == 1
    assert [side * POINT for side in pages[0].get_size()] == pytest.approx(size, abs=0.05)
    left, _, right, bottom = inked(pages[0])
    assert left > 8.5
    assert right < size[0] - 9
    assert bottom < size[1] - 9


def test_what_may_fall_out_is_the_first_line_for_the_customer():
    worked, told = made()
    content = care_card.contents(worked, PLAIN, "A4", told)
    assert "may come out" in content["safety"]["first"][0]
    safe = replace(told, findings=())
    assert care_card.contents(worked, PLAIN, "A4", safe)["safety"]["first"] == []


def test_typed_text_is_never_markup_on_the_care_card():
    worked, told = made()
    job = worked.job.model_copy(deep=True)
    job.title = job.customer = job.maker = MARKUP
    said = text_of(care_card.write(replace(worked, job=job), PLAIN, "A4", told))
    assert said.count(plain(MARKUP[:40])) == 3
