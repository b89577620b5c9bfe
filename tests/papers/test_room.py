"""Finding empty places."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from backseam.papers.clip import clip
from backseam.papers.model import Box, Ring, Role, Stroke, Words, mark_box, segment
from backseam.papers.room import Room

BOX = Box(10, 20, 110, 90)
NUMBERS = st.floats(0, 120)
SEGMENTS = st.lists(st.builds(lambda *v: segment(v[:2], v[2:], Role.CUT), *4 * [NUMBERS]), max_size=12)


@given(SEGMENTS, st.floats(2, 40), st.floats(2, 40))
def test_a_place_found_is_in_the_box_and_empty(lines: list[Stroke], width: float, height: float) -> None:
    place = Room(BOX, lines).place(width, height)
    if place is None:
        return
    found = Box(place[0], place[1], place[0] + width, place[1] + height)
    assert found.left >= BOX.left
    assert found.bottom >= BOX.bottom
    assert found.right <= BOX.right + 1e-9
    assert found.top <= BOX.top + 1e-9
    assert not [part for line in lines for part in clip(line, found.grown(-1e-6))]


def test_an_empty_box_is_filled_from_its_corner() -> None:
    assert Room(BOX, ()).place(30, 20) == (10, 20)


def test_words_circles_and_areas_take_their_whole_box() -> None:
    marks = (Words((12, 22), "words", 6), Ring((100, 30), 8, Role.PUNCH))
    x, y = Room(BOX, marks).place(40, 20) or (0, 0)
    found = Box(x, y, x + 40, y + 20)
    assert x > 0
    assert not any(mark_box(mark).meets(found) for mark in marks)


def test_a_full_box_has_no_place_but_an_emptiest_one() -> None:
    lines = [segment((10, y), (60, y), Role.CUT) for y in range(20, 91, 2)]
    lines += [segment((60, y), (110, y), Role.CUT) for y in range(20, 91, 4)]
    room = Room(BOX, lines)
    assert room.place(20, 20) is None
    assert room.emptiest(20, 20)[0] >= 60


def test_what_is_larger_than_the_box_has_no_place() -> None:
    room = Room(BOX, ())
    assert room.place(200, 10) is None
    assert room.emptiest(200, 10) == (10, 20)
