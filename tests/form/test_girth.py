"""Instruments: what each reads, taken off and put on again."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.form.girth import (
    Instrument,
    Pull,
    butted,
    girth_limits,
    girth_under_overlap,
    girth_under_strap,
    girth_with_film,
    instrument_thickness,
    overlap_excess,
    usual_spread,
)

girths = st.floats(40, 300)
straps = st.floats(0.1, 4)


@given(girths, straps)
def test_a_strap_put_on_and_taken_off(girth, strap):
    assert girth_under_strap(butted(girth, strap), strap) == pytest.approx(girth, abs=1e-9)


@given(girths, straps)
def test_an_overlap_put_on_and_taken_off(girth, strap):
    read = butted(girth, strap) + overlap_excess(girth, strap)
    assert girth_under_overlap(read, strap) == pytest.approx(girth, abs=1e-6)


@given(girths, straps, st.floats(0.01, 5))
def test_more_girth_reads_more(girth, strap, more):
    assert girth_under_overlap(girth + more + 20, strap) > girth_under_overlap(girth + 20, strap)


@given(st.floats(5, 80), st.floats(5, 80))
def test_limits_hold_the_ellipse(width, depth):
    from backseam.form.section import round_girth

    low, high = girth_limits(width, depth)
    assert low <= round_girth(width, depth) <= high


def test_film_adds_a_parallel_curve():
    assert girth_with_film(90.0, 0.03) == pytest.approx(90 + 2 * np.pi * 0.03)


def test_a_slack_pull_doubles_the_spread():
    assert usual_spread(Instrument.THREAD, Pull.SLACK) == 2 * usual_spread(Instrument.THREAD)


def test_thickness_of_an_instrument_when_none_was_given():
    assert instrument_thickness(Instrument.STRAP_BUTTED, 2.2) == 2.2
    assert instrument_thickness(Instrument.THREAD, 2.2) == 0.4
    assert instrument_thickness(Instrument.PAPER, 2.2) == 0.1
