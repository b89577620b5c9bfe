"""learn on the command line: begin a card, print the tests, learn, forecast with it, refuse."""

from __future__ import annotations

import json

import pytest
from tests.jobs import raw
from tests.voice import assert_clear


@pytest.fixture
def card(call, tmp_path):
    path = tmp_path / "hide.json"
    assert call("learn", path, "--new", "Lot 7").code == 0
    return path


def written(path, document):
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def ring(tmp_path, **more):
    tests = {"rings": [{"handle_mm": 95, "inside_mm": 94, "pull_n": [22, 23]}]}
    return written(
        tmp_path / "t.json", {"kind": "backseam.leather-tests", "version": 1, "tests": tests, **more}
    )


def test_no_card_is_one_sentence(call, tmp_path):
    out = call("learn", tmp_path / "none.json")
    assert out.code == 2
    assert "--new" in out.beside


def test_the_sheets_and_the_file_to_type_into(call, card, tmp_path):
    assert call("learn", card, "--forms", tmp_path / "tests").code == 0
    assert (tmp_path / "tests" / "leather-tests.pdf").read_bytes().startswith(b"%PDF")
    out = call("learn", card, tmp_path / "tests" / "leather-tests.json")
    assert "No test is filled in" in out.out
    assert call("learn", card, "--forms", tmp_path / "tests").code == 2, "never over another"


def test_a_ring_is_learnt_and_the_forecast_speaks_in_newtons(call, card, tmp_path):
    out = call("learn", card, ring(tmp_path))
    assert out.code == 0
    assert "pull-in (shrinkage and springback)" in out.out
    job = raw()
    job["leather"]["card"] = card.name
    told = json.loads(call("fit", written(tmp_path / "k.json", job), "--json").out)
    assert told["calibrated"] is True
    assert " N (" in told["said"][0]


def test_a_finished_sheath_is_compared_and_next_time_said(call, card, tmp_path):
    job = raw() | {"made": {"finished_girth_mm": 93.4, "pull_n": [60, 62]}}
    path = written(tmp_path / "k.json", job)
    out = call("learn", card, path, "--look")
    for words in ("Finished girth foreseen", "Draw foreseen", "Next time:"):
        assert words in out.out
    assert "nan" not in out.out.casefold()
    assert "sheaths" not in json.loads(card.read_text()) or not json.loads(card.read_text())["sheaths"]
    told = json.loads(call("learn", card, path, "--json").out)
    assert told["written"] is True
    assert told["sheaths"] == 1


def test_another_hide_and_another_card_are_told(call, card, tmp_path):
    out = call("learn", card, ring(tmp_path, hide="Lot 9"), "--look", "--json")
    assert "LEARN-023" in [one["code"] for one in json.loads(out.out)["findings"]]
    job = raw() | {"made": {"pull_n": [20]}}
    job["leather"]["card"] = "other.json"
    out = call("learn", card, written(tmp_path / "k.json", job), "--look", "--json")
    assert "LEARN-021" in [one["code"] for one in json.loads(out.out)["findings"]]


@pytest.mark.parametrize("text", ["", "{", "[]", '{"kind": "backseam.leather", "version": 9}'])
def test_a_card_that_cannot_be_read_is_refused_by_name(call, tmp_path, text):
    (tmp_path / "bad.json").write_text(text, encoding="utf-8")
    out = call("learn", tmp_path / "bad.json")
    assert out.code == 2
    assert "bad.json" in out.beside
    job = raw()
    job["leather"]["card"] = "bad.json"
    out = call("fit", written(tmp_path / "k.json", job))
    assert out.code == 2
    assert_clear(out.beside.strip().rpartition(": ")[2])


@pytest.mark.parametrize("document", ["job", "leather-card", "leather-tests", "worked"])
def test_schemas_are_published(call, document):
    assert json.loads(call("schema", document).out)["$schema"].startswith("https://json-schema.org/")


def test_the_heat_of_a_room_is_refused_with_the_test_it_stands_in(call, card, tmp_path):
    tests = {"dryings": [{"thickness_mm": 2, "temperature_c": 80, "weights": [{"minutes": 1, "mass_g": 9}]}]}
    path = written(tmp_path / "t.json", {"kind": "backseam.leather-tests", "version": 1, "tests": tests})
    out = call("learn", card, path)
    assert out.code == 2
    assert out.beside.startswith("drying 1: At 80")
