"""Slips of unit and decimal mark: each number below is the usual one times the slip, by hand."""

from __future__ import annotations

import pytest
from tests.voice import assert_clear

from backseam.ground.numbers import read_length
from backseam.ground.plausible import middle, suspicion
from backseam.ground.sources import values

SLIPS = [
    (3.74, "girth", "inches", 94.996),
    (9.54, "girth", "centimetres", 95.4),
    (954.0, "girth", "point", 95.4),
    (0.0954, "girth", "metres", 95.4),
    (2423.16, "girth", "twice", 95.4),
    (95400.0, "girth", "thousandths", 95.4),
    (0.079, "thickness", "inches", 2.0066),
    (0.2, "thickness", "centimetres", 2.0),
    (20.0, "thickness", "point", 2.0),
    (0.157, "pitch", "inches", 3.9878),
    (40.0, "pitch", "point", 4.0),
    (13.6, "span", "centimetres", 136.0),
]


@pytest.mark.parametrize(("value", "kind", "looks", "better"), SLIPS)
def test_known_slips_are_named_and_mended(value, kind, looks, better):
    found = suspicion(value, kind)
    assert found is not None
    assert (found.looks, found.better) == (looks, pytest.approx(better))
    assert read_length(found.proposal).mm == pytest.approx(better, abs=0.006)
    assert_clear(found.question(str(value)))


def test_usual_values_raise_no_suspicion():
    for name, record in values().items():
        group, _, kind = name.partition(".")
        if group == "plausible":
            for value in (record.value, record.low, record.high):
                assert suspicion(value, kind) is None, name


def test_a_reading_far_off_the_others_is_held_against_them():
    found = suspicion(48.0, "girth", 480.0 / 4)
    assert found is None  # 2.5 times apart, within what a girth can be, and no slip explains it
    found = suspicion(5.1, "girth", 130.0)
    assert found is not None
    assert (found.looks, found.other) == ("inches", 130.0)
    assert "near 130 mm" in found.question("5.1")


def test_others_that_are_off_themselves_tell_nothing():
    found = suspicion(8.2, "girth", 8.7)
    assert found is not None
    assert (found.looks, found.other) == ("centimetres", None)


def test_unusual_without_a_slip_has_no_proposal():
    found = suspicion(300.0, "girth")
    assert found is not None
    assert (found.looks, found.better, found.proposal) == (None, None, "")


def test_the_middle_needs_three():
    assert middle([82.0, 95.0]) is None
    assert middle([82.0, 0.0, 95.0, 3.7]) == 82.0


def test_what_was_taken_as_inches_may_have_been_millimetres():
    for typed in (1.9, 2.0, 2.4):
        found = suspicion(typed * 25.4, "thickness", inches=True)
        assert found is not None
        assert (found.looks, found.better) == ("millimetres", pytest.approx(typed))
