"""Virtual moulding: symmetry, turning, scale, finer mesh, progress and stop, every finding."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.forms import barrel, caliper, deg, form, tube
from tests.jobs import SAMPLES, sample
from tests.voice import assert_clear

from backseam.fit import moulding_report
from backseam.fit.moulding import Compared, Moulding, between, compare, hand_of, hoop_damp, leather_law, mould
from backseam.fit.moulding_mesh import SHAPE, TO_NODES, Piece, computed_piece, hand_piece, mesh
from backseam.fit.moulding_skin import skin
from backseam.fit.moulding_solver import _System, start, stress
from backseam.form.axis import Bend, Plane
from backseam.form.form import Form, Laid
from backseam.ground.errors import Stopped
from backseam.ground.speech import Speech
from backseam.job.recipe import Worked, work
from backseam.leather.leather import Leather, State, Tight
from backseam.leather.material import material
from backseam.pattern.draft import Layout, lay_out
from backseam.pattern.flatten import Law
from backseam.pattern.stations import hand_line

LEATHER = Leather((2.0,), Tight.ALONG, "shoulder", State.DAMP, 0.0, 0.0, 0.5)
LAW = leather_law(LEATHER)
COLLARED = Laid(thickness=2.0, radius=1.0, neutral=0.5, flap=1.0, depth=15.0)
HOOP = 10.0


def bent(plane: Plane, sign: int, laid: Laid | None = None, angle: float = 15.0) -> Form:
    more = {} if laid is None else {"laid": laid}
    return barrel(bend=Bend(plane, sign, deg(angle), 90, 130), **more)


def hand(of: Form, layout: Layout | None = None) -> Piece:
    layout = layout or lay_out(of, LEATHER)
    stitch = layout.place(np.linspace(of.marks.mouth, 0, 300), 1.0)
    return hand_of(of, hand_line(of, stitch))


@pytest.fixture(scope="module")
def necked() -> tuple[Form, Layout, Moulding]:
    of = barrel(True)
    layout = lay_out(of, LEATHER)
    return of, layout, mould(of, layout, LAW, hoop=HOOP)


@pytest.fixture(scope="module")
def worked() -> dict[str, Worked]:
    return {name: work(sample(name)) for name in SAMPLES}


def compared(of: Worked) -> Compared:
    leather = of.inputs.leather
    return compare(of.form, of.layout, of.upper, leather, material("shoulder", leather.thickness))


# --- invariants ----------------------------------------------------------------------------------------------------


def test_a_sideways_bend_to_the_other_side_is_the_mirror_image():
    done = [
        mould(bent(Plane.SIDE, sign), lay_out(bent(Plane.SIDE, sign), LEATHER), LAW, hoop=HOOP)
        for sign in (1, -1)
    ]
    one, other = (d.field for d in done)
    assert done[0].energy == pytest.approx(done[1].energy, rel=5e-3)
    assert one.height == pytest.approx(other.height[:, ::-1], abs=0.05)
    assert one.share == pytest.approx(-other.share[:, ::-1], abs=2e-3)
    assert one.space[..., 0] == pytest.approx(-other.space[:, ::-1, 0], abs=0.1)


def test_both_halves_meshed_give_twice_the_half_of_a_mirrored_form():
    straight, nearly = barrel(), bent(Plane.SIDE, 1, angle=1e-7)
    half = mould(straight, lay_out(straight, LEATHER), LAW, hoop=HOOP)
    whole = mould(nearly, lay_out(nearly, LEATHER), LAW, hoop=HOOP)
    assert not whole.mesh.mirrored
    assert whole.energy == pytest.approx(2 * half.energy, rel=2e-3)
    assert whole.rows.girth == pytest.approx(half.rows.girth, abs=2e-4)
    assert whole.rows.slack == pytest.approx(half.rows.slack, abs=0.02)
    assert whole.sums.wrinkled == pytest.approx(half.sums.wrinkled, abs=30)


@pytest.mark.parametrize("scale", [0.5, 2.0])
def test_a_form_of_another_size_strains_alike(scale):
    def sized(s: float) -> Form:
        laid = Laid(thickness=2.0 * s, radius=1.0 * s, neutral=0.5, trimmed=5.0 * s)
        return form(
            caliper(0, 18 * s, 26 * s),
            caliper(90 * s, 24 * s, 33 * s),
            caliper(130 * s, 22 * s, 30 * s),
            laid=laid,
            thickest=90 * s,
        )

    done = []
    for s in (1.0, scale):
        of = sized(s)
        layout = lay_out(of, replace(LEATHER, thicknesses=(2.0 * s,)))
        done.append(mould(of, layout, LAW, hoop=HOOP, finer=1 if s >= 1 else 2, on=skin(of)))
    one, other = done
    assert other.energy / scale**2 == pytest.approx(one.energy, rel=0.03)
    assert other.sums.p99 == pytest.approx(one.sums.p99, rel=0.05)
    assert other.sums.girth_most == pytest.approx(one.sums.girth_most, abs=5e-4)
    assert other.sums.slackest / scale == pytest.approx(one.sums.slackest, abs=0.05)


def test_where_the_form_stands_makes_no_difference():
    # Turned: the lower part bent away under a straight upper one, or not there at all; the upper part must not notice.
    # A tube bent below, moulded only above the bend, is a straight tube.
    of = form(caliper(0, 40, 40), mouth=160, bend=Bend(Plane.SEAM, 1, deg(15), 20, 60))
    straight = tube(40, 160)
    half = float(skin(straight).half(80.0))
    piece = Piece(
        "above",
        np.array([[half, 0.0], [half, 60.0]]),
        np.array([[0.0, 60.0], [half, 60.0]]),
        np.array([[0.0, 0.0], [half, 0.0]]),
        (("low", 0.0, 0.0, 0.0),),
    )
    surface = skin(of)
    assert surface.half(110.0) == pytest.approx(half, abs=1e-6)
    cut = mesh(piece, 5.0, True)
    place = np.stack([cut.rest[..., 1] + 90.0, np.broadcast_to(cut.share, cut.rest.shape[:2])], axis=-1)
    state = _System(cut, surface, LAW).state(place.reshape(-1, 2))
    assert np.abs(state.strain[cut.patch == 0]).max() < 1e-3


@given(st.floats(-np.pi, np.pi), st.lists(st.floats(-0.2, 0.2), min_size=4, max_size=4))
@settings(max_examples=60, deadline=None)
def test_principal_stretches_do_not_depend_on_the_axes(turn, pull):
    deform = np.eye(2) + np.array(pull).reshape(2, 2)
    spin = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])

    def principal(f: np.ndarray) -> tuple[float, float]:
        e = (f.T @ f - np.eye(2)) / 2
        most, least = moulding_report.principal(np.array([e[0, 0], e[1, 1], 2 * e[0, 1]]))
        return float(most), float(least)

    values = np.linalg.svd(deform, compute_uv=False) - 1
    assert principal(deform @ spin) == pytest.approx(tuple(values), abs=1e-9)
    assert principal(spin @ deform) == pytest.approx(tuple(values), abs=1e-9)


def test_a_finer_mesh_says_the_same(necked):
    of, layout, done = necked
    fine = mould(of, layout, LAW, hoop=HOOP, finer=2.0)
    assert fine.energy == pytest.approx(done.energy, rel=0.01)
    assert np.interp(done.rows.height, fine.rows.height, fine.rows.girth) == pytest.approx(
        done.rows.girth, abs=3e-3
    )
    assert fine.sums.p99 == pytest.approx(done.sums.p99, rel=0.05)
    assert fine.sums.apart == pytest.approx(done.sums.apart, abs=0.1)


def test_the_triangles_fill_the_drawn_piece_and_its_flange(necked):
    of, _, done = necked
    cut, piece = done.mesh, done.piece
    line = np.concatenate([piece.bottom, piece.stitch[1:], piece.mouth[-2::-1]])
    x, y = line.T
    drawn = abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2
    assert cut.area[cut.patch == 0].sum() == pytest.approx(drawn, rel=1e-3)
    length = np.hypot(*np.diff(piece.stitch, axis=0).T).sum()
    assert cut.area[cut.patch == 1].sum() == pytest.approx(length * of.laid.trimmed, rel=0.02)
    assert np.all(cut.area > 0)


def test_shape_functions_add_up_and_carry_a_plane():
    assert SHAPE.sum(axis=1) == pytest.approx(np.ones(3))
    corners = np.array([[1.0, 0, 0], [0, 1, 0], [0, 0, 1], [0.5, 0.5, 0], [0, 0.5, 0.5], [0.5, 0, 0.5]])
    value = corners @ [2.0, -1.0, 5.0]
    assert TO_NODES @ (SHAPE @ value) == pytest.approx(value)


@pytest.mark.parametrize("plane", [Plane.SEAM, Plane.SIDE])
def test_the_slope_of_the_energy_is_its_difference(plane):
    # Central differences of the energy in random directions, against the slope that the solver goes by.
    of = bent(plane, 1, COLLARED)
    surface = skin(of)
    cut = mesh(hand(of), of.laid.trimmed, surface.mirrored)
    system = _System(cut, surface, LAW)
    draw = np.random.default_rng(3)

    def spread(x: np.ndarray) -> np.ndarray:
        return np.append(x, 0.0)[system.equation].reshape(-1, 2)

    place = start(cut, surface) + spread(draw.normal(size=system.size) * 1e-4)
    slope, _ = system.assemble(system.state(place), place)
    for _ in range(4):
        way = draw.normal(size=system.size)
        step = 1e-6 * spread(way)
        high, low = (system.energy(system.state(p), p) for p in (place + step, place - step))
        assert (high - low) / 2e-6 == pytest.approx(float(slope @ way), rel=1e-3)


def test_squeezed_leather_is_stiffer_and_the_energy_has_no_step():
    law = Law(0.8, 1.0, 0.35, 0.35, 3.0)
    below, above = (stress(law, np.array([[e, 0.0, 0.0]]))[0][0, 0] for e in (-1e-3, 1e-3))
    assert below == pytest.approx(-3 * above)


# --- pieces --------------------------------------------------------------------------------------------------------


def test_the_hand_piece_is_half_the_strap_at_each_height_with_straight_edges(worked):
    of = worked["barrel"]
    piece = hand_piece(of.form, of.upper.hand)
    dots = of.upper.hand.dots
    for x, y in dots:
        assert np.interp(y, piece.stitch[:, 1], piece.stitch[:, 0]) == pytest.approx(x, abs=1e-9)
    assert np.ptp(piece.mouth[:, 1]) == 0
    assert piece.height == pytest.approx(of.form.as_read(of.form.marks.mouth))


def test_the_computed_piece_is_the_drawn_one_without_its_allowance():
    of = barrel()
    wide = lay_out(of, replace(LEATHER, allowance_across=0.02, allowance_along=0.01))
    plain = lay_out(of, LEATHER)
    assert computed_piece(of, wide).stitch == pytest.approx(computed_piece(of, plain).stitch, abs=1e-9)


def test_a_hand_piece_from_a_single_reading_is_straight():
    of = tube(40, 100)
    piece = hand(of)
    assert np.ptp(piece.stitch[:, 0]) < 1e-9


# --- report --------------------------------------------------------------------------------------------------------


def test_rows_marks_and_zones_say_what_the_field_says(necked):
    _, _, done = necked
    wall = done.mesh.share <= 1.0
    assert done.rows.girth.max() <= done.field.across[:, wall].max()
    assert done.sums.slackest == pytest.approx(done.rows.slack.max())
    assert [mark.name for mark in done.marks][-1] == "mouth" or done.marks[-1].station == pytest.approx(180)
    for zone in done.zones:
        assert 0 <= zone.near <= zone.far <= 1 + 1e-9
        assert zone.low <= zone.at <= zone.high
        assert zone.least < -0.03
    assert done.zones == tuple(sorted(done.zones, key=lambda z: z.least))
    assert np.all(done.field.pressure >= 0)
    assert np.all(done.field.tension[done.field.across < 0] == 0)


def test_tension_goes_with_stiffness_and_counts_both_layers_of_the_collar():
    of = barrel(laid=COLLARED)
    layout = lay_out(of, LEATHER)
    one, two = (mould(of, layout, LAW, hoop=h, on=skin(of)) for h in (10.0, 20.0))
    assert two.field.tension == pytest.approx(2 * one.field.tension)
    top = one.field.across[-2] > 1e-4
    assert one.field.tension[-2][top] == pytest.approx(10.0 * 3.0 * one.field.across[-2][top])


def test_the_step_at_the_flaps_end_is_told_apart():
    of = barrel(laid=COLLARED)
    done = mould(of, lay_out(of, LEATHER), LAW, hoop=HOOP)
    height = done.rows.height[done.rows.step]
    assert height.min() > 180 - 15 - 4 - 3
    assert height.max() < 180 - 15 + 3
    assert done.sums.step_most > done.sums.most
    assert not mould(barrel(), lay_out(barrel(), LEATHER), LAW, hoop=HOOP).rows.step.any()


def test_the_seams_pairs_meet_and_nothing_turns_over():
    of = bent(Plane.SIDE, 1, COLLARED)
    done = mould(of, lay_out(of, LEATHER), LAW, hoop=HOOP)
    right, left = done.mesh.seams
    assert done.field.height[:, right] == pytest.approx(done.field.height[:, left])
    assert done.field.share[:, right] == pytest.approx(np.ones(done.mesh.rows))
    assert np.all(np.diff(done.field.share, axis=1) > 0)


@pytest.mark.parametrize("name", SAMPLES)
def test_samples_settle_and_the_computed_piece_never_stretches_more(worked, name):
    both = compared(worked[name])
    assert both.computed.settled
    assert both.hand.residual < 0.05
    assert both.computed.sums.most <= both.hand.sums.most + 1e-6
    assert both.computed.sums.p99 <= both.hand.sums.p99 + 1e-6
    for found in both.findings:
        assert_clear(found.text())
        assert_clear(found.remedy())
        assert_clear(found.text(Speech("inch")))


def test_leather_is_stiffer_in_its_tight_direction():
    along, across, unknown = (
        leather_law(replace(LEATHER, tight=tight)) for tight in (Tight.ALONG, Tight.ACROSS, Tight.UNKNOWN)
    )
    assert along.along > along.across
    assert (across.across, across.along) == (along.along, along.across)
    assert unknown.across == unknown.along
    shoulder = material("shoulder", 2.0)
    assert hoop_damp(replace(LEATHER, tight=Tight.ACROSS), shoulder) > hoop_damp(LEATHER, shoulder)


# --- progress, stop, findings --------------------------------------------------------------------------------------


class Watch:
    """Keeps what it was told; asks to stop after so many steps."""

    def __init__(self, stop_after: int | None = None) -> None:
        self.seen: list[tuple[int, int, str]] = []
        self.stop_after = stop_after

    def at(self, done: int, total: int, doing: str) -> None:
        self.seen.append((done, total, doing))

    def stop_asked(self) -> bool:
        return self.stop_after is not None and len(self.seen) >= self.stop_after


def test_it_says_how_far_it_is(worked):
    of, watch = worked["slim"], Watch()
    leather = of.inputs.leather
    compare(of.form, of.layout, of.upper, leather, material("shoulder", leather.thickness), watch)
    done, total, doing = zip(*watch.seen, strict=True)
    assert list(done) == sorted(done)
    assert max(done) <= total[0]
    assert set(doing) == {"moulding"}


def test_it_stops_when_asked(necked):
    of, layout, _ = necked
    watch = Watch(stop_after=2)
    with pytest.raises(Stopped, match="moulding"):
        mould(of, layout, LAW, watch, hoop=HOOP)
    assert len(watch.seen) == 2


def codes(done: Moulding) -> set[str]:
    return {found.code for found in done.findings}


def narrow(of: Form, share: float) -> Piece:
    """The computed piece, its stitch line drawn in."""
    piece = computed_piece(of, lay_out(of, LEATHER))
    slim = np.array([share, 1.0])
    return replace(piece, stitch=piece.stitch * slim, mouth=piece.mouth * slim, bottom=piece.bottom * slim)


def test_stretch_beyond_comfortable_and_beyond_the_limit():
    of = tube(40, 100)
    assert "MOULD-001" in codes(mould(of, narrow(of, 0.88), LAW, hoop=HOOP))
    assert "MOULD-002" in codes(mould(of, narrow(of, 0.8), LAW, hoop=HOOP))
    # the remedy, a piece that is wide enough, clears both
    assert not {"MOULD-001", "MOULD-002"} & codes(mould(of, narrow(of, 1.0), LAW, hoop=HOOP))


def test_wrinkles_slack_and_marks_that_do_not_meet():
    of = tube(40, 100)
    wide = codes(mould(of, narrow(of, 1.05), LAW, hoop=HOOP))
    assert {"MOULD-003", "MOULD-006"} <= wide
    dogleg = bent(Plane.SEAM, 1)
    apart = mould(dogleg, hand(dogleg), LAW, hoop=HOOP)
    assert "MOULD-004" in codes(apart)
    assert not {"MOULD-003", "MOULD-004", "MOULD-006"} & codes(mould(of, narrow(of, 1.0), LAW, hoop=HOOP))


def test_a_piece_that_slides_off_what_is_known():
    of = tube(40, 100)
    piece = narrow(of, 1.0)
    up = np.array([0.0, 40.0])
    long = replace(
        piece, mouth=piece.mouth + up, stitch=np.concatenate([piece.stitch, piece.stitch[-1:] + up])
    )
    done = mould(of, long, LAW, hoop=HOOP)
    assert "MOULD-007" in codes(done)
    assert next(f for f in done.findings if f.code == "MOULD-007").numbers["end"] == "mouth"


def test_what_does_not_settle_says_so_with_its_residual(necked):
    of, layout, done = necked
    assert done.settled
    hasty = mould(of, layout, LAW, hoop=HOOP, steps=1)
    found = next(f for f in hasty.findings if f.code == "MOULD-005")
    assert found.numbers["residual"] == pytest.approx(hasty.residual)
    assert found.numbers["steps"] == 1
    assert np.isfinite(hasty.energy)
    assert np.isfinite(hasty.sums.most)


def test_a_small_step_under_heavy_damping_is_not_taken_for_rest():
    # A law two thousand times as stiff across goes by tiny steps; it must not be called settled for that.
    of = bent(Plane.SEAM, 1)
    firm = Law(2e3, 1.0, 0.0, 0.5, 1.0)
    done = mould(of, hand(of), firm, hoop=HOOP, steps=25)
    assert not done.settled
    assert "MOULD-005" in codes(done)


def test_hand_and_computed_are_compared_in_words(worked):
    of = worked["barrel"]
    both = compared(of)
    assert both.findings[-1].code == "MOULD-010"
    assert between(of.form, both.hand, both.computed)[0].code == "MOULD-012"
    assert compared(worked["tube"]).findings[-1].code == "MOULD-011"
    for found in (both.findings[-1], between(of.form, both.hand, both.computed)[0]):
        assert_clear(found.text())


def test_better_means_less_stretch_and_no_slack(worked):
    both = compared(worked["slim"])
    assert both.better
    assert not Compared(both.hand, both.computed, ()).better
    slack = replace(both.computed, sums=replace(both.computed.sums, slackest=0.6))
    assert not replace(both, computed=slack).better


def test_nothing_is_nan_on_an_extreme_but_possible_form():
    of = barrel(True, Bend(Plane.SEAM, -1, deg(40), 90, 130))
    done = mould(of, hand(of), LAW, hoop=HOOP)
    for value in (done.field.most, done.field.least, done.field.space, done.rows.slack, done.field.pressure):
        assert np.isfinite(value).all()
