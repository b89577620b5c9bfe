"""The clock of wet leather: time warm, by what it is asked; error of its steps and of its samples."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from backseam.leather import moisture, wet
from backseam.leather.material import material
from backseam.leather.wet import Room
from backseam.making.clock import Clock, clock, work_minutes
from backseam.making.weighing import Weighing
from benchmarks.timing import took

SHOULDER = material("shoulder", 2.0)
ROOM = Room(20.0, 0.5)
WEIGHINGS = (Weighing(420, 270.5), Weighing(600, 266.3), Weighing(840, 262.9), Weighing(1100, 259.8))
MOMENTS = ("ready", "tool", "bench_dry", "window_closes", "draw_last", "second_draw", "wax")
BUDGET = 30.0  # ms
CASES: dict[str, Callable[[], Clock]] = {
    "plain mouth": lambda: clock(SHOULDER, ROOM),
    "folded collar": lambda: clock(SHOULDER, ROOM, flap=1.0),
    "3 mm, damped again": lambda: clock(
        material("bend", 3.0), Room(23.0, 0.4, moving=True), work_minutes(50, pace=2.0), flap=1.0
    ),
    "weighed four times": lambda: clock(
        SHOULDER, ROOM, flap=1.0, weighings=WEIGHINGS, piece=46.0, form=210.0
    ),
    "1000 samples": lambda: clock(SHOULDER, ROOM, flap=1.0, samples=1000),
}


def _times(act: Callable[[], object]) -> tuple[float, float, float]:
    """Least, median and 95th percentile, ms."""
    every = took(act, 25)
    return min(every), float(np.median(every)), float(np.quantile(every, 0.95))


def finer(**constants: Any) -> Clock:
    """The usual case with more cells, steps or places of the film's table."""
    before = {name: getattr(wet, name) for name in constants}
    try:
        for name, value in constants.items():
            setattr(wet, name, value)
        return clock(SHOULDER, ROOM, flap=1.0)
    finally:
        for name, value in before.items():
            setattr(wet, name, value)


def bench_drying() -> dict[str, tuple[float, float, float]]:
    """Print times and errors; give the times, ms, for a table of all benchmarks."""
    print(f"whole timetable with bands, warm (ms; budget {BUDGET:g} without weighing)")
    print(f"{'case':<22}{'least':>8}{'median':>8}{'95 %':>8}")
    times = {name: _times(act) for name, act in CASES.items()}
    for name, row in times.items():
        print(f"{name:<22}{row[0]:>8.1f}{row[1]:>8.1f}{row[2]:>8.1f}")
    print()
    usual = CASES["folded collar"]()
    steps = finer(
        LADDER=300,
        LYING=200,
        FLUX_PLACES=201,
        STEPS=dict.fromkeys(wet.STEPS, 40),
        mesh=lambda: moisture.mesh(48),
    )
    many = clock(SHOULDER, ROOM, flap=1.0, samples=3000)
    print("against 48 cells and ten times the steps; against 3000 samples (%, low / likely / high)")
    for name in MOMENTS:
        mine, fine, lot = usual.moment(name), steps.moment(name), many.moment(name)
        pairs = [
            " / ".join(
                f"{100 * (getattr(mine, part) / getattr(other, part) - 1):+5.1f}"
                for part in ("low", "likely", "high")
            )
            for other in (fine, lot)
        ]
        print(f"{name:<16}{pairs[0]:>24}{pairs[1]:>26}")
    return times


def main() -> None:
    """Print it."""
    bench_drying()


if __name__ == "__main__":
    main()
