"""match on samples: for people, for machines, folders, files that do not read, what is typed wrongly."""

from __future__ import annotations

import json

import pytest
from tests.jobs import raw

OWN = "0:82 95:95,4 140:102"


@pytest.fixture
def folder(tmp_path):
    place = tmp_path / "jobs"
    place.mkdir()
    for name in ("barrel", "slim"):
        (place / f"{name}.json").write_text(json.dumps(raw(name)), encoding="utf-8")
    return place


def test_it_says_which_and_how(call, folder):
    out = call("match", OWN, folder)
    assert out.code == 0
    for word in ("1. Yes: Cabin knife", "stitch to stitch", "Draw as it is:", "1 more do not fit"):
        assert word in out.out
    assert "Letter knife" not in out.out
    assert "No: Letter knife" in call("match", OWN, folder, "--all").out


def test_rows_to_move(call, job):
    out = call("match", "12:84 55:93 98:101", job)
    assert out.code == 0
    for word in ("Move rows", "36 holes a side instead of 35", "+2.7", "Draw with rows moved", "±4.0"):
        assert word in out.out


def test_a_yes_from_afar_says_so(call, job):
    out = call("match", "0:82 40:87,8", job)
    assert "as far as it was read" in out.out


def test_none_fits(call, job):
    out = call("match", "0:120 140:150", job)
    assert out.code == 1
    assert "None of them fits" in out.out


def test_for_machines(call, job):
    told = json.loads(call("match", "12:84 55:93 98:101", job, "--json").out)
    best = told["matches"][0]
    assert best["verdict"] == "move"
    assert best["holes"] == {"was": 35, "now": 36}
    assert best["hold"]["as_it_is"]["draw"]["middle"] == "hard"
    assert best["rows"][0]["name"] == "bottom edge"


def test_in_inches(call, job):
    out = call("match", "0:3.228 3.74:3.756 5.512:4.016", job, "--units", "inch")
    assert out.code == 0
    assert "Yes" in out.out
    assert " mm" not in out.out


def test_a_file_that_does_not_read_is_named_and_passed_over(call, folder):
    (folder / "broken.json").write_text("{", encoding="utf-8")
    (folder / "other.json").write_text('{"kind": "backseam.leather"}', encoding="utf-8")
    (folder / "bytes.json").write_bytes(bytes(range(256)))
    (folder / "loop.json").symlink_to("loop.json")
    (folder / "inner.json").mkdir()
    out = call("match", OWN, folder, folder / "gone.json")
    assert out.code == 0
    for name in ("broken.json", "bytes.json", "gone.json", "loop.json", "inner.json"):
        assert f"Not read: {folder / name}" in out.out.replace("\n", "")
    told = json.loads(call("match", OWN, folder, "--json").out)
    assert len(told["not_read"]) >= 2


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        (["12:84"], "No jobs were named"),
        (["12 84", "{job}"], "height:girth"),
        (["12:84", "{empty}"], "no job file"),
        (["12:84", "/nowhere.json"], "None of the 1 jobs"),
        (["12:8", "{job}"], "girth of 8"),
        (["12:84", "x" * 5000], "None of the 1 jobs"),
        (["12:84", "{job}", "--strap", "thick"], "thick"),
        (["12:84", "{job}", "--junction", "x"], ""),
        ([], ""),
    ],
)
def test_typed_wrongly_it_is_one_sentence(call, job, tmp_path, arguments, part):
    empty = tmp_path / "empty"
    empty.mkdir()
    out = call("match", *(one.format(job=job, empty=empty) for one in arguments))
    assert out.code == 2
    assert part in out.beside
    assert "Traceback" not in out.beside
