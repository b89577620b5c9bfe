"""The doors of the command line: help, version, calls gone wrong, faults of our own."""

from __future__ import annotations

import subprocess
import sys

import pytest
from tests.voice import assert_clear

from backseam.cli import cmd_check, main
from backseam.ground.errors import Stopped


@pytest.mark.parametrize("arguments", [[], ["--help"], ["-h"], ["help"]])
def test_help_names_every_command_with_an_example(call, arguments):
    said = call(*arguments)
    assert said.code == 0
    for name in main.COMMANDS:
        assert f"backseam {name}" in said.out
    assert max(map(len, said.out.splitlines())) <= 110


@pytest.mark.parametrize("command", main.COMMANDS)
def test_every_command_teaches_with_an_example(call, command):
    said = call(command, "--help")
    assert said.code == 0
    assert f"    backseam {command}" in said.out.split("For instance:")[1]


def test_version(call):
    assert call("--version").out.strip() == "0.1.0"


def test_help_and_version_load_nothing():
    code = (
        "import sys; from backseam.cli.main import run; run(['--help']); run(['--version']);"
        "print(sorted({'cyclopts', 'rich', 'pydantic', 'numpy', 'scipy'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_a_command_loads_only_its_own(tmp_path):
    code = (
        "import sys; from backseam.cli.main import run; run(['check', 'nothing.json']);"
        "print(sorted({'numpy', 'scipy', 'shapely', 'reportlab', 'typst'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path
    )
    assert done.stdout.strip() == "[]"


CALLED_WRONGLY = [
    (["wrok"], 'no command "wrok"'),
    (["work"], "FILES is missing"),
    (["work", "a.json", "--shet", "A4"], "no option --shet"),
    (["work", "a.json", "--sheet", "B5"], '"B5" does not fit --sheet'),
    (["work", "a.json", "--jobs", "x"], '"x" does not fit --jobs'),
    (["work", "a.json", "--jobs", "0"], "--jobs"),
    (["new", "a.json", "--set"], "--set is missing"),
    (["new", "a.json", "--set", "foo"], "sets nothing"),
    (["why", "a.json"], "WHAT is missing"),
    (["check", "nothing.json"], "is not there"),
]


@pytest.mark.parametrize(("arguments", "part"), CALLED_WRONGLY)
def test_a_wrong_call_is_told_and_where_to_look(call, arguments, part, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    said = call(*arguments)
    assert said.code == 2
    assert part in said.beside
    assert said.out == ""
    assert said.beside.count("\n") == 1
    assert "Traceback" not in said.beside


def broken(kind):
    def fail(*_args, **_named):
        raise kind("inside")

    return fail


@pytest.mark.parametrize(
    ("kind", "code", "part"),
    [
        (ZeroDivisionError, 3, "Something broke in Backseam itself (ZeroDivisionError)"),
        (MemoryError, 2, "not enough memory"),
        (KeyboardInterrupt, 130, "Stopped"),
        (Stopped, 130, "Stopped"),
    ],
)
def test_faults_and_interruptions_are_one_sentence(call, job, monkeypatch, kind, code, part):
    monkeypatch.setattr(cmd_check, "findings_of", broken(kind))
    monkeypatch.delenv("BACKSEAM_TRACE", raising=False)
    said = call("check", job)
    assert said.code == code
    assert part in said.beside
    assert "Traceback" not in said.beside + said.out
    if code != 3:
        assert_clear(said.beside.strip())


def test_whoever_reports_a_fault_can_see_it(call, job, monkeypatch):
    monkeypatch.setattr(cmd_check, "findings_of", broken(ZeroDivisionError))
    monkeypatch.setenv("BACKSEAM_TRACE", "1")
    assert "Traceback" in call("check", job).beside


def test_a_reader_that_went_away_is_no_fault():
    code = "from backseam.cli.main import main; main(['schema'])"
    done = subprocess.run(
        f'"{sys.executable}" -c "{code}" | head -c 10',
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
