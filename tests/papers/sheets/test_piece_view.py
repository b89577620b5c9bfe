"""The flat piece on the screen has every line and hole of the pattern, each at its place."""

from __future__ import annotations

from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest
from tests.jobs import SAMPLES, sample

from backseam.ground.speech import Speech
from backseam.job.recipe import Worked, work
from backseam.papers.screen import write
from backseam.papers.sheets.piece_view import piece_view


@cache
def worked(name: str) -> Worked:
    return work(sample(name))


@cache
def root(name: str) -> ElementTree.Element:
    return ElementTree.fromstring(write(piece_view(worked(name), Speech(), "the piece")))


def by_look(name: str, look: str) -> list[ElementTree.Element]:
    return [one for one in root(name).iter() if one.get("class") == look]


@pytest.mark.parametrize("name", SAMPLES)
def test_every_hole_is_there_to_be_asked(name: str) -> None:
    whys = [one.get("data-why") for one in by_look(name, "hole")]
    count = worked(name).seam.count
    assert whys == [f"hole:{n}:{side}" for side in ("left", "right") for n in range(1, count + 1)]


def test_a_slit_lies_where_the_seam_has_it() -> None:
    hole = worked("barrel").seam.right[11]
    (mark,) = [one for one in by_look("barrel", "hole") if one.get("data-why") == "hole:12:right"]
    a, b = (np.array(p.split(), dtype=float) for p in (mark.get("d") or "")[1:].split("L"))
    assert (a + b) / 2 == pytest.approx([hole.x, -hole.y], abs=0.011)
    assert np.hypot(*(a - b)) == pytest.approx(worked("barrel").inputs.construction.stitching.awl, abs=0.03)


@pytest.mark.parametrize("name", SAMPLES)
def test_lines_are_those_of_the_construction(name: str) -> None:
    folded = worked(name).inputs.construction.collar.folded
    for look in ("under", "hidden"):
        assert bool(by_look(name, look)) == folded
    for look in ("hide", "glue", "trim", "seam", "cut", "tick"):
        assert by_look(name, look), look
    assert len(by_look(name, "hang")) == len(worked(name).hanger.holes) + 2 * len(worked(name).hanger.slits)
    assert len(by_look(name, "press")) == len(worked(name).upper.press)


def test_the_gap_is_shown_with_its_largest_value() -> None:
    (said,) = by_look("barrel", "gapmost")
    most = worked("barrel").upper.hand.largest_difference
    assert said.text == f"{'+' if most > 0 else '−'}{abs(most):.1f}"
    assert "gapcurve" not in write(piece_view(worked("barrel"), Speech(), "x", gap=False))


def test_lengths_are_said_in_inches_where_asked() -> None:
    inch = write(piece_view(worked("barrel"), Speech("inch"), "x"))
    assert "fold under 19/32" in inch  # 15 / 25.4 = 0.591, 19/32 = 0.594


def test_numbers_stand_at_every_fifth_hole() -> None:
    said = [one.text for one in by_look("barrel", "num")]
    assert said[:3] == ["1", "5", "10"]
