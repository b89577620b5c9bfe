"""The bench card as a page: complete, inside its paper, not to be broken by what people type.

Read back with PDFium, which did not write it.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files

import numpy as np
import pypdfium2 as pdfium
import pytest
from tests.voice import NEVER

from backseam.ground.findings import Finding, Severity, finding
from backseam.ground.speech import Speech, words
from backseam.job.document import Job
from backseam.job.recipe import work
from backseam.making.steps import work_order
from backseam.papers.sheets import bench_card
from backseam.pattern.construction import HangerKind

POINT = 25.4 / 72
SAMPLES = ("barrel", "bent-inside", "sideways", "slim", "stout", "tube")
MARKUP = "#set page(fill: red) $x^2$ *bold* _it_ @ref <label> \\ ` = head / term: [c] {code} č š ž ł å ≤ ø Đ"


@cache
def job(name):
    return Job.model_validate_json(
        files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8")
    )


@cache
def worked(name):
    return work(job(name))


def typed(name, **fields):
    """The sample with other words typed in."""
    document = job(name).model_copy(deep=True)
    for field, value in fields.items():
        setattr(document, field, value)
    return replace(worked(name), job=document)


def pages(pdf):
    return list(pdfium.PdfDocument(pdf))


def plain(text):
    """Without the breaks that the page puts in."""
    return "".join(text.replace("\u200b", "").split())


def text_of(pdf):
    return plain("".join(page.get_textpage().get_text_range() for page in pages(pdf)))


def inked(page, scale=2.0):
    """Bounding box of what is not white, mm from the left and top."""
    pixels = np.asarray(page.render(scale=scale).to_pil().convert("L")) < 200
    rows, columns = np.flatnonzero(pixels.any(axis=1)), np.flatnonzero(pixels.any(axis=0))
    per = POINT / scale
    return columns[0] * per, rows[0] * per, (columns[-1] + 1) * per, (rows[-1] + 1) * per


def check(number):
    """A check finding with its numbers."""
    return Finding("READ-011", Severity.CHECK, ("form", number), {})


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
@pytest.mark.parametrize("sample", SAMPLES)
def test_two_pages_at_most_and_nothing_over_the_edge(sample, sheet):
    """A4 is 210 x 297 (ISO 216), Letter 8.5 x 11 inch; 10 mm stay clear all round."""
    size = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[sheet]
    made = pages(bench_card.write(worked(sample), sheet=sheet))
    assert len(made) <= 2
    for page in made:
        width, height = (side * POINT for side in page.get_size())
        assert (width, height) == pytest.approx(size, abs=0.02)
        left, top, right, bottom = inked(page)
        assert left > 9.0
        assert top > 9.0
        assert right < size[0] - 9.0
        assert bottom < size[1] - 8.0


def test_larger_sheets_have_their_card_on_half_of_them():
    for sheet, size in (("A3", (210.0, 297.0)), ("Tabloid", (215.9, 279.4))):
        page = pages(bench_card.write(worked("tube"), sheet=sheet))[0]
        assert [side * POINT for side in page.get_size()] == pytest.approx(size, abs=0.02)


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("sample", ["barrel", "slim"])
def test_everything_is_on_the_paper(sample, units):
    content = bench_card.contents(worked(sample), Speech(units=units))
    text = text_of(bench_card.write(worked(sample), Speech(units=units)))
    steps = [item for item in content["steps"] if "title" in item]
    assert len(steps) == len(work_order(worked(sample)))
    for step in steps:
        for part in (step["title"], step["details"], step["caution"]):
            assert plain(part) in text
        if step["gate"]:
            assert plain(step["gate"]["limit"]) in text
            assert plain(step["gate"]["out"]) in text
    for name, what in content["to_hand"]["rows"]:
        assert plain(name) in text
        assert plain(what) in text
    for row in content["trust"]["rows"]:
        assert all(plain(cell) in text for cell in row)
    for picture in content["pictures"]:
        assert plain(picture["title"]) in text


def test_the_head_says_whose_it_is():
    text = text_of(bench_card.write(worked("barrel")))
    document = job("barrel")
    for part in (
        document.title,
        document.customer,
        document.id,
        document.promised,
        document.maker,
        "right hand",
    ):
        assert plain(part) in text


def test_same_job_same_bytes():
    assert bench_card.write(worked("barrel")) == bench_card.write(worked("barrel"))


def test_typed_text_is_never_markup():
    """What a person types stands on the page as typed."""
    made = bench_card.write(
        typed("barrel", title=MARKUP, customer=MARKUP, note=MARKUP, maker=MARKUP, id=MARKUP)
    )
    assert text_of(made).count(plain(MARKUP)) == 5
    corner = pages(made)[0].render(scale=1).to_pil().convert("RGB").getpixel((3, 3))
    assert corner == (255, 255, 255)


LONG = ("W" * 200, "č š ž ł å ≤ " * 16, "\\" * 200, "#" * 200, "i" * 200, "ab c" * 50)


@pytest.mark.parametrize("letters", LONG)
def test_long_names_wrap_or_shrink(letters):
    fields = dict.fromkeys(("title", "customer", "maker", "id"), letters[:200])
    made = bench_card.write(typed("barrel", **fields))
    assert text_of(made).count(plain(letters[:200])) == 4
    for page in pages(made):
        left, top, right, bottom = inked(page)
        assert left > 9.0
        assert right < 201.0
        assert top > 9.0
        assert bottom < 289.0


def test_a_long_name_stays_in_its_cell():
    """The head has a line between its cells, 52 mm from the right edge; no letter may cross it."""
    made = bench_card.write(typed("tube", title="W" * 200, maker=""))
    page = pages(made)[0]
    text = page.get_textpage()
    border = page.get_size()[0] - (10 + 52) / POINT
    for i in range(text.count_chars()):
        if text.get_text_range(i, 1) == "W":
            assert text.get_charbox(i)[2] < border


def test_a_long_note_is_cut_with_dots():
    made = bench_card.contents(typed("tube", note="word " * 2000))
    assert made["head"]["note"].endswith("…")
    assert len(made["head"]["note"]) <= 301


def test_a_job_without_words_has_a_head():
    nothing = dict.fromkeys(("title", "customer", "id", "maker", "date", "promised", "note"), "")
    made = text_of(bench_card.write(typed("tube", **nothing)))
    assert plain(words("en", "card")["head"]["untitled"]) in made


def test_checks_stand_at_the_top_with_their_remedy_and_notes_do_not():
    note = next(item for item in worked("barrel").findings if item.severity is Severity.NOTE)
    stuff = replace(worked("barrel"), findings=(*worked("barrel").findings, check(0)))
    content = bench_card.contents(stuff)
    assert [item["severity"] for item in content["findings"]["items"]] == ["check"]
    text = text_of(bench_card.write(stuff))
    assert plain(check(0).text()) in text
    assert plain(check(0).remedy()) in text
    assert plain(note.text()) not in text


def test_a_stop_says_do_not_cut():
    stop = replace(check(0), severity=Severity.STOP)
    text = text_of(bench_card.write(replace(worked("barrel"), findings=(stop,))))
    assert plain(words("en", "card")["findings"]["stopped"]) in text


@pytest.mark.parametrize("number", [3, 40])
def test_many_checks_push_nothing_off_the_paper(number):
    numbers = {"awl": 2.2, "perforation": 0.5, "most": 0.45, "wider": 3.0}
    found = tuple(finding("SEAM-001", ("row", i), pitch=2 + i / 7, **numbers) for i in range(number))
    made = bench_card.write(replace(worked("barrel"), findings=found))
    text = text_of(made)
    assert all(plain(item.text()) in text for item in found)
    steps = bench_card.contents(worked("barrel"))["steps"]
    assert all(plain(step["title"]) in text for step in steps if "title" in step)
    assert len(pages(made)) == 2 if number == 3 else len(pages(made)) > 2
    for page in pages(made):
        assert inked(page)[3] < 289.0


def test_only_our_faces_are_used():
    """No face of the machine gets in: the card looks the same everywhere."""
    made = bench_card.write(worked("barrel"))
    assert made.count(b"/BaseFont") > 0
    for part in made.split(b"/BaseFont")[1:]:
        assert b"AtkinsonHyperlegible" in part[:60] or b"DejaVuSans" in part[:60]


def test_the_smallest_type_is_3_4_mm():
    page = pages(bench_card.write(worked("barrel")))[0]
    template = files("backseam.papers.sheets").joinpath("bench_card.typ").read_text(encoding="utf-8")
    assert "#let small = 3.4mm" in template
    assert "#let main = 3.7mm" in template
    text = page.get_textpage()
    digits = [i for i in range(text.count_chars()) if text.get_text_range(i, 1) in "023456789"]
    heights = [(text.get_charbox(i)[3] - text.get_charbox(i)[1]) * POINT for i in digits]
    assert min(heights) > 0.62 * 3.4  # a figure of this face is 0.668 of its size high


def test_inches():
    text = text_of(bench_card.write(worked("barrel"), Speech(units="inch")))
    assert "5.906" in text  # 150 / 25.4
    assert "19/32" in text  # 15 mm of glue
    assert "Numbersininches" in text
    assert "Numbersinmm" in text_of(bench_card.write(worked("barrel")))


def test_what_is_not_used_is_not_to_hand():
    bare = replace(worked("barrel"), hanger=replace(worked("barrel").hanger, kind=HangerKind.NONE, holes=()))
    names = [name for name, _ in bench_card.contents(bare)["to_hand"]["rows"]]
    assert "thong" not in names
    assert "punch" not in names
    assert "no hanger" in bench_card.contents(bare)["head"]["line"]
    full = [name for name, _ in bench_card.contents(worked("barrel"))["to_hand"]["rows"]]
    assert {"thong", "punch", "fork"} <= set(full)
    strap = [name for name, _ in bench_card.contents(worked("sideways"))["to_hand"]["rows"]]
    assert "strap" in strap


def test_linen_sizes_by_thickness():
    """Published thicknesses of linen: 18/3 0.75-0.90, 30/3 0.50-0.60, 18/4 0.90-1.00 mm
    (linen-thread-diameters).
    """
    assert bench_card.linen(0.8) == "18/3"
    assert bench_card.linen(0.6) in ("30/3", "25/3")
    assert bench_card.linen(1.0) == "18/4"
    assert bench_card.linen(0.3) == ""


def test_cautions_are_on_the_card():
    text = text_of(bench_card.write(worked("barrel")))
    for word in ("Tape", "cork", "Solvent", "Flame", "heater", "mask", "40°C", "Children", "neverwithpalm"):
        assert word in text


def test_the_checks_before_cutting_come_first():
    steps = bench_card.contents(worked("barrel"))["steps"]
    assert steps[0] == {"phase": "Before cutting"}
    assert steps[1]["title"].startswith("Check strips")
    assert "150.0" in steps[2]["gate"]["limit"]


def test_the_card_speaks_like_a_workmate():
    """No word of the machine's, nothing shouted, titles of 75 letters at most, fields included."""
    book = words("en", "card")

    def texts(part):
        for value in part.values():
            yield from texts(value) if isinstance(value, dict) else [value]

    for text in texts(book):
        assert not any(word in text.casefold() for word in (*NEVER, "warning", "!")), text
    assert all(len(title) <= 75 for title in book["step"].values())
