"""A root between two bounds."""

from __future__ import annotations

from collections.abc import Callable

HALVINGS = 80  # a gap of 1e3 shrinks below any number's rounding


def root(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function passes zero between low and high, by halving; a bound if it does not.

    >>> round(root(lambda x: x * x - 2, 0.0, 2.0), 12)
    1.414213562373
    """
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if rising(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
