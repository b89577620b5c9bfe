"""The drawing of the clock of wet leather: all of it in its place, all of it said, ink only."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree as Xml

import pytest

from backseam.ground.speech import Speech
from backseam.leather.material import material
from backseam.leather.records import kinds
from backseam.leather.wet import DRAWN, Room
from backseam.making.clock import clock, work_minutes
from backseam.making.weighing import Weighing
from backseam.papers.model import Role, Stroke, Words, mark_box
from backseam.papers.sheets.plots import HIGH, LANES, NAMES, SAYS, WIDE, water_curve
from backseam.papers.svg import write

CASES = {
    "usual": (clock(material("shoulder", 2.0), flap=1.0), None),
    "by the clock": (
        clock(material("bend", 3.0), Room(23.0, 0.4, True), work_minutes(50, pace=2.0)),
        14 * 60.0,
    ),
    "damp": (clock(material("belly", 1.2), Room(30.0, 0.9)), 22 * 60.0 + 30),
    "weighed": (
        clock(
            material("shoulder", 2.0),
            flap=1.0,
            weighings=(Weighing(420, 270.5), Weighing(600, 266.3), Weighing(840, 262.9)),
            piece=46.0,
            form=210.0,
        ),
        8 * 60.0,
    ),
}


@pytest.fixture(params=CASES)
def case(request):
    made, start = CASES[request.param]
    return made, water_curve(made, Speech(), start)


def words(drawing):
    return [mark for mark in drawing.marks if isinstance(mark, Words)]


def test_nothing_stands_outside_the_width_of_a_sheet(case):
    _, drawing = case
    assert drawing.box.left >= -NAMES - 1.0
    assert drawing.box.right <= WIDE + SAYS + 1.0
    assert drawing.box.width <= 190.0  # of A4 with 10 mm clear


def test_no_two_lines_of_text_stand_on_one_another(case):
    _, drawing = case
    boxes = [mark_box(mark).grown(-0.35) for mark in words(drawing)]
    texts = [mark.text for mark in words(drawing)]
    for i, box in enumerate(boxes):
        for j in range(i):
            assert not box.meets(boxes[j]), f"{texts[i]} on {texts[j]}"


def test_every_lane_is_named_and_told(case):
    made, drawing = case
    said = [mark.text for mark in words(drawing)]
    for name, begins, ends in LANES:
        known = all(each is None or each in [m.name for m in made.moments] for each in (begins, ends))
        assert (Speech().say(f"plots.water.lane.{name}") in said) == known


def test_the_curve_falls_inside_the_field(case):
    _, drawing = case
    wide = [
        mark
        for mark in drawing.marks
        if isinstance(mark, Stroke) and mark.role is Role.CUT and len(mark.points) > 9
    ]
    (curve,) = wide
    assert all(0 <= x <= WIDE and 0 <= y <= HIGH for x, y in curve.points)
    assert all(a[0] <= b[0] for a, b in pairwise(curve.points))
    assert curve.points[-1][0] > 0.9 * WIDE


def test_it_is_written_as_svg(case):
    _, drawing = case
    Xml.fromstring(write(drawing))


def test_times_of_day_are_told_when_the_start_is_known():
    made, _ = CASES["usual"]
    plain = [mark.text for mark in words(water_curve(made, Speech()))]
    timed = [mark.text for mark in words(water_curve(made, Speech(), 14 * 60.0))]
    assert not any("next day" in text for text in plain)
    assert any(text.startswith("next day") for text in timed)
    assert "14:00" in timed


def test_weights_are_told():
    made, _ = CASES["weighed"]
    texts = [mark.text for mark in words(water_curve(made, Speech()))]
    assert any(text.startswith(f"Dry it will weigh {made.drying.dry[1]:.0f} g") for text in texts)


def test_inches_where_they_are_wanted():
    texts = [mark.text for mark in words(water_curve(CASES["usual"][0], Speech(units="inch")))]
    assert any('"' in text for text in texts)


def test_every_kind_and_every_cause_has_a_name():
    for kind in kinds():
        assert Speech().say(f"plots.water.kind.{kind}")
    for names in DRAWN:
        assert Speech().say(f"plots.water.cause.{names[0]}")
