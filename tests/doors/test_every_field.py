"""Every number of the job document, through both doors for text, with everything that can be typed wrongly into it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import pairwise

import pytest
from tests.voice import assert_clear, each, refusal_of

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Severity
from backseam.ground.sources import values
from backseam.job.document import Job
from backseam.job.doubts import doubts
from backseam.job.fields import Size, choices, sizes
from backseam.job.paths import put_raw
from backseam.job.text import job_of, loads
from backseam.job.walk import inner_part

HEAD = {"kind": "backseam.job", "version": 1}
# What stands beside a field so that its row is whole.
BESIDE = {
    "form.girths[0]": {"station_mm": 40.0},
    "form.axis.offsets[0]": {"station_mm": 40.0, "offset_mm": 3.0},
    "form.landmarks.grooves[0]": {"station_mm": 77.0},
    "made.girths[0]": {"station_mm": 40.0, "girth_mm": 94.0},
    "form.strap_correction": {"bias_mm": 0.3, "spread_mm": 0.5},
}


def parts(part=Job, front="") -> Iterator[tuple[str, type]]:
    yield front, part
    for name, field in part.model_fields.items():
        if inner := inner_part(field.annotation):
            several = "[0]" if "list[" in str(field.annotation) else ""
            yield from parts(inner, f"{front}.{name}{several}".lstrip("."))


def is_list(part, name):
    return any(word in str(part.model_fields[name].annotation) for word in ("list[", "tuple["))


NUMBERS = [
    (f"{front}.{name}".lstrip("."), size, is_list(part, name))
    for front, part in parts()
    for name, size in sizes(part).items()
]
SINGLE = [(path, size) for path, size, several in NUMBERS if not several]
WORDS = [
    (f"{front}.{name}".lstrip("."), several)
    for front, part in parts()
    for name, several in choices(part).items()
]


def document(path: str, value: object) -> dict:
    """A small job with one field set, as a raw document."""
    raw = json.loads(json.dumps(HEAD))
    front = path.rpartition(".")[0]
    for place, beside in BESIDE.items():
        if front == place:
            for key, known in beside.items():
                put_raw(
                    raw,
                    f"{place.replace('[0]', '[+]', 1) if key == next(iter(beside)) else place}.{key}",
                    known,
                )
    put_raw(raw, path, value)
    return raw


def refused_by_both(path: str, value: object) -> list[InputRefused]:
    """The refusals of the JSON door and of the door for paths."""
    raw = document(path, value)
    found = [refusal_of(loads, json.dumps(raw)), refusal_of(job_of, raw)]
    return [one for one in found if one is not None]


def test_the_walk_finds_them_all():
    assert len(NUMBERS) > 50
    assert {"leather.thickness_mm", "form.girths[0].reading_mm", "construction.hanger.belt_width_mm"} <= {
        path for path, _, _ in NUMBERS
    }


BAD = [
    "",
    " ",
    "text",
    "nan",
    "inf",
    "1e309",
    "1_0",
    "٨٦",
    "９",
    "9O",
    "3 4",
    "1,2,3",
    "--3",
    "3 parsec",
    "=3",
    "0x1",
]


@pytest.mark.parametrize(("path", "size"), SINGLE, ids=[path for path, _ in SINGLE])
def test_bad_texts_are_refused_with_place_and_remedy(path, size):
    for text in BAD:
        found = refused_by_both(path, text)
        assert len(found) == 2, (path, text)
        for one in found:
            assert_clear(str(one))
            assert str(one).startswith(path), (path, text)


@pytest.mark.parametrize(("path", "size"), SINGLE, ids=[path for path, _ in SINGLE])
def test_what_is_no_number_is_refused(path, size):
    for value in (True, False, [3], {"mm": 3}, 10**400, 1e300):
        found = refused_by_both(path, value)
        assert len(found) == 2 or value == 10**400, (path, value)
        for one in found:
            assert_clear(str(one))


@pytest.mark.parametrize(("path", "size"), SINGLE, ids=[path for path, _ in SINGLE])
def test_below_zero_zero_and_huge(path, size):
    outcomes = {}
    for value in (-1.0, 0, 1e6):
        found = refused_by_both(path, value)
        outcomes[value] = len(found)
        for one in found:
            assert_clear(str(one))
    assert outcomes[1e6] == 2
    assert size.signed or outcomes[-1.0] == 2


def usual(size: Size) -> float:
    record = values()[f"plausible.{size.kind}"]
    return record.value or record.high / 2


SIZED = [
    (path, size) for path, size in SINGLE if f"plausible.{size.kind}" in values() and size.unit != "count"
]


@pytest.mark.parametrize(("path", "size"), SIZED, ids=[path for path, _ in SIZED])
@pytest.mark.parametrize("factor", [10, 1 / 10, 25.4, 1 / 25.4, 1000, 1 / 1000])
def test_a_wrong_unit_is_refused_or_found_unless_it_is_possible(path, size, factor):
    record = values()[f"plausible.{size.kind}"]
    value = usual(size) * factor
    raw = document(path, value)
    refused = refusal_of(job_of, raw)
    if refused is not None:
        assert_clear(str(refused))
        return
    found = [one for one in doubts(job_of(raw)) if one.code in ("JOB-001", "JOB-003")]
    if record.low <= value <= record.high:
        assert found == []
        return
    assert len(found) == 1, (path, value)
    assert_clear(found[0].text())
    assert_clear(found[0].remedy())
    if found[0].code == "JOB-001":
        assert found[0].severity is Severity.STOP


@pytest.mark.parametrize(("path", "several"), WORDS, ids=[path for path, _ in WORDS])
def test_words_that_are_none_of_the_choices(path, several):
    for value in ("", "zzz", several[0][:-1] + "x", 3, True, ["x"]):
        raw = document(path, value) if path not in ("kind", "version") else {**HEAD, path: value}
        found = refusal_of(loads, json.dumps(raw))
        assert found is not None, (path, value)
        for one in each(found):
            assert_clear(str(one))


@pytest.mark.parametrize(("path", "several"), WORDS, ids=[path for path, _ in WORDS])
def test_words_in_any_case_are_taken(path, several):
    for word in several:
        raw = document(path, word.upper().replace("_", " "))
        if path == "kind":
            continue
        assert refusal_of(job_of, raw) is None


def rows(*stations: float) -> str:
    made = [{"station_mm": one, "reading_mm": 82 + one / 10, "instrument": "thread"} for one in stations]
    return json.dumps({**HEAD, "form": {"girths": made}})


def test_stations_in_any_order_are_one_job():
    from backseam.job.recipe import work

    up, down = work(loads(rows(0, 40, 95, 130))), work(loads(rows(130, 95, 40, 0)))
    assert [row.station for row in up.upper.stations] == [row.station for row in down.upper.stations]
    assert all(a <= b for a, b in pairwise(row.station for row in up.upper.stations))


@pytest.mark.parametrize("stations", [(40,), (40, 40), (0, 0, 95, 130), (0, 95, 95, 95)])
def test_one_station_or_doubled_ones_are_worked_and_told(stations):
    from backseam.job.recipe import work

    worked = work(loads(rows(*stations)))
    assert worked.findings
    for one in worked.findings:
        assert "\n" not in one.text()


def test_no_reading_at_all_is_told():
    from backseam.job.recipe import work

    refused = refusal_of(work, loads(json.dumps(HEAD)))
    assert refused is not None
    assert_clear(str(refused))


def test_ten_thousand_stations_are_read_and_told():
    job = loads(rows(*(number / 80 for number in range(10_000))))
    assert [one.code for one in doubts(job)] == ["JOB-008"]
    refused = refusal_of(loads, rows(*(number / 90 for number in range(10_001))))
    assert refused is not None
    assert "10000" in str(refused)


def test_plain_numbers_in_sentences():
    (found,) = doubts(job_of(document("construction.pitch_mm", 100 / 3)))
    assert "33.3333 mm," in found.text()
