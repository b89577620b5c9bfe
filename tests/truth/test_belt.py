"""Belt friction against printed band brakes."""

from __future__ import annotations

from math import pi, radians

import pytest
from scipy.integrate import quad

from backseam.fit.contact import belt_mean, belt_ratio


def test_band_brake_of_a_textbook():
    # mott-22-10: p_max 25 psi, r 6.0 in, w 2.0 in, f 0.25, 225 degrees -> 300 lb, 112 lb, 1128 lb in (printed, read)
    tight = 25 * 6.0 * 2.0
    slack = tight / belt_ratio(0.25, radians(225))
    assert tight == 300
    assert slack == pytest.approx(112, abs=0.5)
    assert (tight - round(slack)) * 6.0 == pytest.approx(1128, abs=0.5)  # printed with the slack side rounded


def test_band_brake_of_a_solution_sheet():
    # band-brake-sheet: 3.7525 rad, f 0.25, T2 168 N, r 60 mm -> ratio 2.5552, torque 15.676 N m (printed, read)
    ratio = belt_ratio(0.25, 3.7525)
    assert ratio == pytest.approx(2.5552, abs=5e-5)
    assert (ratio - 1) * 168 * 0.060 == pytest.approx(15.676, abs=5e-4)


def test_band_brake_by_its_largest_pressure():
    # 620 kPa, drum 350 mm, band 25 mm, f 0.30, 270 degrees: T1 = p w D/2 = 2712.5 N, 659.8 N, 359.2 N m
    # (own arithmetic; a stored answer that takes the pressure as uniform prints 5073 N and is wrong)
    tight = 0.620 * 25 * 350 / 2
    slack = tight / belt_ratio(0.30, radians(270))
    assert tight == pytest.approx(2712.5)
    assert slack == pytest.approx(659.8, abs=0.05)
    assert (tight - slack) * 0.175 == pytest.approx(359.2, abs=0.05)


@pytest.mark.parametrize(("mu", "angle"), [(0.1, 1.0), (0.35, pi), (0.6, 2 * pi)])
def test_mean_of_a_belt_pulled_at_one_end(mu, angle):
    mean, _ = quad(lambda x: 1 / belt_ratio(mu, x), 0, angle)
    assert belt_mean(mu, angle) == pytest.approx(mean / angle, rel=1e-12)


def test_a_belt_without_friction_is_even():
    assert belt_mean(0.0, pi) == 1
    assert belt_ratio(0.0, pi) == 1
