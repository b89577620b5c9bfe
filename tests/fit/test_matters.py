"""Which reading matters: signs, order, and what a measurement takes off the list."""

from __future__ import annotations

import pytest
from tests.fit.conftest import SAMPLES, foreseen, worked

from backseam.fit.tested import Measured


def by_name(fit):
    return {matter.name: matter for matter in fit.matters}


def test_largest_first_and_the_finished_girth_at_the_head(fit):
    sizes = [matter.size for matter in fit.matters]
    assert sizes == sorted(sizes, reverse=True)
    assert fit.matters[0].name == "girth:finished"


def test_stiffness_moves_the_draw_by_itself(fit):
    # the account is linear in it: a tenth more is a tenth more
    stiffness = by_name(fit)["stiffness.hoop"]
    assert stiffness.tenth
    assert (stiffness.less, stiffness.more) == pytest.approx((0.9, 1.1))
    assert stiffness.per == pytest.approx(0.1)


def test_friction_moves_it_almost_as_much(fit):
    assert by_name(fit)["friction.flesh_finished"].per == pytest.approx(0.1, abs=0.02)


def test_more_set_less_shrinkage_less_hold(fit):
    moved = by_name(fit)
    assert moved["girth:finished"].more < 1 < moved["girth:finished"].less
    assert moved["work:piece"].more < 1 < moved["work:piece"].less
    assert moved["reading.film"].more < 1 < moved["reading.film"].less
    assert moved["work:thickness"].more > 1 > moved["work:thickness"].less


def test_per_is_a_millimetre_of_a_reading(fit):
    finished = by_name(fit)["girth:finished"]
    assert finished.step == 0.5
    assert finished.per == pytest.approx((finished.more - finished.less) / 1.0)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_reading_of_the_handle_is_there(name):
    fit = foreseen(worked(name))
    assert {f"reading:{row.index}" for row in fit.rows} <= set(by_name(fit))


def test_a_reading_too_large_makes_a_piece_too_wide(fit):
    # the rows at the junction and at the thickest: their slack is lost, their stretch mostly set
    for row in fit.rows[:2]:
        assert by_name(fit)[f"reading:{row.index}"].more < 1


def test_what_is_measured_is_not_moved_any_more(barrel, calibrated):
    girth_only = foreseen(barrel, tested=Measured(finished_girth=94.2))
    assert not {"set.kept", "reading.film", "work:piece"} & set(by_name(girth_only))
    assert "stiffness.hoop" in by_name(girth_only)
    assert not {"stiffness.hoop", "friction.flesh_finished", "work:thickness"} & set(by_name(calibrated))
    assert "girth:finished" in by_name(calibrated)


def test_shares_add_up(fit, calibrated):
    for one in (fit, calibrated):
        assert sum(part.share for part in one.parts) + one.together == pytest.approx(1, abs=0.12)
        assert all(0 <= part.share <= 1 for part in one.parts)
    assert fit.parts[0].name == "set.pull_in"
    assert {part.name for part in fit.parts if part.weak} >= {"set.pull_in", "stiffness.hoop"}
    assert calibrated.parts[0].name == "tested:pull"
    assert not calibrated.parts[0].weak
