"""Room, time of day and weights as people type them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from backseam.ground.errors import InputRefused
from backseam.ground.numbers import read_mass
from backseam.ground.speech import PLAIN
from backseam.ground.units import Gram
from backseam.leather.wet import Room
from backseam.making.weighing import Weighing

ROOM = re.compile(r"\s*(-?\d{1,3}(?:[.,]\d+)?)\s*°?\s*([CcFf])\s*[,; ]\s*(\d{1,3}(?:[.,]\d+)?)\s*%\s*")
TIME = re.compile(r"\s*([01]?\d|2[0-3]):([0-5]\d)\s*")
WEIGHED = re.compile(
    r"\s*(?:(?P<hour>[01]?\d|2[0-3]):(?P<minute>[0-5]\d)|(?P<number>\d{1,4}(?:[.,]\d+)?)\s*(?P<unit>h|min))"
    r"\s*[,;:= ]\s*(?P<mass>\S.*)",
    re.IGNORECASE,
)
SHOWN = 40
HOUR, DAY = 60, 24 * 60


def room_of(text: str) -> Room:
    """A room as typed: `19 C, 55 %`. Raises InputRefused."""
    found = ROOM.fullmatch(text)
    if not found:
        raise InputRefused(PLAIN.say("cli.dry.room", typed=text[:SHOWN]), ("room",))
    degrees, humidity = (float(found[i].replace(",", ".")) for i in (1, 3))
    return Room((degrees - 32) / 1.8 if found[2] in "Ff" else degrees, humidity / 100)


def minutes_of(text: str) -> int:
    """A time of day as typed, `14:00`, in minutes after midnight. Raises InputRefused."""
    found = TIME.fullmatch(text)
    if not found:
        raise InputRefused(PLAIN.say("cli.dry.start", typed=text[:SHOWN]), ("start",))
    return HOUR * int(found[1]) + int(found[2])


def weighings_of(texts: Sequence[str], start: int | None) -> tuple[Weighing, ...]:
    """Weights as typed, in order of time: `20:30 264 g`, or `6.5 h 264 g` after the soak began.

    A time of day earlier than the one before it is the next day's. Raises InputRefused.
    """
    told: list[Weighing] = []
    for row, text in enumerate(texts):
        found = WEIGHED.fullmatch(text)
        if not found:
            raise InputRefused(PLAIN.say("cli.dry.weigh", typed=text[:SHOWN]), ("weigh", row))
        if not found["unit"] and start is None:
            raise InputRefused(PLAIN.say("cli.dry.weigh_start", typed=text[:SHOWN]), ("start",))
        last = told[-1].minutes if told else 0.0
        told.append(Weighing(_after(found, start or 0, last), mass_of(found["mass"], ("weigh", row))))
    return tuple(told)


def mass_of(text: str, where: tuple[str | int, ...]) -> Gram:
    """A weight as typed, g; where: the field it stands in. Raises InputRefused."""
    try:
        return read_mass(text).value
    except InputRefused as refused:
        raise InputRefused(str(refused), where) from None


def _after(found: re.Match[str], start: int, last: float) -> float:
    """Minutes after the soak began."""
    if found["unit"]:
        number = float(found["number"].replace(",", "."))
        return number * HOUR if found["unit"].lower() == "h" else number
    minutes = float((HOUR * int(found["hour"]) + int(found["minute"]) - start) % DAY)
    while minutes < last:
        minutes += DAY
    return minutes
