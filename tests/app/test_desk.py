"""The desk: newest wins, a dead worker is replaced, long work stops; and the whole server from its command."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import subprocess
import sys
import time
from http.client import HTTPConnection
from pathlib import Path

import pytest
from tests.app.conftest import alone, sample

from backseam.app import desk, keys, launch
from backseam.app.desk import Ask, Desk, Place, Worker
from backseam.app.refusing import Refusal


class Slow:
    """A worker that takes its time."""

    pid = None

    def __init__(self):
        self.asked = []

    def start(self):
        pass

    def close(self):
        pass

    def ask(self, asked):
        self.asked.append(asked.given["n"])
        time.sleep(0.15)
        return str(asked.given["n"]).encode()


def slow_desk():
    made = Desk(0)
    made.places["piece"] = Place(Slow())
    return made


def test_in_a_lane_the_newest_of_a_page_wins():
    async def run():
        made = slow_desk()

        async def one(n, client="page"):
            await asyncio.sleep(0.01 * n)
            try:
                return await made.ask("piece", Ask("work", {"n": n}), client, n)
            except Refusal as refused:
                return refused.body["code"]

        told = await asyncio.gather(one(1), one(2), one(3), one(4), one(5, "other"))
        left = made.places["piece"]
        made.close()
        return told, left.worker.asked, left.newest

    told, asked, newest = alone(run())
    assert told == [b"1", "superseded", "superseded", b"4", b"5"]
    assert asked == [1, 4, 5]
    assert newest == {}


def test_a_page_that_begins_anew_counts_from_one_again():
    async def run():
        made = slow_desk()
        first = await made.ask("piece", Ask("work", {"n": 9}), "page", 9)
        again = await made.ask("piece", Ask("work", {"n": 1}), "page", 1)
        made.close()
        return first, again

    assert alone(run()) == (b"9", b"1")


@pytest.fixture(scope="module")
def worker():
    made = Worker(20)
    made.start()
    made.ask(Ask("work", {"document": sample()}))
    yield made
    made.close()


def test_a_process_answers_and_refuses_with_the_place(worker):
    assert b'"worked"' in worker.ask(Ask("work", {"document": sample()}))
    with pytest.raises(Refusal) as refused:
        worker.ask(Ask("work", {"document": {"kind": "backseam.job", "version": 1}}))
    assert refused.value.body["where"] == ["form", "girths"]


def test_a_dead_worker_is_replaced_and_the_request_refused_with_a_sentence(worker):
    before = worker.pid
    os.kill(before, signal.SIGKILL)
    with pytest.raises(Refusal) as refused:
        worker.ask(Ask("work", {"document": sample()}))
    assert refused.value.body["code"] == "worker_gone"
    assert worker.pid != before
    assert b'"worked"' in worker.ask(Ask("work", {"document": sample()}))


def test_work_that_takes_too_long_is_stopped(worker, monkeypatch):
    worker.ask(Ask("work", {"document": sample()}))
    monkeypatch.setattr(worker, "seconds", 0.3)
    os.kill(worker.pid, signal.SIGSTOP)  # it lives, and says nothing more
    with pytest.raises(Refusal) as refused:
        worker.ask(Ask("work", {"document": sample("stout")}))
    assert refused.value.body["code"] == "worker_slow"


def test_long_work_stops_within_half_a_second(worker):
    seen = []
    begun = 0.0

    def stop():
        nonlocal begun
        if seen and not begun:
            begun = time.monotonic()
        return bool(seen)

    asked = Ask("moulding", {"document": sample("stout")}, lambda *one: seen.append(one), stop)
    with pytest.raises(Refusal) as refused:
        worker.ask(asked)
    assert refused.value.body["code"] == "stopped"
    assert time.monotonic() - begun < 2.0  # half a second, and room for a busy machine


def test_the_lanes_are_three_and_typing_waits_for_none_of_the_others():
    assert desk.LANES == ("piece", "fit", "papers")


# --- from the command -------------------------------------------------------------------------------------------


class Running:
    """The app as it is started by a person."""

    def __init__(self, book: Path):
        command = [sys.executable, "-m", "backseam.cli.main", "app", "--book", str(book), "--no-browser"]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        self.said = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)(/enter\?token=\S+)", self.said)
        assert found, self.said + (self.process.stdout.read() if self.process.poll() is not None else "")
        self.port, self.way_in = int(found[1]), found[2]

    def ask(self, path, cookie=""):
        """Status, headers and body of one GET."""
        until = time.monotonic() + 60
        while True:
            try:
                made = HTTPConnection("127.0.0.1", self.port, timeout=30)
                made.request("GET", path, headers={"cookie": cookie} if cookie else {})
                told = made.getresponse()
                return told.status, dict(told.getheaders()), told.read()
            except ConnectionRefusedError:
                assert time.monotonic() < until
                time.sleep(0.1)

    def stop(self):
        """As by Ctrl-C."""
        self.process.send_signal(signal.SIGINT)
        self.process.wait(30)


@pytest.mark.skipif(sys.platform == "win32", reason="signals")
def test_an_open_tab_goes_on_when_the_app_is_started_again(tmp_path):
    book = tmp_path / "deep" / "book.sqlite"
    first = Running(book)
    try:
        status, headers, _ = first.ask(first.way_in)
        assert status == 303
        cookie = headers["set-cookie"].partition(";")[0]
        assert first.ask("/api/jobs", cookie)[0] == 200
        assert first.ask("/api/jobs")[0] == 401
        assert os.stat(keys.beside(book)).st_mode & 0o077 == 0
        other = Running(book)  # a second start shows the way into the first
        assert other.port == first.port
        assert other.process.wait(30) == 0
        assert first.ask(other.way_in)[0] == 303
    finally:
        first.stop()
    assert first.process.returncode in (0, 130)
    second = Running(book)
    try:
        assert second.port == first.port
        assert second.ask("/api/jobs", cookie)[0] == 200
        assert second.ask(first.way_in)[0] == 401
    finally:
        second.stop()
    assert list((tmp_path / "deep" / "book-copies").glob("*.json"))
    assert list((tmp_path / "deep" / "book-backups").glob("*.sqlite"))


def test_the_usual_book_lies_in_the_data_folder(monkeypatch, tmp_path):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert launch.usual_book() == tmp_path / "backseam" / "book.sqlite"
    monkeypatch.setenv("XDG_DATA_HOME", "not/absolute")
    assert launch.usual_book() == Path.home() / ".local/share/backseam/book.sqlite"


def test_it_binds_this_machine_only_and_takes_the_port_of_last_time(tmp_path):
    first = launch._bound(0, 0)
    first.listen()
    port = first.getsockname()[1]
    assert first.getsockname()[0] == "127.0.0.1"
    other = launch._bound(0, port)
    assert other.getsockname()[1] != port
    with pytest.raises(OSError, match=str(port)):
        launch._bound(port, 0)
    first.close()
    other.close()


def test_broken_keys_are_made_anew(tmp_path):
    book = tmp_path / "b.sqlite"
    keys.beside(book).write_text("{")
    made, port = keys.kept(book)
    assert (len(made.secret), port) == (32, 0)
    keys.keep(book, made, 9000)
    assert keys.kept(book)[0].cookie() == made.cookie()
    assert keys.kept(book)[1] == 9000
