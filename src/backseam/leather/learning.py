"""What is believed of a hide once its tests and finished sheaths are known: values with shrinking bands.

    records of the tables -> leather tests, one record each -> rings and sheaths: pull-in, then friction x stiffness

Everything is weighed anew from the records and the whole history each time, so that the order in which a maker tests
does not matter and a test that was wrong can be taken out again. No solver: densities on grids, always finite.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot

from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value
from backseam.leather.belief import own, updated
from backseam.leather.evidence import Evidence, Finished, Seen, learning
from backseam.leather.records import TAIL_POINT
from backseam.leather.together import PULL_IN, Together, believed, dealt, wild, with_finished

FOLLOWS = {"gate.pull_in": PULL_IN}  # the gate of the finished girth asks the same


@dataclass(frozen=True)
class Learnt:
    """What is believed now. values: of the records that any test moved; before: the same as the tables have them.

    tests: by record, the tests that bear on it. findings: readings that fit badly. calibrated: a finished girth and a
    pull were measured.
    """

    values: Mapping[str, Value]
    before: Mapping[str, Value]
    tests: Mapping[str, tuple[str, ...]]
    together: Together
    findings: tuple[Finding, ...]
    calibrated: bool = False


def learn(
    base: Mapping[str, Value], evidence: Sequence[Evidence], finished: Sequence[Finished] = ()
) -> Learnt:
    """The belief after all tests and finished pieces. base: records in force for this kind of leather, by name.

    Leather tests first, each on its own record; then what rings and sheaths say of pull-in and of friction times
    stiffness together. Of these two factors only the product is in a pull: what it says is dealt out to stiffness
    and frictions in the measure in which each was unknown.
    """
    moved: dict[str, Value] = {}
    tests: dict[str, tuple[str, ...]] = {}
    found: list[Finding] = []
    for name in dict.fromkeys(one.name for one in evidence):
        mine = [one for one in evidence if one.name == name]
        moved[name] = updated(base[name], mine)
        tests[name] = tuple(dict.fromkeys(one.test for one in mine))
        found += _contradictions(moved[name], mine)
    telling = [one for one in finished if one.tells]
    now = {**base, **moved}
    together = with_finished(believed(now), telling)
    if telling:
        found += wild(together, telling)
        names = tuple(one.test for one in telling)
        for value in dealt(now, together):
            moved[value.name] = value
            tests[value.name] = (*tests.get(value.name, ()), *names)
    for follower, leader in FOLLOWS.items():
        if leader in moved:
            first = moved[leader]
            moved[follower] = replace(own(base[follower]), low=first.low, value=first.value, high=first.high)
            tests[follower] = tests[leader]
    calibrated = any(one.girths for one in telling) and any(one.pull is not None for one in telling)
    return Learnt(moved, {name: base[name] for name in moved}, tests, together, tuple(found), calibrated)


def _contradictions(after: Value, evidence: Sequence[Evidence]) -> Iterator[Finding]:
    """Tests of one record that lie far from what all of them leave."""
    half = (after.high - after.low) / (2 * TAIL_POINT)
    for one in evidence:
        if not isinstance(one, Seen):
            continue
        sd = one.value * one.sd if one.log else one.sd
        if abs(one.value - after.value) > learning("learn.wild") * hypot(sd, half):
            numbers = {"name": one.name, "test": one.test, "value": one.value, "now": after.value}
            yield finding("LEARN-001", (one.test,), **numbers, unit=after.unit)
