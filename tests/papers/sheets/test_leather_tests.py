"""The sheets of leather tests: every test on them, words inside the page, nothing over anything else."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest
import shapely

from backseam.ground.speech import Speech
from backseam.job.leather_tests import BLANK, blank
from backseam.papers.model import Role, Stroke, Words
from backseam.papers.sheet import area
from backseam.papers.sheets.extent import extent
from backseam.papers.sheets.leather_test_pictures import HIGH, PICTURES, WIDE
from backseam.papers.sheets.leather_tests import SKETCHES, pages, write
from backseam.papers.sheets.lettering import outline

LONG = "Spruce bark shoulder of the long name that goes on and does not end here, lot 7, bought at the fair in spring"
KINDS = [
    (sheet, units, hide) for sheet in ("A4", "Letter") for units in ("mm", "inch") for hide in ("", LONG)
]


@cache
def made(sheet, units, hide):
    return pages(hide, Speech(units), sheet)


def words(page):
    return [mark for mark in page.drawing.marks if isinstance(mark, Words)]


@pytest.mark.parametrize(
    "kind", KINDS, ids=lambda kind: f"{kind[0]}-{kind[1]}-{'long' if kind[2] else 'none'}"
)
def test_words_stand_inside_clear_of_one_another_and_of_lines(kind):
    for page in made(*kind):
        box = area(page.sheet)
        room = shapely.box(box.left, box.bottom, box.right, box.top).buffer(0.01)
        lines = shapely.union_all(
            [
                shapely.LineString(m.points + (m.points[:1] if m.closed else ()))
                for m in page.drawing.marks
                if isinstance(m, Stroke) and m.role in (Role.FRAME, Role.CUT, Role.PIECE, Role.LEADER)
            ]
        )
        for one in words(page):
            assert room.contains(outline(one)), one.text
            assert not outline(one).buffer(-0.25).intersects(lines), one.text
        for a, b in combinations(words(page), 2):
            assert not outline(a).intersects(outline(b)), (a.text, b.text)


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_stays_in_its_frame(name):
    box = extent(type(made("A4", "mm", "")[0].drawing)("", PICTURES[name](Speech())))
    assert box.left > -1.0
    assert box.right < WIDE + 4.0, "the gap to the words"
    assert box.bottom > -0.5
    assert box.top < HIGH + 2.0


def test_the_trial_ring_stands_first_and_every_test_once():
    texts = [mark.text for page in made("A4", "mm", "") for mark in words(page)]
    titles = [Speech().say(f"learn.test.{one.name}.title") for one in SKETCHES]
    assert SKETCHES[0].name == "ring"
    assert [texts.count(title) for title in titles] == [1] * len(titles)
    assert {one.name for one in SKETCHES} == set(PICTURES)


def test_names_under_the_boxes_are_keys_of_the_file():
    """Each small word is a key of the blank file its numbers are typed into."""
    keys = {f"tests.{name}": set(one) for name, one in BLANK}
    loads = {key for several in blank()["tests"].values() for one in several for key in one}
    assert loads
    for sketch in SKETCHES:
        if sketch.listed not in keys:
            continue
        named = [*(key for _, key, _ in (*sketch.boxes, *sketch.rows)), *(key for _, key in sketch.blanks)]
        for key in named:
            first = key.split(":")[0].split(",")[0]
            assert first in keys[sketch.listed], (sketch.name, key)


def test_inches_are_those_of_a_rule():
    texts = " ".join(mark.text for page in made("A4", "inch", "") for mark in words(page))
    assert '5/8" × 6"' in texts
    assert "29/32" not in texts
    assert "3 7/8 in" in texts


def test_where_it_can_hurt_there_is_a_caution():
    cautioned = {one.name for one in SKETCHES if one.cautioned}
    assert {"ring", "pull", "strip", "drying"} == cautioned


def test_it_is_a_pdf():
    assert write("lot 7", Speech(), "Letter").startswith(b"%PDF")
