"""The solver of water through the thickness: modes, laws of the film, balance, limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backseam.ground.errors import NotConverged
from backseam.leather import air
from backseam.leather.isotherm import Isotherm
from backseam.leather.moisture import CELLS, Proportional, Tabled, mesh, sheets, step

ONE = np.ones(1)


@given(st.integers(3, 40), st.floats(0.05, 1.0))
@settings(max_examples=30)
def test_modes_and_cells_undo_each_other(cells, finest):
    grid = mesh(cells, finest)
    water = np.linspace(0.1, 0.7, cells)[None, :] ** 2
    assert grid.water(grid.modes(water)) == pytest.approx(water, abs=1e-10)
    assert grid.modes(water)[0, 0] == pytest.approx(float((water * grid.widths).sum()), abs=1e-12)
    assert (grid.decays >= 0).all()


def test_a_cosine_evens_out_as_it_should():
    """cos(pi z) decays as exp(-pi^2 q t); textbook."""
    grid = mesh(200, 1.0)
    water = 0.5 + 0.1 * np.cos(np.pi * grid.middles)[None, :]
    rested = sheets(grid, water, ONE, ONE).rested(0.1 * ONE)
    assert grid.water(rested.modes)[0, 0] - 0.5 == pytest.approx(0.1 * np.exp(-(np.pi**2) * 0.1), rel=1e-3)
    assert float(rested.mean[0]) == pytest.approx(0.5, abs=1e-12)


@given(
    wet=st.floats(0.2, 0.5),
    start=st.floats(0.0, 1.2),
    rate=st.floats(1e-6, 1e-2),
    area=st.floats(100, 8000),
    time=st.floats(1.0, 1e6),
    both=st.booleans(),
)
@settings(max_examples=60)
def test_nothing_is_lost_and_nothing_goes_below_the_room(wet, start, rate, area, time, both):
    grid, n = mesh(), CELLS
    room = 0.4 * wet
    law = Tabled(np.linspace(0, wet, 9)[None, :], (np.linspace(0, wet, 9) - room)[None, :] * 0.05)
    lot = sheets(grid, np.full((1, n), start), rate * ONE, area * ONE).opened(ONE * both, ONE)
    for _ in range(20):
        lot = step(lot, time * ONE, law)
    assert float(lot.given_off[0]) == pytest.approx(float((start - lot.mean[0]) * area), abs=1e-9 * area)
    low, high = min(start, room), max(start, room)
    assert low - 1e-6 <= float(lot.mean[0]) <= high + 1e-6


def test_a_closed_sheet_keeps_its_water():
    lot = sheets(mesh(), np.full((1, CELLS), 0.6), 1e-4 * ONE, 1500 * ONE)
    law = Proportional(0.01 * ONE, 0.1 * ONE)
    for _ in range(5):
        lot = step(lot, 3600 * ONE, law)
    assert float(lot.mean[0]) == pytest.approx(0.6, abs=1e-14)
    assert float(lot.given_off[0]) == 0.0


@given(st.floats(-0.2, 1.5), st.floats(0.0, 200.0))
def test_the_table_finds_the_flux_that_film_and_leather_agree_on(face, answer):
    water, flux = np.array([[0.0, 0.1, 0.2, 0.4]]), np.array([[-0.01, 0.0, 0.03, 0.035]])
    found = float(Tabled(water, flux).through(np.array([face]), np.array([answer]))[0])
    at = face - answer * found
    slope = (flux[0, 1] - flux[0, 0]) / (water[0, 1] - water[0, 0])
    law = np.interp(at, water[0], flux[0]) if at >= 0 else flux[0, 0] + slope * at
    assert found == pytest.approx(law, abs=1e-9)


def test_a_wet_face_gives_off_the_same_whatever_its_water():
    table = Tabled(np.array([[0.0, 0.2, 0.34]]), np.array([[-0.01, 0.004, 0.0136]]))
    assert table.through(np.array([0.9]), np.array([0.0])) == pytest.approx([0.0136])


@given(st.floats(0.0, 1.0), st.floats(0.07, 0.12), st.floats(2.5, 150), st.floats(0.6, 0.9))
def test_water_and_humidity_undo_each_other(activity, monolayer, strength, multilayer):
    curve = Isotherm(monolayer, strength, multilayer)
    assert float(curve.activity(curve.water(activity))) == pytest.approx(activity, abs=1e-7)


def test_wet_leather_is_in_balance_with_saturated_air():
    assert float(Isotherm(0.093, 68.5, 0.7265).activity(2.0)) == 1.0
    assert float(Isotherm(0.093, 68.5, 0.7265).activity(0.0)) == 0.0


def test_damped_sheets_are_even():
    water = np.linspace(0.2, 0.4, CELLS)[None, :].repeat(2, axis=0)
    lot = sheets(mesh(), water, np.ones(2), np.ones(2))
    damped = lot.evened(np.array([0.5, 0.5]), np.array([True, False]))
    assert damped.mesh.water(damped.modes)[0] == pytest.approx(np.full(CELLS, 0.5))
    assert damped.mesh.water(damped.modes)[1] == pytest.approx(water[1])


def test_a_face_that_does_not_settle_says_how_far_it_is_off(monkeypatch):
    monkeypatch.setattr(air, "TURNS", 2)
    film = air.Film(np.array(3.0), np.array(5.5), np.array(0.00275))
    with pytest.raises(NotConverged, match=r"still moves by 0\.\d+ K"):
        air.evaporation(1.0, 20.0, 0.5, film)
