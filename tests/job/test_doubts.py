"""Doubts about a document as it stands: each finding raised, and its remedy clears it."""

from __future__ import annotations

import json

import pytest
from tests.jobs import SAMPLES, raw, sample
from tests.voice import assert_clear

from backseam.job.document import Job
from backseam.job.doubts import doubt_at, doubts
from backseam.job.paths import put
from backseam.job.text import loads


def codes(job):
    return [one.code for one in doubts(job)]


def changed(**girths):
    document = raw()
    for number, reading in girths.items():
        document["form"]["girths"][int(number[1:])]["reading_mm"] = reading
    return loads(json.dumps(document))


@pytest.mark.parametrize("name", SAMPLES)
def test_samples_raise_none(name):
    assert codes(sample(name)) == []


CASES = [
    ("JOB-001", "leather.thickness_mm", 0.079, "2.01 mm"),
    ("JOB-001", "construction.pitch_mm", 40.0, "4 mm"),
    ("JOB-003", "construction.pitch_mm", 12.0, ""),
    ("JOB-003", "construction.slant_deg", 85.0, ""),
    ("JOB-003", "leather.allowance_across_percent", 12.0, ""),
]


@pytest.mark.parametrize(("code", "path", "value", "better"), CASES)
def test_odd_numbers_are_found_and_the_remedy_clears_them(code, path, value, better):
    job = put(sample(), path, value)
    found = doubts(job)
    assert [one.code for one in found] == [code]
    assert_clear(found[0].text())
    assert_clear(found[0].remedy())
    if better:
        assert better in found[0].remedy()
        assert codes(put(job, path, better)) == []


def test_one_girth_far_off_the_others():
    job = changed(g1=3.46)
    (found,) = doubts(job)
    assert (found.code, found.severity, found.where) == (
        "JOB-002",
        "stop",
        ("form", "girths", 1, "reading_mm"),
    )
    assert "Write 87.88 mm" in found.remedy()
    assert codes(put(job, "form.girths[1].reading_mm", "87.88 mm")) == []


def test_all_girths_in_centimetres():
    job = changed(g0=8.2, g1=8.78, g2=9.54, g3=10.2, g4=10.14)
    assert codes(job) == ["JOB-001"] * 5


def test_heights_in_centimetres():
    document = raw()
    for row in document["form"]["girths"]:
        row["station_mm"] /= 10
    found = doubts(loads(json.dumps(document)))
    assert [one.code for one in found] == ["JOB-007"]
    assert "centimetres" in found[0].text()
    assert_clear(found[0].text())


def test_unknown_keys_once_each():
    document = raw()
    document["mine"] = 1
    for row in document["form"]["girths"]:
        row["weather"] = "wet"
    document["leather"]["thicknes_mm"] = 3
    found = {one.code: one for one in doubts(loads(json.dumps(document)))}
    assert set(found) == {"JOB-004", "JOB-005"}
    assert "thickness_mm" in found["JOB-004"].remedy()
    assert "(5 times in all)" in found["JOB-005"].text()


def test_a_text_that_no_longer_belongs_to_its_number():
    job = put(sample(), "form.girths[2].reading_mm", "95,4")
    assert codes(job) == []
    stale = job.model_copy(deep=True)
    stale.form.girths[2].reading_mm = 95.9
    (found,) = doubts(stale)
    assert found.code == "JOB-006"
    assert '"95,4"' in found.text()
    assert_clear(found.text())


def test_a_door_asks_about_one_field():
    job = put(Job(), "leather.thickness_mm", 0.079)
    found = doubt_at(job, ("leather", "thickness_mm"))
    assert found is not None
    assert found.proposal == "2.01 mm"
    assert doubt_at(job, ("construction", "pitch_mm")) is None


def test_ten_thousand_rows_are_looked_at():
    rows = [{"station_mm": number / 100, "reading_mm": 90} for number in range(10_000)]
    job = loads(json.dumps({"kind": "backseam.job", "version": 1, "form": {"girths": rows}}))
    assert codes(job) == ["JOB-008"]
