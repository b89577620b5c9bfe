"""What was found, held against what was wanted, height by height."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.jobs import sample

from backseam.ground.errors import InputRefused
from backseam.job.as_made import Stage, read
from backseam.job.made_state import state_of
from backseam.job.recipe import work

BARREL = work(sample())


def state(**found):
    return state_of(BARREL, read(found))[0]


def codes(**found):
    return [one.code for one in state_of(BARREL, read(found))[1]]


@settings(max_examples=20, deadline=None)
@given(st.floats(-6, 15))
def test_a_gap_wider_than_wanted_is_a_piece_that_much_too_narrow(gap):
    """Stitch to stitch and gap are one length: half a millimetre of gap is wanted (default of the try-on gate)."""
    assert state(row_gap_mm=round(gap, 2)).off == pytest.approx(0.5 - round(gap, 2))


def test_half_widths_count_twice():
    drawn = {row.name: row.half_width for row in BARREL.upper.stations}
    moved = state(half_widths_mm={"thickest": drawn["thickest"] + 1.0})
    assert moved.off == pytest.approx(2.0, abs=0.05)
    skew = state(half_widths_mm={"thickest": [drawn["thickest"] + 1.5, drawn["thickest"] + 0.5]})
    assert skew.off == pytest.approx(moved.off)


def test_between_two_places_it_runs_straight():
    at = state(row_gap_mm={"0": 0.5, "thickest": 2.5})
    half = int(abs(at.piece.at - 70).argmin())
    assert at.off[0] == pytest.approx(0.0)
    assert at.off[half] == pytest.approx(-at.piece.at[half] / 70, abs=1e-6)
    assert at.off[-1] == pytest.approx(-2.0)


def test_leather_as_it_turned_out_is_what_the_gap_is_read_over():
    at = state(row_gap_mm=0.5, thickness_mm=2.6)
    assert at.off == pytest.approx(0.0, abs=1e-6)
    assert state(thickness_mm=2.6).off.max() < -1.0


def test_counts_rows_and_pitch():
    one = state(holes_left=36, row_left_mm=137)
    assert one.counts == (36, 36)
    assert one.rows == (137, BARREL.seam.sewn_length)
    two = state(holes_left=36, holes_right=35, pitch_mm=4)
    assert two.rows == (140, 136)
    assert two.creep == pytest.approx(0.0)


def test_heights_as_cut_and_as_folded():
    assert state(height_mm=BARREL.upper.height - 3).taller == pytest.approx(-3)
    whole = BARREL.upper.height + BARREL.upper.turn_in
    low = state(cut_height_mm=whole - 3)
    assert (low.taller, low.stage) == (pytest.approx(-3), Stage.CUT)
    assert low.piece.height == pytest.approx(low.whole.height - 3)


def test_edge_and_foot():
    assert state(flange_mm=3).lack == pytest.approx(2.0)
    assert state(flange_mm=30).lack == 0.0
    assert state(holes_left=30, holes_right=30, pitch_mm=4).open == pytest.approx(
        BARREL.seam.sewn_length - 116, abs=1e-6
    )


def test_the_table_has_every_station_on_the_piece():
    assert [row.off for row in state(row_gap_mm=0.5).table()] == pytest.approx([0.0] * 6, abs=1e-6)
    assert len(state(height_mm=130).table()) < 6


def test_gap_and_half_widths_that_do_not_go_together():
    assert codes(row_gap_mm=0.5, half_widths_mm={"thickest": 56}) == ["RESCUE-011"]


def test_rows_beside_the_middle():
    half = BARREL.upper.stations[-2].half_width
    assert codes(half_widths_mm={"thickest": [half + 2.5, half - 2.5]}) == ["RESCUE-018"]
    assert codes(half_widths_mm={"thickest": [half + 1, half - 1]}) == []


@pytest.mark.parametrize(
    ("found", "part"),
    [
        ({}, "Nothing was found"),
        ({"stage": "sewn"}, "Nothing was found"),
        ({"half_widths_mm": 50}, "height for each"),
        ({"half_widths_mm": {"900": 50}}, "no height on the upper"),
        ({"half_widths_mm": {"elbow": 50}}, "no station and no height"),
        ({"row_gap_mm": {"-30": 2}}, "-30"),
    ],
)
def test_places_that_are_not_there(found, part):
    with pytest.raises(InputRefused) as refused:
        state(**found)
    assert part in str(refused.value)
