"""The gates of a job with what was written into them: which hold, which are out, and what a rescue wants to know.

A gate asks for one number after an act that cannot be undone (`making.gates`); what was found stands in the
document as typed. What is out can go on to `job.rescue`: the number under the key that it is found by.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from backseam.ground.errors import InputRefused
from backseam.ground.numbers import read_count, read_length
from backseam.ground.speech import PLAIN, Speech, words
from backseam.job.recipe import Worked
from backseam.making.gates import Gate, Measure
from backseam.making.steps import Step, work_order

FOUND_AS: Mapping[str, tuple[str, ...]] = {
    "skive": ("flap_mm",),
    "fold": ("height_mm",),
    "rows_count": ("holes_left", "holes_right"),
    "rows_length": ("row_left_mm", "row_right_mm"),
    "try_on": ("row_gap_mm",),
    "finished": ("finished_mouth_mm",),
}


@dataclass(frozen=True)
class GateRow:
    """One gate. act: what was done; limit: what it must have; boxes: what is written, by name; read: as typed.

    state: open until every box is filled; found: key and number for a rescue, () where none is kept for it.
    """

    id: str
    act: str
    limit: str
    boxes: tuple[str, ...]
    read: tuple[str, ...]
    state: Literal["open", "held", "out"]
    out: str
    found: tuple[tuple[str, str], ...]


def gate_rows(worked: Worked, speech: Speech = PLAIN) -> tuple[GateRow, ...]:
    """All gates of this job, in the order of the work."""
    read = {one.gate: tuple(one.read) for one in worked.job.making.gates}
    return tuple(
        _row(step, step.gate, read.get(step.gate.id, ()), speech)
        for step in work_order(worked)
        if step.gate is not None
    )


def _row(step: Step, gate: Gate, read: tuple[str, ...], speech: Speech) -> GateRow:
    counted = gate.measure is Measure.COUNT
    target = round(gate.target) if counted else gate.target
    limits = {"target": target, "low": gate.low, "high": gate.high, "tolerance": gate.tolerance}
    boxes = _boxes(gate)
    typed = (*read, *([""] * len(boxes)))[: len(boxes)]
    numbers = [_number(one, counted) for one in typed]
    known = [one for one in numbers if one is not None]
    state: Literal["open", "held", "out"] = "open"
    if gate.measure is Measure.TICK:
        state = "held" if typed[0].strip() else "open"
    elif len(known) == len(boxes):
        state = "held" if gate.holds(*known) else "out"
    keys = FOUND_AS.get(gate.id, ())
    return GateRow(
        gate.id,
        _act(step, speech),
        speech.say(f"card.limit.{gate.words}", **limits),
        tuple(speech.say(f"job.gate.box.{name}") for name in boxes),
        typed,
        state,
        _sentence(speech.say(f"card.gate.{gate.id}", **{**step.numbers, **limits})),
        tuple(zip(keys, typed, strict=True)) if state == "out" and keys else (),
    )


def _act(step: Step, speech: Speech) -> str:
    """What the act is called; the key's own words for inches, where there are some."""
    _, group, name = step.words.split(".")
    inch = f"{name}_inch"
    own = speech.units == "inch" and inch in words(speech.language, "card")[group]
    numbers = {key: _listed(value, speech) for key, value in step.numbers.items()}
    return speech.say(f"card.{group}.{inch}" if own else step.words, **numbers)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _listed(value: Any, speech: Speech) -> Any:
    return ", ".join(speech.fill("{v:n}", {"v": one}) for one in value) if isinstance(value, tuple) else value


def _boxes(gate: Gate) -> tuple[str, ...]:
    if gate.measure is Measure.TICK:
        return ("tick",)
    return ("left", "right") if gate.boxes == 2 else ("one",)


def _number(text: str, counted: bool) -> float | None:
    """The number in a box; None where there is none that can be read."""
    if not text.strip():
        return None
    try:
        return read_count(text).value if counted else read_length(text, signed=True).mm
    except InputRefused:
        return None
