"""The page of a hide: every bench test can be typed in, what was read stands there, words only from the books."""

from __future__ import annotations

import re

import pytest
from tests.app.conftest import sample
from tests.app.nasty import SHELF
from tests.app.test_text import tree

from backseam.app.bench_forms import ORDER, bench_forms, part_of
from backseam.ground.speech import Speech
from backseam.job.leather_tests import BLANK, LISTS, READ

HIDDEN = {"typed", "left_out", "note", "date"}


def forms(units="mm"):
    return {form["list"]: form for form in bench_forms(Speech(units))}


def test_each_kind_of_test_has_a_form_with_all_its_fields():
    assert set(ORDER) == set(LISTS)
    assert set(forms()) == set(READ)
    for name, many in LISTS.items():
        form = forms()[many]
        keys = {field["key"] for field in form["fields"]} | ({form["rows"]["key"]} if form["rows"] else set())
        assert keys == set(part_of(name).model_fields) - HIDDEN
        assert set(READ[many]) <= keys
        assert len(form["steps"]) == 3


def test_the_forms_ask_what_the_printed_sheets_ask():
    for many, blank in BLANK:
        form = forms()[many]
        keys = {field["key"] for field in form["fields"]} | ({form["rows"]["key"]} if form["rows"] else set())
        assert set(blank) <= keys | HIDDEN, many


def test_the_forms_speak_the_units_of_the_workshop():
    handle = {units: forms(units)["rings"]["fields"][0] for units in ("mm", "inch")}
    assert (handle["mm"]["label"], handle["inch"]["label"]) == ("Handle, mm", "Handle, in")
    assert handle["mm"]["hint"] == "Bare girth of the handle where the ring sat."
    rod = {units: forms(units)["straps"]["fields"][0]["usual"] for units in ("mm", "inch")}
    assert rod == {"mm": "30.0", "inch": "1.181"}
    for form in forms().values():
        for field in (*form["fields"], *(form["rows"]["fields"] if form["rows"] else ())):
            assert not re.search(r"\bTrue\b|mm\.$|_", field["hint"] + field["label"]), field


@pytest.fixture(scope="module")
def hide(client):
    card = {"kind": "backseam.leather", "version": 1, "title": "Bend 3", "part": "bend", "thickness_mm": [3]}
    id = client.post("/api/leather", json={"document": card}).json()["id"]
    tests = {
        "rings": [{"handle_mm": 95, "inside_mm": "93,6", "pull_n": "22; 24"}],
        "tilts": [{"side": "flesh", "angles_deg": [19, 20]}],
        "strips": [{"direction": "along", "thickness_mm": 2, "loads": [{"mass_g": 1000, "length_mm": 102}]}],
    }
    sheet = {"kind": "backseam.leather-tests", "version": 1, "tests": tests}
    client.post(f"/api/leather/{id}/learn", json={"tests": sheet})
    return str(id)


def test_what_was_read_stands_on_the_page_and_can_be_left_out_and_taken_in_again(client, hide):
    def page():
        return client.get(f"/leather/{hide}").text

    first = page()
    for said in ("girth inside 93,6, pull 22; 24", "flesh, angles 19; 20", "along, loads: 1"):
        assert said in first
    known = client.get(f"/api/leather/{hide}").json()["document"]["values"]
    out = client.post(f"/api/leather/{hide}/learn", json={"without": ["ring 1"]}).json()
    assert out["told"]
    assert 'data-again="ring 1"' in page()
    back = client.post(f"/api/leather/{hide}/learn", json={"again": ["ring 1"]})
    assert back.status_code == 200
    assert 'data-without="ring 1"' in page()
    assert client.get(f"/api/leather/{hide}").json()["document"]["values"] == known
    gone = client.post(f"/api/leather/{hide}/learn", json={"again": ["ring 9"]})
    assert gone.status_code == 422


def test_jobs_cut_from_a_hide_are_told_from_the_others(client, hide):
    document = sample()
    document["leather"]["card"] = hide
    document["title"] = "Cut from bend 3"
    job = client.post("/api/jobs", json={"document": document}).json()["id"]
    text = client.get(f"/leather/{hide}").text
    assert f'data-learn="{job}"' in text
    assert f'<option value="{job}"' not in text
    listing = client.get("/leather").text
    assert "3 tests, 1 job" in listing


def test_a_job_is_no_hide(client, job):
    assert client.get(f"/leather/{job}").status_code == 404


def test_the_page_has_the_same_elements_whatever_a_hide_is_called(client):
    card = {"kind": "backseam.leather", "version": 1, "title": "birch", "note": "birch"}
    id = client.post("/api/leather", json={"document": card}).json()["id"]
    client.post(f"/api/leather/{id}/learn", json={"tests": sheet_of("2026-11-20", "birch")})
    pages = (f"/leather/{id}", "/leather")
    wanted = [tree(client.get(page).text).elements for page in pages]
    for text in SHELF:
        kept = client.get(f"/api/leather/{id}").json()
        document = {**kept["document"], "title": text, "note": text}
        document["tests"]["rings"][0]["note"] = text
        saved = client.put(f"/api/leather/{id}", json={"document": document, "revision": kept["revision"]})
        if saved.status_code == 200:
            assert [tree(client.get(page).text).elements for page in pages] == wanted, text
    client.delete(f"/api/leather/{id}?revision={client.get(f'/api/leather/{id}').json()['revision']}")


def sheet_of(date, note):
    ring = {"handle_mm": 95, "inside_mm": "93,6", "date": date, "note": note}
    return {"kind": "backseam.leather-tests", "version": 1, "tests": {"rings": [ring]}}
