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
