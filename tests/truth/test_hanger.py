"""Hanger: worked sums of loops, thongs and straps."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from backseam.pattern.construction import Hanger, HangerKind
from backseam.pattern.hanger import before_creep, loop_length, place, thong_length

THONG = Hanger(
    kind=HangerKind.THONG,
    width=5.0,
    thickness=2.5,
    hole=5.0,
    holes_a_side=3,
    from_stitch=8.0,
    rows_apart=12.0,
    top_below_flap=10.0,
    belt_width=40.0,
    belt_thickness=4.0,
    play=15.0,
    drop=30.0,
    creep=0.03,
)


@pytest.mark.parametrize(
    ("belt", "thick", "strap", "loop"), [(40.0, 4.0, 2.5, 110.85), (45.0, 5.0, 3.0, 124.42)]
)
def test_neutral_length_of_a_loop(belt: float, thick: float, strap: float, loop: float) -> None:
    """Worked: 2 (B + t_b) + 15 + pi s; the neutral layer lies s/2 outside the belt and its play."""
    assert loop_length(belt, thick, 15.0, strap) == pytest.approx(loop, abs=0.005)


def test_the_loop_by_a_parallel_curve_of_another_library() -> None:
    """shapely: a belt 40 x 4 with 15 of play is a box of 47.5 x 4; the strap's middle is at s/2."""
    box = shapely.box(0, 0, 47.5, 4.0)
    assert loop_length(40.0, 4.0, 15.0) == pytest.approx(box.length)
    by_geos = box.buffer(1.25, quad_segs=2048).length
    assert loop_length(40.0, 4.0, 15.0, 2.5) == pytest.approx(by_geos, abs=1e-5)


def test_a_strap_that_creeps_is_cut_shorter() -> None:
    """Worked: 124.42 with 3 % of creep is cut 120.80."""
    assert before_creep(loop_length(45.0, 5.0, 15.0, 3.0), 0.03) == pytest.approx(120.80, abs=0.005)


def test_thong_through_six_holes() -> None:
    """Worked: 3 crossings (16 + 4), 4 runs of 12, loop 110.85, 2 x 30 drop, 10 at slits, 2 x 60 tails."""
    by_hand = 3 * (16 + 4) + 4 * 12 + 110.854 + 60 + 10 + 120
    assert thong_length(THONG, 2.0) == pytest.approx(by_hand, abs=1e-3)
    assert round(thong_length(THONG, 2.0), 1) == 408.9
    assert round(before_creep(thong_length(THONG, 2.0), 0.03)) == 397


def test_the_same_thong_as_a_placed_hanger() -> None:
    """The sum above, out of a whole hanger on a tube: six holes 8 from the stitch line, 12 apart, cut 397."""
    plan = place(
        lambda u, v: (50.0 * v, u),
        lambda u: 50.0,
        THONG,
        top_limit=140.0,
        bottom_limit=0.0,
        stitch_right=np.array([[50.0, 155.0], [50.0, 0.0]]),
        leather=2.0,
    )
    assert round(plan.laced, 1) == 408.9
    assert round(plan.cut) == 397
    assert round(plan.loop, 2) == 110.85
    assert {abs(hole.x) for hole in plan.holes} == {42.0}  # v = 1 - 2 x 8 / 100
    assert sorted({hole.y for hole in plan.holes}, reverse=True) == [130.0, 118.0, 106.0]
