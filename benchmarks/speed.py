"""The limits of speed in one table: fit, drying, all with the pattern, moulding; warm, and the papers from cold."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from backseam import loads, work
from backseam.job.forecast import hold, timetable
from backseam.job.foreseen import foresee, mould
from backseam.job.recipe import Worked
from benchmarks.timing import SAMPLES, sample, timed


def everything(name: str) -> None:
    """From the document to pattern, holes, hold, timetable and hang."""
    foresee(work(loads(sample(name))))


def cold() -> float:
    """Seconds from the start of the process to the last paper but the moulding's; least of five."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "job.json"
        file.write_text(sample("barrel"), encoding="utf-8")
        argv = [sys.executable, "-m", "backseam.cli.main", "work", str(file), "-o", f"{folder}/out"]
        took = []
        for _ in range(5):
            start = time.perf_counter()
            subprocess.run([*argv, "--no-moulding"], check=True, capture_output=True)
            took.append(time.perf_counter() - start)
    return min(took)


def main() -> None:
    """Print it."""
    rows: list[tuple[str, float, Callable[[Worked, str], object], int]] = [
        ("fit, 10,000 sheaths", 150, lambda worked, _: hold(worked), 11),
        ("drying, all moments", 30, lambda worked, _: timetable(worked), 11),
        ("everything with pattern", 150, lambda _, name: everything(name), 11),
        ("moulding, both pieces", 2000, lambda worked, _: mould(worked), 3),
    ]
    print("speed, warm (ms, median and 95 %)")
    print(f"{'what':<26}{'limit':>7}" + "".join(f"{name:>16}" for name in SAMPLES))
    for what, limit, act, times in rows:
        cells = []
        for name in SAMPLES:
            worked = work(loads(sample(name)))
            median, high = timed(lambda act=act, worked=worked, name=name: act(worked, name), times)  # type: ignore[misc]
            cells.append(f"{median:>9.0f} /{high:>5.0f}")
        print(f"{what:<26}{limit:>7.0f}" + "".join(cells))
    print(f"\nall papers but the moulding's from cold: {cold():.2f} s (limit 2 s), barrel, least of five")


if __name__ == "__main__":
    main()
