"""How far the work has come: acts done, what goes on by itself, gates. Nothing printed hangs on it."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from backseam.job.part import Instant, Part, Short

ActName = Annotated[Short, Field(max_length=40)]


class ActDone(Part):
    """One act of the work, done. act: its name in the order of work; at: when, as 2026-11-25T09:30:00Z."""

    book: ClassVar[str] = "act_done"

    act: ActName
    at: Instant = ""


class ActNow(Part):
    """What is going on by itself now: soaking, resting, in clamps, drying; since when."""

    book: ClassVar[str] = "act_now"

    act: ActName
    since: Instant


class GateRead(Part):
    """What was written into the box of a gate, as typed."""

    book: ClassVar[str] = "gate_read"

    gate: ActName
    read: Annotated[list[Short], Field(max_length=4)] = Field(default_factory=list)
    at: Instant = ""


class MakingPart(Part):
    """How far the work has come. Nothing printed hangs on it."""

    book: ClassVar[str] = "making"

    done: Annotated[list[ActDone], Field(max_length=200)] = Field(default_factory=list)
    now: ActNow | None = None
    gates: Annotated[list[GateRead], Field(max_length=100)] = Field(default_factory=list)
    room: Short = ""
