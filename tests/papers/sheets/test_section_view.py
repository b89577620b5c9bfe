"""The section at a height: its drawn outline is the form's, the leather round it as thick as it is."""

from __future__ import annotations

import numpy as np
import pytest
from tests.jobs import SAMPLES, sample, tube

from backseam.ground.speech import Speech
from backseam.job.recipe import work
from backseam.papers.screen import Line, Picture, write
from backseam.papers.sheets.section_view import section_view


def part(picture: Picture, look: str) -> np.ndarray:
    (found,) = [one for one in picture.items if isinstance(one, Line) and one.look == look]
    return found.parts[0]


def test_a_tube_is_round_and_its_leather_even() -> None:
    picture = section_view(work(tube(40.0, 100.0)), 50.0, Speech())
    assert np.hypot(*part(picture, "inside").T) == pytest.approx(20.0, abs=0.01)
    outer = part(picture, "round")
    front = outer[outer[:, 1] < 0]
    assert np.hypot(*front.T) == pytest.approx(22.0, abs=0.03)  # 20 + leather of 2


@pytest.mark.parametrize("name", SAMPLES)
def test_width_and_depth_are_the_forms(name: str) -> None:
    made = work(sample(name))
    at = 0.4 * made.form.marks.mouth
    hull = part(section_view(made, at, Speech()), "inside")
    size = hull.max(axis=0) - hull.min(axis=0)
    assert size == pytest.approx([float(made.form.width(at)), float(made.form.depth(at))], abs=0.05)


def test_the_flange_ends_where_it_is_trimmed_and_words_say_the_size() -> None:
    made = work(tube(40.0, 100.0))
    picture = section_view(made, 50.0, Speech())
    row = made.upper.stations[0]
    tip = 20.0 + row.stitch_from_form + made.inputs.construction.flange.trimmed
    assert part(picture, "round")[:, 1].max() == pytest.approx(tip, abs=0.02)
    assert "40.0 wide" in write(picture)
    assert "40.0 deep" in write(picture)
