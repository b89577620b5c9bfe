"""The collar: fold, skive, depth, and the two limits of a flap that is caught or slides."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.leather.leather import Leather
from backseam.pattern.collar import (
    CollarPlan,
    flap_sliding,
    fold_allowance,
    fold_strain,
    girth_caught,
    girth_sliding,
    plan,
    ramp,
    skive_angle,
    step_at_flap,
    thickness_at_fold,
)
from backseam.pattern.construction import Collar, CollarKind

GIRTH = 28 * pi  # a mouth of radius 14


def codes(result: CollarPlan) -> set[str]:
    for found in result.findings:
        assert "{" not in found.text() + found.remedy()
    return {found.code for found in result.findings}


def read_with_the_piece(collar: Collar, leather: Leather, **changed: Any) -> CollarPlan:
    """A collar whose mouth was read with the folded piece, caught as it should be."""
    keep: dict[str, Any] = {
        "girth": GIRTH,
        "mouth_read": "folded_piece",
        "folded_reading": 97.4,
        "spread": 0.7,
    }
    return plan(collar, leather, **{**keep, **changed})


def test_a_plain_mouth_has_no_fold(collar: Collar, leather: Leather) -> None:
    result = plan(replace(collar, kind=CollarKind.PLAIN), leather, girth=GIRTH)
    assert result.turn_in == result.allowance == result.step == 0
    assert result.caught == result.sliding == pytest.approx(GIRTH + 2 * pi)
    assert result.sewn == 4.0
    assert result.findings == ()


def test_a_folded_mouth(collar: Collar, leather: Leather) -> None:
    result = read_with_the_piece(collar, leather)
    assert result.turn_in == 15.0
    assert result.at_fold == 1.0
    assert result.sewn == 6.0
    assert result.skive_angle == pytest.approx(14.04, abs=0.01)  # 1 mm over the 4 beyond the turn-in
    assert result.caught == pytest.approx(GIRTH + 3 * pi)
    assert result.sliding - result.caught == pytest.approx(pi)
    assert result.flap_narrower == pytest.approx(3 * pi)
    assert codes(result) == set()


def test_the_fold_takes_less_than_half_a_thickness_either_way(collar: Collar, leather: Leather) -> None:
    """Hammered flat it gives 0.43 t, left round at 0.75 t it takes 0.27 t by k 0.45, 0.43 t by k 0.5."""
    result = plan(collar, leather, girth=GIRTH)
    assert result.allowance == pytest.approx(-0.43 * result.at_fold, abs=0.005)
    assert result.allowance_soft == pytest.approx(0.43 * result.at_fold, abs=0.005)


def test_the_seam_fillet_is_added_to_each_limit_by_its_own_thickness(
    collar: Collar, leather: Leather
) -> None:
    bare = plan(collar, leather, girth=GIRTH)
    sewn = plan(collar, leather, girth=GIRTH, fillet_above=-0.21, fillet_below=0.25)
    assert sewn.caught - bare.caught == pytest.approx(-0.21)
    assert sewn.sliding - bare.sliding == pytest.approx(0.25)
    assert sewn.step == pytest.approx(bare.step - 0.46)


def test_a_neutral_layer_nearer_to_the_inside_makes_everything_shorter(
    collar: Collar, leather: Leather
) -> None:
    damp = plan(collar, replace(leather, neutral_layer=0.4), girth=GIRTH)
    dry = plan(collar, leather, girth=GIRTH)
    assert dry.caught - damp.caught == pytest.approx(0.2 * pi * 3)
    assert damp.allowance < dry.allowance
    assert damp.strain > dry.strain


def test_where_the_skive_ends_decides_what_is_folded(collar: Collar) -> None:
    assert thickness_at_fold(collar, 2.0) == 1.0
    assert thickness_at_fold(replace(collar, skive=12.0), 2.0) == 2.0
    assert ramp(collar) == 4.0
    assert ramp(replace(collar, skive=12.0)) == 12.0


def test_a_skive_of_no_width_is_a_step() -> None:
    assert skive_angle(2.0, 1.0, 0.0) == 90.0
    assert skive_angle(1.0, 1.0, 0.0) == 0.0


@given(
    girth=st.floats(40, 200), leather=st.floats(0.8, 4), flap=st.floats(0.3, 4), neutral=st.floats(0.3, 0.6)
)
def test_a_sliding_flap_always_needs_more_room_than_a_caught_one(
    girth: float, leather: float, flap: float, neutral: float
) -> None:
    caught, sliding = (
        girth_caught(girth, leather, flap, neutral),
        girth_sliding(girth, leather, flap, neutral),
    )
    assert sliding - caught == pytest.approx(2 * pi * flap * (1 - neutral))
    assert flap_sliding(girth, flap, neutral) < caught < sliding
    assert girth_caught(girth, leather, 0.0, neutral) == pytest.approx(
        girth_sliding(girth, leather, 0.0, neutral)
    )
    assert step_at_flap(flap, 0.0, 0.0, neutral) == pytest.approx(
        caught - girth_caught(girth, leather, 0.0, neutral)
    )


@given(t=st.floats(0.3, 4), r=st.floats(0, 8), k=st.floats(0.3, 0.6), scale=st.floats(0.2, 5))
def test_a_fold_scales_and_gets_gentler_with_its_radius(t: float, r: float, k: float, scale: float) -> None:
    assert fold_allowance(t * scale, r * scale, k) == pytest.approx(scale * fold_allowance(t, r, k), abs=1e-9)
    assert fold_strain(t * scale, r * scale, k) == pytest.approx(fold_strain(t, r, k))
    assert fold_strain(t, r + 0.1, k) < fold_strain(t, r, k)


# --- findings ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "skin", "code"),
    [
        ({}, {"neutral_layer": 0.4}, "COLLAR-001"),
        ({"flap": 1.8, "skive": 23.0}, {"thicknesses": (3.6,)}, "COLLAR-002"),
        ({"skive": 12.0}, {}, "COLLAR-003"),
        ({"flap": 1.2}, {"thicknesses": (2.4,)}, "COLLAR-004"),
        ({"skive": 30.0}, {}, "COLLAR-005"),
        ({"flap": 0.6, "skive": 21.0}, {}, "COLLAR-006"),
        ({"depth": 6.0, "skive": 10.0}, {}, "COLLAR-007"),
        ({"depth": 24.0, "skive": 28.0}, {}, "COLLAR-008"),
        ({"flap": 2.4}, {}, "COLLAR-009"),
    ],
)
def test_each_finding_of_the_fold_is_raised(
    collar: Collar, leather: Leather, changed: dict[str, Any], skin: dict[str, Any], code: str
) -> None:
    result = read_with_the_piece(replace(collar, **changed), replace(leather, **skin), folded_reading=None)
    assert code in codes(result)


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({"mouth_read": "bare"}, "COLLAR-010"),
        ({"folded_reading": 104.0}, "COLLAR-011"),
        ({"folded_reading": 95.0}, "COLLAR-011"),
        ({"folded_reading": 100.2}, "COLLAR-012"),
        ({"mouth_read": None}, "COLLAR-013"),
    ],
)
def test_how_the_mouth_was_read_is_said_with_its_consequence(
    collar: Collar, leather: Leather, given: dict[str, Any], code: str
) -> None:
    result = read_with_the_piece(collar, leather, **given)
    assert codes(result) == {code}
    shown = result.findings[0].numbers
    assert shown["more"] == pytest.approx(pi)
    assert shown["step"] == pytest.approx(pi)


@pytest.mark.parametrize(
    ("changed", "skin", "code", "number", "field"),
    [
        ({"flap": 1.8, "skive": 23.0}, {"thicknesses": (3.6,)}, "COLLAR-002", "most", "flap"),
        ({"skive": 12.0}, {}, "COLLAR-003", "wanted", "skive"),
        ({"flap": 1.2}, {"thicknesses": (2.4,)}, "COLLAR-004", "wanted", "skive"),
        ({"skive": 30.0}, {}, "COLLAR-005", "wanted", "skive"),
        ({"flap": 0.6, "skive": 21.0}, {}, "COLLAR-006", "least", "flap"),
        ({"depth": 6.0, "skive": 10.0}, {}, "COLLAR-007", "limit", "depth"),
        ({"depth": 24.0, "skive": 28.0}, {}, "COLLAR-008", "limit", "depth"),
    ],
)
def test_doing_what_the_remedy_says_clears_the_finding(
    collar: Collar,
    leather: Leather,
    changed: dict[str, Any],
    skin: dict[str, Any],
    code: str,
    number: str,
    field: str,
) -> None:
    skin_now = replace(leather, **skin)
    before = read_with_the_piece(replace(collar, **changed), skin_now, folded_reading=None)
    asked = next(one for one in before.findings if one.code == code).numbers[number]
    mended = replace(collar, **{**changed, field: asked})
    assert code not in codes(read_with_the_piece(mended, skin_now, folded_reading=None))


def test_the_rod_of_the_remedy_keeps_the_grain_whole(collar: Collar, leather: Leather) -> None:
    damp = replace(leather, neutral_layer=0.4)
    found = next(f for f in read_with_the_piece(collar, damp).findings if f.code == "COLLAR-001")
    assert fold_strain(1.0, found.numbers["rod"] / 2, 0.4) <= 0.5


def test_a_flap_thicker_than_the_leather_stops_the_paper(collar: Collar, leather: Leather) -> None:
    result = read_with_the_piece(replace(collar, flap=2.4), leather)
    assert [one.severity for one in result.findings if one.code == "COLLAR-009"] == ["stop"]
