"""The way of the work: legs, what is missing, what comes next, what goes on by itself."""

from __future__ import annotations

import pytest
from tests.jobs import raw

from backseam.ground.errors import InputRefused
from backseam.job.forecast import timetable
from backseam.job.recipe import work
from backseam.job.text import job_of
from backseam.job.way import (
    WAITS,
    Standing,
    acts,
    damp,
    going_on,
    next_act,
    state_of,
    title,
    waiting,
    way,
)
from backseam.leather.leather import State


@pytest.fixture(scope="module")
def barrel():
    job = job_of(raw("barrel"))
    return job, work(job)


def with_making(**making):
    return job_of({**raw("barrel"), "making": making})


def test_an_empty_job_stands_at_its_first_leg():
    legs = way(job_of({"kind": "backseam.job", "version": 1}), None)
    assert [leg.key for leg in legs] == ["ask", "measure", "form", "leather", "upper", "sew", "fit", "papers"]
    assert legs[0].standing is Standing.HERE
    assert all(leg.standing is Standing.TO_COME for leg in legs[1:])
    assert legs[1].missing == ("Measure the thickest point.",)
    assert (
        next_act(job_of({"kind": "backseam.job", "version": 1}), None).text == "Measure the thickest point."
    )


def test_a_measured_job_stands_before_the_cut(barrel):
    legs = {leg.key: leg for leg in way(*barrel)}
    assert legs["measure"].text == "5 readings"
    assert legs["form"].text == "oval on octagon"
    assert legs["leather"].text == "2.0 mm shoulder"
    assert legs["upper"].standing is Standing.HERE
    assert legs["sew"].text.endswith("holes a side")
    assert next_act(*barrel).act == "printed"


def test_exactly_one_leg_is_here_until_all_is_done(barrel):
    job, worked = barrel
    assert sum(leg.standing is Standing.HERE for leg in way(job, worked)) == 1
    over = job_of(
        {
            **raw("barrel"),
            "making": {"done": [{"act": one} for one in ("printed", "cut", "sew", "dry")]},
            "made": {"pull_n": [40, 42, 39]},
        }
    )
    assert all(leg.standing is Standing.DONE for leg in way(over, worked))


def test_next_is_the_first_act_of_the_order_of_work_that_is_not_done(barrel):
    _, worked = barrel
    order = [step.id for step in acts(worked)]
    done = [{"act": "printed"}]
    for name in order:
        assert next_act(with_making(done=done), worked).act == name
        done.append({"act": name})
    assert next_act(with_making(done=done), worked).act == ""


def test_a_stop_comes_before_any_act(barrel):
    made = raw("barrel")
    made["form"]["girths"][3]["reading_mm"] = 66
    job = job_of(made)
    worked = work(job)
    assert worked.stopped
    assert next_act(job, worked).place == "upper"
    assert "mend" in next(leg.text for leg in way(job, worked) if leg.key == "upper")


def test_every_step_can_be_named_in_both_units(barrel):
    from backseam.ground.speech import Speech

    for speech in (Speech(), Speech("inch")):
        for step in acts(barrel[1]):
            assert title(step, speech)
            assert "{" not in title(step, speech)


@pytest.mark.parametrize("act", WAITS)
def test_what_goes_on_has_time_left_and_then_is_late(barrel, act):
    job, worked = with_making(now={"act": act, "since": "2026-11-25T09:00:00Z"}), barrel[1]
    times = timetable(worked)
    whole = waiting(times, act)
    assert going_on(job, worked, times, 0.0).left == pytest.approx(whole)
    assert going_on(job, worked, times, whole + 5).left == pytest.approx(-5)
    assert going_on(barrel[0], worked, times, 0.0) is None


def test_leather_is_damp_from_the_soak_until_it_is_dry():
    soaked = [{"act": "soak"}, {"act": "sew"}]
    assert not damp(with_making())
    assert damp(with_making(now={"act": "soak", "since": "2026-11-25T09:00:00Z"}))
    assert damp(with_making(done=soaked))
    assert not damp(with_making(done=[*soaked, {"act": "dry"}]))
    assert state_of(with_making()) is State.DRY
    assert state_of(with_making(done=soaked)) is State.DAMP
    assert state_of(with_making(done=[*soaked, {"act": "dry"}])) is State.FINISHED


def test_the_clock_agrees_with_common_practice(barrel):
    """Common practice, no source: 2 mm soaks 10 min, rests 2-3 h, glue 1 h in clamps, a day or two to dry."""
    times = timetable(barrel[1])
    assert 8 <= waiting(times, "soak") <= 20
    assert 100 <= waiting(times, "rest") <= 200
    assert 45 <= waiting(times, "clamp") <= 90
    assert 12 * 60 <= waiting(times, "dry") <= 2.5 * 24 * 60


@pytest.mark.parametrize("since", ["yesterday", "2026-11-25", "2026-11-25T09:00:00", "25/11/2026"])
def test_a_time_that_is_none_is_refused_in_a_sentence(since):
    with pytest.raises(InputRefused, match="is not a time"):
        with_making(now={"act": "soak", "since": since})
