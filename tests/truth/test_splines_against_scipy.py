"""Our splines, slopes, block solver and elliptic integral against scipy's, the reference library."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline, PchipInterpolator, RectBivariateSpline
from scipy.linalg import solveh_banded

from backseam.geom.blocks import factored
from backseam.geom.curve import _cubic_slopes
from backseam.geom.spline import patch, spline


@pytest.mark.parametrize("n", [3, 4, 5, 12, 81])
@pytest.mark.parametrize("ends", ["not-a-knot", "natural"])
def test_cubic_splines(n, ends):
    rng = np.random.default_rng(n)
    x = np.cumsum(rng.uniform(0.2, 3.0, n))
    y = rng.normal(size=(n, 2, 3))
    ours, theirs = spline(x, y, natural=ends == "natural"), CubicSpline(x, y, bc_type=ends)
    at = np.linspace(x[0] - 1, x[-1] + 1, 97)
    for order in (0, 1, 2):
        assert ours(at, order) == pytest.approx(theirs(at, order), abs=1e-8)


def test_bicubic_patch():
    rng = np.random.default_rng(1)
    x, y = np.cumsum(rng.uniform(1, 4, 14)), np.cumsum(rng.uniform(0.1, 0.5, 9))
    z = rng.normal(size=(14, 9))
    at_x, at_y = rng.uniform(x[0], x[-1], 400), rng.uniform(y[0], y[-1], 400)
    theirs = RectBivariateSpline(x, y, z).ev(at_x, at_y)
    assert patch(x, y, z)(at_x, at_y) == pytest.approx(theirs, abs=1e-9)


@given(
    st.lists(st.floats(0.5, 50), min_size=2, max_size=8), st.lists(st.floats(-50, 50), min_size=9, max_size=9)
)
@settings(max_examples=80, deadline=None)
def test_slopes_of_the_monotone_cubic(steps, values):
    x = np.concatenate([[0.0], np.cumsum(steps)])
    y = np.array(values[: len(x)])
    rise = np.diff(y) / np.diff(x)
    theirs = PchipInterpolator(x, y).derivative()(x)
    assert _cubic_slopes(np.diff(x), rise) == pytest.approx(theirs, abs=1e-9 + 1e-9 * np.abs(rise).max())


def test_block_tridiagonal_systems():
    rng = np.random.default_rng(3)
    n, m = 9, 6
    diagonal = np.array([a @ a.T + 30 * np.eye(m) for a in rng.normal(size=(n, m, m))])
    below, right = rng.normal(size=(n - 1, m, m)), rng.normal(size=(n, m))
    full = np.zeros((n * m, n * m))
    for i in range(n):
        full[i * m : (i + 1) * m, i * m : (i + 1) * m] = diagonal[i]
    for i in range(n - 1):
        full[(i + 1) * m : (i + 2) * m, i * m : (i + 1) * m] = below[i]
    full = np.tril(full) + np.tril(full, -1).T
    band = np.array([np.concatenate([np.diag(full, -k), np.zeros(k)]) for k in range(2 * m)])
    theirs = solveh_banded(band, right.ravel(), lower=True)
    assert factored(diagonal, below).solve(right).ravel() == pytest.approx(theirs, abs=1e-12)
