"""Thread: stitch by stitch, joins, what goes through the holes with it, and its findings."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from backseam.pattern.construction import Stitching, Tool
from backseam.pattern.seam import Seam, strike
from backseam.pattern.thread import Thread, linen_tex, measure, thread_diameter

Line = NDArray[np.float64]


def sewn(stitching: Stitching, *, length: float = 180.0, collar: float = 0.0, leather: float = 2.0) -> Seam:
    line = np.stack([np.full(400, 45.0), np.linspace(length, 0.0, 400)], axis=-1)
    bare = replace(stitching, first=0.0, last=0.0, tool=Tool.FREE)
    return strike(
        line, bare, collar_from_mouth=collar, leather=leather, flap=1.0, folded=collar > 0, trimmed=5.0
    )


def codes(thread: Thread) -> set[str]:
    for found in thread.findings:
        assert "{" not in found.text() + found.remedy()
    return {found.code for found in thread.findings}


def test_the_parts_add_up(stitching: Stitching) -> None:
    thread = measure(sewn(stitching), stitching)
    assert thread.path + thread.locking + thread.tails == pytest.approx(thread.length)
    assert thread.joins == 0


def test_layers_are_summed_stitch_by_stitch(stitching: Stitching) -> None:
    """Holes at 0, 4, 8, 12, 16 ...; the flap of 10 carries three of them at 6 mm, the rest are 4 mm."""
    thread = measure(sewn(stitching, length=20.0, collar=10.0), replace(stitching, slack=0.0))
    by_hand = 2 * (4 + 6) + 2 * (4 + 6) + 2 * (4 + 5) + 2 * (4 + 4) + 2 * (4 + 4)
    assert thread.path == pytest.approx(by_hand)


def test_it_is_locked_at_the_bottom_unless_told_otherwise(stitching: Stitching) -> None:
    seam = sewn(stitching, collar=15.0)
    assert measure(seam, stitching).locking == pytest.approx(2 * 3 * (4 + 4))
    assert measure(seam, stitching, locked_at="mouth").locking == pytest.approx(2 * 3 * (4 + 6))


def test_the_rule_of_thumb_stands_beside_it(stitching: Stitching) -> None:
    assert measure(sewn(stitching), stitching).rule_of_thumb == pytest.approx(4 * 180.0)


def test_needle_awl_and_hole_go_with_the_thread(stitching: Stitching) -> None:
    thread = measure(sewn(stitching), stitching)
    assert thread.needle <= thread.diameter
    assert (thread.awl_low, thread.awl_high) == (pytest.approx(2.0), pytest.approx(2.4))
    assert thread.round_hole == pytest.approx(1.0)  # 1.0 hole for 0.8 thread, closes in drying


def test_a_long_seam_is_sewn_in_pieces_that_two_arms_can_work(stitching: Stitching) -> None:
    seam = sewn(stitching, length=700.0)
    thread = measure(seam, stitching)
    plain = measure(sewn(stitching, length=100.0), stitching)
    assert plain.joins == 0
    assert thread.joins >= 1
    assert thread.length / (thread.joins + 1) <= 3000.0
    assert thread.tails == 400.0 * (thread.joins + 1)
    assert thread.locking == pytest.approx(48.0 + thread.joins * 3 * 16.0, rel=1e-6)
    assert "THREAD-003" in codes(thread)


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"awl": 1.8}, "THREAD-001"),
        ({"awl": 2.6}, "THREAD-002"),
        ({"tail": 80.0}, "THREAD-004"),
        ({"locking": 1}, "THREAD-005"),
    ],
)
def test_each_finding_is_raised_and_none_by_an_ordinary_seam(
    stitching: Stitching, changed: dict[str, Any], code: str
) -> None:
    seam = sewn(stitching)
    assert codes(measure(seam, stitching)) == set()
    assert codes(measure(seam, replace(stitching, **changed))) == {code}


@pytest.mark.parametrize(
    ("changed", "number", "field"),
    [
        ({"awl": 1.8}, "low", "awl"),
        ({"awl": 2.6}, "high", "awl"),
        ({"tail": 80.0}, "least", "tail"),
        ({"locking": 1}, "least", "locking"),
    ],
)
def test_doing_what_the_remedy_says_clears_the_finding(
    stitching: Stitching, changed: dict[str, Any], number: str, field: str
) -> None:
    seam = sewn(stitching)
    found = measure(seam, replace(stitching, **changed)).findings[0]
    mended = replace(stitching, **{**changed, field: found.numbers[number]})
    assert codes(measure(seam, mended)) == set()


@given(
    length=st.floats(40.0, 500.0),
    more=st.floats(0.0, 200.0),
    thick=st.floats(1.0, 4.0),
    thicker=st.floats(0.0, 2.0),
)
def test_more_seam_and_more_leather_never_take_less_thread(
    length: float, more: float, thick: float, thicker: float
) -> None:
    stitching = Stitching(4.0, Tool.FREE, 0, 45.0, 2.2, 0.0, 0.0, 0.8, 0.05, 3, 200.0)
    thread = measure(sewn(stitching, length=length, leather=thick), stitching)
    longer = measure(sewn(stitching, length=length + more, leather=thick), stitching)
    fatter = measure(sewn(stitching, length=length, leather=thick + thicker), stitching)
    assert longer.path >= thread.path - 1e-6
    assert fatter.length >= thread.length - 1e-6


def test_heavier_thread_is_thicker_and_a_denser_fibre_thinner() -> None:
    assert thread_diameter(400, 1.5, 0.5) == pytest.approx(2 * thread_diameter(100, 1.5, 0.5))
    assert thread_diameter(210, 1.38, 0.74) < thread_diameter(210, 1.14, 0.74)
    assert linen_tex(18, 3) == pytest.approx(1.5 * linen_tex(18, 2))
