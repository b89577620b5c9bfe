"""The band against the thin shell: a line load at its end, far from its ends, and the limit of rings."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from backseam.fit import band, snap
from backseam.fit.band import Wall, press
from backseam.fit.contact import decay_length
from backseam.fit.grip import NOTHING
from backseam.fit.ring import ring_press

R, T, E, NU, OPENING = 16.0, 2.0, 50.0, 0.35, 0.15


def tube(heights: np.ndarray, along: float = E) -> Wall:
    n = len(heights)
    return Wall(heights, np.full((n, 1), T), np.full((n, 1), 2 * pi * R), np.zeros((n, 1)), E, along, NU)


def line_force(step: float, where: str) -> float:
    """Total radial force of one contact line that opens the tube by OPENING on the radius."""
    s = np.linspace(0.0, 60.0, round(60 / step) + 1)
    gap = np.full((len(s), 1), NOTHING)
    gap[-1 if where == "end" else len(s) // 2] = 2 * pi * OPENING
    return 2 * pi * float(press(tube(s), gap).load.sum())


def test_line_at_the_end_is_the_shells():
    # timoshenko-shells: pi E t w / (R beta) = 13.079889
    assert snap.edge_line_force(OPENING, R, T, E, NU) == pytest.approx(13.079889, abs=5e-7)
    assert line_force(0.5, "end") == pytest.approx(13.079889, rel=1e-4)


def test_line_far_from_the_ends_takes_four_times_as_much():
    # infinite beam on an elastic foundation: 8 EI beta^3 against 2 EI beta^3 at a free end
    assert line_force(0.5, "middle") == pytest.approx(4 * 13.079889, rel=1e-4)


def test_order_of_convergence():
    # cubic elements: the error of a point load's displacement falls with the fourth power of the step
    errors = [abs(line_force(step, "end") / 13.079889 - 1) for step in (3.0, 1.5)]
    assert np.log2(errors[0] / errors[1]) > 3


def test_loaded_length_at_which_rings_are_as_stiff():
    # 1/(2 beta) = 2.220511 at an end, 2/beta = 8.882043 remote
    decay = decay_length(R, T, NU)
    assert decay / 2 == pytest.approx(2.220511, abs=5e-7)
    assert 2 * decay == pytest.approx(8.882043, abs=5e-7)
    for length, factor in ((decay / 2, 1), (2 * decay, 4)):
        rings = 2 * pi * E * T / R * OPENING * length
        assert rings == pytest.approx(factor * 13.079889, rel=1e-6)


def test_edge_zone_of_the_handbook():
    # sqrt(R t) / (3 (1 - nu^2))^(1/4): R 15, t 2, nu 0.4 -> 4.35 (4.4 where it is rounded up)
    assert decay_length(15.0, 2.0, 0.4) == pytest.approx(4.35, abs=0.005)


def test_with_little_bending_the_band_is_rings():
    s = np.linspace(0.0, 40.0, 81)
    gap = 0.6 + 0.5 * np.sin(s[:, None] / np.array([8.0, 11.0, 16.0]))
    soft = tube(s, along=E / 1000)
    assert press(soft, gap).load.sum(axis=0) == pytest.approx(
        ring_press(soft, gap).load.sum(axis=0), rel=0.01
    )


def test_contact_against_a_quadratic_programme():
    # the same energy minimised by another solver (scipy lsq_linear, bounds u >= gap): K is built by unit shapes
    rng = np.random.default_rng(8)
    s = np.sort(np.r_[0.0, rng.uniform(0, 30, 14), 30.0])
    wall = tube(s)
    gap = rng.normal(0.0, 0.6, (len(s), 12))
    blocks = band._stiffness(wall)
    n = len(s)
    k = np.zeros((2 * n, 2 * n))
    for i in range(2 * n):
        shape = np.zeros((2, n, 1))
        shape[i % 2, i // 2] = 1.0
        force, couple = blocks.times(shape[0], shape[1])
        k[0::2, i], k[1::2, i] = force[:, 0], couple[:, 0]
    assert k == pytest.approx(k.T)
    root = np.linalg.cholesky(k).T
    found = press(wall, gap)
    assert found.unsettled == 0
    for j in range(gap.shape[1]):
        low = np.full(2 * n, -np.inf)
        low[0::2] = gap[:, j]
        other = lsq_linear(root, np.zeros(2 * n), (low, np.full(2 * n, np.inf)), tol=1e-14).x
        assert found.excess[:, j] == pytest.approx(other[0::2], abs=2e-4)


def test_fine_steps_still_settle():
    # a step of a fiftieth of the decay length: the plain turning of heights goes in circles there
    s = np.linspace(0.0, 20.0, 201)
    gap = (0.0025 * (s**2 - (s - 13.0) ** 2))[:, None]
    found = press(tube(s), gap)
    assert found.unsettled == 0
    assert found.load.min() >= 0
    assert found.steps > band.TURNS


def test_a_case_that_may_not_settle_says_so():
    s = np.linspace(0.0, 20.0, 201)
    gap = (0.0025 * (s**2 - (s - 13.0) ** 2))[:, None]
    cut_short = press(tube(s), gap, most=15)
    assert cut_short.unsettled == 1
    assert 0 < cut_short.residual < 1e9
    assert np.isfinite(cut_short.load).all()
    whole = press(tube(s), gap).load.sum()
    assert whole < cut_short.load.sum() < 10 * whole  # on the safe side: too much touches, never too little
