"""A plane sheet taking up water: printed tables against the closed forms, and the solver against both.

Source: crank-1975, chapter 4. The tables were reckoned to 30 digits by both series, which agree, and by a finite
volume solution of other make; one value of 15 digits is the documentation example of a polymer-kinetics library.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from backseam.leather.moisture import Proportional, mesh, sheets, step
from backseam.leather.sheet import soaked_profile, uptake, uptake_time, uptake_with_film

SHEET = {  # F: share taken up, faces held at one water
    0.0001: 0.011284, 0.0005: 0.025231, 0.001: 0.035682, 0.002: 0.050463, 0.005: 0.079788,
    0.01: 0.11284, 0.02: 0.15958, 0.03: 0.19544, 0.04: 0.22568, 0.05: 0.25231, 0.06: 0.27640, 0.08: 0.31915,
    0.1: 0.35682, 0.12: 0.39087, 0.15: 0.43695, 0.18: 0.47846, 0.2: 0.50409, 0.25: 0.56223, 0.3: 0.61324,
    0.35: 0.65819, 0.4: 0.69788, 0.45: 0.73295, 0.5: 0.76395, 0.6: 0.81556, 0.7: 0.85589, 0.8: 0.88740,
    0.9: 0.91202, 1.0: 0.93126, 1.2: 0.95803, 1.4: 0.97438, 1.6: 0.98436, 1.8: 0.99045, 2.0: 0.99417,
    2.5: 0.99830, 3.0: 0.99951,
}  # fmt: skip
INVERSE = {
    0.25: 0.049087,
    0.5: 0.19673,
    0.632120559: 0.32025,
    0.75: 0.47673,
    0.9: 0.84809,
    0.95: 1.1290,
    0.99: 1.7813,
}
AT = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
FILM = {  # Bi: share taken up at AT
    0.1: (0.00492, 0.00977, 0.01935, 0.04743, 0.09241, 0.17611, 0.38368),
    0.5: (0.02304, 0.04462, 0.08538, 0.19567, 0.35024, 0.57595, 0.88213),
    1.0: (0.04269, 0.08040, 0.14840, 0.31890, 0.52960, 0.77561, 0.97564),
    5.0: (0.13179, 0.21858, 0.35098, 0.61483, 0.83752, 0.97108, 0.99984),
    10.0: (0.17555, 0.27388, 0.41674, 0.68498, 0.88650, 0.98527, 0.99997),
}


def printed(value: float, digits: int) -> float:
    """Half of the last printed digit, and rounding."""
    return 0.5 * 10**-digits + 1e-12


@pytest.mark.parametrize(("f", "share"), SHEET.items())
def test_the_table_of_the_sheet(f, share):
    assert float(uptake(f)) == pytest.approx(share, abs=printed(share, 6 if f < 0.009 else 5))


def test_a_value_of_fifteen_digits():
    # D 1e-10 m2/s, half thickness 0.2 mm, 100 s
    assert float(uptake(0.25)) == pytest.approx(0.5622335417621368, abs=2e-15)


@pytest.mark.parametrize(("share", "f"), INVERSE.items())
def test_the_inverse(share, f):
    assert uptake_time(share) == pytest.approx(f, rel=1e-4)
    assert float(uptake(uptake_time(share))) == pytest.approx(share, abs=1e-12)


def test_a_quarter_is_in_at_pi_over_64():
    assert uptake_time(0.25) == pytest.approx(np.pi / 64, abs=1e-6)  # first short term; images are 1e-7 there


def test_both_series_meet_where_they_are_switched():
    assert float(uptake(0.21 - 1e-9)) == pytest.approx(float(uptake(0.21 + 1e-9)), abs=1e-8)


def test_the_profile_has_the_mean_of_the_uptake():
    z = (np.arange(4000) + 0.5) / 4000
    for f in (0.05, 0.3, 0.85):
        assert float(soaked_profile(z, f).mean()) == pytest.approx(float(uptake(f)), abs=1e-6)


@pytest.mark.parametrize("biot", FILM)
def test_the_table_with_a_film(biot):
    assert uptake_with_film(AT, biot) == pytest.approx(np.array(FILM[biot]), abs=printed(0, 5))


def solved(biots, times, cells, per_gap, finest=0.02, both=False):
    """The solver's share taken up at `times`, a row for each Bi; D/l^2 = 1, a film of Bi."""
    biots = np.asarray(biots, dtype=float)
    grid, ones = mesh(cells, finest), np.ones(len(biots))
    rate = ones / 4 if both else ones  # F is on half the thickness
    area = 2 * ones if both else ones
    lot = sheets(grid, np.ones((len(biots), cells)), rate, area).opened(ones * both, ones)
    law = Proportional(biots, 0 * ones)
    stops = np.concatenate([[0.0, 1e-7], np.asarray(times, dtype=float)])
    shares = []
    for start, end in pairwise(stops):
        rungs = np.linspace(start, end, 3) if start == 0 else np.geomspace(start, end, per_gap + 1)
        for dt in np.diff(rungs):
            lot = step(lot, dt * ones, law)
        shares.append(1 - lot.mean)
    return np.array(shares[1:]).T, lot


def test_the_solver_gives_the_film_table_to_the_printed_digits():
    shares, _ = solved(list(FILM), AT, cells=300, per_gap=200)
    assert np.abs(shares - np.array(list(FILM.values()))).max() < 1e-5
    exact = np.array([uptake_with_film(AT, biot) for biot in FILM])
    assert np.abs(shares - exact).max() < 5e-6


def test_the_solver_gives_the_sheet_table_to_the_printed_digits():
    times = list(SHEET)
    shares, _ = solved([1e9], times, cells=300, per_gap=24, finest=0.01)
    assert np.abs(shares[0] - np.array(list(SHEET.values()))).max() < 1e-5


def test_both_faces_open_is_half_the_thickness_with_one_sealed():
    one, _ = solved([1.0, 5.0], AT, cells=60, per_gap=20)
    both, _ = solved([1.0, 5.0], AT, cells=120, per_gap=20, both=True)
    assert both == pytest.approx(one, abs=2e-4)


def test_the_solver_is_of_second_order_in_time():
    errors = []
    for per_gap in (8, 16, 32):
        shares, _ = solved([5.0], (0.1, 0.5, 1.0), cells=40, per_gap=per_gap)
        fine, _ = solved([5.0], (0.1, 0.5, 1.0), cells=40, per_gap=256)
        errors.append(np.abs(shares - fine).max())
    slopes = np.log2(np.array(errors[:-1]) / errors[1:])
    assert slopes == pytest.approx(2.0, abs=0.3)


def test_what_leaves_the_cells_passes_the_faces():
    _, lot = solved(list(FILM), AT, cells=40, per_gap=10)
    assert np.abs(lot.given_off - (1 - lot.mean) * lot.area).max() < 1e-9 * lot.area.max()
    _, lot = solved(list(FILM), AT, cells=12, per_gap=2, both=True)
    assert np.abs(lot.given_off - (1 - lot.mean) * lot.area).max() < 1e-9 * lot.area.max()
