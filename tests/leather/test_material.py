"""The leather in force: its own values, its curve and the inverse, its findings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.ground.errors import InputRefused
from backseam.leather.material import THICKEST, curve_strain, curve_stress, material, tension_left
from backseam.leather.records import Hide, measured


@given(st.floats(1e-5, 0.6), st.floats(1.0, 500.0), st.floats(0.01, 0.3))
def test_stress_and_stretch_undo_each_other(strain, slope, toe):
    stress = float(curve_stress(strain, slope, toe))
    assert float(curve_strain(stress, slope, toe)) == pytest.approx(strain, rel=1e-6)


@given(st.floats(0.0, 0.6), st.floats(0.0, 0.6))
def test_more_stretch_is_never_less_stress(a, b):
    low, high = curve_stress(sorted((a, b)), 96.0, 0.1)
    assert low <= high + 1e-15


def test_slack_leather_bears_nothing():
    assert curve_stress([-0.1, 0.0], 96.0, 0.1) == pytest.approx([0.0, 0.0], abs=0)
    assert float(curve_strain(0.0, 96.0, 0.1)) == 0.0
    assert float(curve_strain(-3.0, 96.0, 0.1)) == 0.0


def test_the_slope_grows_to_its_end_value():
    slope = np.diff(curve_stress([1.0, 1.001], 96.0, 0.1))[0] / 0.001
    assert slope == pytest.approx(96.0, rel=1e-3)


def test_the_curve_has_the_recorded_slope_where_it_is_scaled():
    leather = material("shoulder", 2.0)
    at = leather.value("curve.scale_at")
    slope = np.diff(leather.stress([at - 1e-6, at + 1e-6]))[0] / 2e-6
    assert slope == pytest.approx(leather.value("stiffness.hoop"), rel=1e-6)
    assert leather.strain(leather.stress(0.04)) == pytest.approx(0.04)


def test_along_is_stiffer_and_damp_is_softer():
    leather = material("shoulder", 2.0)
    assert leather.stiffness("along") == pytest.approx(50.0 / 0.7)
    assert leather.stiffness(damp=True) == pytest.approx(10.0)
    assert (
        float(leather.stress(0.05, "along"))
        > float(leather.stress(0.05))
        > float(leather.stress(0.05, damp=True))
    )


def test_friction_by_side_and_wax():
    leather = material("shoulder", 2.0)
    assert leather.friction("grain").value == 0.40
    assert leather.friction("flesh", sliding=True).value == 0.28
    assert leather.friction("grain", waxed=True).value == 0.22


def test_tension_falls_and_never_below_nothing():
    assert tension_left(0.0, 0.055, 1.0) == 1.0
    assert tension_left(1e30, 0.09, 1.0) == 0.0
    assert material("shoulder", 2.0).tension_left(86400.0) == pytest.approx(0.73, abs=0.005)


def test_a_hides_own_value_stands_above_kind_and_table():
    hide = Hide("back 12").knowing(measured("stiffness.hoop", 72.0, 60.0, 85.0))
    assert material("belly", 2.0).value("stiffness.hoop") == pytest.approx(30.0)
    leather = material("belly", 2.0, hide)
    assert leather.value("stiffness.hoop") == 72.0
    assert leather.hide == "back 12"
    assert leather.record("stiffness.hoop").weak is False


def test_the_bend_is_denser_and_the_belly_drinks_faster():
    assert material("bend", 2.0).value("density.leather") > material("shoulder", 2.0).value("density.leather")
    assert material("belly", 2.0).value("diffusion.soak") > material("shoulder", 2.0).value("diffusion.soak")


@pytest.mark.parametrize("thickness", [0.0, -1.0, float("nan"), float("inf"), THICKEST + 0.1])
def test_a_thickness_that_is_none_is_refused(thickness):
    with pytest.raises(InputRefused, match="cannot be reckoned with"):
        material("shoulder", thickness)


def test_an_unknown_leather_and_an_unknown_value_are_refused():
    with pytest.raises(InputRefused, match="no leather called"):
        material("shark", 2.0)
    with pytest.raises(InputRefused, match="no value called"):
        material("shoulder", 2.0).value("water.nothing")
    with pytest.raises(InputRefused, match="no value called"):
        material("shoulder", 2.0, Hide("x", {"water.nothing": measured("water.cased", 0.3)}))


def test_values_that_contradict_one_another_are_found():
    hide = Hide("x").knowing(measured("water.uptake", 0.38), measured("water.cased", 0.42))
    codes = [item.code for item in material("shoulder", 2.0, hide).findings]
    assert codes == ["LEATHER-001"]
    mended = hide.knowing(measured("water.uptake", 0.6))
    assert material("shoulder", 2.0, mended).findings == ()


def test_a_value_far_from_all_leather_is_found():
    hide = Hide("x").knowing(measured("friction.waxed", 0.9))
    (item,) = material("shoulder", 2.0, hide).findings
    assert item.code == "LEATHER-002"
    assert "0.9" in item.text()
    assert material("shoulder", 2.0, hide.knowing(measured("friction.waxed", 0.3))).findings == ()
