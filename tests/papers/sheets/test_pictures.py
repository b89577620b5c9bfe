"""The pictures of the bench card: true to this job's numbers, inside their room, readable."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files
from itertools import pairwise
from math import asin, degrees, hypot, pi, radians, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from backseam.ground.speech import PLAIN, Speech
from backseam.job.document import Job
from backseam.job.recipe import work
from backseam.papers.model import Ring, Role, Stroke, Words
from backseam.papers.sheets import cuts, pictures
from backseam.papers.sheets.drafting import TYPE, spread
from backseam.papers.sheets.extent import extent

ROOM = 65.0
SAMPLES = ("barrel", "bent-inside", "sideways", "slim", "stout", "tube")
ALL = {
    "form": lambda w, speech: pictures.form(w, speech, ROOM, w.form.axis),
    "piece": lambda w, speech: pictures.piece(w, speech, ROOM),
    "seam": lambda w, speech: cuts.seam(w, speech, ROOM),
    "collar": lambda w, speech: cuts.collar(w, speech, ROOM),
    "stitch": lambda w, speech: pictures.stitch(w, speech, ROOM),
    "slant": lambda w, speech: pictures.slant(w, speech, ROOM),
}


@cache
def worked(name):
    text = files("backseam.samples").joinpath(f"{name}.json").read_text(encoding="utf-8")
    return work(Job.model_validate_json(text))


def strokes(drawing, role):
    return [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.role is role]


def said(drawing):
    return [mark.text for mark in drawing.marks if isinstance(mark, Words)]


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("picture", ALL)
@pytest.mark.parametrize("sample", SAMPLES)
def test_every_picture_stays_in_its_room_and_can_be_read(sample, picture, units):
    drawing = ALL[picture](worked(sample), Speech(units=units))
    box = extent(drawing)
    assert box.left > -0.8
    assert box.right < ROOM + 0.8
    assert box.height < 75
    assert all(mark.size >= TYPE == 3.4 for mark in drawing.marks if isinstance(mark, Words))


def test_shapes_no_sample_has_stay_in_their_room(shapes):
    for name, made in shapes.items():
        for draw in (pictures.form, pictures.piece, cuts.seam, pictures.stitch, pictures.slant):
            box = extent(draw(made, PLAIN, ROOM))
            assert box.left > -0.8, name
            assert box.right < ROOM + 0.8, name


def test_teardrop_on_a_round():
    """R 15, t 2, r 1: the stitch line lies 2.748239 from the form, the leather lifts off at 9.594068 degrees.

    Closed form of the teardrop: d = sqrt(R² + 2R(r + t)) - R, sin(lift) = (r + t)/(R + r + t).
    """
    distance = sqrt(15**2 + 2 * 15 * 3) - 15
    drop = cuts.teardrop(distance, 2.0, 1.0)
    assert drop.radius == pytest.approx(15.0)
    assert drop.stitch == pytest.approx(2.748239, abs=1e-6)
    assert degrees(drop.lift) == pytest.approx(9.594068, abs=1e-6)
    assert drop.lift == pytest.approx(asin(3 / 18))


def test_the_drawn_leather_is_as_long_as_the_reckoned():
    """The area of a strip of even thickness is thickness times the length of its middle: L/2 for the half
    drawn.

    L = 100.786019 for R 15, t 2, r 1 (closed form).
    """
    wall = cuts.teardrop(2.748239, 2.0, 1.0).wall(pi)
    assert shapely.Polygon(wall).area == pytest.approx(2.0 * 100.786019 / 2, rel=2e-3)


def test_the_drawn_fillet_ends_flesh_to_flesh():
    drop = cuts.teardrop(2.748239, 2.0, 1.0)
    wall = drop.wall(1.0)
    end = wall[np.abs(wall[:, 1] - drop.stitch) < 1e-6]
    assert sorted(end[:, 0]) == pytest.approx([0.0, 2.0], abs=1e-3)


def test_a_flat_back_can_be_drawn():
    """On a flat back the stitch line lies r + t from the form; no round fits, a very flat one is drawn."""
    drop = cuts.teardrop(3.0, 2.0, 1.0)
    assert drop.radius == cuts.ROUND
    assert drop.stitch == pytest.approx(3.0, abs=0.1)


@given(st.floats(5.0, 60.0), st.floats(0.8, 4.0), st.floats(0.0, 4.0))
def test_teardrop_gives_back_its_round(radius, thickness, inside):
    distance = sqrt(radius**2 + 2 * radius * (inside + thickness)) - radius
    drop = cuts.teardrop(distance, thickness, inside)
    if radius >= 1.5 * thickness:
        assert drop.radius == pytest.approx(radius, rel=1e-6)


def test_both_threads_go_through_every_hole_on_opposite_faces():
    """ISO 4915, stitch type 201: two threads, each through every hole, one span of each stitch on either
    face.
    """
    faces = [6.0, 6.0, 4.0, 4.0]
    one, two = pictures.saddle_paths(faces, 10.0, 1.0, 0.5)
    for path in (one, two):
        through = [(a, b) for a, b in pairwise(path) if a[0] == b[0]]
        assert len(through) == len(faces)
        for (_, before), (_, after), half in zip(*zip(*through, strict=True), faces, strict=True):
            assert before == pytest.approx(-after)
            assert abs(before) == pytest.approx(half + 0.5)
    for (_, a), (_, b) in zip(one, two, strict=True):
        assert (a > 0) is not (b > 0)


def test_stitch_carries_the_pitch_and_the_layers():
    sewn = said(ALL["stitch"](worked("barrel"), PLAIN))
    seam = worked("barrel").seam
    assert f"{seam.pitch:.2f}" in sewn
    assert f"four layers, {seam.left[0].sewn:.1f}" in sewn
    plain = said(ALL["stitch"](worked("slim"), PLAIN))
    assert not any("four" in words for words in plain)


def test_collar_is_not_drawn_thicker_than_it_is_sewn():
    w = worked("barrel")
    words = said(ALL["collar"](w, PLAIN))
    t, flap = w.inputs.leather.thickness, w.inputs.construction.collar.flap
    assert f"both layers sewn: {2 * (t + flap):.1f}" in words
    assert f"below the flap: {2 * t:.1f}" in words


def test_seam_says_how_far_the_stitch_line_is():
    w = worked("barrel")
    row = cuts.seam_row(w)
    assert row.layers == 1
    assert f"{row.stitch_from_form:.1f}" in said(ALL["seam"](w, PLAIN))


def test_a_straight_form_is_drawn_straight():
    rows = worked("barrel").upper.stations
    seen = pictures.silhouette(rows, None)
    for left, right in (seen.front, seen.side):
        assert left[:, 0] == pytest.approx(-right[:, 0])
    widest = max(row.width for row in rows)
    assert np.ptp(np.vstack(seen.front)[:, 0]) == pytest.approx(widest, abs=0.05)


def bow(edges):
    """How far the middle line lies off the straight line between its ends, mm, signed, where it is furthest."""
    middle = (edges[0] + edges[1]) / 2
    straight = np.interp(middle[:, 1], middle[[0, -1], 1], middle[[0, -1], 0])
    off = middle[:, 0] - straight
    return off[np.abs(off).argmax()]


def test_a_bend_shows_in_its_own_view():
    """Hollow towards the seam (drawn at the right) or towards the right half: the middle line bows to the left."""
    for sample, bent, upright in (("bent-inside", "side", "front"), ("sideways", "front", "side")):
        w = worked(sample)
        seen = pictures.silhouette(w.upper.stations, w.form.axis)
        assert bow(getattr(seen, bent)) < -1.5, sample
        assert abs(bow(getattr(seen, upright))) < 1e-6, sample


def test_piece_shows_every_hole_and_numbers_every_tenth():
    w = worked("barrel")
    drawing = ALL["piece"](w, PLAIN)
    count = w.seam.count
    numbers = [words for words in said(drawing) if words.isdigit()]
    assert numbers == ["1", *(str(n) for n in range(10, count, 10)), str(count)]
    rings = [mark for mark in drawing.marks if isinstance(mark, Ring)]
    assert len(rings) == len(w.hanger.holes)
    assert f"{2 * w.upper.stations[0].half_width:.1f}" in said(drawing)


def test_slits_are_mirrored_and_lean_to_the_centre():
    """Upper end towards the centre line, the angle counted from the stitch line: conventions of the
    pattern.
    """
    w = worked("barrel")
    for angle in (30.0, 45.0, 60.0):
        seen = replace(w, seam=replace(w.seam, slant=angle))
        slits = strokes(ALL["slant"](seen, PLAIN), Role.SLIT)
        left, right = slits[:4], slits[4:8]
        for slit, sign in [(s, 1) for s in left] + [(s, -1) for s in right]:
            (x0, y0), (x1, y1) = slit.points
            assert y1 > y0
            assert (x1 - x0) * sign > 0
            assert degrees(asin(abs(x1 - x0) / hypot(x1 - x0, y1 - y0))) == pytest.approx(angle)
        crossed = strokes(ALL["slant"](seen, PLAIN), Role.CUT)
        assert bool(crossed) is (angle != 45.0)  # from across, 45 is the same slit


def test_thirty_may_mean_either_so_both_are_shown():
    w = worked("barrel")
    drawing = ALL["slant"](replace(w, seam=replace(w.seam, slant=30.0)), PLAIN)
    (x0, y0), (x1, y1) = strokes(drawing, Role.SLIT)[-1].points
    assert abs(x1 - x0) == pytest.approx(abs(y1 - y0) * np.tan(radians(60.0)))
    assert "not 30° from across" in said(drawing)


def test_chosen_stations_keep_both_ends():
    rows = worked("barrel").upper.stations
    many = [replace(rows[0], station=float(y), name="") for y in np.linspace(0, 150, 400)]
    kept = pictures.chosen(many, 6)
    assert len(kept) == 6
    assert kept[0].station == 150.0
    assert kept[-1].station == 0.0
    assert pictures.chosen(rows[:1], 6) == [rows[0]]
    apart = pictures.chosen(rows, 20, 10.0)
    assert all(a.station - b.station > 10 for a, b in pairwise(apart))


@given(st.lists(st.floats(0, 100), min_size=1, max_size=12).map(sorted), st.floats(0.5, 20))
def test_spread_keeps_order_and_distance(wanted, apart):
    got = spread(wanted, apart, 0.0, 100.0)
    step = min(apart, 100.0 / max(1, len(wanted) - 1))
    assert all(b - a > step - 1e-9 for a, b in pairwise(got))
    assert got[0] > -1e-9
    assert got[-1] < 100 + 1e-9
