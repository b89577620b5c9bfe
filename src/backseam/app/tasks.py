"""Long work: begun, looked at, stopped, fetched. It runs in the papers' lane and never holds up typing."""

from __future__ import annotations

import asyncio
import logging
from collections import OrderedDict
from dataclasses import dataclass, field
from secrets import token_hex
from typing import Any, Literal

from backseam.app.desk import Ask, Desk, Lane
from backseam.app.refusing import Refusal, refusal

KEPT = 20  # tasks remembered
State = Literal["waiting", "working", "done", "stopped", "refused"]


@dataclass
class Task:
    """One piece of long work. done of total steps are behind it."""

    id: str
    state: State = "waiting"
    done: int = 0
    total: int = 0
    doing: str = ""
    stop_asked: bool = False
    result: bytes = b""
    refused: dict[str, Any] = field(default_factory=dict)

    @property
    def told(self) -> dict[str, Any]:
        """How far it is."""
        told = {name: getattr(self, name) for name in ("done", "total", "doing", "state")}
        return {"task": self.id, **told, **({"refused": self.refused} if self.refused else {})}


class Tasks:
    """The last few tasks of a server."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.all: OrderedDict[str, Task] = OrderedDict()
        self.running: set[asyncio.Task[None]] = set()

    def begin(self, lane: Lane, name: str, given: dict[str, Any]) -> Task:
        """Start one."""
        task = Task(token_hex(8))
        self.all[task.id] = task
        while len(self.all) > KEPT:
            old = self.all.popitem(last=False)[1]
            old.stop_asked = True
        run = asyncio.get_running_loop().create_task(self._run(task, lane, name, given))
        self.running.add(run)
        run.add_done_callback(self.running.discard)
        return task

    def of(self, id: str) -> Task:
        """One that was begun. Raises Refusal."""
        task = self.all.get(id)
        if task is None:
            raise refusal(404, "no_such_task")
        return task

    def stop(self, id: str) -> Task:
        """Ask it to stop; it does within half a second."""
        task = self.of(id)
        task.stop_asked = True
        return task

    async def _run(self, task: Task, lane: Lane, name: str, given: dict[str, Any]) -> None:
        def at(done: int, total: int, doing: str) -> None:
            task.state, task.done, task.total, task.doing = "working", done, total, doing

        try:
            if task.stop_asked:
                task.state = "stopped"
                return
            task.result = await self.desk.ask(lane, Ask(name, given, at, lambda: task.stop_asked))
            task.state, task.done = "done", task.total
        except Refusal as refused:
            task.state = "stopped" if refused.body.get("code") == "stopped" else "refused"
            task.refused = refused.body if task.state == "refused" else {}
        except Exception:
            logging.getLogger(__name__).exception("a task of the app")
            task.state, task.refused = "refused", refusal(500, "fault").body
