"""Points of the normal curve, and roots."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.geom.normal import normal_point
from backseam.geom.root import root


@given(st.floats(1e-300, 1 - 1e-15, exclude_max=True))
def test_the_standard_library_says_the_same(share):
    assert float(normal_point(share)) == pytest.approx(NormalDist().inv_cdf(share), rel=1e-13, abs=1e-13)


def test_the_ends_are_numbers():
    assert np.isfinite(normal_point([0.0, 1.0])).all()
    assert float(normal_point(0.5)) == 0.0


@given(st.floats(-5, 5))
def test_a_root_is_found_where_it_is(at):
    assert root(lambda x: (x - at) ** 3, -7.0, 8.0) == pytest.approx(at, abs=1e-12)


def test_without_a_root_a_bound_is_given():
    assert root(lambda x: x + 10, 0.0, 1.0) == pytest.approx(0.0)
    assert root(lambda x: x - 10, 0.0, 1.0) == pytest.approx(1.0)
