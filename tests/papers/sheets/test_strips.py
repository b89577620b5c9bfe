"""Strips at full size: check strips, trial ring, hanger, blank."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from backseam.ground.speech import Speech
from backseam.papers.model import Role, Stroke, Words, mark_box
from backseam.papers.sheets import check_strips
from backseam.papers.sheets.blank_plan import blank_plan
from backseam.papers.sheets.hanger_strip import hanger_strip
from backseam.papers.sheets.lettering import outline
from backseam.papers.sheets.measuring import measuring
from backseam.papers.sheets.ring_strip import trial_ring
from backseam.pattern.strips import CheckStrip


def _words(drawing):
    return [mark for mark in drawing.marks if isinstance(mark, Words)]


def _clear(drawing):
    """No two texts overlap."""
    return all(not outline(a).intersects(outline(b)) for a, b in combinations(_words(drawing), 2))


def _text(drawing):
    return " ".join(line.text for line in _words(drawing))


@given(
    st.floats(45.0, 250.0), st.booleans(), st.sampled_from(["mm", "inch"]), st.text("abc lmn", max_size=60)
)
def test_a_check_strip_measures_its_length_from_mark_to_mark(length, film, units, name):
    drawing = check_strips.strip(CheckStrip(name, 130.0, length, 0.1, film, 0.5), Speech(units))
    marks = [m for m in drawing.marks if isinstance(m, Stroke) and m.why == "mark to meet"]
    assert [m.points[0][0] for m in marks] == [0.0, length]
    heads = [m for m in drawing.marks if isinstance(m, Stroke) and m.fill]
    assert [m.points[0] for m in heads] == [(0.0, 0.0), (length, 0.0)]
    assert _clear(drawing)
    assert all(mark_box(line).left > 0 and mark_box(line).right < length for line in _words(drawing))
    assert ("film" in _text(drawing)) is film


def test_strips_stand_under_one_another_with_the_box_that_says_what_to_do(shapes):
    made = shapes["barrel"]
    drawing = check_strips.strips(made.strips, Speech(), 182.0)
    outlines = [m for m in drawing.marks if isinstance(m, Stroke) and m.role is Role.CUT]
    assert len(outlines) == len(made.strips)
    boxes = [shapely.Polygon(m.points) for m in outlines]
    assert all(a.disjoint(b) for a, b in combinations(boxes, 2))
    assert drawing.box.width <= 182.0
    assert "They do not meet? gap or overlap under 1: go on" in _text(drawing)
    assert "bare" in _text(drawing)
    assert _clear(drawing)


def test_the_box_goes_under_long_strips_and_stands_alone_without_any():
    long = [CheckStrip("mouth", 150.0, 160.0, 0.1, True, 0.5)]
    assert (
        check_strips.strips(long, Speech(), 182.0).box.height
        > check_strips.strips(long, Speech(), 260.0).box.height
    )
    assert "They do not meet?" in _text(check_strips.strips([], Speech(), 182.0))


def test_strips_of_both_kinds_say_so():
    both = [CheckStrip("a", 1.0, 80.0, 0.1, film, 0.5) for film in (True, False)]
    assert "as each strip says" in _text(check_strips.strips(both, Speech(), 300.0))


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", ["barrel", "tube", "slim"])
def test_the_trial_ring_is_as_long_as_computed(shapes, name, units):
    made = shapes[name]
    drawing = trial_ring(made.ring, made.inputs.construction, Speech(units))
    lines = [m for m in drawing.marks if isinstance(m, Stroke) and m.role is Role.STITCH]
    assert [m.points[0][0] for m in lines] == pytest.approx([-made.ring.length / 2, made.ring.length / 2])
    assert sum(m.role is Role.SLIT for m in drawing.marks) == 2 * len(made.ring.left)
    (cut,) = [m for m in drawing.marks if m.role is Role.CUT]
    assert mark_box(cut).width == pytest.approx(made.ring.width)
    assert mark_box(cut).height == pytest.approx(made.ring.height)
    solid = shapely.union_all(
        [shapely.LineString(m.points) for m in drawing.marks if m.role in (Role.SLIT, Role.STITCH)]
    )
    assert _clear(drawing)
    for line in _words(drawing):
        assert not outline(line).intersects(solid), line.text
    assert "TRIAL RING" in _text(drawing)
    assert "as made:" in _text(drawing)


def test_the_thong_and_the_strap_say_what_to_cut(shapes):
    made = shapes["barrel"]
    thong = hanger_strip(made.hanger, made.inputs.construction, Speech(), 180.0)
    assert thong is not None
    assert "5 wide, 2.5 thick, 410 long" in _text(thong)
    band = [mark_box(m) for m in thong.marks if m.role is Role.CUT]
    assert all(box.height == pytest.approx(made.hanger.width) for box in band)
    strap = shapes["strap"]
    assert "STRAP" in _text(hanger_strip(strap.hanger, strap.inputs.construction, Speech(), 180.0))
    bare = shapes["bare"]
    assert hanger_strip(bare.hanger, bare.inputs.construction, Speech(), 180.0) is None


@pytest.mark.parametrize("most", [74.0, 44.0])
def test_the_plan_of_the_blank_keeps_its_proportions(shapes, most):
    blank = shapes["barrel"].blank
    drawing = blank_plan(blank, Speech(), 180.0, most)
    (frame,) = [m for m in drawing.marks if m.role is Role.PIECE]
    box = mark_box(frame)
    assert box.width / box.height == pytest.approx(blank.width / blank.height)
    assert max(box.width, box.height) <= most + 1e-9
    assert _clear(drawing)
    assert "upper with its margin" in _text(drawing)
    assert "Not to scale" in _text(drawing)


def test_the_measuring_picture_shows_one_hole_of_this_job(shapes):
    made = shapes["barrel"]
    hole = made.seam.right[made.seam.count // 3]
    text = _text(measuring(made.upper, made.seam, Speech(), 85.0, 46.0))
    assert f"Hole {hole.number}, for example" in text
    assert text.count(f"{hole.x:.1f}") == 2
    narrow = shapes["long"]
    hole = narrow.seam.right[narrow.seam.count // 3]
    assert _text(measuring(narrow.upper, narrow.seam, Speech(), 85.0, 46.0)).count(f"{hole.x:.1f}") == 1
    hole = made.seam.right[made.seam.count // 3]
    assert f"{hole.y:.1f}" in text


def test_a_ring_with_too_little_room_puts_its_words_under_itself(shapes):
    made = shapes["slim"]
    short = replace(made.ring, length=44.0)
    drawing = trial_ring(short, made.inputs.construction, Speech())
    under = [line for line in _words(drawing) if line.at[1] < 0]
    assert under
    assert _clear(drawing)
