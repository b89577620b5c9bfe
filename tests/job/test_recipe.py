"""The whole work: samples go through, tables say what they say, invariants hold, findings of the piece are raised."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon
from tests.jobs import SAMPLES, sample, tube

from backseam.ground.errors import Stopped
from backseam.job.recipe import work
from backseam.pattern.seam import positions


def codes(worked):
    return [f.code for f in worked.findings]


@pytest.fixture(scope="module")
def worked():
    return {name: work(sample(name)) for name in SAMPLES}


@pytest.mark.parametrize("name", SAMPLES)
def test_a_sample_gives_a_piece_that_can_be_cut(worked, name):
    w = worked[name]
    piece = Polygon(w.upper.cut)
    assert piece.is_valid
    assert piece.exterior.is_ccw
    assert not w.stopped
    assert w.seam.count == len(w.seam.left) == len(w.seam.right)
    for row, line in ((w.seam.left, w.upper.stitch_left), (w.seam.right, w.upper.stitch_right)):
        holes = positions(row)
        stitch = LineString(line)
        assert max(stitch.distance(Point(p)) for p in holes) < 0.01
        assert all(piece.contains(Point(p)) for p in holes)
    assert np.array_equal(positions(w.seam.left) * (-1, 1), positions(w.seam.right))
    for hole in w.hanger.holes:
        assert piece.contains(Point(hole.x, hole.y).buffer(hole.diameter / 2))
        assert LineString(w.upper.stitch_right).distance(Point(abs(hole.x), hole.y)) > hole.diameter / 2 + 2


@pytest.mark.parametrize("name", SAMPLES)
def test_the_outline_is_the_clamp_width_outside_the_stitch_line(worked, name):
    w = worked[name]
    right = w.upper.stitch_right
    middle = right[len(right) // 4 : -len(right) // 4]
    cut = Polygon(w.upper.cut).exterior
    away = [cut.distance(Point(p)) for p in middle[::20]]
    assert min(away) > w.inputs.construction.flange.clamp - 0.1


@pytest.mark.parametrize("name", SAMPLES)
def test_the_table_says_each_girth(worked, name):
    w = worked[name]
    for row in w.upper.stations:
        assert row.girth_neutral > row.girth_form
        assert row.spread > 0
        if row.layers == 1 or name != "bent-inside":  # there the mouth was read with the folded piece itself
            assert row.half_width_hand == pytest.approx(row.girth_butted / 2)
    read = {r.index: r for r in w.form.rows}
    for row in w.upper.stations:
        if row.reading_index is not None:
            assert row.station == read[row.reading_index].read_at
            assert row.girth_form == pytest.approx(read[row.reading_index].girth)


def test_heights_are_said_as_the_maker_counts_them(worked):
    # read along the front of a bend: the table, the ticks, the strips and the ring say those heights, not the axis
    w = worked["bent-inside"]
    assert w.form.marks.mouth < 139
    assert [row.station for row in w.upper.stations][-1] == pytest.approx(141)
    assert {141.0, 135.0, 88.0} <= {round(t.station, 1) for t in w.upper.ticks}
    assert w.strips[-1].station == 141
    assert w.ring.station == pytest.approx(135, abs=0.01)


def test_the_hand_dot_at_a_mouth_read_with_the_folded_piece_is_half_of_it(worked):
    w = worked["bent-inside"]
    assert w.upper.hand.dots[0, 0] == pytest.approx(101.8 / 2, abs=0.1)


def test_a_folded_mouth_is_mirrored_a_little_inside(worked):
    w = worked["barrel"]
    flap = Polygon(w.upper.flap)
    assert flap.is_valid
    fold = w.upper.fold
    top = w.upper.flap[:, 1].max()
    assert top == pytest.approx(fold[:, 1].max() + w.upper.turn_in, abs=1e-6)
    mouth_half = np.abs(fold[:, 0]).max()
    assert np.abs(w.upper.flap[:, 0]).max() == pytest.approx(
        mouth_half - w.inputs.construction.collar.inside, abs=0.3
    )


def test_common_practice_height_of_the_cut():
    # common practice, no source: an upper 100 mm from bottom edge to mouth with 20 mm turned in is cut 120 mm high,
    # within half a leather thickness
    job = tube(construction__collar="folded", construction__collar_depth_mm=20.0)
    w = work(job)
    middle = w.upper.cut[np.abs(w.upper.cut[:, 0]) < 0.5, 1]
    assert np.ptp(middle) == pytest.approx(120.0, abs=1.0)


def test_common_practice_half_the_strap_each_side():
    # common practice, no source: a butted strap transferred by halves gives the program's stitch line within 0.3 mm
    # on a straight, untapered form
    for diameter in (24.0, 30.0, 40.0):
        w = work(tube(diameter))
        assert abs(w.upper.hand.largest_difference) < 0.3


def test_work_can_be_stopped():
    class Impatient:
        def at(self, done, total, doing):
            pass

        def stop_asked(self):
            return True

    with pytest.raises(Stopped):
        work(sample(), Impatient())


def test_allowance_is_in_the_piece():
    plain, wide = (
        work(sample()),
        work(sample(leather__allowance_across_percent=2.0, leather__allowance_along_percent=1.0)),
    )
    assert wide.upper.stitch_right[:, 0].max() == pytest.approx(
        1.02 * plain.upper.stitch_right[:, 0].max(), rel=1e-6
    )
    assert wide.upper.height == pytest.approx(1.01 * plain.upper.height, rel=1e-6)
    assert wide.seam.length > plain.seam.length


# --- properties ----------------------------------------------------------------------------------------------------


@given(st.floats(20, 60), st.floats(60, 200))
@settings(max_examples=15, deadline=None)
def test_a_tube_of_any_size_is_a_rectangle(diameter, height):
    w = work(tube(diameter, height))
    phi = np.arcsin(3 / (diameter / 2 + 3))
    length = 2 * ((diameter / 2 + 1) * (np.pi - phi) + 2 * (np.pi / 2 - phi))
    assert np.ptp(w.upper.stitch_right[:, 0]) < 1e-6
    assert 2 * w.upper.stitch_right[0, 0] == pytest.approx(length, abs=1e-5)
    assert w.upper.height == pytest.approx(height, abs=1e-6)


@given(st.integers(0, 4), st.floats(-0.4, 0.4))
@settings(max_examples=12, deadline=None)
def test_small_change_in_small_change_out(which, by):
    document = sample()
    girths = document.form.girths
    moved = document.model_copy(deep=True)
    moved.form.girths[which].reading_mm = girths[which].reading_mm + by
    a, b = work(document), work(moved)
    rows = min(len(a.upper.stitch_right), len(b.upper.stitch_right))
    assert np.abs(a.upper.stitch_right[:rows] - b.upper.stitch_right[:rows]).max() <= 2.5 * abs(by) + 1e-6


def test_a_larger_girth_never_gives_a_narrower_piece():
    widths = []
    for more in (0.0, 0.5, 1.0, 2.0):
        document = sample()
        for row in document.form.girths:
            row.reading_mm += more
        widths.append(work(document).upper.stitch_right[:, 0])
    for narrow, wide in pairwise(widths):
        assert (wide - narrow > 0).all()


def test_a_bend_to_the_left_gives_the_piece_of_a_bend_to_the_right():
    a, b = (work(bent(angle, direction="sideways")) for angle in (12, -12))
    assert np.abs(a.upper.stitch_right - b.upper.stitch_right).max() < 2e-3


def test_a_negative_bend_inside_is_a_bend_outside():
    a, b = work(bent(-12)), work(bent(12, direction="seam_outside"))
    assert np.abs(a.upper.stitch_right - b.upper.stitch_right).max() < 1e-9


def test_everything_twice_as_large_gives_everything_twice_as_large():
    small = tube(30.0, 80.0)
    large = tube(60.0, 160.0)
    large.leather.thickness_mm = [4.0]
    large.construction.seam_inside_radius_mm = 2.0
    for row in large.form.girths:
        row.reading_mm = 60 * np.pi + 0.4 * np.pi
    a, b = work(small), work(large)
    assert b.upper.stitch_right[0, 0] == pytest.approx(2 * a.upper.stitch_right[0, 0], rel=1e-6)
    assert b.upper.height == pytest.approx(2 * a.upper.height)


# --- findings of the piece -----------------------------------------------------------------------------------------


def bent(angle, **more):
    return sample(form__axis={"kind": "angle", "angle_deg": angle, "from_mm": 90, "to_mm": 130, **more})


def test_stretch_and_gathering_are_said_where_they_are():
    assert "PIECE-001" in codes(work(bent(25, direction="seam_outside")))
    assert "PIECE-002" in codes(work(bent(45, direction="sideways")))
    assert "PIECE-003" in codes(work(bent(25)))


def test_the_flange_is_snipped_on_a_bend_and_only_there():
    inside, outside = work(bent(20)), work(bent(20, direction="seam_outside"))
    assert "PIECE-010" in codes(inside)
    assert "PIECE-004" in codes(outside)
    for w in (inside, outside):
        assert len(w.upper.snips) >= 2
        assert all(40 < y < 145 for _, y in w.upper.snips)
    assert not {"PIECE-004", "PIECE-010"} & set(codes(work(sample())))


def test_edges_the_hand_line_and_the_drop_of_the_mouth():
    found = codes(work(sample()))
    assert {"PIECE-005", "PIECE-006", "PIECE-009"} <= set(found)
    assert "PIECE-005" not in codes(work(tube()))


def test_a_flat_piece_that_does_not_settle_or_folds_over_is_said(monkeypatch):
    from dataclasses import replace

    from backseam.pattern import draft

    honest = draft.flatten

    def unsettled(*a, **k):
        return replace(honest(*a, **k), residual=0.3)

    monkeypatch.setattr(draft, "flatten", unsettled)
    assert "PIECE-007" in codes(work(sample()))

    def folded(*a, **k):
        flat = honest(*a, **k)
        nodes = flat.nodes.copy()
        nodes[10, :, 1] = nodes[12, :, 1]
        return replace(flat, nodes=nodes)

    monkeypatch.setattr(draft, "flatten", folded)
    w = work(sample())
    assert "PIECE-008" in codes(w)
    assert w.stopped
