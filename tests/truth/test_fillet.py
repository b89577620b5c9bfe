"""The seam fillet against closed forms, polygon booleans (shapely, GEOS) and Steiner's formula."""

import numpy as np
import pytest
from shapely import LinearRing, LineString, Polygon

from backseam.form.fillet import Wrap, circle_stitch_to_stitch, neutral_path, stitch_to_stitch
from backseam.form.section import Oval, Sections, box, fitted, octagon

one = np.ones(1)


def array(x):
    return np.array([float(x)])


def sections(body):
    return Sections(((one, body),))


def wrap(t, r, k=0.5):
    return Wrap(array(t), array(r), k)


def circle(radius):
    return sections(Oval(array(radius), array(radius), array(radius)))


# Closed form for a circle (derived: tangent circles): sin phi = (r + t)/(R + r + t),
# d = sqrt(R^2 + 2R(r + t)) - R, L = 2[(R + t/2)(pi - phi) + (r + t/2)(pi/2 - phi)].
@pytest.mark.parametrize(
    ("radius", "t", "r", "phi", "length", "d"),
    [
        (15, 2, 0, 6.756327, 99.663272, 1.881943),
        (15, 2, 1, 9.594068, 100.786019, 2.748239),
        (15, 2, 2, 12.153197, 101.895437, 3.574176),
        (20, 2, 1, 7.494717, 132.212932, 2.803509),
        (15, 1.6, 0.8, 7.928142, 99.485524, 2.233688),
    ],
)
def test_circle(radius, t, r, phi, length, d):
    path = neutral_path(circle(radius), wrap(t, r))
    assert np.degrees(path.lift[0]) == pytest.approx(phi, abs=2e-6)
    assert 2 * path.half[0] == pytest.approx(length, abs=1e-6)
    assert path.distance[0] == pytest.approx(d, abs=1e-6)
    assert circle_stitch_to_stitch(radius, t, r) == pytest.approx(length, abs=1e-6)


def test_flat_back_needs_no_turning():
    # Closed form: Delta = (pi - 2) r - (2 - pi/2) t on a flat wider than 2 (r + t)
    length, d = stitch_to_stitch(sections(box(array(26), array(34))), wrap(2, 1))
    delta = (np.pi - 2) * 1 - (2 - np.pi / 2) * 2
    assert length[0] == pytest.approx(120 + 2 * np.pi + delta, abs=1e-6)
    assert d[0] == pytest.approx(3.0, abs=1e-9)


def test_the_neutral_layer_moves_the_length_by_its_share_of_the_thickness():
    # Steiner: k from 0.5 to 0.4 lowers the girth by 0.2 pi t = 1.2566 at t 2; in the fillet it raises it a little
    lengths = [stitch_to_stitch(circle(15), wrap(2, 1, k))[0][0] for k in (0.5, 0.4)]
    phi = np.arcsin(3 / 18)
    fillet = 2 * 0.1 * 2 * (np.pi / 2 - phi)
    wall = 2 * 0.1 * 2 * (np.pi - phi)
    assert lengths[0] - lengths[1] == pytest.approx(wall - fillet, abs=1e-6)


def bodies():
    w, d = array(26), array(34.5)
    yield "oval", sections(Oval(w / 2, d / 2, d / 2)), 0.5
    yield "egg", sections(Oval(w / 2, 0.4 * d, 0.6 * d)), 1.0
    yield "octagon", sections(octagon(w, d, array(7.6), one)), 1.0
    yield "between", fitted(((one, Oval(w / 2, d / 2, d / 2)),), w, d, array(100))[0], 1.0


@pytest.mark.parametrize(("name", "made", "r"), list(bodies()))
def test_against_polygon_booleans(name, made, r):
    # Source: GEOS through shapely. The mid-surface is the boundary of the closing of (hull + seam ray) by a disc of
    # radius r + t, grown by t/2. Disc approximated by 256 segments a quarter.
    t = 2.0
    hull = Polygon(made.outline(0))
    top = made.outline(0)[:, 1].max()
    ray = LineString([(0, 0), (0, top + 40)]).buffer(1e-4, cap_style="flat")
    closed = hull.union(ray).buffer(r + t, quad_segs=256).buffer(-(r + t / 2), quad_segs=256)
    path = neutral_path(made, wrap(t, r))
    below = closed.intersection(Polygon([(-99, -99), (99, -99), (99, path.stitch[0]), (-99, path.stitch[0])]))
    rim = LinearRing(below.exterior.coords)
    shared = 2 * t / 2  # the straight cut across at the stitch line
    assert 2 * path.half[0] == pytest.approx(rim.length - shared, abs=2e-3), name


def test_every_offset_outline_against_steiner():
    for _, made, _ in bodies():
        for by in (1.0, 2.0, 3.5):
            phi = made.normals()
            normal = np.stack([np.sin(phi), np.cos(phi)], axis=-1)
            grown = made.points(phi) + by * normal
            line = np.concatenate([grown[0], (grown[0] * (-1, 1))[::-1]])
            length = np.hypot(*np.diff(np.concatenate([line, line[:1]]), axis=0).T).sum()
            assert length == pytest.approx(made.girth[0] + 2 * np.pi * by, rel=3e-5)
