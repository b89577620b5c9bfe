"""Cautions of wet leather: heat, the room, days of damp, handwork that outlasts the damp state."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value, records
from backseam.ground.units import Celsius
from backseam.leather.material import Material
from backseam.leather.wet import HOUR, WALL, Draws, History, Room

ROOM = ("room",)


def heat_caution(leather: Material, temperature: Celsius) -> Iterator[Finding]:
    """What a temperature does to wet leather: normal up to 40 degrees C, a caution above 45, refused above 60.

        warn at = first move of wet fibres - margin                            64 - 19 = 45 degrees C

    Source: heritage-science-2019 (first move), conservation-science-2006 (shrinkage), common practice (steps).
    """
    normal, warn = leather.value("wet.heat_limit"), leather.value("heat.warn")
    numbers = {
        "temperature": temperature,
        "normal": normal,
        "first": leather.value("heat.first_move"),
        "shrinks": leather.record("heat.shrinks_hydrolysable").low,
    }
    if temperature > leather.value("heat.refuse"):
        yield finding("WET-001", ROOM, **numbers)
    elif temperature > warn:
        yield finding("WET-002", ROOM, **numbers)
    elif temperature > normal:
        yield finding("WET-003", ROOM, **numbers)


def room_caution(leather: Material, room: Room) -> Iterator[Finding]:
    """A room that is cold, dry or damp enough to change the way of working."""
    limits = records("backseam.making", "clock.toml")
    cold, dry, damp = (limits[f"room.{name}"] for name in ("cold", "dry", "damp"))
    if room.temperature < cold.value:
        yield finding("WET-004", ROOM, temperature=room.temperature, least=leather.record("wet.room").low)
    if room.humidity < dry.value:
        yield finding("WET-005", ROOM, humidity=room.humidity, least=dry.value)
    if room.humidity > damp.value:
        yield finding("WET-006", ROOM, humidity=room.humidity, most=damp.value)
    thickness: Value = limits["room.thickness"]
    if not thickness.low <= leather.thickness <= thickness.high:
        numbers = {"thickness": leather.thickness, "low": thickness.low, "high": thickness.high}
        yield finding("WET-007", ("leather", "thickness_mm"), **numbers)


def wet_caution(leather: Material, past: History, drawn: Draws) -> Iterator[Finding]:
    """Leather damp for days, and handwork that outlasts its damp state."""
    most, water = leather.value("ready.mould_growth") * HOUR, leather.value("ready.mould_water")
    damp = past.mean[WALL] > water
    last = np.where(damp, past.minutes, 0.0).max(axis=1)
    if np.median(last) > most:
        yield finding("WET-008", (), hours=float(np.median(last)) / HOUR, most=most / HOUR)
    again = np.isfinite(past.first_damped)
    share = float(again.mean())
    if share >= 1 / 2:
        after = float(np.median(past.first_damped[again] - past.ready[again]))
        yield finding("WET-009", (), hours=after / HOUR, times=round(float(np.median(past.damped))))
    elif share > 1 / 10:
        yield finding("WET-010", (), share=share)
