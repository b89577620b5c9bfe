"""Contours of stretch: levels are those of the flattening's strains, alike left and right."""

from __future__ import annotations

import numpy as np
import pytest
from tests.jobs import SAMPLES, sample, tube

from backseam.ground.speech import Speech
from backseam.job.recipe import work
from backseam.papers.screen import Line, Text
from backseam.papers.sheets.stretch_view import IN_EVERY, Contour, drawn, stretch_field, stretch_lines


def test_a_tube_needs_no_stretch() -> None:
    made = work(tube())  # closed form: a cylinder lies flat without strain
    assert stretch_lines(made.form, made.layout) == ()


@pytest.mark.parametrize("name", SAMPLES)
def test_every_level_is_one_that_is_reached(name: str) -> None:
    made = work(sample(name))
    _, _, most, least = stretch_field(made.form, made.layout)
    for one in stretch_lines(made.form, made.layout):
        high = most.max() if one.level > 0 else -least.min()
        assert abs(one.level) <= IN_EVERY * high + 1e-9
        assert np.abs(one.share).max() <= 1 + 1e-9


def test_each_contour_has_its_mirror_image_or_is_its_own() -> None:
    made = work(sample("stout"))
    found = stretch_lines(made.form, made.layout)
    sums = sum(float(np.interp(0.5, [0, 1], [one.share.min(), one.share.max()])) for one in found)
    assert sums == pytest.approx(0.0, abs=1e-6)


def test_lines_that_face_away_are_left_out_and_numbers_keep_apart() -> None:
    u = np.linspace(0.0, 40.0, 41)
    contour = Contour(0.4, u, np.zeros(41))

    def place(u: np.ndarray, share: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.stack([share, u], axis=-1), np.where(u < 20, 1.0, -1.0)

    group = drawn((contour, contour), place, Speech())
    lines = [one for one in group.items if isinstance(one, Line)]
    words = [one for one in group.items if isinstance(one, Text)]
    assert max(part[:, 1].max() for one in lines for part in one.parts) <= 20
    assert len(lines) == 2
    assert len({one.at for one in words}) == len(words)
    assert group.look == "stretch"


def test_gathers_are_dashed_and_carry_a_minus() -> None:
    u = np.linspace(0.0, 40.0, 41)
    group = drawn(
        (Contour(-0.6, u, np.zeros(41)),), lambda u, s: (np.stack([s, u], axis=-1), np.ones(41)), Speech()
    )
    assert [one.look for one in group.items if isinstance(one, Line)] == ["iso gather"]
    assert [one.text for one in group.items if isinstance(one, Text)] == ["-0.6"]
