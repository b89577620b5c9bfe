"""A measured girth and a pull: what they teach, and what is left out."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtri
from tests.fit.conftest import foreseen, parts, worked

from backseam.fit.draws import shares
from backseam.fit.grip import grip
from backseam.fit.tested import Measured, accepted, weigh
from backseam.ground.sources import Value

E0 = Value("stiffness.hoop", 50.0, 25.0, 100.0, "MPa", "assumed", "own-choice")
WIDTH = np.log(4) / (2 * ndtri(0.95))


def crowd(count: int = 10_000):
    """Stiffness as the record says, draws of that stiffness times something of one half to two."""
    z = ndtri(shares(2, count, 2))
    stiffness = 50 * np.exp(WIDTH * z[0])
    return stiffness, stiffness * 0.4 * np.exp(0.3 * z[1])


def test_a_pull_by_conjugate_normals():
    # ln draw = ln E + ln f: prior N(ln 20, WIDTH^2 + 0.3^2), noise 0.15: the textbook posterior of ln draw
    stiffness, draw = crowd()
    seen = weigh(draw, stiffness, E0, 30.0, 0.15)
    after = np.log(draw[seen.index] / stiffness[seen.index] * seen.stiffness)
    prior, noise = WIDTH**2 + 0.3**2, 0.15**2
    middle = (np.log(20) / prior + np.log(30) / noise) / (1 / prior + 1 / noise)
    assert seen.agrees
    assert after.mean() == pytest.approx(middle, abs=0.01)
    assert after.std() == pytest.approx((1 / prior + 1 / noise) ** -0.5, rel=0.05)


def test_without_noise_the_forecast_is_the_pull():
    stiffness, draw = crowd()
    seen = weigh(draw, stiffness, E0, 27.0, 1e-4)
    after = draw[seen.index] / stiffness[seen.index] * seen.stiffness
    assert after == pytest.approx(27.0, rel=1e-3)


def test_a_truth_is_found_again():
    # 200 pulls of a hidden sheath with 15 % noise: the band of 90 in 100 holds the truth about 90 times in 100
    stiffness, draw = crowd(4000)
    noise = 0.15 * ndtri(shares(9, 200, 1)[0])
    held = 0
    for i in range(200):
        truth = draw[i * 17 % 4000]
        seen = weigh(draw, stiffness, E0, float(truth * np.exp(noise[i])), 0.15)
        if seen.agrees:
            after = draw[seen.index] / stiffness[seen.index] * seen.stiffness
            low, high = np.quantile(after, [0.05, 0.95])
            held += low <= truth <= high
    assert 165 <= held <= 195


def test_a_pull_beyond_everything_is_not_used():
    stiffness, draw = crowd()
    seen = weigh(draw, stiffness, E0, 20.0 * 40, 0.15)
    assert not seen.agrees
    assert seen.ratio == pytest.approx(40, rel=0.02)
    assert np.array_equal(seen.stiffness, stiffness)


def test_a_pull_of_a_sheath_that_cannot_hold_is_not_used():
    stiffness, draw = crowd()
    assert not weigh(-draw, stiffness, E0, 20.0, 0.15).agrees


@pytest.mark.parametrize("pull", [0.0, -5.0, 900.0, float("nan"), float("inf")])
def test_a_pull_no_sheath_takes(pull, barrel):
    kept, found = accepted(Measured(finished_girth=94.2, pull=pull), grip(*parts(barrel)))
    assert kept.pull is None
    assert kept.finished_girth == 94.2
    assert [item.code for item in found] == ["FIT-010", "FIT-013"]
    assert "nan" not in found[0].text()


@pytest.mark.parametrize("girth", [0.0, 80.0, 120.0, float("nan"), float("-inf")])
def test_a_girth_no_sheath_has(girth, barrel):
    kept, found = accepted(Measured(finished_girth=girth, pull=20.0), grip(*parts(barrel)))
    assert kept.finished_girth is None
    assert [item.code for item in found] == ["FIT-011", "FIT-012"]
    assert "nan" not in found[0].text()


def test_both_are_taken(barrel):
    kept, found = accepted(Measured(finished_girth=94.2, pull=20.0), grip(*parts(barrel)))
    assert found == ()
    assert kept == Measured(finished_girth=94.2, pull=20.0)


def test_contradictory_tests_are_told(barrel):
    # a mouth 1 mm larger than the handle, and 200 N to draw it
    fit = foreseen(barrel, tested=Measured(finished_girth=96.6, pull=200.0))
    told = next(item for item in fit.findings if item.code == "FIT-014")
    assert "times what the girths make likely" in told.text()
    assert not fit.calibrated
    assert np.isfinite(fit.draw.high)


def test_a_pull_taken_with_wax_is_taken_as_such(barrel):
    dry = foreseen(barrel, seed=3, tested=Measured(finished_girth=94.2, pull=20.0))
    waxed = foreseen(barrel, seed=3, tested=Measured(finished_girth=94.2, pull=20.0, waxed=True))
    assert dry.draw.middle == pytest.approx(20, rel=0.15)
    assert waxed.waxed.draw.middle == pytest.approx(20, rel=0.15)
    assert waxed.draw.middle > 1.3 * dry.draw.middle


def test_a_closer_girth_narrows_more():
    sheath = worked("barrel")
    wide, close = (
        foreseen(sheath, seed=3, tested=Measured(finished_girth=94.2, spread=spread)) for spread in (1.0, 0.2)
    )
    assert close.rest.high - close.rest.low < 0.5 * (wide.rest.high - wide.rest.low)
