"""From readings to the form: every instrument, merged rows, proposals, heights, bends, and each finding."""

from dataclasses import replace

import numpy as np
import pytest
from tests.forms import LAID, barrel, caliper, cone, deg, form, strap, tube

from backseam.form.axis import Bend, Plane
from backseam.form.build import build
from backseam.form.fillet import stitch_to_stitch
from backseam.form.form import FormInput, Laid, Shape
from backseam.form.girth import Instrument, Pull, Reading
from backseam.form.landmarks import Groove, MarksRead
from backseam.ground.errors import InputRefused


def codes(made):
    return [f.code for f in made.findings]


def one(reading, laid=LAID, **more):
    return form(reading, strap(100, 120.0), laid=laid, **more)


@pytest.mark.parametrize(
    ("instrument", "thickness", "read"),
    [
        (Instrument.STRAP_BUTTED, 2.0, 86.0 + 2 * np.pi),
        (Instrument.THREAD, 0.4, 86.0 + 0.4 * np.pi),
        (Instrument.PAPER, 0.1, 86.0 + 0.1 * np.pi),
    ],
)
def test_each_instrument_gives_the_same_girth(instrument, thickness, read):
    made = one(Reading(0, read, instrument, thickness, 0.5, 22, 32))
    assert made.girth(0.0) == pytest.approx(86.0, abs=1e-9)
    assert made.sections(np.array([0.0])).girth[0] == pytest.approx(86.0, abs=1e-9)


def test_a_pinched_strap_reads_stitch_to_stitch():
    made = one(Reading(0, 94.5, Instrument.STRAP_PINCHED, 2.0, 0.5, 24, 32))
    at = np.array([0.0])
    assert stitch_to_stitch(made.sections(at), made.wrap(at))[0][0] == pytest.approx(94.5, abs=1e-4)


def test_the_folded_piece_reads_stitch_to_stitch_over_both_layers():
    laid = replace(LAID, flap=1.0, depth=15.0)
    made = form(strap(0, 95.0), Reading(100, 104.0, Instrument.FOLDED_PIECE, 2.0, 0.7, 26, 34), laid=laid)
    at = np.array([100.0])
    assert made.wrap(at).thickness[0] == pytest.approx(3.0)
    assert stitch_to_stitch(made.sections(at), made.wrap(at))[0][0] == pytest.approx(104.0, abs=1e-4)


def test_film_is_added_unless_it_was_read_over_film():
    laid = replace(LAID, film=0.05)
    bare = one(strap(0, 90.0), laid=laid)
    over = one(Reading(0, 90.0, Instrument.STRAP_BUTTED, 2.0, 0.5, over_film=True), laid=laid)
    assert float(bare.girth(0.0) - over.girth(0.0)) == pytest.approx(2 * np.pi * 0.05)


def test_the_makers_own_correction_is_taken_off():
    assert float(
        one(Reading(0, 90.6, Instrument.STRAP_BUTTED, 2.0, 0.5, bias=0.6)).girth(0.0)
    ) == pytest.approx(90 - 2 * np.pi)


def test_caliper_alone_takes_the_shape_of_its_neighbours():
    made = form(
        strap(0, 92.0, width=20, depth=32), caliper(50, 22, 34), strap(100, 104.0, width=24, depth=36)
    )
    rows = made.rows
    assert rows[0].roundness > 0.1
    assert rows[1].roundness == pytest.approx((rows[0].roundness + rows[2].roundness) / 2, abs=0.02)
    assert rows[1].spread == 2.0


def test_strap_alone_takes_the_ratio_of_its_neighbours():
    made = form(strap(0, 90.0, width=20, depth=30), strap(50, 95.0), strap(100, 100.0, width=22, depth=33))
    row = made.rows[1]
    assert row.width / row.depth == pytest.approx(2 / 3, abs=1e-6)
    assert row.girth == pytest.approx(95 - 2 * np.pi, abs=1e-9)


def test_one_of_width_and_depth_is_enough_beside_a_strap():
    made = form(strap(0, 90.0, width=22), strap(100, 100.0, width=22, depth=33))
    assert made.rows[0].width == 22
    assert made.sections(np.array([0.0])).girth[0] == pytest.approx(90 - 2 * np.pi, abs=1e-6)


def test_two_readings_at_one_height_meet_by_their_spreads():
    made = form(
        strap(0, 95.0),
        Reading(0, 95.2 - 2 * np.pi + 0.4 * np.pi, Instrument.THREAD, 0.4, 0.25),
        strap(100, 100.0),
    )
    assert made.rows[0].girth == pytest.approx(95.16 - 2 * np.pi, abs=1e-6)
    assert "READ-002" not in codes(made)


# --- findings ------------------------------------------------------------------------------------------------------


def test_impossible_girth_is_a_stop_with_the_possible_range():
    made = form(strap(0, 72.0, width=26, depth=34.5), strap(100, 100.0))
    found = next(f for f in made.findings if f.code == "READ-001")
    assert found.severity.value == "stop"
    assert found.numbers["low"] == pytest.approx(92.7, abs=0.05)
    assert found.numbers["high"] == pytest.approx(127.3, abs=0.05)
    assert "READ-001" not in codes(form(strap(0, 102.0, width=26, depth=34.5), strap(100, 103.0)))


def test_two_readings_that_disagree():
    made = form(strap(0, 95.0), strap(0, 97.0), strap(100, 100.0))
    assert "READ-002" in codes(made)


def test_an_overlapped_strap_is_said():
    made = form(Reading(0, 95.0, Instrument.STRAP_OVERLAPPED, 2.0, 0.7), strap(100, 100.0))
    assert "READ-003" in codes(made)


def test_a_slack_pull_is_said():
    made = form(Reading(0, 95.0, Instrument.STRAP_BUTTED, 2.0, 1.0, pull=Pull.SLACK), strap(100, 100.0))
    assert "READ-004" in codes(made)


def test_a_single_height_is_a_tube():
    assert "READ-006" in codes(tube())


def test_caliper_alone_at_the_mouth_is_a_check():
    made = form(strap(0, 90.0), caliper(100, 26, 34, name="mouth"))
    assert "READ-007" in codes(made)


def test_no_reading_at_the_mouth():
    made = form(strap(0, 90.0), strap(80, 100.0), mouth=95.0, thickest=80.0)
    assert "READ-008" in codes(made)
    assert "READ-008" not in codes(form(strap(0, 90.0), strap(95, 100.0)))


def test_no_width_and_depth_anywhere():
    assert "READ-011" in codes(form(strap(0, 90.0), strap(100, 100.0)))
    assert "READ-011" not in codes(form(strap(0, 90.0), strap(100, 100.0), shapes=(Shape("round"),)))


def test_girth_falling_where_it_should_rise():
    assert "FORM-001" in codes(form(strap(0, 95.0), strap(40, 90.0), strap(100, 100.0)))


def test_mouth_wider_than_the_thickest():
    assert "FORM-002" in codes(form(strap(0, 90.0), strap(60, 96.0), strap(100, 100.0), thickest=60.0))


def test_mouth_below_the_thickest():
    made = form(strap(0, 90.0), strap(60, 96.0), strap(100, 100.0), mouth=80.0, thickest=100.0)
    assert "FORM-003" in codes(made)


def test_too_sharp_a_bend_is_a_stop_and_still_gives_a_form():
    made = barrel(bend=Bend(Plane.SEAM, 1, deg(60), 100, 110))
    assert "FORM-004" in codes(made)
    assert made.axis.share < 1
    u = np.linspace(0, 180, 400)
    assert (np.abs(made.axis.curvature(u)) * made.depth(u) / 2).max() < 0.8


def test_a_bottom_edge_that_was_not_read():
    assert "FORM-006" in codes(form(strap(20, 90.0), strap(100, 100.0)))


def test_no_swell():
    assert "FORM-007" in codes(form(strap(0, 100.0), strap(100, 100.2)))


def test_proposals_name_what_was_not_read():
    rows = (strap(0, 90.0), strap(70, 95.0), strap(120, 102.0), strap(126, 101.0))
    made = build(FormInput(rows, (Shape("oval"),), Bend(), MarksRead(), LAID))
    names = {f.numbers["name"] for f in made.findings if f.code == "FORM-005"}
    assert names == {"thickest", "mouth", "junction", "grip grooves"}
    assert made.marks.thickest == 120
    assert made.marks.mouth == 125
    assert made.marks.junction == 70
    assert [g.station for g in made.marks.grooves] == [52, 62]


def test_names_in_the_table_are_landmarks():
    rows = (
        strap(0, 90.0, name="bottom edge"),
        strap(62, 94.0, name="upper groove"),
        strap(70, 95.0, name="junction"),
        strap(120, 102.0, name="thickest"),
        strap(128, 101.0, name="mouth"),
    )
    made = build(FormInput(rows, (Shape("oval"),), Bend(), MarksRead(), LAID))
    assert (made.marks.mouth, made.marks.thickest, made.marks.junction) == (128, 120, 70)
    assert made.marks.grooves == (Groove(62, 2.5, 1.2),)
    assert "FORM-005" not in codes(made)


def test_nothing_to_go_by_is_refused():
    with pytest.raises(InputRefused, match="no reading yet"):
        build(FormInput((), (Shape("oval"),), Bend(), MarksRead(), LAID))
    with pytest.raises(InputRefused, match="neither a girth nor"):
        form(Reading(0, None, Instrument.CALIPER, 2.0, 2.0), strap(100, 100.0))
    with pytest.raises(InputRefused, match="itself takes up"):
        form(strap(0, 5.0), strap(100, 100.0))


# --- heights and bends ---------------------------------------------------------------------------------------------


def test_heights_along_the_front_of_a_bend():
    # Closed form: the front of a bend of angle b at half depth c is longer by b c (seam inside)
    bend = Bend(Plane.SEAM, 1, deg(15), 30, 70)
    made = form(caliper(0, 30, 30), caliper(110, 30, 30), bend=bend, along="front", mouth=110.0)
    assert made.marks.mouth == pytest.approx(110 - deg(15) * 15, abs=0.02)
    assert made.rows[1].read_at == 110
    outside = form(
        caliper(0, 30, 30), caliper(110, 30, 30), bend=replace(bend, sign=-1), along="front", mouth=110.0
    )
    assert outside.marks.mouth == pytest.approx(110 + deg(15) * 15, abs=0.02)
    side = form(caliper(0, 30, 30), caliper(110, 30, 30), bend=bend, along="side", mouth=110.0)
    assert side.marks.mouth == pytest.approx(110, abs=0.02)


def test_heights_along_the_front_of_a_cone():
    made = form(caliper(0, 26, 26), caliper(100.124922, 36, 36), along="front", mouth=100.124922)
    assert made.marks.mouth == pytest.approx(100.0, abs=2e-3)


def test_an_angle_and_offsets_say_the_same_bend():
    angle = Bend(Plane.SEAM, 1, deg(12), 40, 80)
    u = np.linspace(0, 120, 241)
    fine = np.linspace(0, 120, 4801)
    slope = np.concatenate(
        [[0], np.cumsum(np.diff(fine) * (angle.curvature(fine)[1:] + angle.curvature(fine)[:-1]) / 2)]
    )
    bow = np.concatenate([[0], np.cumsum(np.diff(fine) * (np.sin(slope)[1:] + np.sin(slope)[:-1]) / 2)])
    at = np.linspace(0, 120, 13)
    offsets = Bend(Plane.SEAM, 1, offsets=tuple((float(s), float(-np.interp(s, fine, bow))) for s in at))
    turned = [np.trapezoid(b.curvature(u), u) for b in (angle, offsets)]
    assert turned[0] == pytest.approx(deg(12), abs=1e-3)
    assert turned[1] == pytest.approx(turned[0], abs=deg(1))


def test_the_axis_of_an_arc_lies_on_a_circle():
    from backseam.form.axis import Axis

    axis = Axis(Bend(Plane.SIDE, 1, 300 / 200, -100.0, 200.0))
    u = np.linspace(0, 100, 11)
    origin, a, b, tangent = axis.frame(u)
    centre = origin[0] + 200 * a[0]
    assert np.linalg.norm(origin - centre, axis=1) == pytest.approx(np.full(11, 200.0), abs=1e-3)
    assert np.einsum("ij,ij->i", a, tangent) == pytest.approx(np.zeros(11), abs=1e-12)
    assert (b == [0, 1, 0]).all()


def test_scaling_everything_scales_the_form():
    small, large = cone(13, 18), cone(26, 36, 200, Laid(4.0, 2.0, 0.5))
    u = np.linspace(0, 100, 7)
    lengths = [stitch_to_stitch(m.sections(u * k), m.wrap(u * k))[0] for m, k in ((small, 1), (large, 2))]
    assert lengths[1] == pytest.approx(2 * lengths[0], rel=1e-6)
