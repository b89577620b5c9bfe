"""work with what is foreseen: safety first, moulding after the papers, stopped without harm, left off for several."""

import json

import pytest
from tests.cli.test_forecasts import assert_clear

from backseam.cli import working

MOULDED = {"moulding.svg", "moulding.glb"}


def test_what_may_fall_out_stands_first(call, job, tmp_path):
    out = call("work", job, "-o", tmp_path / "papers", "--no-moulding")
    assert out.code == 0
    checks = [line for line in out.out.splitlines() if "Check" in line]
    assert "Upside down" in checks[0]
    assert "Hold       " in out.out
    assert "Ready      " in out.out


def test_the_moulding_is_left_off_if_asked(call, job, tmp_path):
    call("work", job, "-o", tmp_path, "--no-moulding")
    names = {one.name for one in tmp_path.iterdir()}
    assert not MOULDED & names
    assert {"force.svg", "water.svg", "hang.svg", "care-card.pdf"} <= names
    assert json.loads((tmp_path / "worked.json").read_text(encoding="utf-8"))["moulding"] is None


def test_a_single_job_is_moulded_after_its_papers(call, job, tmp_path):
    assert call("work", job, "-o", tmp_path).code == 0
    assert {one.name for one in tmp_path.iterdir()} >= MOULDED
    assert json.loads((tmp_path / "worked.json").read_text(encoding="utf-8"))["moulding"]["better"] in (
        True,
        False,
    )


def test_ctrl_c_while_moulding_leaves_whole_papers(call, job, tmp_path, monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("backseam.job.foreseen.mould", stopped)
    out = call("work", job, "-o", tmp_path)
    assert out.code == 130
    assert_clear(out.beside.strip().splitlines()[-1])
    card = (tmp_path / "bench-card.pdf").read_bytes()
    assert card.startswith(b"%PDF")
    assert card.rstrip().endswith(b"%%EOF")
    assert not [one for one in tmp_path.iterdir() if one.name.endswith(".part")]


def test_an_earlier_map_goes_when_the_job_is_worked_without(call, job, tmp_path):
    call("work", job, "-o", tmp_path)
    call("work", job, "-o", tmp_path, "--no-moulding")
    assert not MOULDED & {one.name for one in tmp_path.iterdir()}


def test_several_jobs_are_not_moulded_unless_asked(call, job, tmp_path, monkeypatch):
    seen = []

    def many(wanted, asked, workers):
        seen.append(asked.moulding)
        return [working.Done(path, 0, working.speech_for(None, None)) for path, _ in wanted]

    monkeypatch.setattr("backseam.cli.cmd_work.work_many", many)
    call("work", job, job, "-o", tmp_path)
    call("work", job, job, "-o", tmp_path, "--moulding")
    assert seen == [False, True]


def test_the_room_and_the_start_are_on_the_papers(call, job, tmp_path):
    call("work", job, "-o", tmp_path, "--no-moulding", "--room", "24 C, 40 %", "--start", "9:30")
    clock = json.loads((tmp_path / "worked.json").read_text(encoding="utf-8"))["clock"]
    assert clock["temperature_c"] == 24
    assert clock["start_min"] == 570


@pytest.mark.parametrize("room", ["80 C, 50 %", "cold"])
def test_a_room_that_is_none_is_refused_before_anything_is_written(call, job, tmp_path, room):
    out = call("work", job, "-o", tmp_path / "papers", "--room", room)
    assert out.code == 2
    assert not (tmp_path / "papers").exists()


def test_a_stopped_job_has_no_forecast(call, stopped, tmp_path):
    out = tmp_path / "papers"
    assert call("work", stopped, "-o", out).code == 1
    assert {one.name for one in out.iterdir()} == {"preview.pdf", "worked.json", ".backseam.json"}
