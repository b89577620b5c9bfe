"""The blank: nothing overlaps, nothing is lost, least area, and what does not fit is said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from backseam.leather.leather import Leather, State, Tight
from backseam.pattern.blank import Blank, _best, _extent, _small_parts, lay
from backseam.pattern.blank import BlankPart as Part
from backseam.pattern.construction import Construction, Stitching, Tool
from backseam.pattern.ring import TrialRing, cut

Line = NDArray[np.float64]


def outline(width: float, height: float) -> Line:
    return np.array(
        [[-width / 2, -3.0], [width / 2, -3.0], [width / 2, height - 3.0], [-width / 2, height - 3.0]]
    )


@pytest.fixture
def trial(stitching: Stitching) -> TrialRing:
    return ring_of(stitching, 102.3)


def ring_of(stitching: Stitching, length: float) -> TrialRing:
    return cut(
        "thickest",
        130.0,
        length,
        girth=length - 6.5,
        spread=0.5,
        leather=2.0,
        stitching=stitching,
        clamp=25.0,
        height=20.0,
        holes_a_side=5,
    )


@pytest.fixture
def laid(trial: TrialRing, construction: Construction, leather: Leather) -> Callable[..., Blank]:
    def run(width: float = 155.0, height: float = 174.0, skin: Leather = leather, **changed: Any) -> Blank:
        return lay(outline(width, height), trial, replace(construction, **changed), skin, longest_girth=102.0)

    return run


def codes(blank: Blank) -> set[str]:
    for found in blank.findings:
        assert "{" not in found.text() + found.remedy()
    return {found.code for found in blank.findings}


def boxes(blank: Blank) -> list[shapely.Polygon]:
    return [shapely.box(p.x, p.y, p.x + p.width, p.y + p.height) for p in blank.parts]


def test_the_upper_is_its_bounding_rectangle_with_the_margin_all_round(laid: Callable[..., Blank]) -> None:
    blank = laid()
    assert (blank.upper_width, blank.upper_height) == (175.0, 194.0)
    assert codes(blank) == set()


def test_it_also_holds_strap_ring_and_scrap(laid: Callable[..., Blank]) -> None:
    sizes = {part.name: {round(part.width, 6), round(part.height, 6)} for part in laid().parts}
    assert sizes == {
        "upper": {175.0, 194.0},
        "ring": {152.3, 20.0},
        "scrap": {40.0},
        "strap": {122.0, 10.0},
    }


def test_upper_and_ring_keep_the_tight_way_up(laid: Callable[..., Blank]) -> None:
    parts = {part.name: part for part in laid().parts}
    assert parts["upper"].height == 194.0
    assert parts["ring"].height == 20.0


@given(width=st.floats(60, 260), height=st.floats(60, 320), girth=st.floats(50, 180), margin=st.floats(0, 20))
@settings(max_examples=40)
def test_nothing_overlaps_and_everything_is_inside(
    width: float, height: float, girth: float, margin: float
) -> None:
    stitching = Stitching(4.0, Tool.FREE, 0, 45.0, 2.2, 5.0, 4.0, 0.8, 0.05, 3, 200.0)
    ring = ring_of(stitching, girth)
    parts = _best(
        (Part("upper", 0.0, 0.0, width + 2 * margin, height + 2 * margin),), _small_parts(girth, ring), None
    )
    shapes = [shapely.box(p.x, p.y, p.x + p.width, p.y + p.height) for p in parts]
    assert shapely.union_all(shapes).area == pytest.approx(sum(shape.area for shape in shapes))
    assert shapely.box(0, 0, *_extent(parts)).buffer(1e-6).covers(shapely.union_all(shapes))


def test_the_blank_is_no_larger_than_any_plain_stack(laid: Callable[..., Blank]) -> None:
    blank = laid()
    one_above_the_other = 175.0 * (194 + 20 + 40)
    side_by_side = (175.0 + 40 + 10) * (194 + 20)
    assert blank.width * blank.height <= min(one_above_the_other, side_by_side)
    assert shapely.union_all(boxes(blank)).bounds == pytest.approx((0, 0, blank.width, blank.height))


def test_an_arrangement_that_fits_the_offcut_is_taken_before_a_smaller_one(
    laid: Callable[..., Blank],
) -> None:
    narrow, wide = laid(offcut=(176.0, 300.0)), laid(offcut=(240.0, 216.0))
    assert narrow.width <= 176.0
    assert wide.height <= 216.0
    assert wide.width * wide.height > narrow.width * narrow.height
    assert codes(narrow) == codes(wide) == set()


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"offcut": (170.0, 190.0)}, "BLANK-001"),
        ({"offcut": (190.0, 196.0)}, "BLANK-002"),
        ({"offcut": (300.0, 180.0)}, "BLANK-003"),
        ({"seam_inside_radius": 0.2}, "BLANK-006"),
        ({"seam_inside_radius": 2.5}, "BLANK-007"),
    ],
)
def test_each_finding_of_the_blank_is_raised(
    laid: Callable[..., Blank], changed: dict[str, Any], code: str
) -> None:
    assert code in codes(laid(**changed))


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"thicknesses": (1.0,)}, "BLANK-004"),
        ({"thicknesses": (4.4,)}, "BLANK-005"),
        ({"thicknesses": (1.9, 2.1), "tight": Tight.ACROSS}, "BLANK-008"),
        ({"tight": Tight.UNKNOWN}, "BLANK-009"),
    ],
)
def test_each_finding_of_the_leather_is_raised(
    laid: Callable[..., Blank], leather: Leather, changed: dict[str, Any], code: str
) -> None:
    assert code in codes(laid(skin=replace(leather, **changed)))


def test_the_offcut_may_lie_either_way_but_the_tight_way_is_then_named(laid: Callable[..., Blank]) -> None:
    found = next(one for one in laid(offcut=(300.0, 180.0)).findings if one.code == "BLANK-003")
    assert found.numbers["side"] == 300.0
    assert codes(laid(offcut=(320.0, 320.0))) == set()


def test_both_sizes_stand_in_the_finding(laid: Callable[..., Blank]) -> None:
    text = laid(offcut=(170.0, 190.0)).findings[0].text()
    assert "175 mm x 194 mm" in text
    assert "170 mm x 190 mm" in text


def test_a_radius_of_half_the_thickness_clears_both_findings_of_the_seam(laid: Callable[..., Blank]) -> None:
    for radius in (0.2, 2.5):
        usual = laid(seam_inside_radius=radius).findings[0].numbers["usual"]
        assert codes(laid(seam_inside_radius=usual)) == set()


def test_leather_within_its_limits_is_not_doubted(laid: Callable[..., Blank]) -> None:
    for thickness in (1.2, 4.0):
        skin = Leather((thickness,), Tight.ALONG, "shoulder", State.DAMP, 0.0, 0.0, 0.5)
        assert codes(laid(skin=skin, seam_inside_radius=thickness / 2)) == set()
