"""What a test or a finished sheath says of a hide, ready to be weighed against what was believed before.

A leather test ends as one number for one record (`Seen`) or as two limits it lies between (`Between`). A dried ring or
sheath says something of two at once, how far the leather pulls in and how hard it grips (`Finished`), because a hard
draw may be a tight girth or a stiff leather.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import log, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from backseam.ground.sources import Value, records
from backseam.ground.units import Mm, Newton, Share

Array = NDArray[np.float64]

STEPS = 801  # places at which several readings of one test are weighed
BEYOND = 6.0  # standard deviations looked at beyond the outermost reading
TURNS = 20


def learning(name: str) -> float:
    """The value of one record of `learn.toml`.

    >>> learning("learn.freedom")
    4.0
    """
    return learning_record(name).value


def learning_record(name: str) -> Value:
    """One record of `learn.toml`."""
    return records("backseam.leather", "learn.toml")[name]


@dataclass(frozen=True)
class Seen:
    """One test's word on one record. value in the record's unit; sd: of the value, or of its logarithm (`log`).

    test: which test it was, as the card names it. count: readings behind it.
    """

    name: str
    value: float
    sd: float
    log: bool = False
    test: str = ""
    count: int = 1


@dataclass(frozen=True)
class Between:
    """One test's word on a limit: above one value and below another (None: not found). sd: of the logarithm."""

    name: str
    above: float | None
    below: float | None
    sd: float
    test: str = ""


@dataclass(frozen=True)
class Finished:
    """A dried ring or sheath: what was measured of it, and what the account makes of every pull-in that is tried.

    insides: for each girth measured, what it should be, mm (q, n), for q pull-ins of `PULL_INS` and n ways in which
    the rest may be; draw (q, n) N: largest pull at the tables' friction and stiffness. girths ± girth_sd and pull, as
    measured; least, most: pulls a fault tells where nobody measured one.
    """

    test: str
    insides: tuple[Array, ...]
    draw: Array
    girths: tuple[Mm, ...] = ()
    girth_sd: Mm = 0.0
    pull: Newton | None = None
    least: Newton | None = None
    most: Newton | None = None

    @property
    def tells(self) -> bool:
        """True if anything was measured or named that bears on girth or grip."""
        return bool(self.girths) or any(each is not None for each in (self.pull, self.least, self.most))


Evidence = Seen | Between

PULL_INS: Array = np.linspace(-0.03, 0.06, 91)  # pull-ins tried, share of the girth
PULL_INS.flags.writeable = False


@dataclass(frozen=True)
class Gathered:
    """Several readings of one thing as one: value, its standard deviation, and which of them fit badly."""

    value: float
    sd: float
    wild: tuple[int, ...] = field(default=())


def student(off: ArrayLike, freedom: float) -> Array:
    """Logarithm of Student's t at `off` standard deviations, but for a constant: how much a reading still counts.

        -(nu + 1)/2 ln(1 + off^2/nu)

    Near nothing it is a normal curve; far out a reading stops pulling, which is what makes it robust to a wild one.
    Source: lange-1989. Tested: normal curve as nu grows, pull of a far reading falls.

    >>> round(float(student(2.0, 4.0)), 4)                     # -2.5 ln 2
    -1.7329
    """
    return np.asarray(-(freedom + 1) / 2 * np.log1p(np.asarray(off, dtype=float) ** 2 / freedom))


def gathered(readings: Sequence[float], sds: Sequence[float]) -> Gathered:
    """Readings of one thing as one number, a wild one counting little.

    With no opinion beforehand each value x is weighed by the product of Student's curves of all readings about it;
    value and sd are mean and standard deviation of what that leaves. Two readings that contradict each other leave
    two hills, hence a wide sd: nothing is decided for them. Source: lange-1989 (robust location), on a grid.
    Tested: equal readings, weights by 1/sd^2, one wild of five, two that contradict.

    >>> one = gathered([10.0, 10.0], [1.0, 1.0])
    >>> round(one.value, 2), round(one.sd, 2)
    (10.0, 0.76)
    """
    x0, s0 = np.asarray(readings, dtype=float), np.asarray(sds, dtype=float)
    if len(x0) == 1:
        return Gathered(float(x0[0]), float(s0[0]))
    low, high = float((x0 - BEYOND * s0).min()), float((x0 + BEYOND * s0).max())
    x = np.linspace(low, high, STEPS)
    freedom = learning("learn.freedom")
    weight = _normed(student((x0[:, None] - x) / s0[:, None], freedom).sum(axis=0))
    value = float((weight * x).sum())
    sd = sqrt(float((weight * (x - value) ** 2).sum()))
    off = np.abs(x0 - value) / np.hypot(s0, sd)
    return Gathered(value, sd, tuple(int(i) for i in np.nonzero(off > learning("learn.wild"))[0]))


def gathered_log(readings: Sequence[float], shares: Sequence[Share]) -> Gathered:
    """The same for positive readings whose sd are shares of them: value, and sd of its logarithm."""
    found = gathered([log(one) for one in readings], shares)
    return Gathered(float(np.exp(found.value)), found.sd, found.wild)


def _normed(logs: Array) -> Array:
    weight = np.exp(logs - logs.max())
    return np.asarray(weight / weight.sum())
