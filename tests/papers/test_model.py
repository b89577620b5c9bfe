"""The drawing model's own arithmetic."""

from __future__ import annotations

import pytest

from backseam.papers.letters import text_width
from backseam.papers.model import (
    Box,
    Drawing,
    Ring,
    Role,
    Stroke,
    Words,
    mark_box,
    plate,
    segment,
    text_corners,
)


def test_text_is_as_wide_as_it_is_set() -> None:
    box = mark_box(Words((10, 20), "mouth", 4.0, "end"))
    assert box.right == 10
    assert box.width == pytest.approx(text_width("mouth", 4.0))


def test_turned_text_has_its_frame_turned() -> None:
    level, upright = (mark_box(Words((0, 0), "junction", 3.0, angle=a)) for a in (0, 90))
    assert (upright.width, upright.height) == pytest.approx((level.height, level.width))


def test_a_plate_lies_round_its_words() -> None:
    words = Words((5, 5), "15", 3.4, "middle", angle=30)
    ground = plate(words, 0.4)
    assert ground.fill == 0.0
    inner = text_corners(words)
    assert mark_box(ground).grown(-0.2).meets(Box(*inner[0], *inner[2]))


def test_a_circle_mapped_unevenly_keeps_its_area() -> None:
    (ring,) = Drawing("", (Ring((1, 2), 3, Role.PUNCH),)).mapped(0.99, 1.02).marks
    assert ring.radius == pytest.approx(3 * (0.99 * 1.02) ** 0.5)
    assert ring.centre == pytest.approx((0.99, 2.04))


def test_moving_and_turning_keep_the_size() -> None:
    drawing = Drawing("", (segment((1, 2), (5, 9), Role.CUT), Ring((0, 0), 2, Role.PUNCH)))
    box = drawing.moved(10, -4).turned().box
    assert (box.width, box.height) == pytest.approx((drawing.box.height, drawing.box.width))


def test_drawings_add_up() -> None:
    one = Drawing("a", (Stroke(((0, 0), (1, 1)), Role.CUT),))
    assert len((one + one).marks) == 2
    assert (one + one.marks).name == "a"
    assert one.only(Role.FOLD).marks == ()
    assert Drawing("").box == Box(0, 0, 0, 0)
