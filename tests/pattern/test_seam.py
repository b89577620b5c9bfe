"""Holes: equal counts, equal pitch along the line, mirrored slant, tools, and every finding of the seam."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import cos, isclose, pi, radians, sin
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from backseam.geom import polyline
from backseam.pattern.construction import Stitching, Tool
from backseam.pattern.seam import (
    Seam,
    ease,
    gaps_for,
    mirrored,
    perforation,
    positions,
    row,
    strike,
    tool_placings,
)

Line = NDArray[np.float64]
Strike = Callable[..., Seam]


@pytest.fixture
def struck(stitch_line: Line, stitching: Stitching) -> Strike:
    """Strike the ordinary line with some decisions changed."""

    def run(line: Line = stitch_line, **changed: Any) -> Seam:
        keep = {"collar_from_mouth": 15.0, "leather": 2.0, "flap": 1.0, "folded": True, "trimmed": 5.0}
        own = {key: changed.pop(key) for key in tuple(changed) if key in keep or key == "last_from_bottom"}
        return strike(line, replace(stitching, **changed), **{**keep, **own})

    return run


def codes(seam: Seam) -> set[str]:
    for found in seam.findings:
        assert found.text()
        assert found.remedy()
        assert "{" not in found.text() + found.remedy()
    return {found.code for found in seam.findings}


def straight(length: float, points: int = 500) -> Line:
    return np.stack([np.full(points, 45.0), np.linspace(length, 0.0, points)], axis=-1)


def arc(radius: float, length: float) -> Line:
    s = np.linspace(0.0, length / radius, 2000)
    return np.stack([45.0 + radius - radius * np.cos(s), 150 - radius * np.sin(s)], axis=-1)


# --- where the holes are -----------------------------------------------------------------------


def test_both_sides_have_the_same_holes_mirrored(struck: Strike) -> None:
    seam = struck()
    assert len(seam.left) == len(seam.right) == seam.count
    assert positions(seam.left) == pytest.approx(positions(seam.right) * (-1, 1), abs=0)
    assert [hole.number for hole in seam.right] == list(range(1, seam.count + 1))
    assert seam.right[0].y > seam.right[-1].y  # from mouth to bottom


def test_holes_lie_on_the_line_at_equal_distances_along_it(struck: Strike, stitch_line: Line) -> None:
    seam = struck()
    points = positions(seam.right)
    assert polyline.distances_to(stitch_line, points).max() < 1e-9
    along = np.interp(-points[:, 1], -stitch_line[:, 1], polyline.running_length(stitch_line))
    assert np.diff(along) == pytest.approx(seam.pitch, abs=1e-4)
    assert along[0] == pytest.approx(5.0, abs=1e-6)
    assert polyline.length(stitch_line) - along[-1] == pytest.approx(4.0, abs=1e-6)


def test_positions_are_not_rounded(struck: Strike) -> None:
    seam = struck()
    assert any(abs(hole.x * 100 - round(hole.x * 100)) > 1e-3 for hole in seam.right)
    assert seam.pitch * (seam.count - 1) == pytest.approx(seam.sewn_length, abs=1e-9)
    assert seam.first + seam.sewn_length + seam.last == pytest.approx(seam.length, abs=1e-9)


def test_the_last_hole_may_be_given_for_this_seam_alone(struck: Strike) -> None:
    assert struck(last_from_bottom=7.5).last == 7.5


def test_no_part_hole_is_left_over() -> None:
    assert gaps_for(30.0, 4.0) == 8  # 7.5 gaps: rounded up, 3.75 each
    assert gaps_for(29.9, 4.0) == 7
    assert gaps_for(0.5, 4.0) == 1


def test_slits_are_mirrored_and_lean_to_the_centre_line_at_their_upper_end(struck: Strike) -> None:
    seam = struck(straight(150.0))
    for left, right in zip(seam.left, seam.right, strict=True):
        assert cos(right.slit) < 0 < sin(right.slit)  # right side: the upper end towards -x
        assert cos(left.slit) == pytest.approx(-cos(right.slit))
        assert sin(left.slit) == pytest.approx(sin(right.slit))
        assert right.slit == pytest.approx(radians(135.0))


@pytest.mark.parametrize(("slant", "direction"), [(0.0, 90.0), (30.0, 120.0), (90.0, 180.0)])
def test_slant_is_measured_from_the_stitch_line(struck: Strike, slant: float, direction: float) -> None:
    assert struck(straight(150.0), slant=slant).right[3].slit == pytest.approx(radians(direction))


def test_on_a_leaning_line_the_slit_keeps_its_angle_to_the_line(struck: Strike) -> None:
    lean = np.array([[60.0, 150.0], [40.0, 0.0]])  # leans outward towards the mouth
    upward = np.arctan2(150.0, 20.0)
    assert struck(lean).right[0].slit == pytest.approx(upward + radians(45.0))


def test_the_collar_is_sewn_through_four_layers(struck: Strike) -> None:
    seam = struck()
    assert seam.four_layers == 3  # 5, 9 and 13 below the mouth lie on the flap of 15
    assert [hole.layers for hole in seam.right[:4]] == [4, 4, 4, 2]
    assert [hole.sewn for hole in seam.left[:4]] == [6.0, 6.0, 6.0, 4.0]


def test_a_plain_mouth_has_two_layers_everywhere(struck: Strike) -> None:
    seam = struck(folded=False)
    assert seam.four_layers == 0
    assert {hole.sewn for hole in seam.right} == {4.0}


def test_a_row_by_itself_and_its_mirror_image() -> None:
    holes = row(straight(20.0), np.array([2.0, 10.0, 18.0]), 45.0, leather=2.0)
    assert [hole.y for hole in holes] == pytest.approx([18.0, 10.0, 2.0])
    assert mirrored(mirrored(holes)) == holes


def test_repeated_points_on_the_line_change_nothing(struck: Strike, stitch_line: Line) -> None:
    doubled = np.repeat(stitch_line, 2, axis=0)
    assert positions(struck(doubled).right) == pytest.approx(positions(struck().right), abs=1e-9)


# --- tools -------------------------------------------------------------------------------------


def test_a_free_row_is_not_eased_and_has_no_placings(struck: Strike) -> None:
    seam = struck(tool=Tool.FREE)
    assert (seam.eased, seam.eased_by, seam.placings, seam.teeth_over) == (0, 0.0, 0, 0)
    assert struck(tool=Tool.WHEEL).placings == 0


@pytest.mark.parametrize("length", [139.0, 150.4, 151.9, 153.3, 156.2])
def test_eased_strikes_take_up_exactly_what_the_tool_is_off(struck: Strike, length: float) -> None:
    seam = struck(straight(length))
    gaps = seam.count - 1
    assert gaps * seam.tool_pitch - seam.eased_by == pytest.approx(seam.sewn_length, abs=1e-9)
    if seam.eased:
        assert abs(seam.eased_by) / seam.eased <= 0.04 * 4.0 + 1e-9
        assert abs(seam.eased_by) / max(seam.eased - 1, 0.5) > 0.04 * 4.0  # one strike fewer would not do


def test_a_row_that_the_tool_strikes_exactly_needs_no_easing(struck: Strike) -> None:
    seam = struck(straight(9.0 + 36 * 4.0))
    assert seam.eased == 0
    assert "SEAM-012" not in codes(seam)


def test_easing_never_asks_for_more_strikes_than_there_are() -> None:
    assert ease(9.0, 2, 4.0) == (2, -1.0)


@pytest.mark.parametrize("teeth", [2, 4, 5, 6, 10])
def test_placings_of_a_fork_make_every_hole(teeth: int) -> None:
    """Struck one after the other into a set of holes; what is over is what would overshoot."""
    for gaps in range(1, 60):
        times, over = tool_placings(gaps, teeth)
        holes = {i * (teeth - 1) + tooth for i in range(times) for tooth in range(teeth)}
        assert holes >= set(range(gaps + 1))
        assert max(holes) - gaps == over < teeth - 1


def test_a_single_point_and_a_wheel_have_no_placings() -> None:
    assert tool_placings(36, 0) == tool_placings(36, 1) == (0, 0)


def test_perforation_rises_with_the_awl_and_falls_with_slant_and_pitch() -> None:
    assert perforation(2.2, 45, 4) < perforation(2.4, 45, 4)
    assert perforation(2.2, 60, 4) < perforation(2.2, 45, 4) < perforation(2.2, 45, 3)
    assert perforation(2.2, 90, 4) == pytest.approx(0.0, abs=1e-12)


# --- properties --------------------------------------------------------------------------------

shapes = st.tuples(st.floats(40.0, 400.0), st.floats(-0.12, 0.12), st.floats(0.0, 6.0), st.floats(2.5, 6.5))


def shaped(length: float, lean: float, belly: float) -> Line:
    y = np.linspace(length, 0.0, 700)
    return np.stack([45 + lean * y + belly * np.sin(3 * y / length), y], axis=-1)


@given(shape=shapes)
def test_every_row_is_equal_on_both_sides_and_even(shape: tuple[float, float, float, float]) -> None:
    length, lean, belly, pitch = shape
    line = shaped(length, lean, belly)
    seam = strike(line, _plain(pitch), collar_from_mouth=15, leather=2, flap=1, folded=True, trimmed=5)
    assert len(seam.left) == len(seam.right)
    assert positions(seam.left) == pytest.approx(positions(seam.right) * (-1, 1), abs=0)
    points = positions(seam.right)
    along = np.interp(-points[:, 1], -line[:, 1], polyline.running_length(line))
    assert np.abs(np.diff(along) - seam.pitch).max() < 1e-4
    if seam.sewn_length >= pitch:
        assert abs(seam.pitch - pitch) <= pitch / (2 * (seam.count - 1)) + 1e-9


@given(shape=shapes, longer=st.floats(0.0, 80.0))
def test_a_longer_seam_never_has_fewer_holes(shape: tuple[float, float, float, float], longer: float) -> None:
    length, lean, belly, pitch = shape
    counts = [
        strike(
            shaped(size, lean, belly),
            _plain(pitch),
            collar_from_mouth=15,
            leather=2,
            flap=1,
            folded=True,
            trimmed=5,
        ).count
        for size in (length, length + longer)
    ]
    assert counts[0] <= counts[1]


@given(shape=shapes, scale=st.floats(0.5, 3.0))
def test_everything_twice_as_large_gives_the_same_row_twice_as_large(
    shape: tuple[float, float, float, float], scale: float
) -> None:
    length, lean, belly, pitch = shape
    small, large = (
        strike(
            shaped(length, lean, belly) * k,
            replace(_plain(pitch), pitch=pitch * k, first=5 * k, last=4 * k),
            collar_from_mouth=15 * k,
            leather=2 * k,
            flap=k,
            folded=True,
            trimmed=5 * k,
        )
        for k in (1.0, scale)
    )
    if isclose((small.sewn_length / pitch) % 1, 0.5, abs_tol=1e-6):
        return  # exactly between two counts, rounding decides
    assert large.count == small.count
    assert positions(large.right) == pytest.approx(scale * positions(small.right), abs=1e-6)


@given(shape=shapes, more=st.floats(0.0, 0.01))
def test_a_small_change_of_length_moves_holes_little(
    shape: tuple[float, float, float, float], more: float
) -> None:
    length, lean, belly, pitch = shape
    a, b = (
        strike(
            shaped(size, lean, belly),
            _plain(pitch),
            collar_from_mouth=15,
            leather=2,
            flap=1,
            folded=True,
            trimmed=5,
        )
        for size in (length, length + more)
    )
    if a.count == b.count:
        assert np.abs(positions(a.right) - positions(b.right)).max() < 2 * more + 1e-6


def _plain(pitch: float) -> Stitching:
    return Stitching(pitch, Tool.FREE, 0, 45.0, 2.2, 5.0, 4.0, 0.8, 0.05, 3, 200.0)


# --- findings ----------------------------------------------------------------------------------


def test_an_ordinary_row_has_nothing_to_look_at_but_notes(struck: Strike) -> None:
    assert codes(struck(tool=Tool.FREE)) == set()


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"awl": 2.8}, "SEAM-001"),
        ({"pitch": 3.0}, "SEAM-001"),
        ({"trimmed": 1.5}, "SEAM-002"),
        ({"trimmed": 2.5, "leather": 2.8}, "SEAM-002"),
        ({"first": 1.0}, "SEAM-003"),
        ({"last": 0.0}, "SEAM-004"),
        ({"thread": 0.4}, "SEAM-005"),
        ({"thread": 1.2}, "SEAM-006"),
        ({"pitch": 2.7}, "SEAM-007"),
        ({"pitch": 6.0}, "SEAM-008"),
        ({"line": straight(20.0)}, "SEAM-009"),
        ({"line": straight(8.0)}, "SEAM-010"),
        ({"line": straight(11.0)}, "SEAM-010"),
        ({"line": arc(13.0, 60.0)}, "SEAM-011"),
        ({"line": straight(9 + 36 * 4 - 0.9), "tool": Tool.FORK}, "SEAM-012"),
        ({"line": straight(9 + 36 * 4 + 0.9), "tool": Tool.WHEEL}, "SEAM-013"),
        ({"line": straight(9 + 5 * 4 + 1.9), "tool": Tool.IRON}, "SEAM-014"),
        ({"tool": Tool.FORK}, "SEAM-015"),
        ({"slant": 60.0}, "SEAM-016"),
        ({"slant": 0.0}, "SEAM-016"),
        ({"collar_from_mouth": 17.0, "line": straight(9 + 36 * 4)}, "SEAM-017"),
    ],
)
def test_each_finding_is_raised(struck: Strike, changed: dict[str, Any], code: str) -> None:
    assert code in codes(struck(**{"tool": Tool.FREE, **changed}))


def remedied(found: Seam, code: str) -> dict[str, Any]:
    return dict(next(one for one in found.findings if one.code == code).numbers)


@pytest.mark.parametrize(
    ("changed", "code", "number", "field"),
    [
        ({"awl": 2.8}, "SEAM-001", "wider", "pitch"),
        ({"trimmed": 1.5}, "SEAM-002", "least", "trimmed"),
        ({"first": 1.0}, "SEAM-003", "usual", "first"),
        ({"last": 0.0}, "SEAM-004", "usual", "last"),
        ({"thread": 0.4}, "SEAM-005", "wanted", "thread"),
        ({"thread": 1.2}, "SEAM-006", "wanted", "thread"),
        ({"pitch": 2.7}, "SEAM-007", "limit", "pitch"),
        ({"pitch": 6.0}, "SEAM-008", "limit", "pitch"),
        ({"line": straight(20.0)}, "SEAM-009", "pitch", "pitch"),
        ({"line": straight(9 + 36 * 4 - 0.9), "tool": Tool.FORK}, "SEAM-012", "last", "last"),
        ({"line": straight(9 + 36 * 4 + 0.9), "tool": Tool.WHEEL}, "SEAM-013", "last", "last"),
        ({"line": straight(9 + 5 * 4 + 1.9), "tool": Tool.IRON}, "SEAM-014", "last", "last"),
        ({"slant": 60.0}, "SEAM-016", "other", "slant"),
        (
            {"collar_from_mouth": 17.0, "line": straight(9 + 36 * 4)},
            "SEAM-017",
            "deeper",
            "collar_from_mouth",
        ),
    ],
)
def test_doing_what_the_remedy_says_clears_the_finding(
    struck: Strike, changed: dict[str, Any], code: str, number: str, field: str
) -> None:
    changed = {"tool": Tool.FREE, **changed}
    asked = remedied(struck(**changed), code)[number]
    assert code not in codes(struck(**{**changed, field: asked}))


def test_a_seam_without_room_still_gives_two_holes_for_the_preview(struck: Strike) -> None:
    seam = struck(straight(8.0))
    assert seam.count == 2
    assert 0 < seam.right[1].y < seam.right[0].y < 8.0
    assert [one.severity for one in seam.findings if one.code == "SEAM-010"] == ["stop"]


def test_the_step_below_the_collar_is_not_taken_for_a_bend(struck: Strike) -> None:
    assert "SEAM-011" not in codes(struck())


def test_the_bend_is_named_by_its_nearest_hole(struck: Strike) -> None:
    upper, lower = straight(60.0), arc(12.0, 30.0)
    line = np.concatenate([upper + np.array([0.0, 150.0]), lower])
    found = next(one for one in struck(line, tool=Tool.FREE).findings if one.code == "SEAM-011")
    assert 14 <= found.numbers["number"] <= 22
    assert found.numbers["radius"] < 15


def test_slits_on_a_vertical_line_point_at_three_quarters_of_pi(struck: Strike) -> None:
    assert struck(straight(150.0)).right[0].slit == pytest.approx(3 * pi / 4)
