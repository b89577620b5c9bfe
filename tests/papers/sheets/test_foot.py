"""Legend and title block: only lines in use, every text within its box."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.ground.speech import Speech
from backseam.papers.model import Box, Role, Words, mark_box
from backseam.papers.sheets.legend import ORDER, legend
from backseam.papers.sheets.title_block import title_block
from backseam.papers.sheets.warning import framed, triangle

BOX = Box(10.0, 10.0, 109.5, 44.4)


def _texts(marks):
    return [m.text for m in marks if isinstance(m, Words)]


def _within(marks, box):
    grown = box.grown(0.01)
    boxes = [mark_box(m) for m in marks]
    return all(
        grown.left <= b.left and b.right <= grown.right and grown.bottom <= b.bottom and b.top <= grown.top
        for b in boxes
    )


@given(roles=st.sets(st.sampled_from(ORDER)))
def test_the_legend_names_exactly_the_lines_in_use(shapes, roles):
    marks = legend(roles, BOX, shapes["barrel"].inputs.construction, Speech())
    assert len(_texts(marks)) == len(roles)
    assert _within(marks, BOX)


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("width", [62.0, 99.5, 150.0])
def test_all_lines_and_notes_fit(shapes, units, width):
    box = Box(0.0, 0.0, width, 34.4 if width > 70 else 84.0)
    construction = shapes["barrel"].inputs.construction
    assert _within(legend(ORDER, box, construction, Speech(units)), box)
    notes = ("Cut on the wide line, wrap level, pull as you pulled the strap.",)
    with_notes = legend({Role.CUT}, box, construction, Speech(units), notes)
    assert _within(with_notes, box)
    assert " ".join(_texts(with_notes)).endswith("strap.")


@given(title=st.text(max_size=200), customer=st.text(max_size=200), units=st.sampled_from(["mm", "inch"]))
def test_whatever_is_typed_stays_inside_the_title_block(shapes, title, customer, units):
    m = shapes["barrel"]
    job = replace(m.job, title=title, customer=customer, maker=customer)
    box = Box(0.0, 0.0, 90.5, 34.4)
    marks = title_block(box, job, m.inputs.leather, m.seam, m.blank, "A, 1 of 3", Speech(units))
    assert _within(marks, box)


def test_a_caution_is_framed_with_the_triangle():
    marks, height = framed("Knife and awl: cut away from the hand that holds.", 85.0)
    assert _within(marks, Box(0.0, -height, 85.0, 0.0))
    outer, inner, *_ = triangle((0.0, 0.0))
    assert outer.fill == 1.0
    assert inner.fill == 0.0
    assert mark_box(inner).width < mark_box(outer).width
