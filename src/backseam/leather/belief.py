"""Beliefs as densities on grids: a record's own curve, one record after its tests, points of what is left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import log, sqrt

import numpy as np
from numpy.typing import NDArray

from backseam.ground.sources import Value
from backseam.ground.units import Share
from backseam.leather.evidence import Evidence, Seen, learning, student
from backseam.leather.records import TAIL, TAIL_POINT, WIDE

Array = NDArray[np.float64]

POINTS = np.linspace(-6.0, 6.0, 481)  # places on the normal curve of what was believed
SURE: Share = 1e-3  # no less is left of a band's side, so that a record without a range can still move
FEW = 1e-12


def updated(prior: Value, evidence: Sequence[Evidence]) -> Value:
    """One record after its tests.

    The belief before is the record's own curve: two halves of a normal curve about its value, low and high at their
    5 % and 95 % points, on a log scale where the range is wider than threefold. Each test multiplies it by Student's
    curve about what it read (4 degrees of freedom: one wild test among several counts little) or, for limits, by

        (1 - m) Phi((ln x - ln above)/s) Phi((ln below - ln x)/s) + m           m: seen wrongly

    and value, low and high are the 50, 5 and 95 % points of what is left. On a grid of 481 points.
    Source: textbook (Bayes), lange-1989 (Student's t). Tested: against the conjugate normal where t is nearly normal,
    against quadrature, never wider for tests that agree, one wild test among four.

    >>> wood = Value("friction.wood", 0.35, 0.30, 0.40, "share", "published", "friction-tables")
    >>> after = updated(wood, [Seen("friction.wood", 0.45, 0.03)])
    >>> wood.value < after.value < 0.45, after.high - after.low < 0.1
    (True, True)
    """
    x = scale(prior)
    logs = -(POINTS**2) / 2
    for one in evidence:
        logs = logs + weight_of(one, x)
    low, middle, high = three(x, normed(logs))
    return replace(own(prior), low=low, value=middle, high=high)


def own(record: Value) -> Value:
    """The record as the maker's own."""
    return replace(record, kind="measured", source="own-measurement", place="", weak=False)


def is_log(record: Value) -> bool:
    """True if the record is read on a log scale."""
    return record.low > 0 and record.high / record.low > WIDE


def scale(prior: Value, points: Array = POINTS) -> Array:
    """The record's values at points of its own normal curve, never the same twice.

    A side of the range that is nothing takes the other side's width, so that a test can move the value that way too.
    """
    z = points / TAIL_POINT
    wide = is_log(prior)
    if wide:
        up, down = log(prior.high / prior.value), log(prior.value / prior.low)
    else:
        up, down = prior.high - prior.value, prior.value - prior.low
    least = SURE if wide else SURE * max(abs(prior.value), SURE)
    up, down = up if up > least else max(down, least), down if down > least else max(up, least)
    moved = np.where(z >= 0, z * up, z * down)
    return np.asarray(prior.value * np.exp(moved) if wide else prior.value + moved)


def place(record: Value, x: Array) -> Array:
    """Where values lie on the record's own normal curve: the inverse of `scale`, within its points."""
    return np.asarray(np.interp(x, scale(record), POINTS))


def weight_of(one: Evidence, x: Array) -> Array:
    """Logarithm of how well each value goes with what a test says."""
    if isinstance(one, Seen):
        if one.log:
            off = np.log(np.maximum(x, FEW) / one.value) / one.sd
        else:
            off = (x - one.value) / one.sd
        return student(off, learning("learn.freedom"))
    fits = np.ones_like(x)
    logs = np.log(np.maximum(x, FEW))
    if one.above is not None:
        fits = fits * below((logs - log(one.above)) / one.sd)
    if one.below is not None:
        fits = fits * below((log(one.below) - logs) / one.sd)
    return or_mistaken(fits)


def or_mistaken(fits: Array) -> Array:
    """Logarithm of a likelihood that may have been seen wrongly."""
    mistaken = learning("learn.mistaken")
    return np.asarray(np.log((1 - mistaken) * fits + mistaken))


def below(z: Array) -> Array:
    """Share of the normal curve below z.

        Phi(z) = 1 - phi(z) (a1 k + a2 k^2 + a3 k^3),  k = 1/(1 + 0.33267 z)   for z >= 0,  1 - Phi(-z) below

    Off by less than 1e-5 everywhere. Source: abramowitz-stegun (26.2.16). Tested: against scipy.

    >>> round(float(below(np.array(1.0))), 3)
    0.841
    """
    a = np.minimum(np.abs(z), 38.0)
    k = 1 / (1 + 0.33267 * a)
    tail = np.exp(-(a**2) / 2) / sqrt(2 * np.pi) * k * (0.4361836 + k * (-0.1201676 + k * 0.9372980))
    return np.asarray(np.where(z >= 0, 1 - tail, tail))


def normed(logs: Array) -> Array:
    """Weights that sum to 1 from their logarithms."""
    weight = np.exp(logs - logs.max())
    return np.asarray(weight / weight.sum())


def three(x: Array, weight: Array) -> tuple[float, float, float]:
    """The 5, 50 and 95 % points of weighed values, straight between the middles of the steps."""
    share = np.cumsum(weight) - weight / 2
    low, middle, high = np.interp([TAIL, 0.5, 1 - TAIL], share, x)
    return float(low), float(middle), float(high)


def log_sd(record: Value) -> float:
    """Standard deviation of the logarithm of a positive record."""
    return max(log(record.high / record.low) / (2 * TAIL_POINT), SURE)
