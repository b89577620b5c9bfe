"""What is not known of a finished sheath, and many sheaths drawn from it: same seed, same sheaths.

Each unknown is a record with its range, or a reading with its spread. One drawn sheath is one share (0-1) for each
unknown: the share of all leather, all makers, all readings that stay below. Every unknown's shares are spread evenly
(one in each of n slices, Latin hypercube), their order stirred by a counter-based generator: no hidden state.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from backseam.fit.grip import Grip
from backseam.geom.normal import normal_point
from backseam.ground.sources import Value, values
from backseam.ground.units import Mm, Share
from backseam.leather.material import Material
from backseam.leather.records import TAIL_POINT, at_point

Array = NDArray[np.float64]
Words = NDArray[np.uint64]

_GOLDEN = np.uint64(0x9E3779B97F4A7C15)
_MIX = (np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB))
STEP: Mm = 0.5  # of girths: what a strap can be off without anybody noticing
NORMAL_95 = 2.0  # a spread is two standard deviations (house rule of readings)

Kind = Literal["value", "reading"]


@dataclass(frozen=True)
class Unknown:
    """One of them. name: of the record, `reading:3` for row 3 of the readings, `work:…` for what hands do.

    step: by how much it is moved to see what it matters, in its own unit, or 0: by a tenth of its value.
    weak: an estimate.
    """

    name: str
    kind: Kind
    value: Value
    step: float = 0.0
    weak: bool = False

    def at(self, point: Array) -> Array:
        """Values at points of the normal curve."""
        return at_point(self.value, point)


# What is drawn for every sheath, by the name of its record.
RECORDS = (
    "set.pull_in",
    "set.kept",
    "fit.slack_kept",
    "stiffness.hoop",
    "friction.flesh_finished",
    "relax.per_decade",
    "relax.humidity_year",
)


def unknowns(grip: Grip, material: Material, thickness_spread: Mm) -> tuple[Unknown, ...]:
    """All unknowns of one sheath. thickness_spread: half the range of the readings of the leather, mm."""
    found = [_recorded(name, material) for name in RECORDS]
    spread = max(thickness_spread, values()["fit.thickness_spread"].value)
    found.append(_hand("work:thickness", grip.thickness, spread))
    found.append(_hand("work:radius", grip.radius, grip.thickness / 2))
    film = values()["reading.film"]
    found.append(Unknown(film.name, "value", replace(film, value=grip.film, high=max(film.high, grip.film))))
    found.append(_hand("work:piece", 0.0, values()["fit.piece_spread"].value, step=STEP))
    if grip.folded:
        found.append(_hand("work:flap", grip.flap, values()["gate.skive"].value))
    for row in grip.rows:
        found.append(_hand(f"reading:{row.index}", 0.0, row.spread, kind="reading", step=STEP))
    return tuple(found)


def _recorded(name: str, material: Material) -> Unknown:
    record = material.record(name) if name in material.values else values()[name]
    return Unknown(name, "value", record, weak=record.weak)


def _hand(name: str, value: float, spread: Mm, *, kind: Kind = "value", step: float = 0.0) -> Unknown:
    """A length known to ± spread (95 %), as a record whose low and high are its 5 % and 95 % points."""
    half = spread / NORMAL_95 * TAIL_POINT
    return Unknown(
        name, kind, Value(name, value, value - half, value + half, "mm", "measured", "own-measurement"), step
    )


def shares(seed: int, count: int, unknown_count: int) -> Array:
    """(unknown_count, count) shares in (0, 1), one in each slice of 1/count for every unknown.

    >>> rows = shares(7, 5, 1)
    >>> sorted(int(5 * x) for x in rows[0])
    [0, 1, 2, 3, 4]
    """
    return _dealt(_slices(count), _order(seed, count, unknown_count))


def _slices(count: int) -> Array:
    return (np.arange(count) + 0.5) / count


def _order(seed: int, count: int, rows: int) -> NDArray[np.intp]:
    keys = (stirred(seed, rows * count) >> np.uint64(48)).astype(np.uint16)
    return np.argsort(keys.reshape(rows, count), axis=1, kind="stable")  # 16 bits: a radix sort


def _dealt(sorted_values: Array, order: NDArray[np.intp]) -> Array:
    """The same values to every row, each in its own order."""
    out = np.empty(order.shape)
    np.put_along_axis(out, order, np.broadcast_to(sorted_values, order.shape), axis=1)
    return out


def stirred(seed: int, count: int) -> Words:
    """`count` well-mixed 64-bit numbers from a seed and a counter (splitmix64).

    Source: steele-2014 (splitmix64). Tested: the published first outputs for seed 1234567.

    >>> int(stirred(1234567, 1)[0])
    6457827717110365317
    """
    start = np.uint64(seed % 2**64)
    with np.errstate(over="ignore"):
        z = start + _GOLDEN * np.arange(1, count + 1, dtype=np.uint64)
        z = (z ^ (z >> np.uint64(30))) * _MIX[0]
        z = (z ^ (z >> np.uint64(27))) * _MIX[1]
        return np.asarray(z ^ (z >> np.uint64(31)))


@dataclass(frozen=True)
class Sheaths:
    """n drawn sheaths: the unknowns, their shares (k, n), the same as points of the normal curve, and their values
    (n,) by name.
    """

    unknowns: tuple[Unknown, ...]
    shares: Array
    points: Array
    drawn: dict[str, Array]

    @property
    def count(self) -> int:
        """How many."""
        return int(self.shares.shape[1])

    def chosen(self, index: NDArray[np.intp]) -> Sheaths:
        """Those with these numbers, some more than once."""
        drawn = {name: row[index] for name, row in self.drawn.items()}
        return Sheaths(self.unknowns, self.shares[:, index], self.points[:, index], drawn)

    def replaced(self, name: str, value: Array) -> Sheaths:
        """The same with one unknown's values replaced."""
        return replace(self, drawn={**self.drawn, name: value})

    def point(self, name: str) -> Array:
        """Points of one unknown, (n,)."""
        return np.asarray(self.points[[one.name for one in self.unknowns].index(name)])


def draw(given: tuple[Unknown, ...], seed: int, count: int) -> Sheaths:
    """`count` sheaths from the unknowns."""
    order, slices = _order(seed, count, len(given)), _slices(count)
    points = _dealt(normal_point(slices), order)
    drawn = {one.name: one.at(row) for one, row in zip(given, points, strict=True)}
    return Sheaths(given, _dealt(slices, order), points, drawn)


def usual(given: tuple[Unknown, ...]) -> Sheaths:
    """One sheath with every unknown at its value, then two for each unknown: a step less, a step more.

    A step is the unknown's own, or a tenth of its value.
    """
    count = 1 + 2 * len(given)
    drawn = {}
    for i, one in enumerate(given):
        row = np.full(count, one.value.value)
        step = one.step or 0.1 * abs(one.value.value)
        row[1 + 2 * i] -= step
        row[2 + 2 * i] += step
        drawn[one.name] = row
    return Sheaths(given, np.full((len(given), count), 0.5), np.zeros((len(given), count)), drawn)


def share_of_variance(row: Array, result: Array, slices: int = 50, effective: float | None = None) -> Share:
    """Share of a result's variance that one unknown explains alone: variance of slice means over variance.

        S = Var(E[F | x]) / Var(F),  less what slice means of pure chance would show

    row: the unknown's shares (n,); effective: how many different sheaths there are among them (n if all are).
    First-order index; what unknowns do only together is in none of them.
    Source: sobol-1993. Tested: sums, products and a plain linear sum with known shares.

    >>> x, y = shares(1, 5000, 2)
    >>> round(share_of_variance(x, 2 * x + y), 1)               # 4 / (4 + 1)
    0.8
    """
    whole = float(result.var())
    if whole <= 0 or not np.isfinite(whole):
        return 0.0
    cell = np.minimum((row * slices).astype(np.intp), slices - 1)
    size = np.bincount(cell, minlength=slices)
    filled = size > 0
    mean = np.bincount(cell, result, slices)[filled] / size[filled]
    between = float((size[filled] * (mean - result.mean()) ** 2).sum() / len(result))
    chance = (filled.sum() - 1) / (effective or len(result))
    if chance >= 1:
        return 0.0
    return float(np.clip((between / whole - chance) / (1 - chance), 0.0, 1.0))
