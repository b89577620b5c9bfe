"""Girth conversions against closed forms. Source: J. Steiner 1840 (parallel curves); arithmetic of the circle."""

import numpy as np
import pytest

from backseam.form.girth import butted, girth_under_strap, overlap_excess


def test_the_three_girths_of_a_circle():
    # R 15, t 2: inner 94.247780, middle 100.530965, outer 106.814150
    inner = 2 * np.pi * 15
    assert butted(inner, 2) == pytest.approx(100.530965, abs=1e-6)
    assert butted(inner, 2) + np.pi * 2 == pytest.approx(106.814150, abs=1e-6)


@pytest.mark.parametrize(("radius", "excess"), [(10, 0.745435), (15, 0.632095), (20, 0.558490)])
def test_overlap_on_a_circle(radius, excess):
    # Closed form: R_m (tan A - A), cos A = R_m/(R + 3t/2), R_m = R + t/2; t 2
    assert overlap_excess(2 * np.pi * radius, 2) == pytest.approx(excess, abs=1e-6)


def test_a_thread_on_a_round_form():
    assert girth_under_strap(86.0, 0.4) == pytest.approx(84.743363, abs=1e-6)
