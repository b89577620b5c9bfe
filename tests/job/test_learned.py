"""The leather card: tests and sheaths onto it, learnt anew, taken over by a job; hostile cards end in a sentence."""

from __future__ import annotations

import json
from math import isfinite

import jsonschema
import pytest
from tests.jobs import raw, sample
from tests.voice import assert_clear

from backseam.ground.errors import InputRefused
from backseam.job import leather_tests
from backseam.job.document import Job
from backseam.job.forecast import hold
from backseam.job.learned import renewed, snapshot, with_sheath, with_tests
from backseam.job.leather_card import LeatherCard, dumps, hide_of, loads, schema, with_card, without
from backseam.job.leather_tests import blank
from backseam.job.recipe import work


def sheet(**tests):
    return leather_tests.tests_of({"kind": "backseam.leather-tests", "version": 1, "tests": tests})


RING = {"handle_mm": 95.0, "inside_mm": 94.0, "pull_n": [22, 24, 23]}


def card_with(**tests) -> LeatherCard:
    made, _ = with_tests(LeatherCard(title="lot 7"), sheet(**tests))
    return renewed(made).card


def codes(found):
    return [one.code for one in found]


def made(**fields) -> Job:
    return sample(made=fields, id="K1")


def test_a_card_is_read_back_and_passes_its_schema():
    card = card_with(rings=[RING], tilts=[{"side": "flesh", "angles_deg": "19; 20; 21"}])
    assert card.calibrated
    assert loads(dumps(card)) == card
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(json.loads(dumps(card)), schema())
    assert schema()["$id"] == "urn:backseam:leather:1"


def test_a_blank_sheet_is_no_test_and_says_so():
    empty = leather_tests.tests_of(blank("lot 7"))
    assert empty.tests.count() == 0
    card, found = with_tests(LeatherCard(), empty)
    assert codes(found) == ["LEARN-016"]
    assert card == LeatherCard()


def test_a_sheet_filled_in_in_part_is_those_tests():
    typed = blank()
    typed["tests"]["rings"][0].update(handle_mm="3 3/4 in", inside_mm=94, pull_n=["23", "", ""])
    typed["tests"]["strips"][0].update(thickness_mm=2)
    typed["tests"]["strips"][0]["loads"][0].update(mass_g="3 kg", length_mm=104)
    done = leather_tests.tests_of(typed)
    jsonschema.validate(
        {"kind": done.kind, "version": 1, **json.loads(done.model_dump_json())}, leather_tests.schema()
    )
    assert done.tests.count() == 2
    assert done.tests.rings[0].handle_mm == pytest.approx(95.25)
    assert done.tests.strips[0].loads[0].mass_g == 3000


def test_twice_the_same_is_not_taken_twice():
    card, _ = with_tests(LeatherCard(), sheet(rings=[RING]))
    card, found = with_tests(card, sheet(rings=[RING]))
    assert codes(found) == ["LEARN-015"]
    assert len(card.tests.rings) == 1


def test_what_is_unknown_or_says_nothing_is_told():
    _, found = with_tests(LeatherCard(), sheet(frogs=[{"legs": 4}], rings=[{"handle_mm": 95.0}]))
    assert codes(found) == ["JOB-005", "LEARN-024"]


def test_every_kind_of_test_teaches_its_value():
    card = card_with(
        strips=[{"direction": "across", "thickness_mm": 2, "loads": [{"mass_g": 3000, "length_mm": 104}]}],
        rods=[{"state": "damp", "thickness_mm": 2, "rods": [{"rod_mm": 8, "cracked": False}]}],
        dried=[{"direction": "across", "dry_mm": 97}],
        squares=[{"across_mm": 49.5, "along_mm": 49.5}],
        tilts=[{"side": "grain", "angles_deg": [20, 21]}],
        straps=[{"rod_mm": 30, "thickness_mm": 2, "readings_mm": [100.6]}],
        scraps=[{"room_g": 12, "soaked_g": 19, "cased_g": 16}],
        dryings=[
            {
                "thickness_mm": 2,
                "piece_g": 60,
                "form_g": 100,
                "weights": [
                    {"minutes": m, "mass_g": g} for m, g in ((60, 190), (300, 180), (900, 170), (1500, 165))
                ],
            }
        ],
    )
    names = {one.name for one in card.values}
    assert {
        "stiffness.hoop",
        "crack.damp",
        "shrink.across",
        "set.pull_in",
        "leather.allowance_along",
        "friction.grain_finished",
        "leather.neutral_layer",
        "water.cased",
        "diffusion.per_hour",
    } <= names
    assert not card.calibrated
    assert all(
        isfinite(x) and one.low <= one.value <= one.high for one in card.values for x in (one.low, one.high)
    )


def test_a_job_is_reckoned_with_its_card():
    plain = work(sample())
    card = card_with(
        rings=[RING, {**RING, "inside_mm": 94.1}],
        straps=[{"rod_mm": 30, "thickness_mm": 2, "readings_mm": [99.5, 99.6, 99.5]}],
    )
    known = work(with_card(sample(leather__card="lot7.json"), card))
    assert known.inputs.leather.neutral_layer < plain.inputs.leather.neutral_layer
    before, after = hold(plain), hold(known)
    assert not before.calibrated
    assert after.calibrated, "a girth and a pull of this hide were measured"
    assert after.draw.high / max(after.draw.low, 1) < before.draw.high / max(before.draw.low, 1)
    assert "FIT-009" in codes(before.findings)
    assert not {"FIT-009", "FIT-002", "FIT-004"} & set(codes(after.findings)), "it is not made yet"


def test_what_the_job_says_stands_above_the_card():
    card = card_with(straps=[{"rod_mm": 30, "thickness_mm": 2, "readings_mm": [99.5]}])
    job = with_card(sample(leather__neutral_layer=0.5), card)
    assert work(job).inputs.leather.neutral_layer == 0.5
    assert with_card(job, card) == job


def test_a_card_that_is_not_there_is_told():
    assert "LEARN-022" in codes(work(sample(leather__card="gone.json")).findings)


def test_a_finished_sheath_moves_the_next_forecast():
    card, found = with_sheath(LeatherCard(), made(finished_girth_mm=93.4, pull_n=[40, 42]))
    assert not found
    now = renewed(card)
    assert now.learnt.values["set.pull_in"].value > now.learnt.before["set.pull_in"].value
    assert now.card.calibrated
    again, told = with_sheath(now.card, made(finished_girth_mm=93.6, pull_n=[40, 42]))
    assert codes(told) == ["LEARN-018"]
    assert [one.left_out for one in again.sheaths] == [True, False]


def test_a_sheath_that_says_nothing_or_comes_from_elsewhere():
    assert codes(with_sheath(LeatherCard(), sample())[1]) == ["LEARN-017"]
    belly = sample(made={"pull_n": [20]}, leather__part="belly")
    assert codes(with_sheath(LeatherCard(), belly)[1]) == ["LEARN-019"]


def test_the_card_keeps_what_a_sheath_was_cut_by_and_not_whose_it_is():
    card = card_with(straps=[{"rod_mm": 30, "thickness_mm": 2, "readings_mm": [99.5]}])
    job = with_card(sample(customer="Ada", leather__card="lot7", made={"pull_n": [20]}), card)
    kept = snapshot(job)
    assert "customer" not in kept
    assert not {"card", "known"} & set(kept["leather"])
    assert kept["leather"]["neutral_layer"] == work(job).inputs.leather.neutral_layer


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"pull_n": [0]}, "LEARN-013"),
        ({"pull_n": [900]}, "LEARN-013"),
        ({"girths": [{"station_mm": -900, "girth_mm": 90}]}, "LEARN-025"),
        ({"finished_girth_mm": 94, "hole_gap_mm": 50}, "LEARN-026"),
        ({"faults": ["loose_fit", "tight_fit"]}, "LEARN-027"),
        ({"finished_girth_mm": 10}, "FIT-011"),
    ],
)
def test_what_no_sheath_can_have_is_told_and_left_out(fields, code):
    card, _ = with_sheath(LeatherCard(), made(**fields))
    now = renewed(card)
    assert code in codes(now.findings)
    assert all(isfinite(v) for one in now.card.values for v in (one.low, one.value, one.high))


def test_a_sheath_that_cannot_be_worked_any_more_is_kept_and_told():
    card, _ = with_sheath(LeatherCard(), made(pull_n=[20]))
    card.sheaths[0].job["form"] = {"girths": []}
    assert "LEARN-020" in codes(renewed(card).findings)


def test_a_test_taken_out_no_longer_counts():
    card = card_with(rings=[RING], tilts=[{"side": "flesh", "angles_deg": [30]}])
    less = renewed(without(card, "ring 1")).card
    assert not less.calibrated
    assert less.tests.rings[0].left_out
    with pytest.raises(InputRefused) as refused:
        without(card, "strip 9")
    assert_clear(str(refused.value))


@pytest.mark.parametrize(
    "value",
    [
        {"name": "frog", "value": 1, "low": 1, "high": 1},
        {"name": "stiffness.hoop", "value": 1e9, "low": 1, "high": 1e10},
        {"name": "friction.flesh_finished", "value": -1, "low": -2, "high": 1},
        {"name": "water.cased", "value": 0.3, "low": 0.4, "high": 0.2},
    ],
)
def test_a_card_that_knows_no_leather_is_refused_in_a_sentence(value):
    card = loads(json.dumps({"kind": "backseam.leather", "version": 1, "values": [value]}))
    with pytest.raises(InputRefused) as refused:
        hide_of(card)
    assert_clear(str(refused.value))
    document = raw()
    document["leather"]["known"] = {"values": [value]}
    with pytest.raises(InputRefused):
        work(Job.model_validate(document))
