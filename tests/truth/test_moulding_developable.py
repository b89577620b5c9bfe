"""Virtual moulding where the answer is known: tube, cone, a tight tube, and the metric against distances in space."""

from __future__ import annotations

import numpy as np
import pytest
from tests.forms import barrel, cone, deg, tube

from backseam.fit.moulding import mould
from backseam.fit.moulding_mesh import Piece, computed_piece, mesh
from backseam.fit.moulding_skin import skin
from backseam.fit.moulding_solver import lay, start
from backseam.form.axis import Bend, Plane
from backseam.form.form import Laid
from backseam.leather.leather import Leather, State, Tight
from backseam.pattern.draft import lay_out
from backseam.pattern.flatten import Law

THIN = Laid(thickness=1e-6, radius=1e-6, neutral=0.5, trimmed=0.5)  # the bare surface, no leather, no fillet
FREE = Law(0.8, 1.0, 0.35, 0.35, 3.0)


def rectangle(half: float, height: float, low: float = 0.0) -> Piece:
    """A piece with straight sides and edges."""
    top = low + height
    return Piece(
        "rectangle",
        stitch=np.array([[half, low], [half, top]]),
        mouth=np.array([[0.0, top], [half, top]]),
        bottom=np.array([[0.0, low], [half, low]]),
        marks=(("middle", height / 2, low + height / 2, low + height / 2),),
    )


def sector(r0: float, r1: float, height: float) -> Piece:
    """A round cone developed. Source: any sheet-metal handbook: polar radius R / sin(alpha), angle 2 pi sin(alpha)."""
    slope = (r1 - r0) / np.hypot(r1 - r0, height)
    w = np.linspace(0.0, np.pi * slope, 200)

    def arc(radius: float) -> np.ndarray:
        s = radius / slope
        return np.stack([s * np.sin(w), s * np.cos(w) - r0 / slope], axis=-1)

    bottom, mouth = arc(r0), arc(r1)
    if mouth[0, 1] < bottom[0, 1]:
        raise ValueError("a cone that opens upwards is wanted")
    return Piece(
        "sector",
        np.stack([bottom[-1], mouth[-1]]),
        mouth,
        bottom,
        (("mouth", height, mouth[0, 1], mouth[-1, 1]),),
    )


def test_a_tube_takes_its_rectangle_without_strain():
    # Closed form: half width (pi D + pi t + Delta)/2, Delta of the seam fillet; strain 0 and nothing slides
    phi = np.arcsin(3 / 23)
    half = 21 * (np.pi - phi) + 2 * (np.pi / 2 - phi)
    done = mould(tube(40, 100), rectangle(half, 100), FREE, hoop=10.0)
    assert abs(done.sums.most) < 1e-6
    assert abs(done.sums.least) < 1e-6
    assert done.field.height[:, 0] == pytest.approx(done.mesh.rest[:, 0, 1], abs=1e-4)


@pytest.mark.parametrize("narrower", [0.99, 0.95])
def test_a_tight_tube_is_a_thin_ring(narrower):
    # Closed form. Along the piece nothing pulls: k D_yy e_yy + D_xy e_xx = 0, so e_yy = -(nu E_x/E_y / k) e_xx in
    # Green's strain; N = E t e and p = N / R of a thin ring (any handbook of strength of materials). R to the neutral
    # layer is 21.
    phi = np.arcsin(3 / 23)
    half = 21 * (np.pi - phi) + 2 * (np.pi / 2 - phi)
    done = mould(tube(40, 100), rectangle(narrower * half, 100), FREE, hoop=10.0)
    stretch = 1 / narrower - 1
    middle = done.mesh.rows // 2
    assert done.rows.girth == pytest.approx(np.full(done.mesh.rows, stretch), rel=5e-3)
    green = (1 / narrower**2 - 1) / 2
    along = np.sqrt(1 - 2 * FREE.poisson * FREE.across / FREE.compression * green) - 1
    wall = np.abs(done.mesh.share) < 0.5  # away from the flange, which nothing narrows
    assert done.field.along[middle, wall] == pytest.approx(np.full(wall.sum(), along), rel=2e-2)
    tension = 10.0 * 2.0 * stretch
    assert done.field.tension[middle, wall] == pytest.approx(np.full(wall.sum(), tension), rel=5e-3)
    assert done.field.pressure[middle, wall] == pytest.approx(np.full(wall.sum(), tension / 21), rel=2e-2)
    assert done.rows.slack[middle] == pytest.approx(-stretch * 2 * narrower * half, rel=5e-3)


@pytest.mark.parametrize(("r0", "r1", "height"), [(13, 18, 100), (11, 17, 140)])
def test_a_cone_takes_its_sector_without_strain(r0, r1, height):
    done = mould(cone(r0, r1, height, THIN), sector(r0, r1, height), FREE, hoop=10.0)
    assert done.sums.p99 < 1e-3
    assert done.sums.most < 4e-3  # one point at the end of the stitch line
    assert np.abs(done.rows.girth).max() < 5e-4
    # every point lies at its own distance from the apex: row by row the heights are one
    assert np.ptp(done.field.height[0]) < 0.05
    assert np.ptp(done.field.height[-1]) < 0.05
    assert done.field.height[-1].mean() == pytest.approx(height, abs=0.05)
    assert abs(done.sums.apart) < 0.05


@pytest.mark.parametrize(
    "form",
    [
        barrel(),
        barrel(True),
        barrel(bend=Bend(Plane.SEAM, -1, deg(20), 90, 130)),
        barrel(bend=Bend(Plane.SIDE, 1, deg(20), 90, 130)),
    ],
    ids=["barrel", "necked", "bent", "sideways"],
)
def test_the_metric_is_that_of_distances_in_space(form):
    # Differences of positions, which the metric's own slopes do not come from. Round an arris they are chords, so v is
    # taken on the flank, u anywhere.
    surface = skin(form)
    draw = np.random.default_rng(1)
    u = draw.uniform(5, form.marks.mouth - 5, 60)
    v = draw.uniform(0.02, 0.9, 60) * (1 if surface.mirrored else np.sign(draw.uniform(-1, 1, 60)))
    step = 0.02
    up = (surface.space(u + step, v) - surface.space(u - step, v)) / (2 * step)
    round_ = (surface.space(u, v + step / 50) - surface.space(u, v - step / 50)) / (2 * step / 50)
    value = surface.patches[0].at(u, v).value
    assert value[:, 0] == pytest.approx((up * up).sum(axis=1), rel=2e-3)
    assert value[:, 1] == pytest.approx((up * round_).sum(axis=1), abs=0.3)  # of about 50 mm
    assert np.median(np.abs(value[:, 2] / (round_ * round_).sum(axis=1) - 1)) < 2e-3


def test_chords_come_to_the_same_strain_on_a_fine_mesh():
    # F = sum S(u, v) grad N with positions in space, against the metric at the triangles' points, a round cone.
    form = cone(13, 18, 100)
    surface = skin(form)
    layout = lay_out(form, Leather((2.0,), Tight.ALONG, "shoulder", State.DAMP, 0.0, 0.0, 0.5))
    cut = mesh(computed_piece(form, layout), form.laid.trimmed, surface.mirrored, 3.0)
    lying = lay(cut, surface, FREE)
    space = surface.space(*lying.place.T)[cut.triangles]
    wide = np.einsum("mnk,mpna->mpka", space, cut.gradient)
    chord = np.einsum("mpka,mpkb->mpab", wide, wide)
    wall = (cut.patch == 0) & (cut.rest.reshape(-1, 2)[cut.triangles, 0].max(axis=1) < 0.9 * layout.half(0.0))
    for k, (a, b) in enumerate([(0, 0), (1, 1)]):
        assert (chord[wall, :, a, b] - 1) / 2 == pytest.approx(lying.strain[wall, :, k], abs=1e-3)


def test_the_start_is_where_the_hand_would_lay_it():
    surface = skin(tube(40, 100))
    cut = mesh(rectangle(60.0, 100), 5.0, True)
    place = start(cut, surface).reshape(cut.rows, cut.columns, 2)
    assert place[:, 0, 0] == pytest.approx(cut.rest[:, 0, 1], abs=1e-6)
    assert place[0, cut.seams[0], 1] == pytest.approx(1.0)
