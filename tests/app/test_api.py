"""The API: what the pages ask of it, every refusal a sentence, and nothing changed by looking."""

from __future__ import annotations

import io
import json
import time
import zipfile
from hashlib import sha256

import pypdfium2 as pdfium
import pytest
from tests.app.conftest import sample
from tests.voice import assert_clear

from backseam.app.naming import file_name
from backseam.ground.speech import Speech, words
from backseam.intake.rooms import minutes_of, room_of, weighings_of
from backseam.job import forecast, leather_card
from backseam.job.hand_line import hand_line
from backseam.job.leather_card import with_card
from backseam.job.recipe import work
from backseam.job.text import loads
from backseam.job.told_json import dry_told
from backseam.store import copies


def refused(answer, status=422):
    """The body of a refusal, and that it is one."""
    assert answer.status_code == status, answer.text
    body = answer.json()
    assert body["code"]
    assert_clear(body["text"])
    return body


# --- drawing ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["barrel", "bent-inside", "sideways", "slim", "stout", "tube"])
def test_the_hand_line_at_once_is_that_of_the_whole_work(name):
    whole = work(loads(json.dumps(sample(name)))).upper.hand.dots
    wanted = {round(float(y), 3): float(x) for x, y in whole}
    quick = {round(row.station, 3): row.half_width for row in hand_line(sample(name)).rows}
    assert wanted
    assert all(quick[y] == pytest.approx(x, abs=1e-9) for y, x in wanted.items())


def test_a_row_that_cannot_be_taken_is_named_and_the_others_stay(client):
    document = sample()
    document["form"]["girths"][1]["reading_mm"] = -3
    document["form"]["girths"][3]["station_mm"] = "high"
    document["construction"] = {**document.get("construction", {}), "pitch_mm": 900}
    told = client.post("/api/hand", json={"document": document}).json()
    assert [row["reading"] for row in told["stations"]] == [0, 2, 4]
    places = [tuple(one["where"]) for one in told["refused"]]
    assert ("form", "girths", 1, "reading_mm") in places
    assert ("form", "girths", 3, "station_mm") in places
    for one in told["refused"]:
        assert_clear(one["text"])


def test_work_answers_with_the_worked_job(client):
    told = client.post("/api/work", json={"document": sample(), "client": "a", "seq": 3}).json()
    assert told["seq"] == 3
    whole = work(loads(json.dumps(sample())))
    assert told["worked"]["seam"]["count"] == whole.seam.count
    assert [leg["key"] for leg in told["way"]][:2] == ["ask", "measure"]
    assert len(told["findings"]) == len(whole.findings)


def test_a_document_that_cannot_be_worked_from_names_the_field(client):
    document = sample()
    document["form"]["girths"][2]["reading_mm"] = "ninety"
    body = refused(client.post("/api/work", json={"document": document}))
    assert body["where"] == ["form", "girths", 2, "reading_mm"]
    assert not body["text"].startswith("form.")
    empty = refused(client.post("/api/work", json={"document": {"kind": "backseam.job", "version": 1}}))
    assert empty["where"] == ["form", "girths"]
    newer = refused(client.post("/api/work", json={"document": {"kind": "backseam.job", "version": 99}}))
    assert newer["code"] == "newer"


@pytest.mark.parametrize(
    "body",
    ['{"document": NaN}', '{"document": 1, "document": 2}', "{", "[]", '"x"', "", '{"document": 1e999}']
    + ["[" * 3000, '{"document": {"title": "\\ud800"}}', '{"document": 3}', "{}", '{"document": null}'],
)
def test_a_body_is_read_as_strictly_as_a_file(client, body):
    refused(client.post("/api/work", content=body, headers={"content-type": "application/json"}))


def test_fit_says_it_in_words_and_the_mouth_can_be_tried(client):
    told = client.post("/api/fit", json={"document": sample()}).json()
    assert told["verdict"] == told["words"][0]
    assert len(told["matters"]) == 3
    assert told["force"].startswith("<?xml")
    for band in told["bands"]:
        assert band["low"] <= band["middle"] <= band["high"]
    higher = client.post("/api/fit", json={"document": sample(), "mouth_above_thickest_mm": 20}).json()
    assert higher["bands"] != told["bands"]


def test_the_form_is_cut_and_stands_in_three_dimensions(client):
    given = {"document": sample()}
    cut = client.post("/api/section", json={**given, "station_mm": 100}).json()
    assert cut["svg"].startswith("<svg")
    assert 2 * (cut["width_mm"] + cut["depth_mm"]) > cut["girth_mm"] > 2 * cut["depth_mm"]
    assert client.post("/api/solid", json=given).content.startswith(b"glTF")


def test_drawings_places_and_gates_come_with_the_work(client):
    told = client.post("/api/work", json={"document": sample(), "views": ["front", "piece"]}).json()
    assert set(told["drawings"]) == {"front", "piece"}
    assert {"mouth", "thickest"} <= {place["key"] for place in told["places"]}
    assert told["gates"]
    assert told["gates"][0]["state"] == "open"


def test_an_old_pattern_is_found_for_a_new_knife(client):
    told = client.post("/api/match", json={"readings": "0:82 95:95,4 140:102 147:101"}).json()
    assert {"barrel", "slim", "stout"} <= {one["name"] for one in told["matches"]}
    assert told["matches"][0]["name"] == "barrel"
    refused(client.post("/api/match", json={"readings": "nothing"}))


def test_today_sees_a_job_at_a_glance(client):
    told = client.get("/api/jobs/barrel/glance").json()
    assert told["thumbnail"].startswith("<svg")
    assert len(told["way"]) == 8
    assert told["next"]["text"]


def test_why_names_the_reading_that_moves_a_hole(client):
    told = client.post("/api/why", json={"document": sample("tube"), "what": "thread"}).json()
    assert_clear(told["text"])
    moves = [one["moves_mm"] for one in told["reasons"]]
    assert moves == sorted(moves, reverse=True)
    refused(client.post("/api/why", json={"document": sample("tube"), "what": "hole:999"}))
    begun = time.monotonic()
    client.post("/api/why", json={"document": sample("tube"), "what": "hole:3"})
    assert time.monotonic() - begun < 1.0  # the same job with its inputs moved is known by now


def test_a_pasted_table_becomes_readings(client):
    told = client.post("/api/paste", json={"text": "station_mm\treading_mm\n40\t87,8\n95\t95,4\n"}).json()
    assert [row["reading_mm"] for row in told["readings"]] == [87.8, 95.4]
    refused(client.post("/api/paste", json={"text": "  "}))
    refused(client.post("/api/paste", json={"text": "a\tb\n1\t2\n"}))


# --- the sheath -------------------------------------------------------------------------------------------------


def test_drying_hang_rescue_and_faults_answer(client):
    given = {"document": sample()}
    dry = client.post("/api/dry", json={**given, "room": "19 C, 55 %", "start": "14:00"}).json()
    assert dry["minutes"]["soaked"][0] > 0
    body = refused(client.post("/api/dry", json={**given, "room": "warm"}))
    assert body["where"] == ["room"]
    refused(client.post("/api/dry", json={**given, "start": "25:00"}))
    assert client.post("/api/hang", json=given).json()["mass_g"] > 0
    rescue = client.post("/api/rescue", json={**given, "found": {"holes_left": "36", "row_gap_mm": "3,5"}})
    assert rescue.json()["ways"]
    refused(client.post("/api/rescue", json={**given, "found": {"nothing": "1"}}))
    every = client.post("/api/diagnose", json={}).json()
    found = client.post("/api/diagnose", json={"symptom": every[0]["symptom"], **given}).json()
    assert found["for_this_job"]
    assert sum(cause["share"] for cause in found["causes"]) == pytest.approx(1, abs=0.02)


def test_weights_while_it_dries_narrow_the_clock_as_on_the_command_line(client):
    given = {"document": sample(), "room": "19 C, 55 %", "start": "14:00", "piece": "60 g", "form": "190 g"}
    rows = ["21:00 270,5 g", "23:00 266 g", "7:10 259 g"]
    guessed = client.post("/api/dry", json=given).json()
    told = client.post("/api/dry", json={**given, "weigh": rows}).json()
    assert guessed["drying"] is None
    low, _, high = told["minutes"]["wax"]
    assert high - low < guessed["minutes"]["wax"][2] - guessed["minutes"]["wax"][0]
    assert "still to go" in told["drying"]["said"]
    assert told["water"] != guessed["water"]
    weighings = weighings_of(rows, minutes_of("14:00"))
    own = forecast.timetable(
        work(loads(json.dumps(sample()))), room_of("19 C, 55 %"), weighings=weighings, piece=60.0, form=190.0
    )
    assert told["minutes"] == dry_told(own, Speech("mm"))["minutes"]
    for more, where in (
        ({"weigh": ["21:00 270 g", "heavy"]}, ["weigh", 1]),
        ({"weigh": ["6 h -3 g"]}, ["weigh", 0]),
        ({"piece": "a lot"}, ["piece"]),
        ({"weigh": rows, "start": None}, ["start"]),
        ({"room": "warm"}, ["room"]),
    ):
        assert refused(client.post("/api/dry", json={**given, **more}))["where"] == where


def test_long_work_says_how_far_it_is_and_gives_its_result(client):
    begun = client.post("/api/moulding", json={"document": sample("tube")})
    assert begun.status_code == 202
    task = begun.json()["task"]
    refused(client.get(f"/api/tasks/{task}/result"), 409)
    until = time.monotonic() + 60
    while client.get(f"/api/tasks/{task}").json()["state"] not in ("done", "refused"):
        assert time.monotonic() < until
        time.sleep(0.1)
    assert client.get(f"/api/tasks/{task}").json()["state"] == "done"
    assert "map" in client.get(f"/api/tasks/{task}/result").json()
    refused(client.get("/api/tasks/none"), 404)


def test_long_work_stops_when_it_is_asked_to(client):
    task = client.post("/api/moulding", json={"document": sample("stout")}).json()["task"]
    client.delete(f"/api/tasks/{task}")
    until = time.monotonic() + 20
    while client.get(f"/api/tasks/{task}").json()["state"] in ("waiting", "working"):
        assert time.monotonic() < until
        time.sleep(0.05)
    assert client.get(f"/api/tasks/{task}").json()["state"] == "stopped"


# --- the book ---------------------------------------------------------------------------------------------------


def test_a_new_book_has_three_samples(client):
    lines = client.get("/api/jobs").json()["lines"]
    assert {"barrel", "slim", "stout"} <= {line["id"] for line in lines}
    found = client.get("/api/jobs?search=rowan").json()["lines"]
    assert found
    assert all("rowan" in line["title"].lower() for line in found)


def test_a_save_takes_the_next_revision_and_a_stale_one_is_shown_both(client, job):
    document = client.get(f"/api/jobs/{job}").json()["document"]
    mine, theirs = json.loads(json.dumps(document)), json.loads(json.dumps(document))
    theirs["form"]["girths"][1]["reading_mm"] = 88.1
    mine["title"] = "Mine"
    saved = client.put(f"/api/jobs/{job}", json={"document": theirs, "revision": 1, "mark": "theirs"})
    assert saved.json()["revision"] == 2
    body = refused(client.put(f"/api/jobs/{job}", json={"document": mine, "revision": 1}), 409)
    assert body["code"] == "saved_elsewhere"
    assert body["theirs"]["revision"] == 2
    assert body["theirs"]["document"] == theirs
    assert {tuple(one["where"]) for one in body["differences"]} == {
        ("title",),
        ("form", "girths", 1, "reading_mm"),
    }
    assert client.get(f"/api/jobs/{job}").json()["document"] == theirs


def test_history_differences_and_restore(client, job):
    document = client.get(f"/api/jobs/{job}").json()["document"]
    changed = {**document, "title": "Second"}
    client.put(f"/api/jobs/{job}", json={"document": changed, "revision": 1})
    history = client.get(f"/api/jobs/{job}/history").json()["history"]
    assert [line["revision"] for line in history] == [2, 1]
    told = client.get(f"/api/jobs/{job}/differences?earlier=1&later=2").json()["differences"]
    assert told == [{"where": ["title"], "name": "title", "earlier": document["title"], "later": "Second"}]
    back = client.post(f"/api/jobs/{job}/restore", json={"revision": 1, "current": 2}).json()
    assert (back["revision"], back["document"]) == (3, document)
    refused(client.get(f"/api/jobs/{job}/history/77"), 404)


def test_removed_brought_back_and_copied(client, job):
    refused(client.delete(f"/api/jobs/{job}?revision=9"), 409)
    assert client.delete(f"/api/jobs/{job}?revision=1").status_code == 204
    refused(client.get(f"/api/jobs/{job}"), 404)
    assert client.post(f"/api/jobs/{job}/bring-back").status_code == 200
    copy = client.post(f"/api/jobs/{job}/duplicate").json()
    assert copy["title"].endswith("(copy)")
    out = client.get(f"/api/jobs/{copy['id']}/export")
    assert out.headers["content-disposition"].startswith("attachment; filename=")
    assert loads(out.content).title == copy["title"]


def test_what_cannot_be_kept_is_refused_and_nothing_is_written(client, book, job):
    before = client.get("/api/jobs").json()
    document = client.get(f"/api/jobs/{job}").json()["document"]
    document["leather"] = {"thickness_mm": "thick"}
    refused(client.put(f"/api/jobs/{job}", json={"document": document, "revision": 1}))
    refused(client.post("/api/jobs", json={"document": {"kind": "backseam.job"}}))
    refused(client.get("/api/leather/barrel"), 404)
    assert client.get("/api/jobs").json() == before


def test_workshop_defaults_stand_under_a_fresh_job(client):
    kept = client.get("/api/settings").json()
    wrong = {**kept["document"], "defaults": {"leather": {"thickness_mm": "thick"}}}
    refused(client.put("/api/settings", json={"document": wrong, "revision": kept["revision"]}))
    right = {**kept["document"], "defaults": {"leather": {"thickness_mm": "2,4", "tight": "across"}}}
    saved = client.put("/api/settings", json={"document": right, "revision": kept["revision"]}).json()
    refused(client.put("/api/settings", json={"document": right, "revision": 77}), 409)
    bare = {"kind": "backseam.job", "version": 1, "leather": {"thickness_mm": 3}}
    made = client.post("/api/jobs", json={"document": bare, "fresh": True}).json()["id"]
    leather = client.get(f"/api/jobs/{made}").json()["document"]["leather"]
    assert leather["thickness_mm"] == [3]
    assert leather["tight"] == "across"
    client.put("/api/settings", json={"document": kept["document"], "revision": saved["revision"]})


def test_a_hide_learns_from_a_ring(client):
    card = {"kind": "backseam.leather", "version": 1, "title": "Shoulder", "part": "shoulder"}
    id = client.post("/api/leather", json={"document": card}).json()["id"]
    ring = {"handle_mm": 100, "inside_mm": 99, "pull_n": "20"}
    tests = {"kind": "backseam.leather-tests", "version": 1, "tests": {"rings": [ring]}}
    told = client.post(f"/api/leather/{id}/learn", json={"tests": tests}).json()
    assert told["revision"] == 2
    assert told["told"]
    assert client.get(f"/api/leather/{id}").json()["document"]["values"]
    assert client.get(f"/api/leather/{id}/tests.pdf").content.startswith(b"%PDF")
    refused(client.post(f"/api/leather/{id}/learn", json={}))
    refused(client.post(f"/api/leather/{id}/learn", json={"job": "none"}), 404)


# --- the hide a job is cut from ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def hide(client) -> str:
    """A hide 3 mm thick, measured on a trial ring, a rod and a drying blank; its number in the book."""
    card = {"kind": "backseam.leather", "version": 1, "title": "Lot 7", "id": "lot-7", "part": "bend"}
    made = client.post("/api/leather", json={"document": {**card, "thickness_mm": [3.0]}}).json()["id"]
    weights = ((60, 187.3), (300, 179), (900, 168.2), (1500, 164.3))
    drying = {
        "thickness_mm": 2,
        "piece_g": 60,
        "form_g": 100,
        "weights": [{"minutes": m, "mass_g": g} for m, g in weights],
    }
    tests = {
        "rings": [{"handle_mm": 95, "inside_mm": 93.2, "pull_n": "41; 43"}],
        "straps": [{"rod_mm": 30, "thickness_mm": 2, "readings_mm": [99.5, 99.6]}],
        "dryings": [drying],
    }
    sheet = {"kind": "backseam.leather-tests", "version": 1, "tests": tests}
    told = client.post(f"/api/leather/{made}/learn", json={"tests": sheet})
    assert told.json()["told"], told.text
    return str(made)


def cut_from(card: str) -> dict:
    """The barrel, one reading by a thread, cut from a hide whose thickness and part stand on its card alone."""
    document = sample()
    document["form"]["girths"][1]["instrument"] = "thread"
    document["leather"] = {"tight": "along", "card": card}
    return document


def test_what_a_hide_taught_moves_every_answer(client, hide):
    for path, more in (
        ("hand", {}),
        ("work", {"views": ["piece"]}),
        ("fit", {}),
        ("dry", {}),
        ("hang", {}),
        ("rescue", {"found": {"holes_left": "36", "row_gap_mm": "3,5"}}),
        ("diagnose", {"symptom": "loose_fit"}),
        ("section", {"station_mm": 90}),
        ("why", {"what": "hole:12"}),
    ):
        known, bare = (
            client.post(f"/api/{path}", json={"document": cut_from(card), **more})
            for card in (hide, "a hide nobody knows")
        )
        assert known.status_code == bare.status_code == 200, known.text
        if path != "section":  # the form itself is of wood
            assert known.json() != bare.json(), path
        if path == "work":
            codes = [{one["code"] for one in told.json()["findings"]} for told in (known, bare)]
            assert "LEARN-022" in codes[1] - codes[0]


def test_a_hide_goes_by_its_number_its_title_and_its_own_name(client, hide):
    bands = [
        client.post("/api/fit", json={"document": cut_from(card)}).json()["bands"]
        for card in (hide, "Lot 7", "lot-7", "lot-7.json")
    ]
    assert bands[1:] == bands[:1] * 3
    whole = with_card(loads(json.dumps(cut_from(hide))), card_of(client, hide))
    told = forecast.hold(work(whole))
    assert bands[0][0]["middle"] == pytest.approx(float(told.draw.middle), abs=0.01)


def card_of(client, hide):
    """The card as it lies in the book."""
    return leather_card.loads(client.get(f"/api/leather/{hide}/export").content)


def test_what_a_hide_is_taught_moves_the_fit_at_once(client):
    card = {"kind": "backseam.leather", "version": 1, "title": "Learns", "part": "shoulder"}
    id = client.post("/api/leather", json={"document": card}).json()["id"]
    document = sample()
    document["leather"]["card"] = id
    before = client.post("/api/fit", json={"document": document}).json()
    ring = {"handle_mm": 100, "inside_mm": 96, "pull_n": "45"}
    tests = {"kind": "backseam.leather-tests", "version": 1, "tests": {"rings": [ring]}}
    client.post(f"/api/leather/{id}/learn", json={"tests": tests})
    after = client.post("/api/fit", json={"document": document}).json()
    assert after["bands"] != before["bands"]
    assert after["calibrated"] != before["calibrated"] or after["words"] != before["words"]


def test_papers_match_and_moulding_reckon_with_the_hide(client, hide):
    ids = [
        client.post("/api/jobs", json={"document": cut_from(card)}).json()["id"] for card in (hide, "unknown")
    ]
    stamps = [client.get(f"/api/jobs/{id}/papers").json()["stamp"] for id in ids]
    assert stamps[0] != stamps[1]
    told = client.post("/api/match", json={"readings": "0:82 95:95,4 140:102 147:101"}).json()
    found = {one["name"]: one for one in told["matches"]}
    assert found[ids[0]]["hold"] != found[ids[1]]["hold"]
    for id in ids:
        assert client.get(f"/api/jobs/{id}/glance").json()["thumbnail"]
        client.delete(f"/api/jobs/{id}?revision=1")


def test_a_damaged_or_foreign_card_keeps_nobody_from_the_job(client):
    wrong = {
        "kind": "backseam.leather",
        "version": 1,
        "title": "Odd",
        "own": [{"name": "no.such", "value": 1}],
    }
    id = client.post("/api/leather", json={"document": wrong}).json()["id"]
    body = refused(client.post("/api/work", json={"document": cut_from(id)}))
    assert body["where"] == ["leather", "card"]
    for card in (7, None, ["x"], {"a": 1}):
        document = {**sample(), "leather": {"thickness_mm": 2.5, "card": card}}
        assert client.post("/api/work", json={"document": document}).status_code in (200, 422)


def test_a_sheath_of_another_hide_is_learnt_with_a_note(client, hide):
    document = {**sample(), "made": {"finished_girth_mm": 100.5, "pull_n": [22]}}
    document["leather"]["card"] = "another hide"
    job = client.post("/api/jobs", json={"document": document}).json()["id"]
    told = client.post(f"/api/leather/{hide}/learn", json={"job": job}).json()
    assert "LEARN-021" in {one["code"] for one in told["findings"]}


def test_backups_are_made_listed_and_come_back(client, job):
    first = client.post("/api/backups").json()["backups"][0]
    document = client.get(f"/api/jobs/{job}").json()["document"]
    client.put(f"/api/jobs/{job}", json={"document": {**document, "title": "Later"}, "revision": 1})
    client.post(f"/api/backups/{first['name']}/restore")
    back = client.get(f"/api/jobs/{job}").json()
    assert (back["document"]["title"], back["revision"]) == (document["title"], 3)  # numbers never go back
    refused(client.put(f"/api/jobs/{job}", json={"document": document, "revision": 2}), 409)
    refused(client.post("/api/backups/none/restore"), 404)


def test_a_job_comes_back_from_its_plain_copy(client, app, job):
    house = app.state.house
    first = client.get(f"/api/jobs/{job}").json()["document"]
    house.keep_copies()
    (name,) = [one["name"] for one in client.get("/api/copies").json()["copies"] if one["id"] == job]
    client.put(f"/api/jobs/{job}", json={"document": {**first, "title": "Later"}, "revision": 1})
    back = client.post(f"/api/copies/{name}/restore").json()
    assert (back["document"], back["revision"], back["mark"]) == (first, 3, "copy")
    assert client.get(f"/api/jobs/{job}/history/2").json()["document"]["title"] == "Later"
    client.delete(f"/api/jobs/{job}?revision=3")  # taken out: it comes back
    assert client.post(f"/api/copies/{name}/restore").json()["id"] == job
    house.book.connection.execute("UPDATE document SET title = 'x' WHERE id = ?", (job,))
    house.book.connection.execute("UPDATE revision SET title = 'x' WHERE id = ?", (job,))
    new = client.post(f"/api/copies/{name}/restore").json()  # past mending: it comes back as another
    assert new["id"] != job
    assert new["document"] == first
    house.book.connection.execute("DELETE FROM revision WHERE id = ?", (job,))
    house.book.connection.execute("DELETE FROM document WHERE id = ?", (job,))
    assert client.post(f"/api/copies/{name}/restore").json()["document"] == first  # burnt: it comes back
    assert client.get(f"/api/jobs/{job}").json()["document"] == first
    (copies.folder(house.path) / name).write_text("{")
    refused(client.post(f"/api/copies/{name}/restore"))
    refused(client.post("/api/copies/none/restore"), 404)


def test_files_from_outside_each_come_in_or_say_why_not(client):
    sent = [
        ("files", ("a.json", json.dumps(sample("slim")))),
        ("files", ('../<b>".json', b"{")),
        ("files", ("c.png", b"\x89PNG")),
    ]
    told = client.post("/api/import", files=sent).json()
    assert len(told["jobs"]) == 1
    assert len(told["refused"]) == 2
    for one in told["refused"]:
        assert_clear(one["text"])
    refused(client.post("/api/import", files=[("files", ("x", b"{}"))] * 21), 413)


# --- papers -----------------------------------------------------------------------------------------------------


def test_papers_are_listed_looked_at_and_fetched(client):
    told = client.get("/api/jobs/tube-none/papers")
    refused(told, 404)
    id = client.post("/api/jobs", json={"document": sample("tube")}).json()["id"]
    listed = client.get(f"/api/jobs/{id}/papers").json()
    names = {paper["name"]: paper for paper in listed["papers"]}
    assert not listed["stopped"]
    assert names["pattern"]["pages"] >= 1
    page = client.get(f"/api/jobs/{id}/papers/pattern/1.png")
    assert page.content.startswith(b"\x89PNG")
    refused(client.get(f"/api/jobs/{id}/papers/pattern/99.png"), 404)
    refused(client.get(f"/api/jobs/{id}/papers/none.pdf"), 404)
    whole = pdfium.PdfDocument(client.get(f"/api/jobs/{id}/papers/all.pdf").content)
    cards = [p for p in listed["papers"] if "pdf" in str(p["files"]) and p["name"] != "setting-out"]
    assert len(whole) == sum(paper["pages"] for paper in cards)
    folder = zipfile.ZipFile(io.BytesIO(client.get(f"/api/jobs/{id}/papers/all.zip").content))
    assert set(folder.namelist()) == {file for paper in listed["papers"] for file in paper["files"]}
    assert client.get(f"/api/jobs/{id}/papers/holes.csv").headers["content-type"] == "text/csv; charset=utf-8"
    for file in (*names["pattern"]["files"], "stations.csv", "holes.csv"):
        got = client.get(f"/api/jobs/{id}/papers/{file}")
        assert got.status_code == 200
        assert got.headers["content-disposition"].startswith("attachment")
        assert got.content == folder.read(file)


# --- all of it --------------------------------------------------------------------------------------------------


def test_looking_changes_nothing(client, book, app):
    """The book's bytes before and after every GET."""
    before = sha256(book.read_bytes()).hexdigest()
    for path, methods in app.openapi()["paths"].items():
        if "get" in methods and "papers" not in path:
            real = path.replace("{id}", "barrel").replace("{revision}", "1").replace("{name}", "job")
            client.get(real.replace("{task}", "x"), params={"earlier": 1, "later": 1})
    for page in ("/", "/new", "/welcome", "/jobs/barrel", "/leather", "/papers", "/settings"):
        assert client.get(page).status_code == 200, page
    assert sha256(book.read_bytes()).hexdigest() == before


def test_the_api_is_published_with_examples(client):
    told = client.get("/api/openapi.json").json()
    assert told["components"]["schemas"]["Refused"]
    for path, methods in told["paths"].items():
        if path.startswith("/api/"):
            for method, one in methods.items():
                assert one["summary"], path
                assert "4XX" in one["responses"], (method, path)
    assert "examples" in json.dumps(told["components"]["schemas"]["WorkAsked"])


def test_every_sentence_of_the_api_is_one():
    for table in ("guard", "http", "body", "refused"):
        for text in words("en", "api")[table].values():
            assert_clear(text.format_map({"name": "title", "most": 20, "size": 3}))


def test_what_is_asked_wrongly_is_a_sentence_too(client):
    for path, status in (("/api/nothing", 404), ("/api/work", 405), ("/api/schema/none", 422)):
        refused(client.get(path), status)
    refused(client.post("/api/work", json={"document": sample(), "seq": -1}))
    refused(client.post("/api/work", json={"document": sample(), "views": ["above"]}))
    refused(client.post("/api/work", content=b"x", headers={"content-type": "text/plain"}))


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("../../etc/passwd", "etc-passwd.pdf"),
        ("CON", "job.pdf"),
        ("", "job.pdf"),
        ("a" * 200, "a" * 60 + ".pdf"),
        ('"; rm -rf /', "rm-rf.pdf"),
        ("Puukko \u202egnp.exe", "Puukko-gnp-exe.pdf"),
        ("LPT1.x", "LPT1-x.pdf"),
        ("\r\nSet-Cookie: a=b", "Set-Cookie-a-b.pdf"),
    ],
)
def test_file_names_are_cleaned(text, name):
    assert file_name(text, "pdf") == name


def test_the_list_of_the_api_names_every_address(client):
    told = client.get("/api").text
    for path in ("/api/work", "/api/jobs/{id}/restore", "/api/leather/{id}/learn", "/api/backups"):
        assert path in told
