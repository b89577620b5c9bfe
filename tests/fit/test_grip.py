"""Where leather touches the handle, and how tight it is sewn."""

from __future__ import annotations

import numpy as np
import pytest
from tests.fit.conftest import SAMPLES, parts, with_marks, worked

from backseam.fit.crowd import OUT, crowd_of, force
from backseam.fit.draws import unknowns, usual
from backseam.fit.grip import given_stretch, grip
from backseam.fit.response import sizes_of, solved
from backseam.fit.tested import Measured


def test_heights_run_from_the_liner_to_the_mouth(barrel):
    held = grip(*parts(barrel))
    assert np.all(np.diff(held.heights) > 0)
    assert held.heights[-1] == barrel.form.marks.mouth
    for stop in (held.junction, held.liner_end):
        assert np.abs(held.heights - stop).min() < 1e-9


def test_the_liner_stays_and_nothing_follows_the_front(barrel):
    held = grip(*parts(barrel))
    travel = np.array([0.0, 10.0])
    inside = held.inside(travel)
    assert not inside[held.heights < held.junction - 1, 0].any()
    assert inside[held.heights >= held.junction, 0].all()
    assert not inside[held.heights < held.junction + 8, 1].any()
    assert inside[-1].all()


def test_allowance_across_is_slack_sewn_in(barrel):
    wider = worked("barrel", leather__allowance_across_percent=1.0)
    at = np.array([100.0, 120.0, 140.0])
    plain, slack = (given_stretch(w.form, w.layout, at) for w in (barrel, wider))
    assert (1 + slack) / (1 + plain) == pytest.approx(1 / 1.01, abs=5e-5)


def test_set_keeps_what_is_left_of_stretch(barrel):
    # cutting 1 % tight with a set of 0.8 keeps 0.2 %: the difference between the two jobs, set alone
    tighter = worked("barrel", leather__allowance_across_percent=-1.0)
    kept = []
    for sheath in (barrel, tighter):
        held = grip(*parts(sheath))
        ways = usual(unknowns(held, parts(sheath)[-1], 0.1))
        kept.append((held.given, sizes_of(held, ways).tight[0]))
    at = (kept[0][0] > 0) & (kept[1][0] > 0)
    assert at.any()
    assert (kept[1][1] - kept[0][1])[at] == pytest.approx((kept[1][0] - kept[0][0])[at] * 0.2)
    assert (kept[1][0] - kept[0][0])[at] == pytest.approx(0.01, abs=5e-4)


def test_slack_is_lost_more_than_stretch_is_kept(barrel):
    held = grip(*parts(barrel))
    given_ = unknowns(held, parts(barrel)[-1], 0.1)
    ways = usual(given_)
    sizes = sizes_of(held, ways)
    i = [one.name for one in given_].index("work:piece")
    tight = sizes.tight.mean(axis=1)
    assert tight[0] - tight[1 + 2 * i] > 2 * (tight[2 + 2 * i] - tight[0]) > 0


def test_film_leaves_its_room(barrel):
    held = grip(*parts(barrel))
    given_ = unknowns(held, parts(barrel)[-1], 0.1)
    ways = usual(given_)
    i = [one.name for one in given_].index("reading.film")
    more = sizes_of(held, ways).tight[2 + 2 * i] - sizes_of(held, ways).tight[0]
    assert more == pytest.approx(-2 * np.pi * 0.003 / held.curve(held.knots), rel=1e-6)


@pytest.mark.parametrize("name", SAMPLES)
def test_steps_of_height_are_fine_enough(name, monkeypatch):
    from backseam.fit import grip as module

    forces = []
    for fine, coarse in ((0.35, 0.8), (0.12, 0.2)):
        monkeypatch.setattr(module, "FINE", fine)
        monkeypatch.setattr(module, "COARSE", coarse)
        sheath = worked(name)
        held = grip(*parts(sheath))
        crowd = crowd_of(held, parts(sheath)[-1], usual(unknowns(held, parts(sheath)[-1], 0.1)), Measured())
        few = crowd.sizes.of(np.arange(1))
        one = crowd.chosen(np.arange(1), crowd.sheaths.drawn["stiffness.hoop"][:1])
        forces.append(force(solved(held, few, held.travel()[:8]), one, OUT)[:, 0])
    assert forces[0] == pytest.approx(forces[1], abs=0.06 * forces[1].max())


def test_hoop_is_across_unless_the_hide_lies_the_other_way(barrel):
    along = worked("barrel", leather__tight="across")
    usual_, turned = grip(*parts(barrel)), grip(*parts(along))
    assert (usual_.hoop, turned.along) == (50.0, 50.0)
    assert turned.hoop == usual_.along == pytest.approx(50 / 0.7)


def test_without_a_junction_the_usual_length_grips(barrel):
    held = grip(*parts(with_marks(barrel, junction=None, liner_end=None)))
    assert held.mouth - held.junction == 50


def test_a_plain_mouth_has_no_grain_side():
    held = grip(*parts(worked("slim")))
    assert not held.folded
    assert held.upper[-1] == 1
    assert held.upper[held.heights < held.thickest - 11].max() == 0
