"""Hanger holes and slits: where they come, how long thong and strap are, and every finding of the hanger."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import pi
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from backseam.geom import polyline
from backseam.pattern.construction import Hanger, HangerKind
from backseam.pattern.hanger import (
    HangerPlan,
    before_creep,
    loop_length,
    place,
    punch_diameter,
    punch_number,
    strap_length,
    thong_length,
)

Line = NDArray[np.float64]
Place = Callable[..., HangerPlan]

HALF = 50.0  # half girth of a tube


def on_a_tube(u: float, v: float) -> tuple[float, float]:
    return HALF * v, u


def on_a_cone(u: float, v: float) -> tuple[float, float]:
    """Developed cone, half angle about 2.9 degrees: radius 13 at the bottom, 18 a hundred above."""
    sine = 5.0 / np.hypot(5.0, 100.0)
    start, swing = 13.0 / sine, pi * sine
    s = start + u
    return s * np.sin(swing * v), s * np.cos(swing * v) - start


@pytest.fixture
def placed(hanger: Hanger) -> Place:
    """Place the ordinary hanger on a tube 155 high with a collar of 15, some decisions changed."""

    def run(**changed: Any) -> HangerPlan:
        keep: dict[str, Any] = {
            "top_limit": 140.0,
            "bottom_limit": 0.0,
            "stitch_right": np.array([[HALF, 155.0], [HALF, 0.0]]),
            "leather": 2.0,
            "folded": True,
            "grooves": (),
        }
        given = {**keep, **{key: changed.pop(key) for key in tuple(changed) if key in keep}}
        return place(on_a_tube, lambda u: HALF, replace(hanger, **changed), **given)

    return run


def codes(plan: HangerPlan) -> set[str]:
    for found in plan.findings:
        assert "{" not in found.text() + found.remedy()
    return {found.code for found in plan.findings}


def test_six_round_holes_beside_the_seam(placed: Place) -> None:
    plan = placed()
    assert len(plan.holes) == 6
    assert plan.slits == ()
    assert {hole.diameter for hole in plan.holes} == {5.0}
    assert [(h.row, h.x, h.y) for h in plan.holes if h.side == 1] == [
        (1, 42.0, 130.0),
        (2, 42.0, 118.0),
        (3, 42.0, 106.0),
    ]
    assert codes(plan) == set()


def test_both_sides_are_mirrored_so_either_hand_has_the_same_holes(placed: Place) -> None:
    plan = placed()
    left = {(h.row, -h.x, h.y) for h in plan.holes if h.side == -1}
    assert left == {(h.row, h.x, h.y) for h in plan.holes if h.side == 1}


def test_on_a_tapered_form_the_holes_are_level_on_the_form_and_measured_on_the_leather(
    hanger: Hanger,
) -> None:
    u = np.linspace(100.0, 0.0, 400)
    stitch = np.array([on_a_cone(height, 1.0) for height in u])
    radius = lambda height: 13.0 + 5.0 * height / np.hypot(5.0, 100.0)  # noqa: E731
    plan = place(
        on_a_cone,
        lambda height: pi * radius(height),
        hanger,
        top_limit=90.0,
        bottom_limit=0.0,
        stitch_right=stitch,
        leather=2.0,
    )
    right = np.array([(h.x, h.y) for h in plan.holes if h.side == 1])
    start = 13.0 / (5.0 / np.hypot(5.0, 100.0))
    from_apex = np.hypot(right[:, 0], right[:, 1] + start)
    assert np.diff(from_apex) == pytest.approx(
        -12.0
    )  # level rows: 12 apart along the cone, curved on the flat
    assert polyline.distances_to(stitch, right) == pytest.approx(8.0, abs=0.02)
    assert right[0, 1] < 80.0  # the flat piece sags at the seam; a straight row would stand too high


def test_a_strap_gets_a_slit_a_side_with_round_ends(placed: Place) -> None:
    plan = placed(kind=HangerKind.STRAP, width=20.0)
    assert plan.holes == ()
    left, right = plan.slits
    assert (right.x1, right.y1, right.x2, right.y2) == (42.0, 130.0, 42.0, 108.0)  # strap + 2
    assert (left.x1, left.y1, left.side) == (-42.0, 130.0, -1)
    assert right.end_diameter == 3.0
    assert codes(plan) == set()


def test_no_hanger_no_holes(placed: Place) -> None:
    plan = placed(kind=HangerKind.NONE)
    assert (plan.holes, plan.slits, plan.cut, plan.findings) == ((), (), 0.0, ())


def test_the_cut_is_shorter_than_what_is_laced_by_the_creep(placed: Place) -> None:
    plan = placed()
    assert plan.cut * 1.03 == pytest.approx(plan.laced)
    assert placed(creep=0.0).cut == plan.laced


def test_a_strap_is_one_crossing_the_drop_the_loop_and_the_joint(hanger: Hanger) -> None:
    strap = replace(hanger, kind=HangerKind.STRAP, width=20.0)
    assert strap_length(strap, 2.0) == pytest.approx(16 + 4 + (88 + 15 + 2.5 * pi) + 60 + 40)


@given(rows=st.integers(1, 6), apart=st.floats(6, 30), drop=st.floats(0, 90), belt=st.floats(20, 60))
def test_more_of_anything_takes_a_longer_thong(rows: int, apart: float, drop: float, belt: float) -> None:
    thong = Hanger(HangerKind.THONG, 5, 2.5, 5, rows, 8, apart, 10, belt, 4, 15, drop, 0.03)
    base = thong_length(thong, 2.0)
    assert thong_length(replace(thong, holes_a_side=rows + 1), 2.0) - base == pytest.approx(20 + 2 * apart)
    assert thong_length(replace(thong, belt_width=belt + 5), 2.0) - base == pytest.approx(10)
    assert thong_length(replace(thong, drop=drop + 5), 2.0) - base == pytest.approx(10)
    assert thong_length(thong, 3.0) - base == pytest.approx(2 * rows)


@given(length=st.floats(10, 900), creep=st.floats(0, 0.1))
def test_the_cut_piece_grows_to_its_length(length: float, creep: float) -> None:
    assert before_creep(length, creep) * (1 + creep) == pytest.approx(length)


def test_a_thicker_strap_makes_a_longer_loop_for_the_same_room_inside() -> None:
    inside = loop_length(40, 4, 15)
    assert inside == 103.0
    assert loop_length(40, 4, 15, 3.0) == pytest.approx(inside + 3 * pi)


def test_every_punch_is_found_again_by_its_diameter() -> None:
    for number in range(-1, 13):
        assert punch_number(punch_diameter(number)) == number
    assert punch_number(1.0) == -1


# --- findings -----------------------------------------------------------------------------------

SAGGING = np.array(
    [[HALF - 3, 155.0], [HALF - 3, 0.0]]
)  # the flat brings the stitch line nearer than on the form


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"from_stitch": 5.0}, "HANGER-001"),
        ({"leather": 3.0}, "HANGER-001"),
        ({"stitch_right": SAGGING}, "HANGER-001"),
        ({"from_stitch": 2.0}, "HANGER-002"),
        ({"top_below_flap": 2.0}, "HANGER-003"),
        ({"top_below_flap": 6.0, "folded": False}, "HANGER-004"),
        ({"bottom_limit": 98.0}, "HANGER-005"),
        ({"rows_apart": 70.0}, "HANGER-006"),
        ({"grooves": ((117.0, 2.5),)}, "HANGER-007"),
        ({"from_stitch": 60.0}, "HANGER-008"),
        ({"rows_apart": 4.0}, "HANGER-009"),
        ({"rows_apart": 8.0}, "HANGER-010"),
        ({"play": 3.0}, "HANGER-011"),
        ({"hole": 4.0}, "HANGER-012"),
        ({"hole": 6.5, "rows_apart": 14.0}, "HANGER-013"),
        ({"kind": HangerKind.STRAP, "width": 10.0}, "HANGER-014"),
        ({"kind": HangerKind.STRAP, "width": 30.0}, "HANGER-014"),
    ],
)
def test_each_finding_is_raised_and_by_nothing_else(
    placed: Place, changed: dict[str, Any], code: str
) -> None:
    assert codes(placed(**changed)) == {code}


@pytest.mark.parametrize(
    ("changed", "number", "field"),
    [
        ({"top_below_flap": 2.0}, "least", "top_below_flap"),
        ({"top_below_flap": 6.0, "folded": False}, "least", "top_below_flap"),
        ({"from_stitch": 60.0}, "usual", "from_stitch"),
        ({"rows_apart": 4.0}, "least", "rows_apart"),
        ({"rows_apart": 8.0}, "least", "rows_apart"),
        ({"play": 3.0}, "usual", "play"),
        ({"hole": 4.0}, "width", "hole"),
        ({"hole": 6.5, "rows_apart": 14.0}, "width", "hole"),
        ({"kind": HangerKind.STRAP, "width": 10.0}, "low", "width"),
        ({"kind": HangerKind.STRAP, "width": 30.0}, "high", "width"),
    ],
)
def test_doing_what_the_remedy_says_clears_the_finding(
    placed: Place, changed: dict[str, Any], number: str, field: str
) -> None:
    asked = placed(**changed).findings[0].numbers[number]
    assert codes(placed(**{**changed, field: asked})) == set()


@pytest.mark.parametrize("changed", [{"from_stitch": 5.0}, {"from_stitch": 2.0}, {"leather": 3.0}])
def test_moving_the_holes_in_as_told_clears_the_seam(placed: Place, changed: dict[str, Any]) -> None:
    found = placed(**changed).findings[0]
    now = changed.get("from_stitch", 8.0)
    assert codes(placed(**{**changed, "from_stitch": now + found.numbers["inward"]})) == set()


def test_holes_that_run_into_something_stop_the_paper(placed: Place) -> None:
    for changed in ({"from_stitch": 2.0}, {"rows_apart": 70.0}, {"rows_apart": 4.0}, {"from_stitch": 60.0}):
        assert [found.severity for found in placed(**changed).findings] == ["stop"]


def test_one_row_has_no_neighbour_to_run_into(placed: Place) -> None:
    assert codes(placed(holes_a_side=1, rows_apart=1.0)) == set()


def test_rows_below_the_piece_are_drawn_on_its_edge_in_the_preview(placed: Place) -> None:
    assert min(hole.y for hole in placed(rows_apart=70.0).holes) == 0.0
