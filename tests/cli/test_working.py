"""Many jobs: one that dies or breaks is told, and only its own."""

from __future__ import annotations

from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from io import StringIO
from pathlib import Path

import pytest
from tests.voice import assert_clear

from backseam.cli import progress, working
from backseam.cli.working import Asked, work_many
from backseam.ground.errors import Stopped


def test_a_worker_that_dies_is_told():
    future: Future = Future()
    future.set_exception(BrokenProcessPool("gone"))
    done = working._result(future, Path("knife.json"), Asked())
    assert done.code == 2
    assert_clear(done.refused[0])
    assert "--jobs 1" in done.refused[0]


def test_a_fault_of_ours_is_only_this_jobs(job, monkeypatch):
    monkeypatch.delenv("BACKSEAM_TRACE", raising=False)
    monkeypatch.setattr(working, "read_job", lambda path: 1 / 0)
    results = work_many([(job, None), (job, None)], Asked(), 1)
    assert [done.code for done in results] == [2, 2]
    assert "ZeroDivisionError" in results[0].refused[0]
    monkeypatch.setenv("BACKSEAM_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        work_many([(job, None), (job, None)], Asked(), 1)


def test_whoever_stops_stops_all(job, monkeypatch):
    def stop(path):
        raise Stopped("asked to")

    monkeypatch.setattr(working, "read_job", stop)
    with pytest.raises(Stopped):
        working.work_one(job, None, Asked())


class Screen(StringIO):
    def isatty(self):
        return True


def test_the_progress_line_speaks_late_and_leaves_no_trace(monkeypatch):
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    with progress.line() as shown:
        shown.at(1, 6, "building the form")
        assert screen.getvalue() == ""
        monkeypatch.setattr(progress, "QUIET", 0.0)
        shown.at(2, 6, "flattening the upper")
        assert "flattening the upper (2 of 6)" in screen.getvalue()
        assert not shown.stop_asked()
    assert screen.getvalue().endswith("\r")
    assert screen.getvalue().split("\r")[-2].strip() == ""


def test_nobody_looks_nobody_is_told(monkeypatch):
    screen = StringIO()
    monkeypatch.setattr("sys.stderr", screen)
    monkeypatch.setattr(progress, "QUIET", 0.0)
    with progress.line() as shown:
        shown.at(1, 6, "building the form")
    assert screen.getvalue() == ""
