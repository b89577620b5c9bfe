"""Trial ring: five holes a side on a strip, equal to one station of the upper."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.pattern.construction import Stitching
from backseam.pattern.ring import TrialRing, cut, ring_pitch
from backseam.pattern.seam import positions


@pytest.fixture
def ring(stitching: Stitching) -> Any:
    def run(pitch: float = 4.0, **changed: Any) -> TrialRing:
        keep: dict[str, Any] = {
            "girth": 95.7,
            "spread": 0.5,
            "leather": 2.0,
            "clamp": 25.0,
            "height": 20.0,
            "holes_a_side": 5,
        }
        given = {**keep, **changed}
        return cut("thickest", 130.0, 102.3, stitching=replace(stitching, pitch=pitch), **given)

    return run


def test_the_strip_is_the_upper_at_that_station_with_its_clamp_width(ring: Any) -> None:
    strip = ring()
    assert (strip.length, strip.width, strip.height) == (102.3, pytest.approx(152.3), 20.0)
    assert {hole.x for hole in strip.right} == {51.15}
    assert (strip.name, strip.station) == ("thickest", 130.0)


def test_five_holes_a_side_at_the_pitch_of_the_job(ring: Any) -> None:
    strip = ring()
    assert [hole.y for hole in strip.right] == pytest.approx([18.0, 14.0, 10.0, 6.0, 2.0])
    assert positions(strip.left) == pytest.approx(positions(strip.right) * (-1, 1))
    assert {hole.sewn for hole in strip.right} == {4.0}  # one layer a side, whatever the collar


@pytest.mark.parametrize("pitch", [2.7, 4.0, 5.0, 8.0])
def test_the_pitch_is_eased_so_that_five_fit(ring: Any, pitch: float) -> None:
    ys = [hole.y for hole in ring(pitch).right]
    assert len(ys) == 5
    assert ys[-1] >= 2.0 - 1e-9
    assert ys[0] <= 18.0 + 1e-9
    assert ys[0] + ys[-1] == pytest.approx(20.0)  # in the middle of the strip
    assert ys[0] - ys[1] == pytest.approx(min(pitch, 4.0))


def test_what_it_should_read_takes_in_reading_and_drying(ring: Any) -> None:
    """The girth it was sewn on; ± the reading's 0.5 and 1 % of 95.7 for drying, together 1.08."""
    strip = ring()
    assert strip.inside == 95.7
    assert strip.inside_spread == pytest.approx(1.0798, abs=1e-3)
    assert ring(spread=2.0).inside_spread > strip.inside_spread


@given(pitch=st.floats(1, 9), height=st.floats(10, 40), holes=st.integers(1, 8), edge=st.floats(1, 4))
def test_holes_never_leave_the_strip(pitch: float, height: float, holes: int, edge: float) -> None:
    assert (
        ring_pitch(pitch, height, holes, edge) * max(holes - 1, 0) <= height - 2 * edge + 1e-9 or holes == 1
    )
