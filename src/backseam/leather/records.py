"""What is known of leather, as records, and what a maker knows of one hide.

The tables beside this file hold one record a value, read by `ground.sources`: value, low, high, unit, how it is
known, source, direction, condition, what it is for. low and high are read as the 5 % and 95 % points and value as
the middle: that is what `quantile` draws from. A hide's own values stand above those of its part of the hide, and
those above the tables.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from math import exp, hypot, log
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from backseam.geom.normal import normal_point
from backseam.ground.errors import InputRefused
from backseam.ground.sources import Value, records, values
from backseam.ground.speech import PLAIN
from backseam.ground.units import Share

Array = NDArray[np.float64]

TABLES = ("elastic.toml", "friction.toml", "water.toml", "heat.toml", "density.toml")
SHARED = ("leather.", "wet.", "collar.crack", "gate.pull_in")  # default values that a hide may know better
TAIL: Share = 0.05  # low and high have this much beyond them
TAIL_POINT = float(normal_point(1 - TAIL))
SLOPE_MOST = 500.0  # of a record that is nothing until it is learnt
WIDE = 3.0  # a positive range wider than this is read on a log scale


@cache
def leather_records() -> Mapping[str, Value]:
    """All records of leather, by dotted name (`friction.waxed`), with the defaults that a hide may know better."""
    shared = {name: value for name, value in values().items() if name.startswith(SHARED)}
    return MappingProxyType({**shared, **records("backseam.leather", *TABLES)})


@cache
def kinds() -> Mapping[str, Mapping[str, Value]]:
    """Parts of the hide and kinds of leather, each with its factors on the records, by the record's name."""
    found: dict[str, dict[str, Value]] = {"shoulder": {}, "other": {}}
    for name, factor in records("backseam.leather", "kinds.toml").items():
        kind, _, record = name.partition(".")
        found.setdefault(kind, {})[record] = factor
    return MappingProxyType({kind: MappingProxyType(factors) for kind, factors in found.items()})


@dataclass(frozen=True)
class Hide:
    """What is known of one hide or side: the maker's own values, by the name of the record they replace.

    calibrated: a finished girth and a pull were measured on it, so that forecasts of it may be said in newtons.
    """

    name: str = ""
    values: Mapping[str, Value] = field(default_factory=dict)
    calibrated: bool = False

    def knowing(self, *more: Value) -> Hide:
        """The same hide with these values known too."""
        return replace(self, values={**self.values, **{value.name: value for value in more}})


def measured(name: str, value: float, low: float | None = None, high: float | None = None) -> Value:
    """The maker's own value for the record `name`, in the record's unit; low and high default to the value.

    >>> measured("water.cased", 0.36, 0.33, 0.39).kind
    'measured'
    """
    record = known(name)
    low, high = value if low is None else low, value if high is None else high
    if not (np.isfinite([low, value, high]).all() and low <= value <= high):
        raise InputRefused(PLAIN.say("wet.refuse.range", name=name, low=low, value=value, high=high))
    least, most = _believable(record)
    if not (least <= low and high <= most):
        shown = {"low": f"{low:g}", "high": f"{high:g}", "least": f"{least:.3g}", "most": f"{most:.3g}"}
        raise InputRefused(PLAIN.say("wet.refuse.beyond", name=name, **shown, unit=record.unit))
    return replace(
        record,
        value=value,
        low=low,
        high=high,
        kind="measured",
        source="own-measurement",
        place="",
        weak=False,
    )


def _believable(record: Value) -> tuple[float, float]:
    """What a hide's own value may be at all: far beyond the record's range it was mistyped."""
    far = records("backseam.leather", "learn.toml")["learn.own_far"].value
    if record.low > 0:
        return record.low / far, record.high * far
    side = far * (max(record.high - record.low, abs(record.value)) or SLOPE_MOST / far)
    return record.low - side, record.high + side


def known(name: str) -> Value:
    """The record `name` of the tables; one sentence if there is none."""
    try:
        return leather_records()[name]
    except KeyError:
        raise InputRefused(PLAIN.say("wet.refuse.record", name=name[:60])) from None


def factored(record: Value, factor: Value) -> Value:
    """A record times a factor of its kind of leather; the ranges multiply as if they were independent.

    On a log scale the half widths add by squares:

        ln(high'/value') = sqrt(ln(high/value)^2 + ln(f_high/f)^2)

    Trusted for positive values. Source: textbook (error propagation). Tested: by hand.

    >>> doubled = Value("f", 2.0, 2.0, 2.0, "share", "assumed", "own-choice")
    >>> factored(known("friction.wood"), doubled).high
    0.8
    """
    value = record.value * factor.value

    def end(mine: float, theirs: float, way: float) -> float:
        width = hypot(log(mine / record.value), log(theirs / factor.value))
        return value * exp(way * width)

    return replace(
        record,
        value=value,
        low=end(record.low, factor.low, -1),
        high=end(record.high, factor.high, +1),
        condition=f"{record.condition}; {factor.condition}",
        weak=record.weak or factor.weak,
    )


def quantile(value: Value, share: ArrayLike) -> Array:
    """The value that a share of all leather stays below.

    Two halves of a normal curve that meet at the record's value, low and high at their 5 % and 95 % points;
    on a log scale where the range is positive and wider than threefold:

        x = value + z (high - value)/1.645   for z >= 0,   value + z (value - low)/1.645 below,   z = normal quantile

    A record without a range gives its value. Validity: a description of ignorance, not a measured distribution.
    Source: textbook (split normal). Tested: its own three points, order, both scales.

    >>> wood = known("friction.wood")                     # 0.35, 0.30 to 0.40
    >>> [round(float(q), 3) for q in quantile(wood, [0.05, 0.5, 0.95])]
    [0.3, 0.35, 0.4]
    """
    return at_point(value, normal_point(share))


def at_point(value: Value, z: Array) -> Array:
    """The same at points z of the normal curve."""
    z = z / TAIL_POINT
    if value.low > 0 and value.high / value.low > WIDE:
        up, down = log(value.high / value.value), log(value.value / value.low)
        return np.asarray(value.value * np.exp(np.where(z >= 0, z * up, z * down)))
    up, down = value.high - value.value, value.value - value.low
    drawn = value.value + np.where(z >= 0, z * up, z * down)
    return np.maximum(drawn, 0.0) if value.low >= 0 else np.asarray(drawn)


def weak_names(used: Iterable[Value]) -> tuple[str, ...]:
    """Names of the weak ones, each once, in the order given."""
    return tuple(dict.fromkeys(value.name for value in used if value.weak))
