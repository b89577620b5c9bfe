"""Records of leather, a hide's own values above them, and what is drawn from a range."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.ground.errors import InputRefused
from backseam.ground.sources import Value
from backseam.leather.records import (
    Hide,
    factored,
    kinds,
    known,
    leather_records,
    measured,
    quantile,
    weak_names,
)

NAMES = sorted(leather_records())


def a_value(value, low, high):
    return Value("x", value, low, high, "share", "assumed", "own-choice")


@pytest.mark.parametrize("name", NAMES)
def test_low_value_and_high_are_the_5_50_and_95_percent_points(name):
    record = known(name)
    assert quantile(record, [0.05, 0.5, 0.95]) == pytest.approx([record.low, record.value, record.high])


@given(st.sampled_from(NAMES), st.floats(0.001, 0.999), st.floats(0.001, 0.999))
def test_quantiles_rise(name, one, other):
    low, high = quantile(known(name), sorted((one, other)))
    assert low <= high


@given(st.sampled_from(NAMES), st.floats(1e-6, 1 - 1e-6))
def test_a_value_that_cannot_be_negative_is_not_drawn_negative(name, share):
    record = known(name)
    if record.low >= 0:
        assert float(quantile(record, share)) >= 0


def test_a_wide_range_is_read_on_a_log_scale():
    wide = a_value(1.0, 0.1, 10.0)
    assert float(quantile(wide, 0.05)) * float(quantile(wide, 0.95)) == pytest.approx(1.0)
    assert float(quantile(wide, 0.001)) > 0


def test_a_record_without_a_range_gives_its_value():
    assert quantile(a_value(0.25, 0.25, 0.25), [0.01, 0.5, 0.99]) == pytest.approx(0.25)


def test_a_factor_widens_the_range_by_squares():
    made = factored(a_value(10.0, 5.0, 20.0), a_value(0.5, 0.25, 1.0))
    assert made.value == 5.0
    # ln 2 twice by squares: 2^sqrt(2)
    assert made.high == pytest.approx(5 * 2**2**0.5)
    assert made.low == pytest.approx(5 / 2**2**0.5)


def test_kinds_name_the_parts_of_the_hide_a_job_knows():
    assert {"shoulder", "bend", "belly", "other"} <= set(kinds())
    assert not kinds()["shoulder"]


def test_a_hide_learns_without_forgetting():
    hide = Hide("back 12").knowing(measured("water.cased", 0.36)).knowing(measured("friction.waxed", 0.2))
    assert set(hide.values) == {"water.cased", "friction.waxed"}
    assert not hide.values["water.cased"].weak
    assert hide.values["water.cased"].kind == "measured"
    assert hide.knowing(measured("water.cased", 0.38)).values["water.cased"].value == 0.38


def test_a_value_under_no_known_name_is_refused():
    with pytest.raises(InputRefused, match=r"no value called .water\.casd."):
        measured("water.casd", 0.3)


@pytest.mark.parametrize(
    "numbers", [(0.3, 0.4, 0.5), (0.3, 0.2, 0.25), (float("nan"), 0.1, 0.2), (0.3, 0.1, float("inf"))]
)
def test_a_range_that_is_none_is_refused(numbers):
    with pytest.raises(InputRefused, match="rising order"):
        measured("water.cased", *numbers)


def test_weak_names_come_once_in_order():
    used = [known("water.cased"), known("friction.wood"), known("stiffness.hoop"), known("water.cased")]
    assert weak_names(used) == ("water.cased", "stiffness.hoop")


def test_the_tables_are_read_only():
    with pytest.raises(TypeError):
        leather_records()["x"] = known("water.cased")  # type: ignore[index]
    assert np.isfinite([record.value for record in leather_records().values()]).all()
