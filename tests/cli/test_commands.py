"""check, why, work and schema on a sample: what they print, for people and for machines, and their exit codes."""

from __future__ import annotations

import json

import jsonschema
import pytest
from tests.jobs import raw
from tests.voice import assert_clear

from backseam.cli.working import folders
from backseam.job.foreseen import SAFETY

PAPERS = {
    "pattern.pdf",
    "pattern.svg",
    "pattern.dxf",
    "setting-out.pdf",
    "bench-card.pdf",
    "worked.json",
    "care-card.pdf",
    "force.svg",
    "water.svg",
    "hang.svg",
    "stations.csv",
    "holes.csv",
    "moulding.svg",
    "moulding.glb",
}


def test_check_gives_findings_only(call, job):
    said = call("check", job)
    assert said.code == 0
    assert "Note" in said.out
    assert "to know." in said.out.splitlines()[-1]


def test_check_shows_what_is_foreseen_and_safety_first(call, tmp_path):
    document = raw()
    document["form"]["landmarks"] = {**document["form"]["landmarks"], "mouth_above_thickest_mm": 0}
    document["form"]["landmarks"].pop("mouth_mm", None)
    document["form"]["girths"] = [{**row, "name": ""} for row in document["form"]["girths"]]
    document["leather"]["allowance_across_percent"] = 3
    path = tmp_path / "loose.json"
    path.write_text(json.dumps(document))
    made = call("check", path, "--json")
    assert made.code == 0, "a forecast never stops a sheet"
    found = json.loads(made.out)["findings"]
    checks = [one["code"] for one in found if one["severity"] == "check"]
    assert "FIT-001" in checks, "it may fall out"
    assert len(checks) > 1
    assert set(checks[: checks.index("FIT-001") + 1]) <= set(SAFETY), "what can hurt someone stands first"


def test_check_for_machines(call, job, stopped):
    made = json.loads(call("check", job, "--json").out)
    assert all({"code", "severity", "text", "remedy", "where"} <= one.keys() for one in made["findings"])
    both = call("check", job, stopped, "--json")
    assert both.code == 1
    assert [one["file"] for one in json.loads(both.out)] == [str(job), str(stopped)]


def test_stops_come_first_and_set_the_exit_code(call, stopped):
    said = call("check", stopped)
    assert said.code == 1
    assert said.out.lstrip().startswith("■ Stop")
    found = json.loads(call("check", stopped, "--json").out)["findings"]
    ranks = [["stop", "check", "note"].index(one["severity"]) for one in found]
    assert ranks == sorted(ranks)


def test_a_job_that_cannot_be_worked_out_still_gives_its_doubts(call, tmp_path):
    path = tmp_path / "bent.json"
    document = raw()
    document["form"]["axis"] = {"kind": "angle"}
    document["leather"]["thickness_mm"] = 0.079
    path.write_text(json.dumps(document))
    said = call("check", path)
    assert said.code == 2
    assert "looks like inches" in said.out.replace("\n", " ")
    assert "bend needs its angle" in said.beside


def test_refusals_for_machines(call, tmp_path):
    path = tmp_path / "bad.json"
    path.write_text('{"kind": "backseam.job", "version": 1, "leather": {"thickness_mm": 22, "tight": "x"}}')
    for command in (["check", path], ["why", path, "thread"]):
        said = call(*command, "--json")
        assert said.code == 2
        refused = json.loads(said.out)["refused"]
        assert [one["where"] for one in refused] == [["leather", "thickness_mm", 0], ["leather", "tight"]]
        for one in refused:
            assert_clear(one["text"].split(": ", 1)[1])
    said = call("work", path, "--json")
    assert said.code == 2
    assert len(json.loads(said.out)["refused"]) == 2


def test_why_names_readings_and_how_far_they_move(call, job):
    said = call("why", job, "hole:12")
    assert said.code == 0
    assert "form.girths" in said.out
    assert "moves it by" in said.out
    made = json.loads(call("why", job, "thread", "--json").out)
    assert made["what"] == "thread"
    assert made["reasons"]


@pytest.mark.parametrize("what", ["hole:999", "hole", "moon", "station:0", ""])
def test_why_of_nothing_is_told(call, job, what):
    said = call("why", job, what)
    assert said.code == 2
    assert said.out == ""
    assert_clear(said.beside.strip())


@pytest.mark.parametrize("options", [[], ["--worked"]])
def test_schema_is_a_schema(call, options):
    made = json.loads(call("schema", *options).out)
    jsonschema.Draft202012Validator.check_schema(made)
    assert "$id" in made


def test_work_prints_its_table_and_writes_all_papers(call, job, tmp_path):
    said = call("work", job, "-o", tmp_path / "out")
    assert said.code == 0
    for part in ("thickest", "half, by hand", "half, computed", "a side", "Thread", "Blank", "papers in"):
        assert part in said.out
    assert {one.name for one in (tmp_path / "out").iterdir()} >= PAPERS
    assert call("work", job, "-o", tmp_path / "out").code == 0


def test_work_without_a_folder_writes_nothing(call, job, tmp_path):
    said = call("work", job, "--units", "inch")
    assert said.code == 0
    assert "Add -o DIR" in said.out
    assert '"' in said.out
    assert {one.name for one in tmp_path.iterdir()} == {"knife.json"}


def test_work_for_machines_fits_its_schema(call, job, tmp_path):
    said = call("work", job, "-o", tmp_path / "out", "--json")
    made = json.loads(said.out)
    schema = json.loads(call("schema", "--worked").out)
    jsonschema.Draft202012Validator(schema).validate(made["worked"])
    jsonschema.Draft202012Validator(schema).validate(
        json.loads((tmp_path / "out" / "worked.json").read_text())
    )
    assert set(made["papers"]) == PAPERS


def test_a_stop_writes_only_the_marked_preview_and_takes_the_old_pattern_away(call, job, stopped, tmp_path):
    call("work", job, "-o", tmp_path / "out")
    said = call("work", stopped, "-o", tmp_path / "out")
    assert said.code == 1
    assert "preview" in said.out
    written = {one.name for one in (tmp_path / "out").iterdir() if not one.name.startswith(".")}
    assert written == {"preview.pdf", "worked.json"}


def test_many_jobs_each_in_its_folder_and_none_stops_the_others(call, job, stopped, tmp_path):
    broken = tmp_path / "broken.json"
    broken.write_text('{"kind": "backseam.job", ')
    said = call("work", job, broken, stopped, "-o", tmp_path / "out", "--jobs", "2")
    assert said.code == 2
    assert "1 fine, 1 with something to mend, 1 not taken." in said.out
    assert "cut off" in said.beside
    assert "Traceback" not in said.beside
    assert {one.name for one in (tmp_path / "out").iterdir()} == {"knife", "stopped"}


def test_folders_of_many_are_told_apart(tmp_path):
    files = [tmp_path / "a" / "knife.json", tmp_path / "b" / "Knife.json", tmp_path / "c" / "con.json"]
    assert [out.name for _, out in folders(files, tmp_path)] == ["knife", "Knife-2", "job"]
    assert [out for _, out in folders(files, None)] == [None, None, None]


def test_the_output_folder_is_a_file(call, job, tmp_path):
    (tmp_path / "out").write_text("in the way")
    said = call("work", job, "-o", tmp_path / "out")
    assert said.code == 2
    assert "A file stands where" in said.beside
    assert (tmp_path / "out").read_text() == "in the way"
