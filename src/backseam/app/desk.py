"""The desk: processes that do the work, so that typing never waits for it.

Three lanes, each a process of its own that has loaded everything: the flat piece; fit and solid; papers and moulding.
In a lane the newest request of a page wins: an older one that still waits is let go. A process that dies or takes too
long is replaced, and the request is refused with a sentence.
"""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any, Literal

from backseam.app import answers
from backseam.app.refusing import Refusal, refusal, told
from backseam.ground.errors import BackseamError, Stopped
from backseam.ground.progress import SILENT, Progress

Lane = Literal["piece", "fit", "papers"]
LANES: tuple[Lane, ...] = ("piece", "fit", "papers")
SECONDS: dict[Lane, float] = {"piece": 20.0, "fit": 30.0, "papers": 180.0}
LOADING = 180.0  # seconds in which a process may load everything, on a machine that has much else to do
Told = Callable[[int, int, str], None]
_SPAWN = get_context("spawn")


def _nothing(_done: int, _total: int, _doing: str) -> None:
    """Nobody looks."""


@dataclass
class Ask:
    """One piece of work: the name of an answer, what it is given, who looks at its progress."""

    name: str
    given: dict[str, Any]
    at: Told = _nothing
    stop: Callable[[], bool] = lambda: False


class Worker:
    """One process. Used by one thread at a time."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds
        self.ready = False
        self._stop = _SPAWN.Event()
        self._process: Any = None
        self._pipe: Connection | None = None

    def start(self) -> None:
        """Begin the process, if there is none; it loads while nobody waits."""
        if self._process is not None and self._process.is_alive():
            return
        ours, theirs = _SPAWN.Pipe()
        self._stop.clear()
        self.ready = False
        self._process = _SPAWN.Process(target=serve, args=(theirs, self._stop), daemon=True)
        self._process.start()
        theirs.close()
        self._pipe = ours

    def ask(self, asked: Ask) -> bytes:
        """The answer. Raises Refusal; a process that died or was too slow is replaced first."""
        self.start()
        assert self._pipe is not None
        self._stop.clear()
        try:
            self._pipe.send((asked.name, asked.given))
            return self._heard(asked)
        except (EOFError, OSError):
            self.close()
            self.start()
            raise refusal(503, "worker_gone") from None

    def _heard(self, asked: Ask) -> bytes:
        assert self._pipe is not None
        waited = 0.0
        while True:
            if not self._pipe.poll(0.2):
                waited += 0.2
                if asked.stop():
                    self._stop.set()
                if waited > (self.seconds if self.ready else LOADING):
                    self.close()
                    self.start()
                    raise refusal(503, "worker_slow")
                continue
            kind, *rest = self._pipe.recv()
            if kind == "ready":
                waited, self.ready = 0.0, True
            elif kind == "at":
                waited = 0.0
                asked.at(*rest)
                if asked.stop():
                    self._stop.set()
            elif kind == "answer":
                answer: bytes = rest[0]
                return answer
            elif kind == "refused":
                raise Refusal(*rest)
            else:
                raise RuntimeError(rest[0])

    @property
    def pid(self) -> int | None:
        """Number of the process."""
        return None if self._process is None else int(self._process.pid)

    def close(self) -> None:
        """End the process."""
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.kill()
            self._process.join(2)
        self._pipe = self._process = None


class Inline:
    """The same without a process: for tests, and for a machine that allows none."""

    pid = None

    def start(self) -> None:
        """Nothing to begin."""

    def ask(self, asked: Ask) -> bytes:
        """The answer. Raises Refusal."""
        kind, *rest = _done(asked.name, asked.given, _Watched(asked.at, asked.stop))
        if kind == "answer":
            answer: bytes = rest[0]
            return answer
        if kind == "refused":
            raise Refusal(*rest)
        raise RuntimeError(rest[0])

    def close(self) -> None:
        """Nothing to end."""


@dataclass
class Place:
    """One lane with its worker, and which request of each page is the newest."""

    worker: Worker | Inline
    thread: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1, "desk"))
    lock: asyncio.Lock = field(default_factory=asyncio.Lock)
    newest: dict[tuple[str, str], int] = field(default_factory=dict)
    waiting: dict[tuple[str, str], int] = field(default_factory=dict)


class Desk:
    """All lanes. workers: 0 means no processes."""

    def __init__(self, workers: int) -> None:
        self.places = {lane: Place(Worker(SECONDS[lane]) if workers else Inline()) for lane in LANES}

    async def start(self) -> None:
        """Warm the lanes, the piece first."""
        loop = asyncio.get_running_loop()
        for place in self.places.values():
            await loop.run_in_executor(place.thread, place.worker.start)

    async def ask(self, lane: Lane, asked: Ask, client: str = "", seq: int = 0) -> bytes:
        """The answer to one request. client, seq: the newest of a page wins. Raises Refusal."""
        place, key = self.places[lane], (client, asked.name)
        if client:
            if seq < place.newest.get(key, seq):
                raise refusal(409, "superseded")
            place.newest[key] = seq
            place.waiting[key] = place.waiting.get(key, 0) + 1
        try:
            async with place.lock:
                if client and place.newest.get(key, seq) > seq:
                    raise refusal(409, "superseded")
                work = asyncio.get_running_loop().run_in_executor(place.thread, place.worker.ask, asked)
                return await asyncio.shield(work)
        finally:
            if client:
                place.waiting[key] -= 1
                if not place.waiting[key]:
                    del place.waiting[key]
                    place.newest.pop(key, None)

    def close(self) -> None:
        """End every process."""
        for place in self.places.values():
            place.worker.close()
            place.thread.shutdown(wait=False, cancel_futures=True)


# --- inside the process ------------------------------------------------------------------------------------------


@dataclass
class _Watched:
    """Progress that goes through the pipe, or to whoever looks."""

    told: Told
    stop: Callable[[], bool]

    def at(self, done: int, total: int, doing: str) -> None:
        """One step."""
        self.told(done, total, doing)

    def stop_asked(self) -> bool:
        """True once the person wants it to end."""
        return self.stop()


def serve(pipe: Connection, stop: Any) -> None:
    """A worker's whole life: load, then answer until the pipe closes."""
    with suppress(ValueError, OSError):
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends us
    answers.warm()
    pipe.send(("ready",))

    def at(done: int, total: int, doing: str) -> None:
        pipe.send(("at", done, total, doing))

    with suppress(EOFError, OSError, KeyboardInterrupt):
        while True:
            name, given = pipe.recv()
            pipe.send(_done(name, given, _Watched(at, stop.is_set)))


def _done(name: str, given: dict[str, Any], progress: Progress = SILENT) -> tuple[Any, ...]:
    """One answer, or the refusal, or the name of a fault."""
    try:
        return ("answer", answers.answers()[name](given, progress))
    except Refusal as refused:
        return ("refused", refused.status_code, refused.body)
    except Stopped:
        return ("refused", *told(Stopped("Stopped.")))
    except BackseamError as error:
        return ("refused", *told(error))
    except Exception as fault:
        return ("fault", type(fault).__name__)
