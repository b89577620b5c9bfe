"""How fast the server answers while a number is typed: hand line, piece, fit, through real HTTP and real workers."""

from __future__ import annotations

import json
import socket
import threading
import time
from copy import deepcopy
from http.client import HTTPConnection
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import uvicorn
from rich.console import Console
from rich.table import Table

from backseam.app.server import create

LIMITS = {"hand": 50, "work": 150, "fit": 300, "section": 150}  # ms in the browser, its own part included
ROUNDS = {"hand": 120, "work": 80, "fit": 50, "section": 50}
NAMES = ("barrel", "slim", "stout")


class Served:
    """The app on a book of its own, in a thread, with its workers."""

    def __init__(self, folder: str) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        app = create(Path(folder) / "book.sqlite", port=self.port, token="bench")
        config = uvicorn.Config(app, host="127.0.0.1", port=self.port, log_level="warning", http="h11")
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        while not self.server.started:
            time.sleep(0.05)
        self.line = HTTPConnection("127.0.0.1", self.port, timeout=60)
        self.line.request("GET", "/enter?token=bench")
        answer = self.line.getresponse()
        answer.read()
        self.cookie = str(answer.getheader("set-cookie")).partition(";")[0]

    def ask(self, path: str, body: dict[str, Any]) -> float:
        """One request; its milliseconds."""
        heads = {"content-type": "application/json", "cookie": self.cookie, "sec-fetch-site": "same-origin"}
        data = json.dumps(body).encode()
        begun = time.perf_counter()
        self.line.request("POST", path, data, heads)
        answer = self.line.getresponse()
        answer.read()
        took = (time.perf_counter() - begun) * 1000
        if answer.status != 200:
            raise RuntimeError(f"{path}: {answer.status}")
        return took

    def close(self) -> None:
        """End it."""
        self.server.should_exit = True
        self.thread.join(10)


def typed(name: str, turn: int) -> dict[str, Any]:
    """A sample with one reading changed, as by a keystroke: no answer is known before."""
    document = deepcopy(json.loads(files("backseam.samples").joinpath(f"{name}.json").read_bytes()))
    rows = document["form"]["girths"]
    row = rows[turn % len(rows)]
    row["reading_mm"] = round(float(row["reading_mm"]) + 0.01 * (1 + turn // len(rows)), 2)
    return document


def measured() -> dict[str, list[float]]:
    """Milliseconds of every answer, by kind; the first of each sample is left out."""
    found: dict[str, list[float]] = {}
    with TemporaryDirectory() as folder:
        served = Served(folder)
        try:
            for kind, rounds in ROUNDS.items():
                more = {"station_mm": 60} if kind == "section" else {}
                for name in NAMES:
                    served.ask(f"/api/{kind}", {"document": typed(name, 997), **more})
                found[kind] = [
                    served.ask(f"/api/{kind}", {"document": typed(NAMES[turn % 3], turn), **more})
                    for turn in range(rounds)
                ]
        finally:
            served.close()
    return found


def main() -> None:
    """Print the table."""
    table = Table(title="Answers of the server, ms", title_justify="left")
    for name in ("answer", "median", "95 of 100", "longest", "limit in the browser"):
        table.add_column(name, justify="left" if name == "answer" else "right")
    for kind, several in measured().items():
        row = sorted(several)
        at = (row[len(row) // 2], row[int(0.95 * len(row))], row[-1])
        table.add_row(kind, *(f"{one:.1f}" for one in at), str(LIMITS[kind]))
    Console().print(table)


if __name__ == "__main__":
    main()
