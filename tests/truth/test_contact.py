"""Pressure round a section: 2 pi N whatever its shape, less what the seam's feet change; the give of the fillet."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipe

from backseam.fit.contact import folds_at, seam_give, turning
from backseam.form.section import fitted, octagon

N = 3.0  # hoop tension, N/mm


def pressed(points: np.ndarray) -> float:
    """Sum of the pushes of a tight string of tension N round a closed polygon: 2 N sin(turn/2) at each corner."""
    side = np.roll(points, -1, axis=0) - points
    side = side[np.hypot(*side.T) > 1e-9]
    way = np.unwrap(np.arctan2(side[:, 1], side[:, 0]))
    turn = np.diff(np.r_[way, way[0] + 2 * pi])
    return float((2 * N * np.sin(np.abs(turn) / 2)).sum())


def test_ellipse_by_its_curvature():
    # a 16, b 9, N 3: integral of N/R ds = 18.849556 = 2 pi N
    a, b = 16.0, 9.0

    def push(v):
        speed2 = (a * np.sin(v)) ** 2 + (b * np.cos(v)) ** 2
        return N * a * b / speed2

    whole, _ = quad(push, 0, 2 * pi)
    assert whole == pytest.approx(2 * pi * N, abs=1e-9)
    assert 4 * a * ellipe(1 - (b / a) ** 2) > 2 * pi * b  # it is no circle


@settings(max_examples=50, deadline=None)
@given(
    width=st.floats(12, 40),
    ratio=st.floats(0.5, 2.0),
    corner=st.floats(0.1, 0.35),
    arris=st.floats(0.3, 2.0),
    fuller=st.floats(-0.5, 0.5),
)
def test_random_sections_press_with_two_pi(width, ratio, corner, arris, fuller):
    # octagons with rounded arrises, mixed with box or rhombus to another girth: convex, otherwise anything
    w, d = np.array([width]), np.array([width * ratio])
    body = octagon(w, d, corner * np.minimum(w, d), np.array([arris]))
    girth = body.perimeter() * (1 + 0.05 * fuller)
    sections, _ = fitted(((np.ones(1), body),), w, d, girth)
    assert pressed(sections.outline(0)) == pytest.approx(2 * pi * N, rel=2e-3)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.floats(-1, 1), st.floats(-1, 1)), min_size=60, max_size=90, unique=True))
def test_hulls_of_random_points_press_with_two_pi(points):
    # corners sharper than a string's arc: compare with the turning angle itself, 2 pi for any closed convex line
    from scipy.spatial import ConvexHull, QhullError

    cloud = np.array(points)
    try:
        hull = cloud[ConvexHull(cloud).vertices]
    except QhullError:
        return
    side = np.roll(hull, -1, axis=0) - hull
    way = np.unwrap(np.arctan2(side[:, 1], side[:, 0]))
    assert way[-1] - way[0] + (np.arctan2(side[0, 1], side[0, 0]) - way[-1]) % (2 * pi) == pytest.approx(
        2 * pi
    )


def test_feet_of_the_seam():
    # 2 pi - 2 phi spread plus sin phi at each foot = 2 pi - phi^3/3 to third order
    assert turning(0.0) == pytest.approx(2 * pi)
    phi = np.radians(9.594068)  # R 15, t 2, r 1
    assert turning(phi) == pytest.approx(2 * pi - phi**3 / 3, rel=1e-5)
    assert turning(phi) < 2 * pi


def test_give_of_the_fillet():
    # thin-beam estimate: 17 % extra give at rho = t, 58 % at 1.5 t (girth 100, t 2)
    assert seam_give(2.0, 1.0, 100.0) == pytest.approx(0.17, abs=0.005)
    assert seam_give(2.0, 2.0, 100.0) == pytest.approx(0.58, abs=0.005)


def test_give_of_the_fillet_by_quadrature():
    # a quarter ring held at the stitches, a force at its foot: integral of (1 - cos)^2 over a right angle x 12
    bent, _ = quad(lambda a: (1 - np.cos(a)) ** 2, 0, pi / 2)
    assert seam_give(2.0, 1.0, 100.0) == pytest.approx(2 * 12 * bent * 2 / 100, rel=1e-9)


def test_rim_folds_at_the_classical_load():
    # timoshenko-stability: sigma = E t / (R sqrt(3 (1 - nu^2))); steel, R/t 100, nu 0.3: 0.605 E t/R
    assert folds_at(1.0, 1.0, 100.0, 0.3, 1.0) == pytest.approx(0.605 / 100, rel=1e-3)
