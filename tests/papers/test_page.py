"""Drawings on sheets: on one if it goes, else tiles; clear of the edge; nothing lost, no text cut."""

from __future__ import annotations

from collections import Counter
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backseam.ground.errors import InputRefused
from backseam.ground.sources import default
from backseam.papers import page as pages
from backseam.papers.clip import holds
from backseam.papers.model import Box, Drawing, Mark, Ring, Role, Stroke, Words, mark_box, segment
from backseam.papers.page import SHEETS, Page, area, bars, drawable, fits, letters_from, tile
from backseam.papers.strip import corners

A4, LETTER = SHEETS["A4"], SHEETS["Letter"]
CAPTION = "Birch trail knife · 2026-11-25"


def _block(width: float, height: float, step: float = 0.0) -> Drawing:
    """A frame of this size; with a step, hatched so densely that no bar finds room in it."""
    marks: list[Mark] = [Stroke(corners(Box(0, 0, width, height)), Role.CUT, closed=True)]
    if step:
        marks += [
            segment((0, i * step), (width, i * step), Role.LEADER) for i in range(1, int(height / step))
        ]
    return Drawing("block", tuple(marks))


def _texts(page: Page) -> list[str]:
    return [mark.text for mark in page.drawing.marks if isinstance(mark, Words)]


def _ink(mark: Mark) -> Box:
    """What a mark covers, its line included; of a sheet's letter, which has no foot, from its base line."""
    if isinstance(mark, Words) and mark.size > 20:
        return Box(mark.at[0], mark.at[1], mark_box(mark).right, mark.at[1] + 20)
    line = 0.25 if isinstance(mark, Words) or mark.fill is not None or mark.role is not Role.CUT else 0.5
    return (
        mark_box(mark) if isinstance(mark, Words) or mark.fill is not None else mark_box(mark).grown(line / 2)
    )


# --- one sheet --------------------------------------------------------------------------------------------


def test_what_fits_stands_on_one_sheet_without_joins(pattern: Drawing) -> None:
    (page,) = tile(pattern, A4, caption=CAPTION)
    assert fits(pattern, A4)
    assert (page.name, page.sheet) == ("A", A4)
    assert not page.drawing.only(Role.CROSS).only(Role.JOIN).marks
    assert {"A", CAPTION, "sheet A · 100 %, no fitting"} <= set(_texts(page))


def test_what_is_wide_lies_on_the_sheet_turned() -> None:
    (page,) = tile(_block(260, 170), A4, caption=CAPTION)
    assert page.sheet == A4.turned


def test_nearly_full_sheet_takes_the_bars_where_there_is_room() -> None:
    """Wider than beside the bar's strip, but with empty room within: still one sheet."""
    wide = _block(189.0, 255.0)
    assert wide.box.width > drawable(A4).width
    (page,) = tile(wide, A4, caption=CAPTION)
    assert _bar_lengths(page) == [150.0, 150.0]


def test_nearly_full_sheet_with_no_room_for_the_bars_is_tiled() -> None:
    assert not fits(_block(189.0, 255.0, step=3.0), A4)
    assert len(tile(_block(189.0, 255.0, step=3.0), A4, caption=CAPTION)) == 2


def test_bars_that_the_drawing_brings_along_are_enough() -> None:
    own = _block(189.0, 255.0) + Drawing("", (segment((10, 10), (160, 10), Role.BAR),))
    (page,) = tile(own, A4, caption=CAPTION)
    assert len(page.drawing.only(Role.BAR).marks) == 1


def test_a_drawing_of_just_the_room_fits() -> None:
    room = drawable(A4)
    assert fits(_block(room.width, room.height, step=3.0), A4)
    assert not fits(_block(room.width + 0.1, room.height, step=3.0), A4)


def test_an_empty_drawing_gives_a_sheet_with_its_bars() -> None:
    (page,) = tile(Drawing("empty"), A4, caption="")
    assert _bar_lengths(page) == [150.0, 150.0]


# --- bars, caption, letter, preview -----------------------------------------------------------------------


def _bar_lengths(page: Page) -> list[float]:
    """Outer edge to outer edge of what is solid, across and along."""
    solid = [mark_box(m) for m in page.drawing.only(Role.BAR).marks if isinstance(m, Stroke) and m.fill == 1]
    longest = sorted(solid, key=lambda box: max(box.width, box.height))[-2:]
    assert {box.width > box.height for box in longest} == {True, False}
    return [round(max(box.width, box.height), 9) for box in longest]


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=list(SHEETS))
@pytest.mark.parametrize("turned", [False, True])
def test_bars_measure_150_one_each_way_and_are_named_by_the_paper(sheet: pages.Sheet, turned: bool) -> None:
    way = sheet.turned if turned else sheet
    marks = bars(area(way))
    page = Page("A", way, Drawing("", marks))
    assert _bar_lengths(page) == [150.0, 150.0]
    assert all(holds(area(way).grown(1e-9), mark_box(mark)) for mark in marks)
    words = {mark.text: mark.angle for mark in marks if isinstance(mark, Words)}
    assert words["150 mm across the sheet"] == (90 if turned else 0)
    assert words["150 mm along the sheet"] == (0 if turned else 90)


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=list(SHEETS))
@pytest.mark.parametrize("scale", [1.0, 1.5, 3.2])
def test_nothing_comes_nearer_than_10_to_the_edge(pattern: Drawing, sheet: pages.Sheet, scale: float) -> None:
    for page in tile(pattern.mapped(scale, scale), sheet, caption=CAPTION, preview="PREVIEW"):
        clear = Box(10, 10, page.sheet.width - 10, page.sheet.height - 10).grown(1e-5)
        assert all(holds(clear, _ink(mark)) for mark in page.drawing.marks)


def test_a_long_caption_is_set_smaller_and_ends_in_an_ellipsis() -> None:
    for caption in ("A name of some length, " * 4, "a" * 2000):
        (page,) = tile(_block(10, 10), A4, caption=caption)
        (shown,) = [m for m in page.drawing.marks if isinstance(m, Words) and m.text[:3] == caption[:3]]
        assert shown.text == caption or shown.text.endswith("…")
        (name,) = [m for m in page.drawing.marks if isinstance(m, Words) and m.text.startswith("sheet A")]
        assert mark_box(shown).right < mark_box(name).left


def test_the_letter_is_20_high_and_stands_on_nothing(pattern: Drawing) -> None:
    (page,) = tile(pattern, A4, caption=CAPTION, letter_from="C")
    (letter,) = [m for m in page.drawing.marks if isinstance(m, Words) and m.text == "C"]
    assert letter.size * 0.668 == pytest.approx(default("papers.tile_letter"))
    box = Box(letter.at[0], letter.at[1], mark_box(letter).right, letter.at[1] + 20)
    crossing = [
        m for m in page.drawing.marks if m is not letter and m.role is not Role.CUT and mark_box(m).meets(box)
    ]
    assert crossing == []


def test_where_there_is_no_room_the_letter_is_pale() -> None:
    (page,) = tile(_block(180, 260, step=5), A4, caption=CAPTION)
    (letter,) = [m for m in page.drawing.marks if isinstance(m, Words) and m.text == "A"]
    assert letter.role is Role.PREVIEW


@pytest.mark.parametrize("words", ["PREVIEW", "PREVIEW, DO NOT CUT FROM THIS SHEET", "X" * 200])
def test_a_preview_is_marked_across_its_whole_area(pattern: Drawing, words: str) -> None:
    (page,) = tile(pattern, A4, caption=CAPTION, preview=words)
    marked = [mark_box(m) for m in page.drawing.marks if isinstance(m, Words) and m.text == words]
    whole = area(A4)
    assert min(b.left for b in marked) < whole.left + 0.25 * whole.width
    assert max(b.right for b in marked) > whole.right - 0.25 * whole.width
    assert min(b.bottom for b in marked) < whole.bottom + 0.25 * whole.height
    assert max(b.top for b in marked) > whole.top - 0.25 * whole.height


def test_letters_go_on_after_z() -> None:
    names = letters_from("A")
    assert [next(names) for _ in range(28)][-3:] == ["Z", "AA", "AB"]


# --- tiles ------------------------------------------------------------------------------------------------


def test_fewest_sheets_of_both_ways() -> None:
    """230 x 320: two sheets on their sides (267 wide each); upright it would take four."""
    made = tile(_block(230, 320), A4, caption=CAPTION)
    assert [page.name for page in made] == ["A", "B"]
    assert all(page.sheet == A4.turned for page in made)
    assert "sheet B, 2 of 2 · 100 %, no fitting" in _texts(made[1])


def test_empty_sheets_are_skipped() -> None:
    """Two small pieces at opposite corners: of the grid only what carries something is printed."""
    marks = (
        *_block(20, 20).marks,
        *_block(20, 20).moved(380, 520).marks,
    )
    assert len(tile(Drawing("corners", marks), A4, caption=CAPTION)) == 2


def test_every_sheet_has_its_letter_map_bars_and_crosses(pattern: Drawing) -> None:
    made = tile(pattern.mapped(2, 2), A4, caption=CAPTION)
    names = [page.name for page in made]
    assert len(made) > 3
    for page in made:
        texts = Counter(_texts(page))
        assert texts[page.name] == 2  # letter and map
        assert set(names) <= set(texts)
        assert _bar_lengths(page) == [150.0, 150.0]
        assert any(m.role is Role.JOIN for m in page.drawing.marks)
    crosses = Counter(
        text for page in made for text in _texts(page) if text[-1] in "12" and text[:2].isupper()
    )
    assert set(crosses.values()) == {2}
    assert "AB1" in crosses


def test_a_drawing_beyond_all_measure_is_refused_with_a_sentence() -> None:
    with pytest.raises(InputRefused, match=r"100000 mm by 100000 mm would take \d+ sheets of A4"):
        tile(_block(1e5, 1e5), A4, caption=CAPTION)


def test_text_is_whole_on_every_side_and_over_every_join() -> None:
    """Long words at the rims, turned and level, and one over each place where a join can be."""
    marks: list[Mark] = [*_block(400, 500).marks]
    said = []
    for i, (x, y) in enumerate((x, y) for x in range(0, 401, 40) for y in range(0, 501, 50)):
        for angle in (0, 90, 35):
            said.append(f"words {i} turned by {angle}")
            marks.append(Words((float(x), float(y)), said[-1], 4.0, ("start", "middle", "end")[i % 3], angle))
    made = tile(Drawing("words", tuple(marks)), A4, caption=CAPTION)
    shown = Counter(text for page in made for text in _texts(page))
    assert all(shown[text] >= 1 for text in said)
    for page in made:
        assert all(holds(area(page.sheet).grown(1e-5), _ink(m)) for m in page.drawing.marks)


def test_a_text_wider_than_a_sheet_is_set_smaller() -> None:
    long = "a line of words that goes on and on " * 6
    made = tile(_block(300, 400) + Drawing("", (Words((0, 200), long, 5.0),)), A4, caption=CAPTION)
    (shown,) = [m for page in made for m in page.drawing.marks if isinstance(m, Words) and m.text == long]
    assert shown.size < 5.0
    assert holds(area(made[0].sheet), mark_box(shown))


# --- joined again -----------------------------------------------------------------------------------------


def _crosses(page: Page) -> dict[str, tuple[float, float]]:
    """Where each named registration cross stands on a sheet."""
    out, at = {}, (inf, inf)
    for mark in page.drawing.marks:
        if isinstance(mark, Ring) and mark.role is Role.CROSS:
            at = mark.centre
        if isinstance(mark, Words) and mark.role is Role.CROSS:
            out[mark.text] = at
    return out


def _joined(made: tuple[Page, ...]) -> list[Drawing]:
    """The sheets laid on one another by their crosses, as a maker does it."""
    known = {0: _crosses(made[0])}
    moved = {0: made[0].drawing}
    while len(moved) < len(made):
        before = len(moved)
        for i, page in enumerate(made):
            own = _crosses(page)
            for crosses in list(known.values()):
                both = sorted(set(own) & set(crosses))
                if i in moved or not both:
                    continue
                assert len(both) == 2
                shifts = [(crosses[n][0] - own[n][0], crosses[n][1] - own[n][1]) for n in both]
                assert shifts[0] == pytest.approx(shifts[1])
                moved[i] = page.drawing.moved(*shifts[0])
                known[i] = {n: (x + shifts[0][0], y + shifts[0][1]) for n, (x, y) in own.items()}
        assert len(moved) > before, "a sheet hangs on no other"
    return list(moved.values())


def _covers(pieces: list[Mark], whole: Stroke, dx: float, dy: float) -> bool:
    import shapely

    lines = [shapely.LineString(p.points + p.points[:1] if p.closed else p.points) for p in pieces]
    points = whole.points + whole.points[:1] if whole.closed else whole.points
    wanted = shapely.LineString([(x + dx, y + dy) for x, y in points])
    covered = shapely.union_all([line.buffer(1e-6) for line in lines])
    inside = all(line.difference(wanted.buffer(1e-6)).length < 1e-6 for line in lines)
    return wanted.difference(covered).length < 1e-6 and inside


@settings(max_examples=25, deadline=None)
@given(
    points=st.lists(
        st.tuples(st.floats(0, 400), st.floats(0, 520)),
        min_size=2,
        max_size=6,
        unique_by=lambda p: round(p[0]),
    ),
    sheet=st.sampled_from(list(SHEETS.values())),
)
def test_tiles_joined_by_their_crosses_are_the_drawing(
    points: list[tuple[float, float]], sheet: pages.Sheet
) -> None:
    frame = Stroke(corners(Box(-1, -1, 401, 521)), Role.FRAME, closed=True)
    line = Stroke(tuple(points), Role.CUT)
    made = tile(Drawing("", (frame, line)), sheet, caption="")
    sheets = _joined(made)
    assert len(made) > 1
    frames = [m for d in sheets for m in d.only(Role.FRAME).marks]
    box = Drawing("", tuple(frames)).box
    assert (box.width, box.height) == pytest.approx((402, 522))
    dx, dy = box.left + 1, box.bottom + 1
    assert _covers(frames, frame, dx, dy)
    assert _covers([m for d in sheets for m in d.only(Role.CUT).marks], line, dx, dy)


def test_the_whole_pattern_joined_again(pattern: Drawing) -> None:
    big = pattern.mapped(1.7, 1.7)
    sheets = _joined(tile(big, LETTER, caption=CAPTION))
    (cut,) = big.only(Role.CUT).marks
    pieces = [m for d in sheets for m in d.only(Role.CUT).marks]
    box = Drawing("", tuple(pieces)).box
    assert isinstance(cut, Stroke)
    dx, dy = box.left - mark_box(cut).left, box.bottom - mark_box(cut).bottom
    assert _covers(pieces, cut, dx, dy)
    slits = [m for d in sheets for m in d.only(Role.SLIT).marks]
    for mark in big.moved(dx, dy).only(Role.SLIT).marks:
        near = [m for m in slits if mark_box(m).meets(mark_box(mark).grown(-0.1))]
        assert isinstance(mark, Stroke)
        assert _covers(near, mark, 0, 0)
