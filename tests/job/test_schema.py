"""The published schema says what the reader takes: samples pass, faults do not, every field is explained."""

from __future__ import annotations

import json

import jsonschema
import pytest
from tests.jobs import SAMPLES, raw

from backseam.ground.speech import words
from backseam.job.document import Job
from backseam.job.paths import put
from backseam.job.schema import schema
from backseam.job.text import raw_job
from backseam.job.walk import inner_part

VALID = jsonschema.Draft202012Validator(schema())


def parts(part=Job):
    yield part
    for field in part.model_fields.values():
        if inner := inner_part(field.annotation):
            yield from parts(inner)


def test_it_is_a_schema_with_a_name():
    jsonschema.Draft202012Validator.check_schema(schema())
    assert schema()["$id"] == "urn:backseam:job:1"
    assert schema() == json.loads(json.dumps(schema()))


@pytest.mark.parametrize("name", SAMPLES)
def test_samples_pass(name):
    VALID.validate(raw(name))


def test_what_backseam_writes_passes():
    job = put(
        put(Job(), "leather.thickness_mm", "5 oz"),
        "form.girths[+]",
        '{"station_mm": "9,5 cm", "width_mm": 20}',
    )
    VALID.validate(raw_job(job))


@pytest.mark.parametrize(
    "fault",
    [
        {"kind": "other", "version": 1},
        {"kind": "backseam.job"},
        {"kind": "backseam.job", "version": 2},
        {"kind": "backseam.job", "version": 1, "leather": {"thickness_mm": [0]}},
        {"kind": "backseam.job", "version": 1, "construction": {"collar": "fold"}},
        {"kind": "backseam.job", "version": 1, "form": {"girths": [{"reading_mm": 90}]}},
    ],
)
def test_faults_do_not_pass(fault):
    assert not VALID.is_valid(fault)


@pytest.mark.parametrize(
    "part", sorted(set(parts()), key=lambda part: part.__name__), ids=lambda part: part.book
)
def test_every_field_has_a_name_and_an_explanation(part):
    table = words("en", "fields")[part.book]
    assert set(table) == {"about", *part.model_fields}
    for name, explanation in table.values():
        assert name
        assert explanation.endswith(".")


def test_the_schema_explains_and_names_no_class():
    text = json.dumps(schema())
    assert "Girth as read, mm, nothing added or taken off." in text
    assert "GirthReading" not in text
    assert "FormPart" not in text
