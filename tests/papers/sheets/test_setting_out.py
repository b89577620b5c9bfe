"""Setting-out: every hole with its height and distance, however many; words that go with them."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.ground.speech import Speech
from backseam.leather.leather import State
from backseam.papers.model import Words
from backseam.papers.sheets import setting_out
from backseam.papers.sheets.lettering import outline
from backseam.papers.sheets.table import Table, balanced, flow
from backseam.pattern.seam import Hole

ROOM = (182.0, 226.0)  # A4 less edge, foot and bars


def _sheets(made, units="mm", **changed):
    made = replace(made, **changed)
    return setting_out.setting_out(
        made.upper,
        made.seam,
        made.hanger,
        made.inputs.construction,
        made.inputs.leather,
        made.blank,
        Speech(units),
        *ROOM,
    )


def _holes(made):
    """Number, height and distance of every hole as printed, over all sheets: what follows the head of its table."""
    found = {}
    for drawing in _sheets(made):
        words = [m.text for m in drawing.marks if isinstance(m, Words)]
        for start in (
            i + 1 for i, text in enumerate(words) if text == "each side" and words[i - 2] == "hole"
        ):
            row = words[start : start + 3]
            while len(row) == 3 and row[0].isdigit():
                found[int(row[0])] = (float(row[1]), float(row[2]))
                start += 3
                row = words[start : start + 3]
    return found


@pytest.mark.parametrize("name", ["barrel", "tube", "slim", "long", "fine"])
def test_every_hole_is_listed_to_a_tenth(shapes, name):
    made = shapes[name]
    found = _holes(made)
    assert sorted(found) == [hole.number for hole in made.seam.right]
    for hole in made.seam.right:
        assert found[hole.number] == pytest.approx((hole.y, hole.x), abs=0.0501)


def test_a_hundred_and_twenty_holes_flow_over_sheets(shapes):
    made = shapes["barrel"]
    ys = np.linspace(490.0, 4.0, 120)
    right = tuple(Hole(i + 1, 50.0 - 0.01 * i, float(y), 1.0, 2, 4.0) for i, y in enumerate(ys))
    left = tuple(replace(hole, x=-hole.x) for hole in right)
    many = replace(made, seam=replace(made.seam, left=left, right=right))
    assert sorted(_holes(many)) == list(range(1, 121))
    sheets = _sheets(many)
    assert len(sheets) == 2
    assert all(sheet.box.height <= ROOM[1] + 0.1 and sheet.box.width <= ROOM[0] + 0.1 for sheet in sheets)
    text = " ".join(m.text for sheet in sheets for m in sheet.marks if isinstance(m, Words))
    assert "From paper to leather" in text
    assert text.count("From paper to leather") == 1


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", ["barrel", "tube", "slim", "strap", "bare", "long", "fine"])
def test_no_two_texts_overlap(shapes, name, units):
    for drawing in _sheets(shapes[name], units):
        words = [m for m in drawing.marks if isinstance(m, Words)]
        for a, b in combinations(words, 2):
            assert not outline(a).buffer(-0.35).intersects(outline(b)), (a.text, b.text)


def test_sides_that_differ_get_their_own_columns(shapes):
    made = shapes["barrel"]
    left = tuple(replace(hole, x=hole.x - 0.4, y=hole.y + 0.3) for hole in made.seam.left)
    (table, *_) = setting_out.tables(made.upper, replace(made.seam, left=left), made.hanger, Speech())
    assert table.heads == ("hole", "height", "left", "height", "right")
    hole = made.seam.right[0]
    assert [float(cell) for cell in table.rows[0]] == pytest.approx(
        [1, hole.y + 0.3, hole.x + 0.4, hole.y, hole.x], abs=0.0501
    )


def test_inches_are_decimal(shapes):
    made = shapes["barrel"]
    (table, *_) = setting_out.tables(made.upper, made.seam, made.hanger, Speech("inch"))
    assert float(table.rows[0][1]) * 25.4 == pytest.approx(made.seam.right[0].y, abs=0.013)


def _facts(made, units="mm"):
    return " ".join(
        setting_out.facts(
            made.upper, made.seam, made.hanger, made.inputs.construction, made.blank, Speech(units)
        )
    )


def test_facts_give_what_the_tables_do_not(shapes):
    text = _facts(shapes["barrel"])
    for words in (
        "glue to 15",
        "cut at 25",
        "trim to 5",
        "Fold straight across at 136.0",
        "Skive",
        "45°",
        "blank",
        "groove",
    ):
        assert words.lower() in text.lower(), words
    plain = _facts(shapes["slim"])
    assert "Skive" not in plain
    assert "not folded" in plain


def test_a_curved_mouth_gives_both_heights_and_a_table_of_its_edge(shapes):
    made = shapes["barrel"]
    upper = replace(made.upper, mouth_sag=-2.3)
    assert "Fold at 136.0 on the centre line, 133.7 at the stitch lines" in _facts(replace(made, upper=upper))
    names = [table.heads for table in setting_out.tables(upper, made.seam, made.hanger, Speech())]
    assert ("off centre", "bottom", "fold") in names
    straight = replace(made.upper, bottom_sag=0.1)
    names = [table.heads for table in setting_out.tables(straight, made.seam, made.hanger, Speech())]
    assert ("off centre", "bottom", "fold") not in names


def test_carrying_over_follows_the_order_of_work(shapes):
    # common practice, no source: cut and skive dry, fold and measure damp, pierce after that; no iron on wet leather
    given = shapes["barrel"].inputs
    text = " ".join(setting_out.carrying(given.construction, given.leather, Speech()))
    steps = ("skive", "Case it", "No holes yet", "Fold, hammer, measure", "prick each slit")
    order = [text.index(word) for word in steps]
    assert order == sorted(order)
    assert "brass" in text
    plain = " ".join(setting_out.carrying(shapes["slim"].inputs.construction, given.leather, Speech()))
    assert "Fold" not in plain
    assert "skive" not in plain
    dry = replace(given.leather, state=State.DRY)
    assert "Case" not in " ".join(setting_out.carrying(given.construction, dry, Speech()))


def test_the_caution_stands_with_it(shapes):
    (sheet,) = _sheets(shapes["barrel"])
    text = " ".join(m.text for m in sheet.marks if isinstance(m, Words))
    assert re.search(r"awl: cut away from the hand", text)


TABLES = st.lists(st.integers(1, 130), min_size=1, max_size=5).map(
    lambda counts: [
        Table(f"t{i}", ("n", "x"), (10.0, 15.0), tuple((str(r), f"{r}.0") for r in range(n)))
        for i, n in enumerate(counts)
    ]
)


@given(TABLES, st.integers(1, 5), st.floats(60.0, 230.0))
def test_flow_loses_no_row_and_keeps_their_order(tables, columns, height):
    waiting, seen = list(tables), {}
    for _ in range(200):
        laid, waiting = flow(waiting, columns, height)
        assert len(laid) <= columns
        for column in laid:
            assert sum(t.height for t in column) <= height + 4.0
            for table in column:
                assert table.start == len(seen.setdefault(table.name, []))
                seen[table.name] += [row[0] for row in table.rows]
        if not waiting:
            break
    assert seen == {t.name: [str(r) for r in range(len(t.rows))] for t in tables}


@given(TABLES, st.integers(1, 5))
def test_balanced_takes_no_more_height_than_it_says(tables, columns):
    laid, rest, taken = balanced(tables, columns, 4000.0)
    assert not rest
    assert taken == pytest.approx(max(sum(t.height for t in column) for column in laid))
