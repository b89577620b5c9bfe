"""Gates: numbers and limits. The limits are common practice, no source, or our own choice, as their records
say.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.making import gates
from backseam.making.gates import Gate, Measure


def test_bars():
    """150 mm bars, off by 0.2 % at most: our own choice."""
    gate = gates.bars_gate()
    assert (gate.target, gate.low, gate.high) == (150.0, 149.7, 150.3)
    assert gate.holds(150.2)
    assert not gate.holds(149.6)


def test_height_after_folding(barrel):
    gate = gates.fold_gate(barrel.upper)
    assert gate.target == barrel.upper.height
    assert gate.holds(barrel.upper.height + 0.9)
    assert not gate.holds(barrel.upper.height - 1.1)


def test_rows_are_counted_exactly(barrel):
    gate = gates.count_gate(barrel.seam)
    n = barrel.seam.count
    assert gate.boxes == 2
    assert gate.holds(n, n)
    assert not gate.holds(n, n + 1)
    assert not gate.holds(n - 1, n - 1)


def test_rows_are_as_long_as_each_other(barrel):
    gate = gates.length_gate(barrel.seam)
    assert gate.target == barrel.seam.sewn_length
    assert gate.holds(128.0, 128.9)
    assert not gate.holds(128.0, 129.2)


def test_try_on_gap():
    gate = gates.try_on_gate()
    assert (gate.low, gate.high) == (0.0, 1.0)
    assert gate.holds(0.0)
    assert not gate.holds(-0.5)


def test_glue_is_yes_or_no():
    gate = gates.glue_gate()
    assert gate.measure is Measure.TICK
    assert gate.holds(True)
    assert not gate.holds(False)


def test_mouth_is_read_at_the_finished_edge(barrel):
    row = gates.mouth_row(barrel.upper)
    assert abs(row.station - barrel.upper.height) < 1.0
    gate = gates.mouth_gate(barrel.upper)
    assert gate.target == row.stitch_to_stitch
    assert gate.tolerance == pytest.approx(0.7)  # spread of a reading with the folded piece itself


def test_finished_mouth_holds_only_if_it_is_not_wider_than_the_form(barrel):
    """A leather girth larger than the form's grips nothing (closed form: no stretch, no force)."""
    gate = gates.finished_gate(barrel.upper)
    girth = gates.mouth_row(barrel.upper).girth_form
    assert gate.high == pytest.approx(girth)
    assert gate.low == pytest.approx(0.98 * girth)
    assert not gate.holds(girth + 0.1)


def test_skive_never_asks_for_less_than_a_stitch_needs(barrel, change):
    gate = gates.skive_gate(barrel.inputs.construction)
    assert gate.low == 0.8
    assert gate.high == pytest.approx(barrel.inputs.construction.collar.flap + 0.2)
    thin = change(barrel, inputs__construction__collar__flap=0.6).inputs.construction
    assert gates.skive_gate(thin).low == 0.6


def test_ring(barrel):
    gate = gates.ring_gate(barrel.ring)
    assert gate.target == barrel.ring.inside
    assert gate.tolerance == pytest.approx(barrel.ring.inside_spread)


def test_strips_are_as_good_as_the_best_reading(barrel):
    gate = gates.strips_gate(barrel.strips)
    assert gate.high == min(strip.spread for strip in barrel.strips)


@given(st.floats(1.0, 500.0), st.floats(0.0, 10.0), st.floats(-20.0, 20.0))
def test_a_length_holds_just_when_it_is_near_enough(target, tolerance, off):
    gate = gates.within("fold", target, tolerance)
    if math.isclose(abs(off), tolerance, abs_tol=1e-9):
        return
    assert gate.holds(target + off) is (abs(off) < tolerance)


@given(st.floats(50.0, 150.0), st.floats(50.0, 150.0))
def test_a_difference_has_no_sides(left, right):
    gate = Gate("rows_length", Measure.DIFFERENCE, 100.0, 0.0, 1.0, "differ", 2)
    assert gate.holds(left, right) is gate.holds(right, left)
