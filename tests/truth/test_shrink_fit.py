"""Shrink fits: a steel tyre on its wheel, thick rings, and the account's rings against them."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from backseam.fit import snap
from backseam.fit.band import Wall, press
from backseam.fit.contact import shrunk_ring_pressure, thick_ring_pressure
from backseam.fit.ring import ring_press


def test_steel_tyre_on_its_wheel():
    # singer-pytel-208: 1500.0 on 1500.5 mm, t 10, w 80, mu 0.30, E 200 GPa: sigma 66.667, p 0.88889, F 100.531 kN,
    # torque 75.4 kN m (inputs read, printed answer from memory)
    stretch = 0.5 / 1500.0
    pressure = shrunk_ring_pressure(stretch, 200e3, 10.0, 750.0)
    assert 200e3 * stretch == pytest.approx(66.667, abs=5e-4)
    assert pressure == pytest.approx(0.88889, abs=5e-6)
    force = 0.30 * pressure * pi * 1500.0 * 80.0
    assert force / 1000 == pytest.approx(100.531, abs=5e-4)
    assert force * 0.750 / 1000 == pytest.approx(75.4, abs=0.05)


def tyre(account):
    """The same tyre as a wall of the account: 80 high, all of it in contact."""
    s = np.linspace(0.0, 80.0, 41)
    wall = Wall(
        s, np.full((41, 1), 10.0), np.full((41, 1), 1500.0 * pi), np.zeros((41, 1)), 200e3, 200e3, 0.3
    )
    return account(wall, np.full((41, 1), 0.5 * pi))


@pytest.mark.parametrize("account", [ring_press, press])
def test_the_account_finds_the_same_tyre(account):
    # total friction = mu x 2 pi x sum of hoop loads = 100.531 kN; bent nowhere, so band and rings agree
    load = tyre(account).load.sum()
    assert 0.30 * 2 * pi * load == pytest.approx(100531, rel=2e-4)


def test_thick_ring_tends_to_the_thin_one():
    # lame-1852: for a wall of 1 in 1000 of the radius within 0.15 %
    radius, wall = 15.0, 0.015
    thick = thick_ring_pressure(0.01, 50.0, (radius + wall) / radius, 0.35)
    assert thick == pytest.approx(shrunk_ring_pressure(0.01, 50.0, wall, radius), rel=1.5e-3)


def test_handbook_joint_has_the_thick_rings_stiffness():
    # the guide's factor is 0.62 sqrt((a - 1)/(a + 1)) times the thick ring's pressure at unit stretch
    a = 34 / 30
    whole = snap.elastic_tube_factor(30.0, 34.0, 0.35)
    assert whole == pytest.approx(0.62 * ((a - 1) / (a + 1)) ** 0.5 * thick_ring_pressure(1.0, 1.0, a, 0.35))


def test_leather_band_by_hand():
    # E 50, t 2, strain 5 %, mu 0.4, 10 degrees: N 5 N/mm, 31.416 N/mm of load, 19.48 N/mm along the axis
    from backseam.fit.contact import climb, turning

    hoop = 50 * 2 * 0.05
    assert float(turning(0.0)) * hoop == pytest.approx(31.416, abs=5e-4)
    assert 2 * pi * hoop * float(climb(0.4, np.tan(np.radians(10)))) == pytest.approx(19.48, abs=5e-3)
