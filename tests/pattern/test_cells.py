"""The mesh of the flattening: slope and stiffness against differences, two halves tied at their edges."""

from __future__ import annotations

import numpy as np
import pytest
from tests.forms import barrel, deg

from backseam.form.axis import Bend, Plane
from backseam.pattern.cells import Cells, Law
from backseam.pattern.flatten import _hand_start, flatten
from backseam.pattern.surface import grid_for, surface

LAW = Law.girth_kept()
MESH = {"rows": 9, "wall": 5, "fillet": 2, "flange": 2}


def sideways(sign=1, angle=15.0):
    return barrel(bend=Bend(Plane.SIDE, sign, deg(angle), 90, 130))


def skin(form, **mesh):
    return surface(form, grid_for(form, **mesh))


def moved(cells, on):
    draw = np.random.default_rng(5)
    z = cells.unknowns(_hand_start(on))
    return z + 1e-3 * draw.normal(size=z.shape) * cells.free


@pytest.mark.parametrize("form", [barrel(), sideways()], ids=["one half", "two halves"])
def test_slope_and_stiffness_are_differences_of_the_energy(form):
    on = skin(form, **MESH)
    cells = Cells(on)
    z = moved(cells, on)
    slope, blocks = cells.assemble(LAW, cells.strains(z))
    diagonal, below = blocks
    draw = np.random.default_rng(7)
    for _ in range(5):
        way = draw.normal(size=z.shape) * cells.free
        high, low = (cells.energy(LAW, cells.strains(z + h * way)) for h in (1e-6, -1e-6))
        assert (high - low) / 2e-6 == pytest.approx(float((slope * way).sum()), rel=1e-5)
        pulled = np.einsum("ijk,ik->ij", diagonal, way)
        pulled[1:] += np.einsum("ijk,ik->ij", below, way[:-1])
        pulled[:-1] += np.einsum("ikj,ik->ij", below, way[1:])
        assert float((way * pulled).sum()) > 0
    assert diagonal == pytest.approx(diagonal.transpose(0, 2, 1))


def test_both_halves_have_one_stitch_line_one_flange_and_one_outline():
    done = flatten(skin(sideways()), LAW)
    seam = done.grid.seam
    assert done.left is not None
    assert np.array_equal(done.left[:, seam:], done.nodes[:, seam:])
    for row in (0, -1):
        assert np.array_equal(done.left[row], done.nodes[row])
    assert done.left[:, 0, 0] == pytest.approx(-done.nodes[:, 0, 0])  # one line down the front
    assert done.left[:, 0, 1] == pytest.approx(done.nodes[:, 0, 1])
    assert np.abs(done.left[5:-5, 5] - done.nodes[5:-5, 5]).max() > 0.2  # and a wall of their own


def test_a_bend_to_the_other_side_swaps_the_halves():
    one, other = flatten(skin(sideways(1)), LAW), flatten(skin(sideways(-1)), LAW)
    assert other.nodes == pytest.approx(one.left, abs=5e-3)
    assert other.left == pytest.approx(one.nodes, abs=5e-3)
    assert other.energy == pytest.approx(one.energy, rel=1e-4)


def test_hardly_bent_to_the_side_is_straight():
    straight, nearly = flatten(skin(barrel()), LAW), flatten(skin(sideways(angle=1e-7)), LAW)
    assert straight.left is None
    assert nearly.nodes == pytest.approx(straight.nodes, abs=5e-3)
    assert nearly.energy == pytest.approx(2 * straight.energy, rel=1e-3)


def test_sideways_a_wall_of_its_own_for_each_half_takes_a_quarter_off_the_stretch():
    # against the same piece with every point of one half opposite its mirror image
    on = skin(sideways(angle=25.0))
    done = flatten(on, LAW)
    cells = Cells(on)
    middle = (done.nodes + done.left) / 2
    middle[:, 0, 0] = 0.0
    tied, own = (
        max(np.abs(e.yy).max() for e in cells.strains(cells.unknowns(*x)))
        for x in ((middle,), (done.nodes, done.left))
    )
    assert own < 0.75 * tied
