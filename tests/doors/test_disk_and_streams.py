"""The command as it is installed, in its own process: full disks, closed folders, piped answers, a real terminal."""

from __future__ import annotations

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from tests.jobs import raw
from tests.voice import assert_clear

COMMAND = [sys.executable, "-m", "backseam.cli.main"]


def run(*arguments, **named):
    done = subprocess.run(
        [*COMMAND, *map(str, arguments)], capture_output=True, text=True, check=False, **named
    )
    assert "Traceback" not in done.stderr + done.stdout
    return done


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "knife.json"
    path.write_text(json.dumps(raw()))
    return path


def test_main_job_from_cold(job, tmp_path):
    done = run("work", job, "-o", tmp_path / "papers")
    assert done.returncode == 0
    assert done.stderr == ""
    assert json.loads((tmp_path / "papers" / "worked.json").read_text())["kind"] == "backseam.worked"


def test_a_newer_file_is_told_and_left(tmp_path):
    path = tmp_path / "new.json"
    text = '{"kind": "backseam.job", "version": 99}'
    path.write_text(text)
    done = run("work", path, "-o", tmp_path / "papers")
    assert done.returncode == 2
    assert "from a newer Backseam" in done.stderr
    assert path.read_text() == text
    assert not (tmp_path / "papers").exists()


def test_output_onto_a_full_device(job):
    if not Path("/dev/full").exists():
        pytest.skip("no such device here")
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [*COMMAND, "check", str(job)], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert_clear(done.stderr.strip())


def test_a_folder_on_a_system_without_room_for_files(job):
    done = run("work", job, "-o", "/proc/papers")
    assert done.returncode == 2
    assert_clear(done.stderr.strip())


def test_answers_through_a_pipe(tmp_path):
    answers = "\n".join(["Birch knife", "", "", "mm", "right", "2,0", "along", "folded"])
    done = run("new", tmp_path / "k.json", input=answers)
    assert done.returncode == 2
    assert "How deep is the turn-in?" in done.stderr
    assert {one.name for one in tmp_path.iterdir()} == {"k.json.draft"}


def test_a_terminal_can_be_left_and_taken_up_again(tmp_path):
    path = tmp_path / "k.json"
    heard = on_terminal(["new", str(path)], ["Birch knife\n", "\n", "\x04"])
    assert "What is the knife called?" in heard
    assert "Left with 2 answers" in heard
    heard = on_terminal(["new", str(path)], ["yes\n", "\x03"])
    assert "There is a draft with 2 answers" in heard
    assert "When is it promised?" in heard
    assert "Traceback" not in heard
    assert {one.name for one in tmp_path.iterdir()} == {"k.json.draft"}


def on_terminal(arguments: list[str], typed: list[str]) -> str:
    """Run the command on a pseudo-terminal, typing a line whenever it has asked for one anew."""
    child, handle = pty.fork()
    if child == 0:
        os.environ["TERM"] = "dumb"
        os.execv(sys.executable, [*COMMAND, *arguments])
    heard, waiting, answered, began = "", list(typed), 0, time.monotonic()
    while time.monotonic() - began < 90:
        ready, _, _ = select.select([handle], [], [], 0.2)
        if ready:
            try:
                heard += os.read(handle, 4096).decode()
            except OSError:
                break
        elif waiting and len(heard) > answered and heard.rstrip(" ").endswith(">"):
            answered = len(heard)
            os.write(handle, waiting.pop(0).encode())
    else:
        os.kill(child, signal.SIGKILL)  # it waits for a line that nobody will type: fail, do not hang
    os.waitpid(child, 0)
    os.close(handle)
    return heard
