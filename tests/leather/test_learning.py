"""Leather tests and finished pieces as beliefs: what each reads, shrinking bands, a wild reading, what contradicts."""

from __future__ import annotations

from math import exp, isfinite, log, pi, radians, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm
from tests.voice import assert_clear

from backseam.ground.errors import InputRefused
from backseam.ground.sources import Value
from backseam.leather.belief import below, updated
from backseam.leather.evidence import PULL_INS, Between, Finished, Seen, gathered, learning, student
from backseam.leather.learning import learn
from backseam.leather.material import curve_stress, material
from backseam.leather.rod import Bent, RodTest, grain_stretch, seen_rods
from backseam.leather.scrap import Scrap, seen_scraps, water_in
from backseam.leather.shrink import Dried, Squares, seen_dried, seen_squares
from backseam.leather.strap import Strap, layer_of, seen_straps
from backseam.leather.strip import Load, Strip, read_strip, seen_strips
from backseam.leather.tilt import Tilt, friction_of, seen_tilts
from backseam.leather.together import PULL_IN, STIFFNESS, believed, with_finished
from backseam.leather.trial import Ring, finished_ring, ring_draw

BASE = material("shoulder", 2.0).values
WOOD = Value("friction.wood", 0.35, 0.30, 0.40, "share", "published", "friction-tables")


def codes(found):
    return [one.code for one in found]


# --- weighing ---------------------------------------------------------------------------------------------------


def test_the_share_below_is_the_normal_one():
    """Against scipy; the formula is 26.2.16 of Abramowitz and Stegun, off by 1e-5 at most."""
    z = np.linspace(-6, 6, 121)
    assert below(z) == pytest.approx(norm.cdf(z), abs=1.2e-5)


def test_student_is_nearly_normal_near_and_forgives_far():
    assert float(student(0.1, 1e9)) == pytest.approx(-0.005, abs=1e-6)
    near, far = (float(student(x + 0.1, 4.0) - student(x, 4.0)) for x in (1.0, 20.0))
    assert near < far < 0, "a far reading pulls less than a near one"


def test_a_belief_is_that_of_bayes_where_the_test_is_sharp():
    """Conjugate normal: precision-weighted mean; Student's tails make a sharp test a little vaguer."""
    after = updated(WOOD, [Seen("friction.wood", 0.42, 0.004)])
    assert after.value == pytest.approx(0.42, abs=0.004)
    assert after.high - after.low < 0.03


@settings(max_examples=25, deadline=None)
@given(st.floats(0.31, 0.39), st.integers(1, 6))
def test_tests_that_agree_never_widen_the_band(value, count):
    after = updated(WOOD, [Seen("friction.wood", value, 0.03)] * count)
    assert after.high - after.low < WOOD.high - WOOD.low
    assert after.low <= after.value <= after.high


def test_one_wild_test_among_four_moves_little():
    good = [Seen("friction.wood", 0.36, 0.02)] * 4
    calm, upset = updated(WOOD, good), updated(WOOD, [*good, Seen("friction.wood", 0.9, 0.02)])
    assert abs(upset.value - calm.value) < 0.01


def test_readings_together():
    assert gathered([10.0, 10.0], [1.0, 1.0]).value == pytest.approx(10.0)
    five = gathered([10.0, 10.1, 9.9, 10.0, 30.0], [0.2] * 5)
    assert five.value == pytest.approx(10.0, abs=0.1)
    assert five.wild == (4,)
    torn = gathered([10.0, 20.0], [0.2, 0.2])
    assert torn.sd > 3, "two that contradict decide nothing"


def test_limits_move_the_value_between_them():
    after = updated(BASE["crack.dry"], [Between("crack.dry", 0.18, 0.22, 0.1)])
    assert 0.17 < after.value < 0.23


# --- each test --------------------------------------------------------------------------------------------------


def test_a_strip_of_known_stiffness_is_read_back():
    """Lengths made from the material's own curve of 60 MPa at the recorded stretch."""
    toe, at = BASE["curve.toe"].value, BASE["curve.scale_at"].value
    end = 60 / float(-np.expm1(-at / toe))
    loads = []
    for stretch in (0.03, 0.05, 0.08):
        stress = float(curve_stress(stretch, end, toe))
        loads.append(Load(stress * 15 * 2 / 9.80665 * 1000, 100 * (1 + stretch)))
    read = read_strip(Strip("across", 15, 2, 100, tuple(loads)), BASE)
    assert read.stiffness == pytest.approx(60, rel=1e-3)
    upset = read_strip(Strip("across", 15, 2, 100, (*loads, Load(loads[0].mass, 130))), BASE)
    assert upset.stiffness == pytest.approx(60, rel=0.15), "one wild load of four"


def test_strips_both_ways_give_the_ratio_and_along_alone_is_vaguer():
    one = (Load(3000, 104.0),)
    across, along = Strip("across", 15, 2, 100, one), Strip("along", 15, 2, 100, one)
    both, _ = seen_strips((across, along), BASE)
    assert [s.name for s in both].count("stiffness.across_over_along") == 1
    (a,), (b,) = seen_strips((across,), BASE)[0], seen_strips((along,), BASE)[0]
    assert b.sd > a.sd


def test_what_a_strip_cannot_do_is_told():
    shorter = Strip("across", 15, 2, 100, (Load(1000, 105), Load(2000, 102)))
    assert "LEARN-004" in codes(seen_strips((shorter,), BASE)[1])
    slack = Strip("across", 15, 2, 100, (Load(1000, 99.0),))
    seen, found = seen_strips((slack,), BASE)
    assert codes(found) == ["LEARN-005"]
    assert not seen
    for bad in (Strip("across", 0, 2, 100, ()), Strip("across", 15, 2, 100, (Load(-1, 100),))):
        with pytest.raises(InputRefused) as refused:
            seen_strips((bad,), BASE)
        assert_clear(str(refused.value))


@pytest.mark.parametrize(("rod", "stretch"), [(2, 1 / 2), (4, 1 / 3), (8, 1 / 5), (18, 1 / 10), (38, 1 / 20)])
def test_grain_over_a_rod(rod, stretch):
    """Bending of a plate whose middle keeps its length: t/(d + t), by hand for t = 2."""
    assert grain_stretch(rod, 2.0) == pytest.approx(stretch)


def test_rods_that_cross_are_told():
    seen, found = seen_rods([RodTest("dry", 2.0, (Bent(12, True), Bent(4, False)))])
    assert codes(found) == ["LEARN-006"]
    assert seen[0].name == "crack.dry"
    (only,), _ = seen_rods([RodTest("folded", 2.0, (Bent(4, False),))])
    assert (only.above, only.below) == (pytest.approx(1 / 3), None)
    with pytest.raises(InputRefused):
        seen_rods([RodTest("dry", 2.0, (Bent(0, False),))])


def test_strips_dried():
    (free,), _ = seen_dried([Dried("along", 100.0, 97.0)])
    assert (free.name, free.value) == ("shrink.along", pytest.approx(0.03))
    (sprung,), _ = seen_dried([Dried("across", 100.0, 99.0, pinned=True)])
    assert (sprung.name, sprung.value) == (PULL_IN, pytest.approx(0.01))
    assert codes(seen_dried([Dried("along", 100.0, 104.0)])[1]) == ["LEARN-007"]
    assert codes(seen_dried([Dried("along", 100.0, 70.0)])[1]) == ["LEARN-008"]
    with pytest.raises(InputRefused):
        seen_dried([Dried("along", 0.0, 70.0)])


def test_inked_squares():
    seen, _ = seen_squares([Squares(50.0, across=49.5, along=49.0)])
    assert {s.name: round(s.value, 9) for s in seen} == {
        PULL_IN: 0.01,
        "leather.allowance_along": round(50 / 49 - 1, 9),
    }
    scrap, _ = seen_squares([Squares(50.0, across=49.0, place="scrap")])
    assert scrap[0].name == "shrink.across"


def test_tilts():
    """tan 19.29° = 0.35."""
    assert friction_of(19.29) == pytest.approx(0.35, abs=1e-4)
    (three,), found = seen_tilts([Tilt("flesh", (20.0, 20.0, 45.0))])
    assert three.value == pytest.approx(tan(radians(20.0)), rel=0.2), "one wild of three"
    assert not found
    assert codes(seen_tilts([Tilt("grain", (0.0, 90.0))])[1]) == ["LEARN-009", "LEARN-009"]
    assert seen_tilts([Tilt("grain", (20.0,), waxed=True)])[0][0].name == "friction.waxed"


def test_straps():
    assert layer_of(pi * 30 + 2 * pi * 0.45 * 2.0, 30, 2.0) == pytest.approx(0.45)
    (three,), found = seen_straps([Strap(30, 2.0, (100.0, 100.1, 103.5))])
    assert three.value == pytest.approx(layer_of(100.05, 30, 2.0), abs=0.06)
    assert not found
    assert codes(seen_straps([Strap(60, 2.0, (100.5,))])[1]) == ["LEARN-010"], "a rod typed twice as thick"


def test_scraps():
    assert water_in(15.0, 10.0, 0.14) == pytest.approx(0.71)
    seen, _ = seen_scraps([Scrap(10.0, 15.0, 13.0)], BASE)
    assert [s.name for s in seen] == ["water.uptake", "water.cased", "water.too_dry"]
    assert codes(seen_scraps([Scrap(10.0, 13.0, 15.0)], BASE)[1]) == ["LEARN-011"]
    assert codes(seen_scraps([Scrap(10.0, 40.0)], BASE)[1]) == ["LEARN-012"]
    with pytest.raises(InputRefused):
        seen_scraps([Scrap(0.0, 40.0)], BASE)


# --- ring and sheath --------------------------------------------------------------------------------------------


def test_a_ring_pulls_as_a_thin_ring_does():
    """Thin ring on a core, strength of materials: p = E e t/R, F = mu p 2 pi R h."""
    e, t, mu, h, stretch, radius = 50.0, 2.0, 0.35, 20.0, 0.01, 15.0
    by_pressure = mu * (e * stretch * t / radius) * 2 * pi * radius * h
    assert float(ring_draw(e, mu, t, np.array(stretch), h, 0.0)) == pytest.approx(by_pressure)
    assert float(ring_draw(e, mu, t, np.array(-0.01), h, 0.0)) == 0.0


def test_a_ring_teaches_pull_in_first():
    one, found = finished_ring(Ring(handle=95.0, inside=93.5, pulls=(30.0, 31.0, 29.0)), BASE)
    assert not found
    learnt = learn(BASE, (), (one,))
    before, after = BASE[PULL_IN], learnt.values[PULL_IN]
    assert after.high - after.low < 0.75 * (before.high - before.low)
    assert before.value < after.value < 0.018
    assert learnt.calibrated
    assert learnt.values["gate.pull_in"].value == after.value


def test_rings_shrink_the_bands_and_a_wild_one_is_told():
    good = [
        finished_ring(Ring(95.0, 94.0 + d, (25.0 + 10 * d,), test=f"ring {i}"), BASE)[0]
        for i, d in enumerate((0, 0.1, -0.1))
    ]
    few, many = learn(BASE, (), good[:1]), learn(BASE, (), good)
    for name in (PULL_IN, STIFFNESS):
        assert many.values[name].high - many.values[name].low < few.values[name].high - few.values[name].low
    wild, _ = finished_ring(Ring(95.0, 91.0, (200.0,), test="ring 9"), BASE)
    upset = learn(BASE, (), [*good, wild])
    assert {"LEARN-002", "LEARN-003"} & set(codes(upset.findings))
    assert upset.values[PULL_IN].value == pytest.approx(many.values[PULL_IN].value, abs=0.004)
    assert learn(BASE, (), good[::-1]).values[PULL_IN].value == pytest.approx(many.values[PULL_IN].value)


def test_a_wild_girth_and_a_wild_pull_have_their_own_words():
    good = [finished_ring(Ring(95.0, 94.0, (25.0,), test=f"ring {i}"), BASE)[0] for i in range(4)]
    girth, _ = finished_ring(Ring(95.0, 91.0, (25.0,), test="ring 8"), BASE)
    pull, _ = finished_ring(Ring(95.0, 94.0, (245.0,), test="ring 9"), BASE)
    assert "LEARN-002" in codes(learn(BASE, (), [*good, girth]).findings)
    assert "LEARN-003" in codes(learn(BASE, (), [*good, pull]).findings)


def test_what_a_ring_cannot_have_is_left_out():
    for pull in (0.0, 900.0, float("nan")):
        one, found = finished_ring(Ring(95.0, 94.0, (pull,)), BASE)
        assert codes(found) == ["LEARN-013"]
        assert one.pull is None
    one, found = finished_ring(Ring(95.0, 150.0), BASE)
    assert codes(found) == ["LEARN-014"]
    assert not one.tells
    for bad in (Ring(0.0, 94.0), Ring(95.0, 94.0, cut=0.9), Ring(95.0, 94.0, thickness=float("nan"))):
        with pytest.raises(InputRefused) as refused:
            finished_ring(bad, BASE)
        assert_clear(str(refused.value))


@settings(max_examples=20, deadline=None)
@given(st.floats(0.002, 0.018), st.floats(0.5, 2.0))
def test_hidden_pull_in_and_factor_are_found_again(pull_in, factor):
    """Eight pieces made from the learner's own account: what was hidden lies well within the band."""
    draw = np.maximum(4000 * (PULL_INS + 0.002), 0.0)[:, None] * np.ones(4)
    inside = (95 * (1 - PULL_INS))[:, None] * np.ones(4)
    true = max(4000 * (pull_in + 0.002), 0.0) * factor
    one = Finished("x", (inside,), draw, (95 * (1 - pull_in),), 0.2, true)
    belief = with_finished(believed(BASE), [one] * 8)
    assert belief.pull_in[0] <= pull_in <= belief.pull_in[2]
    low, _, high = belief.factor
    assert low < factor < high
    assert log(high / low) < 1.0


def test_two_tests_that_contradict_are_told_and_nothing_is_nan():
    seen = [Seen("friction.waxed", 0.1, 0.02, log=False, test="tilt 1")] * 3
    seen.append(Seen("friction.waxed", 0.6, 0.02, log=False, test="tilt 4"))
    learnt = learn(BASE, seen)
    assert "LEARN-001" in codes(learnt.findings)
    assert all(isfinite(x) for v in learnt.values.values() for x in (v.low, v.value, v.high))
    assert not learnt.calibrated


def test_no_test_no_change():
    assert learn(BASE, ()).values == {}
    assert exp(believed(BASE).moments[1]) == pytest.approx(1.0)
    assert learning("learn.freedom") == 4.0
