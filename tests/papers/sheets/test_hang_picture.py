"""The picture of how it hangs: within its room, plumb where it says so, words apart, both languages of units."""

from __future__ import annotations

from itertools import combinations

import pytest
from tests.jobs import SAMPLES, sample

from backseam.ground.speech import PLAIN, Speech
from backseam.job.hanging import hanging
from backseam.job.recipe import work
from backseam.papers import svg
from backseam.papers.model import Role, Words, mark_box
from backseam.papers.sheets.hang_picture import HIGH, hang_picture


def drawn(name, speech=PLAIN, **fields):
    worked = work(sample(name, **fields))
    return hanging(worked), hang_picture(hanging(worked), worked.form, worked.inputs.construction, speech)


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("speech", [PLAIN, Speech("inch")], ids=["mm", "inch"])
def test_words_do_not_run_into_each_other(name, speech):
    _, picture = drawn(name, speech)
    boxes = [(mark.text, mark_box(mark)) for mark in picture.marks if isinstance(mark, Words)]
    assert [(a, b) for (a, x), (b, y) in combinations(boxes, 2) if x.meets(y)] == []


@pytest.mark.parametrize("name", SAMPLES)
def test_belt_to_foot_takes_the_height_given(name):
    _, picture = drawn(name)
    assert picture.only(Role.CUT, Role.PIECE, Role.HIDDEN).box.height == pytest.approx(HIGH, abs=18)
    assert svg.write(picture).rstrip().endswith("</svg>")


def test_the_weight_hangs_plumb_under_the_belt():
    _, picture = drawn("barrel")
    (plumb,) = [mark for mark in picture.marks if mark.role is Role.CENTRE]
    assert plumb.points[0][0] == pytest.approx(plumb.points[1][0], abs=0.05)


def test_margin_and_both_limits_are_named():
    told, picture = drawn("sideways")
    said = [mark.text for mark in picture.marks if isinstance(mark, Words)]
    assert f"{told.loop.margin:.0f} mm" in said
    assert any(text.startswith("thong held 0.6") for text in said)
    assert any(text.startswith("thong slides") for text in said)


def test_what_was_measured_is_not_dashed():
    measured = {"blade_length_mm": 95, "handle_length_mm": 110}
    _, picture = drawn("barrel", knife=measured)
    assert "dashed: estimated" not in [mark.text for mark in picture.marks if isinstance(mark, Words)]
