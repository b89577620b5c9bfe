"""All sheets of a job: what is on which, bars and foot on each, letters and numbers, the preview."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from backseam.ground.findings import finding
from backseam.ground.speech import Speech
from backseam.papers import pdf
from backseam.papers.letters import cap_height, text_width
from backseam.papers.model import Box, Role, Stroke, Words, mark_box
from backseam.papers.sheet import SHEETS, area
from backseam.papers.sheets import sheaf
from backseam.papers.sheets.placing import shape

NAMES = ("barrel", "tube", "slim", "strap", "bare", "long", "fine")


def _text(page):
    return " ".join(m.text for m in page.drawing.marks if isinstance(m, Words))


def _box(mark):
    """Box of a mark; of a sheet's own letter that of the capital, without room for accents."""
    if isinstance(mark, Words) and mark.size > 20:
        x, y = mark.at
        return Box(x, y, x + text_width(mark.text, mark.size, True), y + cap_height(mark.size, True))
    return mark_box(mark)


def _bars(page):
    """Boxes of the bars' long lines, the outer edges of their end marks within."""
    solid = [
        mark_box(m) for m in page.drawing.marks if m.role is Role.BAR and isinstance(m, Stroke) and m.fill
    ]
    return [box for box in solid if max(box.width, box.height) > 100]


@pytest.fixture(scope="module")
def made_pages(shapes):
    """Pages of every shape on A4, made once."""
    return {name: sheaf.pages(shapes[name], "A4", Speech()) for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_each_sheet_has_a_bar_each_way_of_150(made_pages, name):
    for page in made_pages[name]:
        bars = _bars(page)
        assert [round(max(b.width, b.height), 9) for b in bars] == [150.0, 150.0]
        assert {b.width > b.height for b in bars} == {True, False}


@pytest.mark.parametrize("name", NAMES)
def test_nothing_comes_nearer_to_the_edge_than_allowed(made_pages, name):
    for page in made_pages[name]:
        space = area(page.sheet).grown(0.26)  # half a wide line: frames stand on the limit
        for mark in page.drawing.marks:
            box = _box(mark)
            assert space.left <= box.left <= box.right <= space.right, mark
            assert space.bottom <= box.bottom <= box.top <= space.top, mark


@pytest.mark.parametrize("name", NAMES)
def test_bars_stand_in_empty_space(made_pages, shapes, name):
    for page in made_pages[name]:
        bars = [shapely.box(b.left, b.bottom, b.right, b.top) for b in _bars(page)]
        others = [
            m for m in page.drawing.marks if m.role not in (Role.BAR, Role.PREVIEW, Role.CROSS, Role.JOIN)
        ]
        for mark in others:
            box = _box(mark)
            body = (
                shapely.box(box.left, box.bottom, box.right, box.top)
                if isinstance(mark, Words)
                else shape(mark)
            )
            for bar in bars:
                assert not body.intersects(bar), mark
        outlines = [
            shapely.Polygon(m.points)
            for m in others
            if isinstance(m, Stroke) and m.closed and m.role is Role.CUT and len(m.points) > 3
        ]
        assert not any(outline.intersects(bar) for outline in outlines for bar in bars)


@pytest.mark.parametrize("name", NAMES)
def test_letters_follow_and_every_sheet_knows_its_number(made_pages, name):
    pages = made_pages[name]
    assert [page.name for page in pages] == list("ABCDEFGH"[: len(pages)])
    for number, page in enumerate(pages, 1):
        if "100 %" not in _text(page):  # tiles number themselves
            assert f"{page.name}, {number} of {len(pages)}" in _text(page)


@pytest.mark.parametrize("name", NAMES)
def test_the_piece_stands_on_the_first_sheet_at_full_size(made_pages, shapes, name):
    made = shapes[name]
    slits = [m for m in made_pages[name][0].drawing.marks if m.role is Role.SLIT and "hole" in m.why]
    found = {m.why: tuple((a + b) / 2 for a, b in zip(*m.points, strict=True)) for m in slits}
    first, second = found["hole 1 left"], found["hole 1 right"]
    assert second[0] - first[0] == pytest.approx(2 * made.seam.right[0].x, abs=1e-9)
    fourth = found["hole 4 right"]
    assert second[1] - fourth[1] == pytest.approx(made.seam.right[0].y - made.seam.right[3].y, abs=1e-9)


def test_a_piece_that_fits_brings_ring_and_thickest_strip_along(made_pages):
    first, second, _ = made_pages["barrel"]
    assert "TRIAL RING" in _text(first)
    assert "130 thickest" in _text(first)
    assert "130 thickest" not in _text(second).split("BLANK")[0]
    assert "THONG" in _text(second)


def test_a_wide_piece_lies_on_its_side_with_the_foot_beside_it(made_pages):
    first, second, _ = made_pages["tube"]
    assert first.sheet.width > first.sheet.height
    assert second.sheet.width < second.sheet.height
    block = [m for m in first.drawing.marks if m.role is Role.FRAME and isinstance(m, Stroke) and m.closed]
    assert all(mark_box(m).left > first.sheet.width / 2 for m in block)


def test_what_does_not_go_on_the_first_sheet_goes_on_the_next(shapes):
    made = shapes["tube"]
    high = replace(made, ring=replace(made.ring, height=40.0))
    first, second, *_ = sheaf.pages(high, "A4", Speech())
    assert "TRIAL RING" not in _text(first)
    assert "TRIAL RING" in _text(second)


def test_a_long_piece_is_tiled_with_its_legend_and_every_hole(made_pages, shapes):
    tiles = [page for page in made_pages["long"] if "100 %" in _text(page)]
    assert len(tiles) == 2
    holes = {m.why for page in tiles for m in page.drawing.marks if m.role is Role.SLIT and "hole" in m.why}
    assert len(holes) == 2 * shapes["long"].seam.count
    assert any("A to B of" in _text(page) for page in tiles)
    everything = " ".join(_text(page) for page in made_pages["long"])
    for words in ("TRIAL RING", "Setting-out", "Check strips", "stitch line, awl slit"):
        assert words in everything


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_size_of_paper_takes_every_check_strip_once(shapes, sheet):
    made = shapes["barrel"]
    pages = sheaf.pages(made, sheet, Speech())
    strips = [m for page in pages for m in page.drawing.marks if getattr(m, "why", "") == "check strip"]
    assert len(strips) == len(made.strips)
    lengths = sorted(mark_box(m).width - 14.0 for m in strips)
    assert lengths == pytest.approx(sorted(strip.length for strip in made.strips))
    assert all(page.sheet.name == sheet for page in pages)


def test_many_stations_flow_over_more_sheets(shapes):
    made = shapes["barrel"]
    many = tuple(replace(made.strips[0], station=float(i), name=f"s{i}") for i in range(45))
    pages = sheaf.pages(replace(made, strips=many), "A4", Speech())
    strips = [m for page in pages for m in page.drawing.marks if getattr(m, "why", "") == "check strip"]
    assert len(strips) == 45


def test_strips_longer_than_any_sheet_are_tiled_not_lost(shapes):
    made = shapes["barrel"]
    giant = replace(made.strips[0], length=330.0)
    pages = sheaf.pages(replace(made, strips=(*made.strips, giant)), "A4", Speech())
    assert [page.name for page in pages] == list("ABCDEFGH"[: len(pages)])
    marks = [m for page in pages[3:] for m in page.drawing.marks if getattr(m, "why", "") == "mark to meet"]
    assert len(marks) >= 2


def test_the_title_block_names_job_leather_seam_and_blank(made_pages, shapes):
    text = _text(made_pages["barrel"][0])
    made = shapes["barrel"]
    for words in (
        made.job.title,
        made.job.customer,
        made.job.maker,
        made.job.id,
        made.job.date,
        "shoulder 2.0, damp",
        "no fitting",
        "1 : 1, mm",
        f"{made.seam.count} slits",
    ):
        assert words in text, words


def test_a_job_without_a_name_still_has_its_sheets(shapes):
    empty = replace(shapes["barrel"].job, title="", customer="", maker="", id="", date="")
    pages = sheaf.pages(replace(shapes["barrel"], job=empty), "A4", Speech())
    assert "Sheath without a name" in _text(pages[0])
    assert "no date" in _text(pages[0])


def test_long_names_stay_inside_the_block(shapes):
    long = "Örlögsknivens åldrade skaft av masurbjörk " * 5
    job = replace(shapes["barrel"].job, title=long, customer=long, maker=long, id="x" * 200)
    for page in sheaf.pages(replace(shapes["barrel"], job=job), "A4", Speech()):
        space = area(page.sheet).grown(0.26)
        assert all(_box(m).right <= space.right for m in page.drawing.marks)


def test_setting_out_alone(shapes):
    pages = sheaf.setting_pages(shapes["barrel"], "Letter", Speech("inch"))
    assert [page.name for page in pages] == ["A"]
    assert "A, 1 of 1" in _text(pages[0])


@pytest.fixture(scope="module")
def stopped(shapes):
    """The preview of a job that must not be cut."""
    stop = finding(
        "READ-001",
        ("form",),
        width=26.0,
        depth=34.5,
        girth=66.0,
        reading=66.0,
        station=130.0,
        low=92.7,
        high=127.2,
    )
    made = replace(shapes["barrel"], findings=(stop,))
    return made, sheaf.pages(made, "A4", Speech(), preview=True), stop


def test_a_preview_is_reduced_marked_across_and_says_why(stopped):
    made, pages, stop = stopped
    (page,) = pages
    assert not _bars(page)
    assert stop.text() in _text(page).replace("■ ", "")
    assert stop.remedy() in _text(page)
    marks = [mark_box(m) for m in page.drawing.marks if m.role is Role.PREVIEW]
    across = max(b.right for b in marks) - min(b.left for b in marks)
    along = max(b.top for b in marks) - min(b.bottom for b in marks)
    space = area(page.sheet)
    assert across > 0.6 * space.width
    assert along > 0.6 * space.height
    (cut,) = [mark_box(m) for m in page.drawing.marks if m.role is Role.CUT and m.closed]
    full = float(made.upper.cut[:, 0].max() - made.upper.cut[:, 0].min())
    assert cut.width < 0.7 * full


def test_sheets_can_be_printed(made_pages):
    blob = pdf.write(made_pages["barrel"], title="Cabin knife")
    assert blob.startswith(b"%PDF")
    assert blob == pdf.write(made_pages["barrel"], title="Cabin knife")
