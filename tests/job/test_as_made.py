"""What a maker found, as typed: read strictly, refused in a sentence."""

from __future__ import annotations

import json
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.jobs import sample

from backseam.ground.errors import BackseamError, InputRefused
from backseam.job.as_made import KEYS, AsMade, Stage, entered, height_of, of_job, read


def test_numbers_are_read_as_the_bench_writes_them():
    made = read({"row_gap_mm": "3,5", "height_mm": "14,2 cm", "holes_left": "36", "thickness_mm": "2,1; 2,3"})
    assert made.row_gap == (("", (3.5, 3.5)),)
    assert (made.height, made.holes_left) == (142.0, 36)
    assert made.thickness == pytest.approx(2.2)
    assert read({"row_gap_mm": "-1,5"}).row_gap == (("", (-1.5, -1.5)),)


def test_left_and_right_by_place():
    made = read({"half_widths_mm": {"thickest": [50.1, "50,4"], "95": 46}})
    assert made.half_widths == (("thickest", (50.1, 50.4)), ("95", (46.0, 46.0)))


@pytest.mark.parametrize(
    ("raw", "stage"),
    [
        ({"thickness_mm": 2.4}, Stage.CUT),
        ({"cut_height_mm": 150}, Stage.CUT),
        ({"height_mm": 140}, Stage.FOLDED),
        ({"flap_mm": 1.2}, Stage.FOLDED),
        ({"holes_left": 30}, Stage.PIERCED),
        ({"row_gap_mm": 2}, Stage.PIERCED),
        ({"finished_mouth_mm": 96}, Stage.DRIED),
        ({"row_gap_mm": 2, "stage": "Sewn"}, Stage.SEWN),
    ],
)
def test_the_stage_is_the_earliest_at_which_it_can_have_been_found(raw, stage):
    assert read(raw).reached is stage


def test_stages_follow_each_other():
    assert [one.rank for one in Stage] == [0, 1, 2, 3, 4]
    assert Stage.CUT.before(Stage.SEWN)
    assert not Stage.SEWN.before(Stage.SEWN)


@pytest.mark.parametrize(
    ("raw", "part"),
    [
        ([], "names and numbers"),
        ({"holes_lefd": 36}, "holes_left is meant"),
        ({"zzz": 36}, "There are:"),
        ({"holes_left": 36.5}, "whole number"),
        ({"holes_left": 900}, "2 to 500"),
        ({"holes_left": "thirty"}, "holes_left"),
        ({"holes_left": True}, "holes_left"),
        ({"height_mm": None}, "height_mm"),
        ({"height_mm": float("nan")}, "height_mm"),
        ({"height_mm": 1e308}, "height_mm"),
        ({"row_gap_mm": 400}, "-100 to 100"),
        ({"row_gap_mm": []}, "row_gap_mm"),
        ({"half_widths_mm": {}}, "half_widths_mm"),
        ({"half_widths_mm": {"thickest": [1, 2, 3]}}, "half_widths_mm.thickest"),
        ({"thickness_mm": "0,01"}, "thickness_mm"),
        ({"thickness_mm": []}, "thickness_mm"),
        ({"stage": "boiled"}, "cut, folded, pierced, sewn, dried"),
        ({"stage": 3}, "cut, folded"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(raw, part):
    with pytest.raises(InputRefused) as refused:
        read(raw)
    assert part in str(refused.value)
    assert "Traceback" not in str(refused.value)


def test_two_sides_in_one_text():
    for text in ("50 50,4", "50; 50,4", "50 mm; 50,4 mm", "5 cm; 50.4"):
        assert read({"half_widths_mm": {"95": text}}).half_widths == (("95", (50.0, 50.4)),)
    assert read({"row_gap_mm": "1/8 in"}).row_gap == (("", (3.175, 3.175)),)


def test_single_settings_are_put_together():
    raw: dict[str, object] = {}
    for one in ("holes_left=36", "half_widths_mm.thickest=50,2", "half_widths_mm.95=[46, 46.4]"):
        entered(raw, one)
    assert read(raw).half_widths == (("thickest", (50.2, 50.2)), ("95", (46.0, 46.4)))
    with pytest.raises(InputRefused, match="name=value"):
        entered(raw, "holes_left")
    with pytest.raises(BackseamError):
        entered(raw, "half_widths_mm.95=[46,")


def test_places_are_names_or_heights():
    assert height_of("THICKEST", {"thickest": 140.0}) == 140.0
    assert height_of("5 1/2 in", {}) == pytest.approx(139.7)
    with pytest.raises(InputRefused, match="thickest"):
        height_of("elbow", {"thickest": 140.0, "": 3.0})


def test_a_job_may_say_it_itself():
    assert of_job(sample()).nothing
    assert of_job(sample(made__finished_girth_mm=96.0)) == AsMade(finished_mouth=96.0)
    assert of_job(sample(made__hole_gap_mm=2.0)) == AsMade(row_gap=(("", (2.0, 2.0)),))


anything = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=5,
)


@given(st.dictionaries(st.sampled_from(KEYS) | st.text(max_size=10), anything, max_size=3))
def test_nothing_typed_ends_in_anything_but_a_sentence(raw):
    with suppress(InputRefused):
        assert read(raw).reached in Stage


@given(st.integers(2, 500), st.floats(-99, 99, allow_nan=False))
def test_json_and_settings_say_the_same(count, gap):
    gap = round(gap, 2)
    raw: dict[str, object] = {}
    entered(raw, f"holes_left={count}")
    entered(raw, f"row_gap_mm={gap}")
    assert read(raw) == read(json.loads(json.dumps({"holes_left": count, "row_gap_mm": gap})))
