"""Girth of oval sections against scipy's elliptic integral, a series, and handbook values."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ellipe

from backseam.form.section import Oval, Sections, ellipse_perimeter


@pytest.mark.parametrize(("a", "b"), [(15, 11), (13, 17.25), (9, 13), (20, 20), (5, 25)])
def test_perimeter_against_the_elliptic_integral_and_its_arc_length(a, b):
    # Source: NIST Digital Library of Mathematical Functions, 19.9.9 and 19.30: L = 4 A E(k), k^2 = 1 - B^2/A^2
    large, small = max(a, b), min(a, b)
    ours = ellipse_perimeter(np.array([float(a)]), np.array([float(b)]))[0]
    assert ours == pytest.approx(4 * large * ellipe(1 - (small / large) ** 2), rel=1e-14)
    arc, _ = quad(lambda t: np.hypot(a * np.sin(t), b * np.cos(t)), 0, np.pi / 2, epsabs=1e-11)
    assert ours == pytest.approx(4 * arc, rel=1e-10)


def test_ramanujans_second_approximation_agrees_to_its_known_order():
    # Source: S. Ramanujan, Modular equations and approximations to pi, 1914 (from memory): error below 1e-9 here
    a, b = 15.0, 11.0
    h = ((a - b) / (a + b)) ** 2
    series = np.pi * (a + b) * (1 + 3 * h / (10 + np.sqrt(4 - 3 * h)))
    assert ellipse_perimeter(np.array([a]), np.array([b]))[0] == pytest.approx(series, rel=1e-9)


def test_outline_of_an_oval_lies_on_the_ellipse():
    line = Sections(((np.ones(1), Oval(np.array([13.0]), np.array([17.25]), np.array([17.25]))),)).outline(0)
    assert (line[:, 0] / 13) ** 2 + (line[:, 1] / 17.25) ** 2 == pytest.approx(np.ones(len(line)), abs=1e-12)
