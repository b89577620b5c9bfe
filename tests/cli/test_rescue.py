"""rescue on a sample: for people, for machines, and what is typed wrongly."""

from __future__ import annotations

import json

import pytest


def test_it_says_what_to_do_what_it_costs_and_what_it_gives(call, job):
    out = call("rescue", job, "--set", "holes_left=36", "--set", "holes_right=35", "--set", "row_gap_mm=3,5")
    assert out.code == 1
    for word in (
        "36 holes on the left",
        "3.0 mm too narrow",
        "As planned:",
        "1. ",
        "Costs:",
        "Fit:",
        "Hold:",
    ):
        assert word in out.out
    assert "Cut a new piece" in out.out
    assert " N " not in out.out  # no bare newton before a girth and a pull are known


def test_within_the_gates_it_ends_well(call, job):
    out = call("rescue", job, "--set", "row_gap_mm=0,5")
    assert (out.code, "within its gates" in out.out) == (0, True)


def test_for_machines(call, job):
    told = json.loads(call("rescue", job, "--set", "finished_mouth_mm=97", "--json").out)
    assert told["stage"] == "dried"
    assert not told["good"]
    assert told["ways"][0]["acts"][0]["key"] == "lining"
    assert told["ways"][0]["score"] <= told["ways"][-1]["score"]
    assert told["now"]["draw"] == "slides"
    wide = json.loads(call("rescue", job, "--set", "finished_mouth_mm=103", "--json").out)
    assert wide["now"] is None


def test_as_json_or_a_file_of_it(call, job, tmp_path):
    made = {"height_mm": 143}
    file = tmp_path / "made.json"
    file.write_text(json.dumps(made), encoding="utf-8")
    said = [call("rescue", job, "--as-made", one, "--json").out for one in (json.dumps(made), file)]
    assert said[0] == said[1]
    assert json.loads(said[0])["stage"] == "folded"
    over = call("rescue", job, "--as-made", file, "--set", "height_mm=147", "--json")
    assert json.loads(over.out)["good"]


def test_in_inches(call, job):
    out = call("rescue", job, "--set", "row_gap_mm=1/8 in", "--units", "inch")
    assert out.code == 1
    assert " in" in out.out
    assert " mm" not in out.out.replace("a mm of misfit", "")


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        ([], "Nothing was found yet"),
        (["--set", "holes_left"], "name=value"),
        (["--set", "holes_lft=36"], "holes_left is meant"),
        (["--set", "holes_left=9O"], "holes_left"),
        (["--set", "row_gap_mm=1e400"], "row_gap_mm"),
        (["--set", "half_widths_mm.elbow=50"], "no station and no height"),
        (["--set", "half_widths_mm.95=[50"], ""),
        (["--as-made", "{"], "could not be read"),
        (["--as-made", "[1]"], ""),
        (["--as-made", "/nowhere/made.json"], "made.json"),
        (["--as-made", '{"height_mm": {"a": 1}}'], "height_mm"),
    ],
)
def test_typed_wrongly_it_is_one_sentence(call, job, arguments, part):
    out = call("rescue", job, *arguments)
    assert out.code == 2
    assert part in out.beside + out.out
    assert "Traceback" not in out.beside
    assert len(out.beside) < 1000


def test_a_file_that_is_no_text(call, job, tmp_path):
    file = tmp_path / "made.json"
    file.write_bytes(bytes(range(256)))
    assert call("rescue", job, "--as-made", file).code == 2
