"""Finding room for words: what is taken stays taken, and the best free place wins."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers.model import Ring, Role, Stroke, Words, segment
from backseam.papers.sheets.labelling import blocks, broken, nearest, spans
from backseam.papers.sheets.lettering import fitting, height, outline, shorten, width, wrap
from backseam.papers.sheets.placing import Room, shape
from backseam.papers.sheets.seam_labels import shown, spread
from backseam.pattern.upper import Tick

TEXTS = st.text("abcdefgh ijk", min_size=1, max_size=80).map(str.strip).filter(bool)


def test_words_go_to_the_first_free_place():
    room = Room([segment((0.0, 0.0), (10.0, 0.0), Role.CUT)])
    crossed, free = Words((1.0, -1.0), "abc", 3.0), Words((1.0, 3.0), "abc", 3.0)
    assert room.place([(crossed,), (free,)]) == (free,)
    assert room.place([(crossed,), (free,)]) == ()


def test_words_stay_inside_what_they_belong_to():
    room = Room()
    inside = shapely.box(0.0, 0.0, 20.0, 10.0)
    assert room.place([(Words((-2.0, 3.0), "abc", 3.0),)], inside) == ()
    assert room.place([(Words((5.0, 3.0), "abc", 3.0),)], inside)


def test_long_lines_are_seen_between_their_points():
    points = tuple((float(i), float(i % 2)) for i in range(40))
    room = Room([Stroke(points, Role.CUT)])
    assert not room.free(shapely.box(20.2, 0.4, 20.8, 0.6))
    assert room.free(shapely.box(20.0, 3.0, 21.0, 4.0))


def test_shapes_of_marks():
    assert shape(Ring((0.0, 0.0), 2.0, Role.PUNCH)).area > 12
    assert shape(Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 4.0)), Role.FRAME, True)).length > 13
    assert shape(Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)), Role.FRAME, True, 1.0)).area == 16
    assert shape(Stroke(((1.0, 1.0),), Role.CUT)).area == 0


def test_turned_words_take_up_a_turned_rectangle():
    flat, upright = (outline(Words((0.0, 0.0), "tight", 3.0, "middle", angle)) for angle in (0.0, 90.0))
    assert abs(flat.area - upright.area) < 1e-9
    assert flat.bounds[2] - flat.bounds[0] == upright.bounds[3] - upright.bounds[1]


@given(TEXTS, st.floats(8.0, 60.0))
def test_wrapping_loses_no_word_and_keeps_to_the_room(text, room):
    lines = wrap(text, room, 3.0)
    assert " ".join(lines).split() == text.split()
    assert all(width(line, 3.0) <= room or " " not in line for line in lines)


@given(TEXTS, st.floats(3.0, 40.0))
def test_shortened_text_fits_and_begins_as_it_did(text, room):
    short = shorten(text, room, 3.0)
    assert width(short, 3.0) <= room or short == "…"
    assert text.startswith(short.removesuffix("…").rstrip())
    fit, size = fitting(text, room, 3.4)
    assert 2.6 <= size <= 3.4
    assert width(fit, size) <= room + 1e-9 or fit == "…"


@given(st.lists(st.floats(0.0, 100.0), min_size=1, max_size=30), st.floats(1.0, 5.0))
def test_spread_keeps_order_and_distance(wanted, apart):
    got = spread(wanted, apart)
    order = sorted(range(len(wanted)), key=lambda i: -wanted[i])
    heights = [got[i] for i in order]
    assert all(a - b >= apart - 1e-6 for a, b in pairwise(heights))
    assert abs(np.mean(got) - np.mean(wanted)) < 1e-6  # groups stand about their mean


@given(st.integers(1, 3000))
def test_stations_shown_keep_their_names_and_leave_room(count):
    ticks = tuple(
        Tick("mouth" if i == 0 else "", 136.0 - 0.04 * i, (-50.0, 1.0), (50.0, 1.0)) for i in range(count)
    )
    some = shown(ticks, 136.0)
    assert ticks[0] in some
    assert len(some) <= max(2, int(136.0 / 3.5)) + 1


def test_blocks_are_tried_nearest_first_and_largest_first():
    area = shapely.box(0.0, 0.0, 40.0, 60.0)
    ways = list(blocks([area], [("cut on the wide line", 3.4, False)], 30.0))
    assert [way.base for way in ways] == sorted(way.base for way in ways)
    first = ways[0].words(0)
    assert [line.size for line in first] == [3.4]
    assert abs(first[0].at[1] - 29.0) < 2.0
    assert min(line.size for way in ways for line in way.words(0)) == 2.6
    assert all(np.all(np.diff(way.costs) >= 0) and way.costs[0] >= way.base for way in ways)


def test_rows_of_an_area_and_lines_that_fit():
    triangle = shapely.Polygon([(0.0, 0.0), (10.0, 0.0), (0.0, 10.0)])
    rows = spans(triangle)
    assert np.allclose(rows[:, 2], 10.0 - rows[:, 0])
    assert nearest(rows, 5.0)[0, 0] == 5.0
    assert len(spans(shapely.Polygon())) == 0
    lines = broken([("a b c d e f g h", 3.4, True)], 8.0)
    assert height(lines) > height([("a", 3.4, True)])
