"""The job as text: strict in, stable out."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.jobs import SAMPLES, raw
from tests.voice import assert_clear, each, refusal_of

from backseam.ground.errors import DocumentTooNew, InputRefused, SeveralRefused
from backseam.job.document import Job
from backseam.job.text import DEEPEST, LARGEST_FILE, dumps, loads, raw_job

HEAD = '{"kind": "backseam.job", "version": 1'
SAMPLE = json.dumps(raw(), indent=2, ensure_ascii=False)


@pytest.mark.parametrize("name", SAMPLES)
def test_samples_come_back_as_they_were(name):
    job = loads(json.dumps(raw(name)))
    assert loads(dumps(job)) == job
    assert dumps(loads(dumps(job))) == dumps(job)


def test_left_out_stays_left_out_and_set_stays_set():
    text = dumps(loads(HEAD + ', "construction": {"collar": "folded"}, "note": ""}'))
    assert json.loads(text) == {
        "kind": "backseam.job",
        "version": 1,
        "note": "",
        "construction": {"collar": "folded"},
    }


def test_changes_made_in_place_are_written_too():
    job = Job()
    job.form.girths.append(loads(SAMPLE).form.girths[0])
    assert len(json.loads(dumps(job))["form"]["girths"]) == 1


def test_unknown_keys_are_kept_where_they_stood():
    text = (
        HEAD
        + ', "mine": {"a": [1, null, true]}, "form": {"girths": [{"station_mm": 0, "reading_mm": 90, "x": "y"}]}}'
    )
    kept = json.loads(dumps(loads(text)))
    assert kept["mine"] == {"a": [1, None, True]}
    assert kept["form"]["girths"][0]["x"] == "y"


def test_a_number_as_text_is_read_and_kept():
    row = '{"station_mm": "9,5 cm", "reading_mm": "3 3/4 in"}'
    text = HEAD + f', "form": {{"girths": [{row}]}}, "leather": {{"thickness_mm": "5 oz"}}}}'
    job = loads(text)
    row = job.form.girths[0]
    assert (row.station_mm, row.reading_mm) == (95.0, 95.25)
    assert row.typed == {"station_mm": "9,5 cm", "reading_mm": "3 3/4 in"}
    assert job.leather.typed == {"thickness_mm": "5 oz"}


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_utf8_with_and_without_a_mark(mark):
    assert loads(mark + (HEAD + ', "title": "Høvel č š ž ł ≤"}').encode()).title == "Høvel č š ž ł ≤"


def test_words_in_any_case_and_spacing():
    job = loads(
        HEAD
        + ', "construction": {"collar": "Folded", "mouth_read": "folded piece"}, "paper": {"sheet": "a4"}}'
    )
    assert (job.construction.collar, job.construction.mouth_read, job.paper.sheet) == (
        "folded",
        "folded_piece",
        "A4",
    )


REFUSED = [
    ("", "empty"),
    ("   \n", "empty"),
    (b"\xff\xfe{\x00", "UTF-8"),
    (SAMPLE.encode("utf-16"), "UTF-8"),
    ("[]", "not a job"),
    ("null", "not a job"),
    ("{}", 'no "kind"'),
    ('{"kind": 7}', '"7"'),
    ('{"kind": "recipe"}', "not a job of Backseam"),
    ('{"kind": "backseam.worked"}', "the job file it came from"),
    ('{"kind": "backseam.job"}', "no version"),
    ('{"kind": "backseam.job", "version": true}', "no version"),
    ('{"kind": "backseam.job", "version": "1"}', "no version"),
    ('{"kind": "backseam.job", "version": 0}', "no version"),
    (SAMPLE[:700], "cut off"),
    (SAMPLE[:-3], "cut off"),
    (SAMPLE + "x", "after its end"),
    (SAMPLE.replace('"version": 1,', '"version": 1'), "comma is missing"),
    (SAMPLE.replace('"title"', "title"), "key in double quotes"),
    (SAMPLE.replace('"title":', '"title"'), "colon"),
    (SAMPLE.replace('"junction"', '"junction'), "closing quote"),
    (SAMPLE.replace('"LAV-014"', '"LAV\\-014"'), "backslash"),
    (HEAD + ', "a": NaN}', "NaN"),
    (HEAD + ',\n"a": [-Infinity]}', "Line 2"),
    (HEAD + ', "a": 1e999}', "larger than anything"),
    (HEAD + f', "a": {"9" * 5000}}}', "larger than anything"),
    (HEAD + ', "title": "a",\n "title": "b"}', 'Line 2: the key "title" stands twice'),
    (HEAD + ', "form": {"girths": [{"x": 1, "x": 2}]}}', "form.girths"),
    (HEAD + ', "title": "\\ud800"}', "U+D800"),
    (HEAD + ', "a": ' + "[" * (DEEPEST + 1) + "]" * (DEEPEST + 1) + "}", "nested"),
    ('{"a": ' + "[" * 100_000, "nested"),
    (" " * (LARGEST_FILE + 1), "5 MB"),
    ("plain text", "a value is missing"),
    ("station_mm,reading_mm\n0,82\n", "value is missing"),
]


@pytest.mark.parametrize(("text", "part"), REFUSED, ids=[part for _, part in REFUSED])
def test_what_cannot_be_taken_says_so_in_one_sentence(text, part):
    with pytest.raises(InputRefused) as refused:
        loads(text)
    assert part in str(refused.value)
    assert_clear(str(refused.value))


def test_a_newer_file_is_left_alone():
    with pytest.raises(DocumentTooNew, match="newer Backseam") as refused:
        loads('{"kind": "backseam.job", "version": 2, "strange": true}')
    assert_clear(str(refused.value))


def test_every_fault_has_its_own_sentence_and_place():
    text = HEAD + (
        ', "date": "2026-13-45", "leather": {"thickness_mm": [22]}, "construction": '
        '{"collar": "fold", "tool_teeth": 3.5},'
        ' "form": {"girths": [{"reading_mm": true}, {"station_mm": "1,234", "over_film": "x"}], "axis": 3}}'
    )
    with pytest.raises(SeveralRefused) as refused:
        loads(text)
    told = {".".join(map(str, one.where)): str(one) for one in each(refused.value)}
    assert set(told) == {
        "date",
        "leather.thickness_mm.0",
        "construction.collar",
        "construction.tool_teeth",
        "form.girths.0.station_mm",
        "form.girths.0.reading_mm",
        "form.girths.1.station_mm",
        "form.girths.1.over_film",
        "form.axis",
    }
    for one in told.values():
        assert_clear(one)
    assert "ten times too much: 2.2 mm?" in told["leather.thickness_mm.0"]
    assert "folded?" in told["construction.collar"]


def test_hundreds_of_faults_are_cut_short():
    rows = ", ".join('{"reading_mm": 1}' for _ in range(300))
    with pytest.raises(SeveralRefused) as refused:
        loads(HEAD + f', "form": {{"girths": [{rows}]}}}}')
    assert len(refused.value.each) == 21
    assert str(refused.value.each[-1]) == "And 280 more of the kind. Mend these first."


def test_the_frozen_sample_of_version_1_still_opens():
    job = loads((Path(__file__).parent / "frozen" / "version_1.json").read_bytes())
    assert (job.title, job.form.girths[0].reading_mm, job.leather.thickness_mm) == (
        "Frozen knife",
        82.0,
        [2.0, 2.1],
    )
    assert raw_job(job)["later"] == {"kept": True}


@given(st.binary(max_size=300))
def test_any_bytes_are_a_job_or_refused(data):
    refused = refusal_of(loads, data)
    assert refused is None or str(refused)


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=12,
)
_keys = [
    "form",
    "leather",
    "construction",
    "paper",
    "title",
    "girths",
    "station_mm",
    "reading_mm",
    "thickness_mm",
]
_keys += [
    "axis",
    "sections",
    "landmarks",
    "typed",
    "instrument",
    "hanger",
    "kind",
    "offcut_mm",
    "grooves",
    "points_mm",
]
_near = st.recursive(
    _json,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(_keys), inner, max_size=4),
    max_leaves=15,
)


@given(st.dictionaries(st.sampled_from(_keys[:5]), _near))
def test_any_json_in_the_shape_of_a_job_is_taken_or_refused(parts):
    text = json.dumps({**parts, "kind": "backseam.job", "version": 1})
    refused = refusal_of(loads, text)
    if refused is None:
        assert loads(dumps(loads(text))) == loads(text)
    else:
        assert all(str(one) for one in each(refused))


_number = st.floats(0.01, 900).map(lambda value: round(value, 4))
_instrument = st.sampled_from(["thread", "strap_butted"])
_row = st.fixed_dictionaries(
    {"station_mm": _number},
    optional={
        "reading_mm": _number,
        "instrument": st.sampled_from(["thread", "strap_butted"]),
        "note": st.text(max_size=30),
    },
)


@given(
    st.lists(_row, max_size=6), st.text(alphabet=st.characters(exclude_categories=["C", "Z"]), max_size=30)
)
def test_round_trip(rows, title):
    raw = {"kind": "backseam.job", "version": 1, "title": title, "form": {"girths": rows}}
    job = loads(json.dumps(raw))
    assert loads(dumps(job)) == job
    assert dumps(loads(dumps(job))) == dumps(job)
    assert [row.reading_mm for row in job.form.girths] == [row.get("reading_mm") for row in rows]
