"""Sections: girth, width and depth together; convex; mixtures."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from backseam.form.section import (
    Oval,
    Sections,
    box,
    fitted,
    octagon,
    own_girth,
    polygon,
    possible_girths,
    rhombus,
    round_girth,
)

one = np.ones(1)


def array(x):
    return np.array([float(x)])


def outline_girth(sections):
    line = sections.outline(0)
    side = np.roll(line, -1, axis=0) - line
    return np.hypot(side[:, 0], side[:, 1]).sum()


@given(st.floats(8, 60), st.floats(8, 60), st.floats(0, 1), st.sampled_from(["oval", "egg", "octagon"]))
@settings(max_examples=60, deadline=None)
def test_a_section_has_the_girth_width_and_depth_it_was_asked_for(width, depth, share, kind):
    w, d = array(width), array(depth)
    body = {
        "oval": Oval(w / 2, d / 2, d / 2),
        "egg": Oval(w / 2, 0.35 * d, 0.65 * d),
        "octagon": octagon(w, d, 0.29 * np.minimum(w, d), one),
    }[kind]
    low, high = rhombus(w, d).perimeter()[0], box(w, d).perimeter()[0]
    wanted = low + share * (high - low)
    sections, weight = fitted(((one, body),), w, d, array(wanted))
    assert sections.girth[0] == pytest.approx(wanted, abs=1e-9)
    line = sections.outline(0)
    assert np.ptp(line, axis=0) == pytest.approx([width, depth], abs=1e-9)
    assert outline_girth(sections) == pytest.approx(wanted, rel=2e-5)
    assert -1 <= weight[0] <= 1
    way = np.roll(line, -1, axis=0) - line
    way = way[np.hypot(way[:, 0], way[:, 1]) > 1e-7]
    ahead = np.roll(way, -1, axis=0)
    assert (way[:, 0] * ahead[:, 1] - way[:, 1] * ahead[:, 0] >= -1e-9).all(), (
        "not convex or not counter-clockwise"
    )


def test_a_girth_out_of_reach_is_cut_to_the_nearest():
    w, d = array(26), array(34.5)
    base = ((one, Oval(w / 2, d / 2, d / 2)),)
    assert fitted(base, w, d, array(60))[0].girth[0] == pytest.approx(2 * np.hypot(26, 34.5))
    assert fitted(base, w, d, array(200))[0].girth[0] == pytest.approx(121.0)


def test_octagon_perimeter_of_the_corner_rule():
    # common practice for a rectangle with 45-degree corners of leg c: 2 (W + H) - 2.3431 c
    made = octagon(array(18), array(26), array(5.27), array(0))
    assert made.perimeter()[0] == pytest.approx(2 * 44 - 2.3431 * 5.27, abs=1e-3)


def test_rounding_an_octagon_keeps_its_facets_where_they_are():
    sharp, soft = (octagon(array(20), array(20), array(5.8), array(r)) for r in (0.0, 1.5))
    diagonal = np.array([[np.pi / 4 + 1e-6]])
    reach = [float((b.points(diagonal)[0, 0] @ np.array([1, 1])) / np.sqrt(2)) for b in (sharp, soft)]
    assert reach[0] == pytest.approx(reach[1], abs=1e-4)
    assert soft.perimeter()[0] < sharp.perimeter()[0]


def test_a_lopsided_polygon_is_made_the_same_left_and_right():
    points = np.array([(-10, -12), (14, -9), (9, 13), (-6, 12)])
    made = Sections(((one, polygon(points, array(24), array(25))),))
    line = made.outline(0)
    assert sorted(np.round(line[:, 0], 6)) == sorted(np.round(-line[:, 0], 6))
    assert np.ptp(line, axis=0) == pytest.approx([24, 25])


@given(st.floats(0, 1))
def test_mixing_adds_girths_in_proportion(share):
    w, d = array(20), array(30)
    parts = ((array(share), Oval(w / 2, d / 2, d / 2)), (array(1 - share), box(w, d)))
    assert Sections(parts).girth[0] == pytest.approx(own_girth(parts)[0])
    assert outline_girth(Sections(parts)) == pytest.approx(own_girth(parts)[0], rel=2e-5)


def test_round_girth_of_a_circle():
    assert round_girth(30, 30) == pytest.approx(np.pi * 30)


@given(st.floats(5, 60), st.floats(5, 60))
def test_possible_girths_are_those_of_rhombus_and_box(width, depth):
    w, d = array(width), array(depth)
    least, most = possible_girths(w, d)
    assert least[0] == pytest.approx(rhombus(w, d).perimeter()[0])
    assert most[0] == pytest.approx(box(w, d).perimeter()[0])


def test_areas_are_those_of_the_outlines():
    # area of a polygon: shapely; of an ellipse: pi a b
    w, d = array(20), array(30)
    made = Sections(
        ((array(0.4), octagon(w, d, array(5), array(1))), (array(0.6), Oval(w / 2, d / 2, d / 2)))
    )
    assert made.areas()[0] == pytest.approx(Polygon(made.outline(0)).area, rel=1e-12)
    ellipse = Sections(((one, Oval(w / 2, d / 2, d / 2)),))
    assert ellipse.areas()[0] == pytest.approx(np.pi * 10 * 15, rel=2e-4)
