"""worked.json: its schema, its names, its numbers."""

import json

import jsonschema
import pytest
from tests.jobs import SAMPLES, sample

from backseam.job.recipe import work
from backseam.job.worked_json import dumps, schema


@pytest.mark.parametrize("name", SAMPLES)
def test_it_keeps_to_its_schema(name):
    made = json.loads(dumps(work(sample(name))))
    jsonschema.Draft202012Validator(schema()).validate(made)


def test_it_has_at_least_what_was_promised():
    made = json.loads(dumps(work(sample())))
    row = made["stations"][0]
    assert {
        "station_mm",
        "girth_form_mm",
        "girth_neutral_mm",
        "stitch_to_stitch_mm",
        "half_width_hand_mm",
        "half_width_mm",
    } <= set(row)
    assert {"cut", "stitch_left", "stitch_right", "trim", "centre_x_mm", "blank_mm"} <= set(made["upper"])
    assert {"count", "pitch_mm", "holes_left", "holes_right", "length_mm"} <= set(made["seam"])
    assert {"max", "min", "p99"} <= set(made["strain"])
    assert made["thread_mm"] > made["seam"]["length_mm"]
    assert len(made["seam"]["holes_left"]) == made["seam"]["count"]
    for x, y in made["seam"]["holes_left"]:
        assert round(x, 3) == x
        assert round(y, 3) == y


def test_no_number_is_anything_but_finite():
    assert "NaN" not in dumps(work(sample()))
    assert "Infinity" not in dumps(work(sample()))


@pytest.fixture(scope="module")
def whole():
    from backseam.ground.speech import PLAIN
    from backseam.job.foreseen import foresee, mould

    worked = work(sample())
    foreseen = foresee(worked)
    text = dumps(worked, PLAIN, foreseen.moulded(mould(worked)))
    assert "NaN" not in text
    assert "Infinity" not in text
    return json.loads(text)


def test_what_is_foreseen_keeps_to_the_schema(whole):
    jsonschema.Draft202012Validator(schema()).validate(whole)
    assert {"fit", "clock", "hang", "moulding"} <= set(whole)


def test_no_newton_stands_in_it_until_a_girth_and_a_pull_are_known(whole):
    fit = whole["fit"]
    assert not fit["calibrated"]
    assert fit["draw"]["newtons_n"] is None
    assert fit["curve"] is None
    assert len(fit["draw"]["words"]) == 3
    assert len(fit["matters"]) == 3


def test_newtons_stand_in_it_once_they_are_known():
    from backseam.ground.speech import PLAIN
    from backseam.job.foreseen import foresee

    job = sample()
    job.made.finished_girth_mm, job.made.pull_n = 94.2, [30.0]
    worked = work(job)
    fit = json.loads(dumps(worked, PLAIN, foresee(worked)))["fit"]
    low, middle, high = fit["draw"]["newtons_n"]
    assert low < middle < high
    assert middle == pytest.approx(30, rel=0.1)
    assert fit["curve"]["draw_n"][1][0] > 0


def test_bands_are_in_order_and_hand_and_computed_are_apart(whole):
    for moment in whole["clock"]["moments"].values():
        assert moment["low_min"] <= moment["likely_min"] <= moment["high_min"]
    assert whole["moulding"]["computed"]["stretch_most"] < whole["moulding"]["hand"]["stretch_most"]
    assert whole["hang"]["mass_g"] > whole["hang"]["empty_g"]


def test_units_are_in_the_names(whole):
    """A number in the new blocks is a share, a count or carries its unit."""
    units = ("_mm", "_n", "_g", "_min", "_s", "_deg", "_c", "_mm2", "_mpa", "_per_mm", "_share")
    shares = {"humidity", "less", "more", "samples", "seed", "table_error", "unsettled"}
    shares |= {"stretch_most", "stretch_p99", "squeeze_most", "girth_most", "girth_least"}
    shares |= {"step_most", "step_least", "flange_most", "flange_least"}
    for block in ("fit", "hang", "moulding"):
        for name, value in _numbers(whole[block]):
            assert name in shares or name.endswith(units), f"{block}: {name} {value}"


def _numbers(block):
    for name, value in block.items():
        if isinstance(value, dict) and name not in ("variance", "parts_g"):
            yield from _numbers(value)
        elif isinstance(value, list):
            for one in value:
                if isinstance(one, dict):
                    yield from _numbers(one)
        elif isinstance(value, int | float) and not isinstance(value, bool):
            yield name, value
