"""What every table of times shares: the sample jobs, and how an act is timed."""

from __future__ import annotations

import time
from collections.abc import Callable
from importlib.resources import files

import numpy as np

SAMPLES = ("barrel", "slim", "stout", "bent-inside", "sideways")
WARM = 3  # runs before any counts


def sample(name: str) -> str:
    """Text of a shipped sample."""
    return files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8")


def took(act: Callable[[], object], times: int) -> list[float]:
    """Wall clock of each run, ms, once it is warm."""
    for _ in range(WARM):
        act()
    found = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        found.append(1e3 * (time.perf_counter() - start))
    return found


def timed(act: Callable[[], object], times: int) -> tuple[float, float]:
    """Median and 95th percentile, ms."""
    every = took(act, times)
    return float(np.median(every)), float(np.quantile(every, 0.95))
