"""Drawings of the fit: ink only, words before newtons, nothing outside its field."""

from __future__ import annotations

import re

import numpy as np
import pytest
from tests.fit.conftest import SAMPLES, foreseen, worked

from backseam.fit.tested import Measured
from backseam.ground.speech import PLAIN, Speech
from backseam.papers import svg
from backseam.papers.model import Role, Stroke, Words
from backseam.papers.sheets import fit_plots
from backseam.papers.sheets.fit_plots import force_curve, on_ladder, shares


def said(drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Words)]


@pytest.fixture(scope="module")
def forecast():
    return foreseen(worked("barrel"), seed=3)


@pytest.fixture(scope="module")
def measured():
    return foreseen(worked("barrel"), seed=3, tested=Measured(finished_girth=94.2, pull=30.0))


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_both_drawings_of_every_sample(name, units):
    fit = foreseen(worked(name))
    for drawing in (force_curve(fit, Speech(units)), shares(fit, Speech(units))):
        box = drawing.box
        assert box.width < 160
        assert box.height < 150
        assert svg.write(drawing).startswith("<?xml")


def test_words_alone_until_it_is_measured(forecast):
    lines = said(force_curve(forecast, PLAIN))
    assert {"slides out", "light", "everyday", "firm", "too hard"} <= set(lines)
    assert not any(re.fullmatch(r"N|\d+ N", line) for line in lines)
    assert "In words until the finished girth and one pull are measured." in lines


def test_newtons_with_their_unit_once_measured(measured):
    lines = said(force_curve(measured, PLAIN))
    assert "N" in lines
    assert {"0", "10", "20", "30", "40", "50"} <= set(lines)
    assert "everyday" in lines


def test_the_curve_is_the_forecast_at_the_drawings_scale(measured):
    drawing = force_curve(measured, PLAIN)
    wide = [m for m in drawing.marks if isinstance(m, Stroke) and m.role is Role.CUT and len(m.points) > 50]
    points = np.array(wide[0].points)
    assert points[0, 0] == 0
    assert points[-1, 0] == pytest.approx(fit_plots.WIDE)
    newtons = points[:, 1] / fit_plots.FIELD * 50
    assert newtons[0] == pytest.approx(measured.curve.draw[1, 0])
    travel = points[:, 0] / fit_plots.WIDE * measured.curve.travel[-1]
    assert np.interp(measured.curve.travel, travel, newtons) == pytest.approx(
        measured.curve.draw[1], abs=0.05
    )


def test_the_ladder_of_words_rises():
    forces = np.r_[-20.0, 0.0, np.geomspace(0.1, 2000, 60)]
    steps = [on_ladder(force) for force in forces]
    assert np.all(np.diff(steps) >= 0)
    assert steps[-1] == 1


def test_the_mark_of_the_thickest_stands_at_the_lip(measured):
    drawing = force_curve(measured, PLAIN)
    mark = next(m for m in drawing.marks if isinstance(m, Stroke) and m.role is Role.CENTRE)
    assert mark.points[0][0] == pytest.approx(7.0 / 52.0 * fit_plots.WIDE)


def test_no_mark_where_there_is_no_lip():
    fit = foreseen(worked("barrel"), samples=300)
    from dataclasses import replace

    assert not [m for m in force_curve(replace(fit, lip=0.0), PLAIN).marks if m.role is Role.CENTRE]


def test_bars_are_as_long_as_their_shares(forecast):
    drawing = shares(forecast, PLAIN)
    bars = [m for m in drawing.marks if isinstance(m, Stroke) and m.closed and m.fill is None]
    longest = [max(x for x, _ in bar.points) - fit_plots.NAMES for bar in bars[: len(bars) - 2]]
    parts = [part.share for part in forecast.parts if part.share >= fit_plots.LEAST_SHARE]
    assert np.array(longest[: len(parts)]) / longest[0] == pytest.approx(np.array(parts) / parts[0])


def test_same_drawing_twice(forecast):
    assert force_curve(forecast, PLAIN) == force_curve(forecast, PLAIN)
