"""The fit: a forecast of 10,000 sheaths, by parts, and what it is worth: mesh, table, rings beside the band."""

from __future__ import annotations

import json
from importlib.resources import files

import numpy as np

from backseam.fit import grip as steps
from backseam.fit.crowd import OUT, crowd_of, force, gather
from backseam.fit.draws import unknowns, usual
from backseam.fit.forecast import forecast
from backseam.fit.grip import grip
from backseam.fit.hold import Hold
from backseam.fit.inverse import aim
from backseam.fit.response import respond, solved
from backseam.fit.tested import Measured
from backseam.job.document import Job
from backseam.job.recipe import Worked, work
from backseam.leather.material import material
from benchmarks.timing import timed

SAMPLES = ("barrel", "bent-inside", "sideways", "slim", "stout", "tube")
TIMES = 21


def bench_fit() -> None:
    """Print the tables."""
    sheaths = {name: _worked(name) for name in SAMPLES}
    _speed(sheaths)
    _parts(sheaths["barrel"])
    _worth(sheaths)


def main() -> None:
    """Called by `make bench`."""
    bench_fit()


def _worked(name: str) -> Worked:
    text = files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8")
    return work(Job.model_validate(json.loads(text)))


def _given(sheath: Worked):
    leather = sheath.inputs.leather
    own = material(leather.part, leather.thickness)
    return sheath.form, sheath.layout, leather, sheath.inputs.construction, own


def _speed(sheaths: dict[str, Worked]) -> None:
    print("Forecast of 10,000 sheaths, all of it, warm (limit 150 ms)")
    print(f"{'job':14} {'median ms':>10} {'95 % ms':>9} {'cases':>7} {'steps':>6} {'table':>7}")
    for name, sheath in sheaths.items():
        given = _given(sheath)
        middle, high = timed(lambda given=given: forecast(*given, seed=1), TIMES)
        sums = forecast(*given, seed=1).settled
        print(
            f"{name:14} {middle:10.0f} {high:9.0f} {sums.cases:7} {sums.steps:6} {100 * sums.table_error:6.1f} %"
        )
    given = _given(sheaths["barrel"])
    known = Measured(finished_girth=94.2, pull=30.0)
    middle, high = timed(lambda: forecast(*given, seed=1, tested=known), TIMES)
    print(f"{'girth and pull':14} {middle:10.0f} {high:9.0f}")
    middle, high = timed(lambda: aim(*given, Hold.EVERYDAY, seed=1), 5)
    print(f"{'wanted hold':14} {middle:10.0f} {high:9.0f}")
    print()


def _parts(sheath: Worked) -> None:
    given = _given(sheath)
    held = grip(*given)
    crowd = gather(held, given[-1], 0.1, Measured(), 1, 10_000)
    answer = respond(held, crowd.sizes)
    loads = answer.loads(crowd.sizes)
    print("Where the time goes, barrel")
    for name, doing in (
        ("grip", lambda: grip(*given)),
        ("10,000 drawn", lambda: gather(held, given[-1], 0.1, Measured(), 1, 10_000)),
        ("table solved", lambda: respond(held, crowd.sizes)),
        ("table read", lambda: answer.loads(crowd.sizes)),
        ("forces", lambda: force(loads, crowd, OUT)),
    ):
        middle, high = timed(doing, TIMES)
        print(f"{name:14} {middle:10.1f} {high:9.1f}")
    print()


def _worth(sheaths: dict[str, Worked]) -> None:
    print(
        "What the sums are worth, usual sheath: draw on the shipped steps of height against steps four times as fine,"
    )
    print("and table against 200 sheaths solved one by one (over the median draw)")
    print(f"{'job':14} {'steps':>8} {'table rms':>10} {'table worst':>12}")
    for name, sheath in sheaths.items():
        coarse = _usual_draw(sheath)
        kept = steps.FINE, steps.COARSE
        steps.FINE, steps.COARSE = 0.09, 0.2
        fine = _usual_draw(sheath)
        steps.FINE, steps.COARSE = kept
        rms, worst = _table(sheath)
        print(f"{name:14} {100 * (coarse / fine - 1):7.1f} % {100 * rms:8.1f} % {100 * worst:10.1f} %")


def _usual_draw(sheath: Worked) -> float:
    given = _given(sheath)
    held = grip(*given)
    crowd = crowd_of(held, given[-1], usual(unknowns(held, given[-1], 0.1)), Measured())
    one = crowd.chosen(np.arange(1), crowd.sheaths.drawn["stiffness.hoop"][:1])
    return float(force(solved(held, one.sizes, held.travel()), one, OUT).max())


def _table(sheath: Worked) -> tuple[float, float]:
    given = _given(sheath)
    held = grip(*given)
    crowd = gather(held, given[-1], 0.1, Measured(), 1, 10_000)
    answer = respond(held, crowd.sizes)
    index = np.arange(0, 10_000, 50)
    few = crowd.chosen(index, crowd.sheaths.drawn["stiffness.hoop"][index])
    by_table = force(answer.loads(few.sizes), few, OUT).max(axis=0)
    by_hand = force(solved(held, few.sizes, answer.travel), few, OUT).max(axis=0)
    off = np.abs(by_table - by_hand) / np.median(by_hand)
    return float(np.sqrt((off**2).mean())), float(off.max())


if __name__ == "__main__":
    main()
