"""Hatching: at 45 degrees, evenly apart, clear of words, whole over any area."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers.model import Role, Words
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.lettering import outline


@given(st.floats(8.0, 60.0), st.floats(8.0, 60.0), st.floats(-50.0, 50.0))
def test_length_of_hatching_is_area_over_distance(wide, high, left):
    area = shapely.box(left, 0.0, left + wide, high)
    length = sum(shapely.LineString(line.points).length for line in hatch(area, spacing=2.0))
    across = 2.0 / 2**0.5  # lines 2 apart along x are 1.41 apart square to themselves
    assert length == pytest.approx(area.area / across, abs=2.1 * (wide + high))


def test_words_stay_clear():
    words = Words((10.0, 10.0), "25", 3.0, "middle")
    lines = hatch(shapely.box(0.0, 0.0, 20.0, 20.0), words=[words])
    assert lines
    assert not any(shapely.LineString(line.points).intersects(outline(words)) for line in lines)


def test_neighbouring_areas_match():
    both = hatch(shapely.box(0.0, 0.0, 20.0, 10.0), Role.LEADER)
    right = hatch(shapely.box(10.0, 0.0, 20.0, 10.0), Role.LEADER)
    offsets = {round(line.points[0][0] - line.points[0][1], 6) for line in both}
    assert {round(line.points[0][0] - line.points[0][1], 6) for line in right} <= offsets
    assert {line.role for line in both} == {Role.LEADER}


def test_nothing_to_hatch():
    assert hatch(shapely.Polygon()) == ()
    assert hatch(shapely.box(0, 0, 3, 3), words=[Words((-5.0, -5.0), "wide words", 12.0)]) == ()
