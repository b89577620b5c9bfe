"""From a wanted hold back to the job."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from tests.fit.conftest import parts, worked

from backseam.fit import inverse
from backseam.fit.hold import Hold
from backseam.fit.inverse import Way, aim
from backseam.fit.tested import Measured

KNOWN = Measured(finished_girth=94.2, pull=30.0)


def aimed(name: str = "barrel", wanted=Hold.EVERYDAY, **more):
    return _aimed(name, wanted, more.get("tested"))


@cache
def _aimed(name, wanted, tested):
    return aim(*parts(worked(name)), wanted, seed=3, samples=1500, tested=tested)


def test_three_ways_with_their_chances():
    answer = aimed()
    assert {way.kind for way in answer.ways} == {"height", "drop", "tighter"}
    assert all(0 <= way.chance <= 1 for way in answer.ways)
    assert [way.chance for way in answer.ways] == sorted((way.chance for way in answer.ways), reverse=True)
    assert answer.wanted == (12.0, 25.0)


def test_no_way_is_worse_than_the_job_as_it_is():
    answer = aimed(tested=KNOWN, wanted=(15.0, 25.0))
    tighter = next(way for way in answer.ways if way.kind == "tighter")
    assert tighter.chance >= answer.now - 0.02


def test_a_measured_sheath_can_be_aimed():
    # it draws 30 N: for 15-25 cut wider or set the mouth lower, for 40-60 cut tighter
    softer, harder = aimed(tested=KNOWN, wanted=(15.0, 25.0)), aimed(tested=KNOWN, wanted=(40.0, 60.0))
    cut = [next(way.value for way in answer.ways if way.kind == "tighter") for answer in (softer, harder)]
    assert cut[0] < 0 < cut[1]
    assert softer.ways[0].chance > 0.4
    assert harder.ways[0].chance > 0.4
    assert softer.now < 0.3


@pytest.mark.parametrize("wanted", [Hold.LIGHT, Hold.FIRM])
def test_aiming_then_cutting_so_lands_there(wanted):
    # Cut what was advised and forecast again: about as many land there as were promised, also where rows of the grip
    # turn slack by it, which keep another share than stretched ones (with that left out: 20 of 100 promised, 11 came).
    answer = aimed(wanted=wanted)
    cut = next(way for way in answer.ways if way.kind == "tighter")
    assert cut.value < 0
    percent = -100 * cut.value / 95.1
    moved = aim(
        *parts(worked("barrel", leather__allowance_across_percent=percent)), wanted, seed=3, samples=1500
    )
    assert answer.now < moved.now
    assert moved.now == pytest.approx(cut.chance, abs=0.04)


def test_swapped_newtons_are_the_same_wish():
    assert aimed(wanted=(25.0, 15.0)).wanted == (15.0, 25.0)


def test_newtons_before_anything_is_measured_are_a_guess():
    assert "FIT-022" in {item.code for item in aimed(wanted=(15.0, 25.0)).findings}
    assert "FIT-022" not in {item.code for item in aimed(wanted=(15.0, 25.0), tested=KNOWN).findings}


def test_a_mouth_is_not_reckoned_where_the_handle_was_not_read():
    told = next(item for item in aimed().findings if item.code == "FIT-021")
    assert told.numbers["top"] == 147
    assert max(inverse._heights(inverse._Sheath(*parts(worked("barrel"))).gripped())) <= 7


def test_out_of_reach_says_what_would_do_it():
    def told(*ways):
        found = inverse._out_of_reach(Hold.FIRM, list(ways), [0.0, 7.0], 0.05)
        assert found[0].text().startswith("A firm hold is not reachable with this handle")
        assert "1 in 20" in found[0].text()
        return found[0].code

    assert told(Way("height", 7, 0, 0.05, Hold.LIGHT)) == "FIT-023"
    assert told(Way("drop", 2.5, 1.7, 0.5, Hold.FIRM)) == "FIT-020"
    assert told(Way("tighter", 1.5, 1.5, 0.5, Hold.FIRM)) == "FIT-024"
    assert told(Way("tighter", -1.5, -1.5, 0.5, Hold.FIRM)) == "FIT-025"


def test_reachable_or_told():
    for wanted in (Hold.LIGHT, Hold.FIRM):
        answer = aimed(wanted=wanted)
        told = {item.code for item in answer.findings} & {"FIT-020", "FIT-023", "FIT-024", "FIT-025"}
        assert bool(told) != answer.reachable


def test_a_bad_pull_is_told_here_too():
    assert "FIT-010" in {item.code for item in aimed(tested=Measured(pull=900.0)).findings}


def test_a_cylinder_has_no_drop_to_shape():
    answer = aimed("tube")
    assert np.isfinite([way.value for way in answer.ways]).all()
