"""The flat piece as drawn: every line where the piece has it, every word clear of everything else."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise
from math import atan2, cos, degrees, pi, radians, sin

import numpy as np
import pytest
import shapely

from backseam.ground.speech import Speech
from backseam.leather.leather import State, Tight
from backseam.papers.model import Box, Ring, Role, Stroke, Words, mark_box
from backseam.papers.sheets import sheaf
from backseam.papers.sheets.lettering import SMALL, outline
from backseam.papers.sheets.seam_labels import numbered

NAMES = ("barrel", "tube", "slim", "strap", "bare", "long", "fine")
UNITS = ("mm", "inch")


def _drawn(made, units="mm"):
    return sheaf.full_size(made, Speech(units))


def _words(drawing):
    return [mark for mark in drawing.marks if isinstance(mark, Words)]


SAMPLES = ("barrel", "bent-inside", "sideways", "slim", "stout", "tube")


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", SAMPLES)
def test_on_every_sample_the_words_are_clear_and_complete(samples, name, units):
    made = samples[name]
    drawing = _drawn(made, units)
    words = _words(drawing)
    boxes = [outline(line) for line in words]
    assert not [
        (a.text, b.text)
        for (a, x), (b, y) in combinations(zip(words, boxes, strict=True), 2)
        if x.intersects(y)
    ]
    piece = shapely.Polygon(made.upper.cut)
    lines = shapely.union_all([shapely.LineString(m.points) for m in drawing.marks if isinstance(m, Stroke)])
    for line in _on_piece(made, words):
        assert piece.contains(outline(line)), f"{line.text!r} leaves the piece"
        assert not lines.intersects(outline(line)), f"{line.text!r} is crossed"
    printed = [line.text for line in _on_piece(made, words)]
    for number in numbered(made.seam.count):
        assert printed.count(str(number)) == 2, number


def _strokes(drawing, *roles):
    return [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.role in roles]


def _on_piece(made, words):
    """Words of the piece itself; the station labels stand in the column at its right."""
    edge = float(made.upper.cut[:, 0].max())
    return [line for line in words if mark_box(line).left < edge]


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", NAMES)
def test_no_two_words_overlap(shapes, name, units):
    words = _words(_drawn(shapes[name], units))
    boxes = [outline(line) for line in words]
    for (a, one), (b, other) in combinations(zip(words, boxes, strict=True), 2):
        assert not one.intersects(other), f"{a.text!r} on {b.text!r}"


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", NAMES)
def test_words_lie_inside_the_piece_and_cross_no_line(shapes, name, units):
    made = shapes[name]
    drawing = _drawn(made, units)
    piece = shapely.Polygon(made.upper.cut)
    lines = shapely.union_all([shapely.LineString(m.points) for m in drawing.marks if isinstance(m, Stroke)])
    for line in _on_piece(made, _words(drawing)):
        assert piece.contains(outline(line)), f"{line.text!r} leaves the piece"
        assert not lines.intersects(outline(line)), f"{line.text!r} is crossed"


@pytest.mark.parametrize("name", NAMES)
def test_station_labels_stand_right_of_the_piece_and_in_order(shapes, name):
    made = shapes[name]
    edge = float(made.upper.cut[:, 0].max())
    column = [line for line in _words(_drawn(made)) if line.bold and mark_box(line).left > edge]
    assert len(column) == len(made.upper.ticks)
    by_station = sorted(column, key=lambda line: -float(line.text))
    heights = [line.at[1] for line in by_station]
    assert heights == sorted(heights, reverse=True)
    assert min(a - b for a, b in pairwise(heights)) >= SMALL


@pytest.mark.parametrize("name", NAMES)
def test_no_type_is_smaller_than_can_be_read(shapes, name):
    assert (
        min(line.size for line in _words(_drawn(shapes[name]))) >= SMALL == 2.6
    )  # design guide: 2.6 mm at least


@pytest.mark.parametrize("name", NAMES)
def test_slits_lie_on_the_holes_mirrored_with_their_upper_ends_towards_the_centre(shapes, name):
    made = shapes[name]
    slits = _strokes(_drawn(made), Role.SLIT)
    assert len(slits) == 2 * made.seam.count
    left, right = slits[: made.seam.count], slits[made.seam.count :]
    for slit, hole in zip((*left, *right), (*made.seam.left, *made.seam.right), strict=True):
        (ax, ay), (bx, by) = slit.points
        assert ((ax + bx) / 2, (ay + by) / 2) == pytest.approx((hole.x, hole.y), abs=1e-9)
        assert np.hypot(bx - ax, by - ay) == pytest.approx(made.inputs.construction.stitching.awl)
        upper = max(slit.points, key=lambda p: p[1])
        assert abs(upper[0]) < abs(hole.x)
    for one, other in zip(left, right, strict=True):
        mirrored = np.array(sorted((-x, y) for x, y in one.points))
        assert mirrored == pytest.approx(np.array(sorted(other.points)))


def test_every_fifth_hole_from_the_mouth_is_numbered_on_both_sides(shapes):
    made = shapes["barrel"]
    numbers = [line for line in _words(_drawn(made)) if line.text.isdigit() and not line.bold]
    for side, holes in ((-1, made.seam.left), (1, made.seam.right)):
        placed = {int(line.text): line for line in numbers if line.at[0] * side > 0}
        assert sorted(placed) == list(numbered(made.seam.count))
        for number, line in placed.items():
            assert line.at[1] == pytest.approx(holes[number - 1].y, abs=4.0)


def test_numbers_are_first_every_fifth_and_last():
    assert numbered(1) == (1,)
    assert numbered(5) == (1, 5)
    assert numbered(38) == (1, 5, 10, 15, 20, 25, 30, 35, 38)
    assert numbered(0) == ()


@pytest.mark.parametrize("name", NAMES)
def test_glue_is_hatched_at_45_degrees_within_its_band(shapes, name):
    made = shapes[name]
    drawing = _drawn(made)
    hatching = [m for m in _strokes(drawing, Role.GLUE) if m.why == "glue band"]
    u = made.upper
    bands = [
        shapely.Polygon(np.vstack([u.stitch_right, u.glue_right[::-1]])),
        shapely.Polygon(np.vstack([u.stitch_left, u.glue_left[::-1]])),
    ]
    band = shapely.union_all(bands).buffer(0.03)
    assert len(hatching) > 40
    for line in hatching:
        (ax, ay), (bx, by) = line.points
        assert degrees(atan2(by - ay, bx - ax)) % 180 == pytest.approx(45.0, abs=1e-6)
        assert band.contains(shapely.LineString(line.points))


def test_ticks_lie_square_to_the_stitch_line_outside_the_glue(shapes):
    made = shapes["barrel"]
    u, glue = made.upper, made.inputs.construction.flange.glue
    ticks = _strokes(_drawn(made), Role.TICK)
    assert len(ticks) == 2 * len(u.ticks)
    seam = shapely.MultiLineString([u.stitch_left, u.stitch_right])
    inside = [tick for tick in ticks if 5 < tick.points[0][1] < u.height - 5]
    for tick in inside:
        near, far = (seam.distance(shapely.Point(p)) for p in tick.points)
        assert glue < near < far < made.inputs.construction.flange.clamp
        assert far - near == pytest.approx(3.0, abs=0.05)


def test_hanger_holes_have_their_size_and_centre_crosses(shapes):
    made = shapes["barrel"]
    drawing = _drawn(made)
    rings = [m for m in drawing.marks if isinstance(m, Ring) and m.role is Role.PUNCH]
    assert {(r.centre, r.radius) for r in rings} == {((h.x, h.y), h.diameter / 2) for h in made.hanger.holes}
    middles = {tuple(np.mean(m.points, axis=0).round(6)) for m in _strokes(drawing, Role.LEADER)}
    assert all((round(h.x, 6), round(h.y, 6)) in middles for h in made.hanger.holes)


def test_a_strap_gets_slits_with_a_round_hole_at_each_end(shapes):
    made = shapes["strap"]
    drawing = _drawn(made)
    cuts = [m for m in _strokes(drawing, Role.CUT) if not m.closed]
    assert [m.points for m in cuts] == [((s.x1, s.y1), (s.x2, s.y2)) for s in made.hanger.slits]
    assert sum(isinstance(m, Ring) and m.role is Role.PUNCH for m in drawing.marks) == 4
    assert any("slit for the strap" in line.text for line in _words(drawing))


def _text(drawing):
    return " ".join(line.text for line in _words(drawing))


@pytest.mark.parametrize("name", NAMES)
def test_it_says_which_side_is_up_and_in_which_state_it_is_laid(shapes, name):
    text = _text(_drawn(shapes[name]))
    for words in (
        "UPPER",
        "grain",
        "side up",
        "mouth up",
        "laid on damp",
        "allowance 0, 0",
        "before it goes on",
    ):
        assert words in text, words


def test_allowance_and_state_are_named_when_they_are_not_the_usual_ones(shapes):
    made = shapes["barrel"]
    leather = replace(made.inputs.leather, state=State.DRY, allowance_across=0.015, allowance_along=-0.01)
    text = _text(_drawn(replace(made, inputs=replace(made.inputs, leather=leather))))
    assert "laid on dry" in text
    assert "1.5 % across" in text
    assert "-1 % along" in text


@pytest.mark.parametrize(
    ("tight", "words", "upright"),
    [(Tight.ALONG, "tight way of the leather", True), (Tight.ACROSS, "tight way of the leather", False)],
)
def test_the_arrow_points_along_the_tight_way(shapes, tight, words, upright):
    made = shapes["barrel"]
    changed = replace(made, inputs=replace(made.inputs, leather=replace(made.inputs.leather, tight=tight)))
    drawing = _drawn(changed)
    (shaft,) = [m for m in _strokes(drawing, Role.FRAME) if m.why == "tight way"]
    (ax, ay), (bx, by) = shaft.points
    assert (ax == bx) is upright
    assert (ay == by) is not upright
    assert words in _text(drawing)


def test_an_unknown_tight_way_is_said_and_gets_no_arrow(shapes):
    drawing = _drawn(shapes["bare"])
    assert not _strokes(drawing, Role.FRAME)
    assert "tight way not known" in _text(drawing).replace("  ", " ")


def test_the_hand_line_is_drawn_where_it_can_be_told_apart_and_judged_in_words(shapes):
    made = shapes["barrel"]
    assert "either will do" in _text(_drawn(made))
    dots = made.upper.hand.dots - (2.0, 0.0)
    far = replace(made.upper.hand, dots=dots, largest_below_collar=2.0, below_collar_at=60.0)
    moved = replace(made, upper=replace(made.upper, hand=far))
    drawing = _drawn(moved)
    drawn = [m for m in drawing.marks if m.role is Role.HAND]
    assert sum(isinstance(m, Ring) for m in drawn) == 2 * len(dots)
    assert any(isinstance(m, Stroke) for m in drawn)
    assert "up to 2.0 inside, at 60" in _text(drawing)


@pytest.mark.parametrize(("sag", "said"), [(-1.2, True), (-0.2, False)])
def test_a_curved_edge_is_called_curved(shapes, sag, said):
    made = shapes["barrel"]
    upper = replace(made.upper, bottom_sag=sag, mouth_sag=sag)
    text = _text(_drawn(replace(made, upper=upper)))
    assert ("cut this edge on its curve" in text) is said
    assert ("fold on the curve" in text) is said


def test_snips_run_from_the_cut_to_the_glue_band_on_both_sides(shapes):
    made = shapes["barrel"]
    upper = replace(made.upper, snips=((62.0, 60.0), (63.0, 80.0)))
    drawing = _drawn(replace(made, upper=upper))
    snips = _strokes(drawing, Role.SNIP)
    flange = made.inputs.construction.flange
    assert len(snips) == 4
    assert sorted(round(s.points[0][0], 6) > 0 for s in snips) == [False, False, True, True]
    seam = shapely.MultiLineString([upper.stitch_left, upper.stitch_right])
    for snip in snips:
        outer, inner = (seam.distance(shapely.Point(p)) for p in snip.points)
        assert outer == pytest.approx(flange.clamp, abs=0.1)
        assert flange.glue < inner < flange.glue + 2


def test_words_keep_off_the_joins_of_sheets(shapes):
    joins = (Box(-100.0, 60.0, 120.0, 66.0),)
    drawing = sheaf.full_size(shapes["barrel"], Speech(), joins)
    block = [line for line in _words(drawing) if "UPPER" in line.text or "grain" in line.text]
    assert block
    assert not any(mark_box(line).meets(joins[0]) for line in block)


def test_folded_lines_and_their_words_only_with_a_collar(shapes):
    folded, plain = _drawn(shapes["barrel"]), _drawn(shapes["slim"])
    assert {Role.FOLD, Role.SKIVE, Role.HIDDEN} <= {m.role for m in folded.marks}
    assert not {Role.FOLD, Role.SKIVE, Role.HIDDEN} & {m.role for m in plain.marks}
    assert "fold under, 15" in _text(folded)
    assert "skive to 1.0; caught in the seam" in _text(folded)


def test_what_has_no_room_on_a_needle_stands_under_it(shapes):
    made = shapes["needle"]
    drawing = _drawn(made)
    bottom = float(made.upper.cut[:, 1].min())
    under = " ".join(line.text for line in _words(drawing) if line.at[1] < bottom)
    for words in ("UPPER", "grain side up", "laid on damp", "before it goes on"):
        assert words in under
    boxes = [outline(line) for line in _words(drawing)]
    assert not any(a.intersects(b) for a, b in combinations(boxes, 2))


@pytest.mark.parametrize("slant", [30.0, 45.0, 60.0])
def test_slits_keep_the_slant_they_are_given(shapes, slant):
    made = shapes["tube"]
    angle = pi / 2 + radians(slant)
    right = tuple(replace(hole, slit=angle) for hole in made.seam.right)
    drawing = _drawn(replace(made, seam=replace(made.seam, right=right)))
    for slit in _strokes(drawing, Role.SLIT)[made.seam.count :]:
        (ax, ay), (bx, by) = slit.points
        assert (bx - ax, by - ay) == pytest.approx((2.2 * cos(angle), 2.2 * sin(angle)))
