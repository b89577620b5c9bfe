"""A piece on a form it was not drawn for: closed forms on a tube, and that nothing moves where nothing was changed."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from tests.jobs import sample, tube

from backseam.job.forecast import hold
from backseam.job.piece import drawn, hold_of, laid, takes, with_leather, with_mouth
from backseam.job.recipe import work


@pytest.fixture(scope="module")
def barrel():
    return work(sample())


def test_a_piece_as_drawn_holds_as_its_job_does(barrel):
    own, piece = hold(barrel), hold_of(drawn(barrel), barrel, samples=10_000)
    assert piece.draw.middle == pytest.approx(own.draw.middle, rel=0.02)
    assert piece.loses == pytest.approx(own.loses, abs=0.01)


def test_a_tube_takes_its_girth_and_half_the_thickness_all_round():
    """P + 2 pi k t, with the fillet at the seam above it; closed form of a parallel curve."""
    worked = work(tube(40.0, 100.0))
    plain = pi * 40.0 + 2 * pi * 0.5 * 2.0
    at = takes(worked, np.array([10.0, 50.0, 90.0]))
    assert np.ptp(at) < 0.01
    assert 0 < at[0] - plain < 1.0
    assert drawn(worked)(np.array([50.0]))[0] == pytest.approx(at[0], abs=0.01)


def test_thicker_leather_takes_more(barrel):
    """2 pi k more for each mm, less what the fillet at the seam takes back."""
    thicker = with_leather(barrel, 2.6, None)
    at = np.array([60.0, 120.0])
    more = takes(thicker, at) - takes(barrel, at)
    assert np.all((more > 1.2) & (more < pi * 0.6))
    assert thicker.inputs.construction.seam_inside_radius == barrel.inputs.construction.seam_inside_radius
    assert [row.bare for row in thicker.form.rows] == pytest.approx([row.bare for row in barrel.form.rows])


def test_another_flap_is_taken_under_the_collar_only(barrel):
    thin = with_leather(barrel, None, 0.8)
    less = takes(barrel, np.array([60.0, 140.0])) - takes(thin, np.array([60.0, 140.0]))
    assert less[0] == pytest.approx(0.0, abs=1e-6)
    assert 0.4 < less[1] < pi * 0.2  # 2 pi k for each mm, less what the fillet takes back


def test_the_mouth_moves_and_the_thickest_stays(barrel):
    moved = with_mouth(barrel, 142.0)
    assert moved.form.marks.mouth == pytest.approx(142.0)
    assert moved.form.marks.thickest == pytest.approx(barrel.form.marks.thickest)


def test_another_height_is_the_same_rows_cut_short(barrel):
    piece = drawn(barrel)
    short = piece.as_high(130.0)
    assert short.height == 130.0
    at = np.linspace(0, 130, 9)
    assert short(at) == pytest.approx(piece(at), abs=0.05)
    assert piece.changed(np.full(len(piece.at), 1.5))(at) == pytest.approx(piece(at) + 1.5)


def test_a_laid_piece_has_the_lengths_it_was_given(barrel):
    layout = laid(drawn(barrel), barrel, lift=3.0)
    ends = layout.place(np.array([53.0]), np.array([1.0]))[0] * 2
    assert ends[0] == pytest.approx(drawn(barrel)(np.array([50.0]))[0], abs=0.05)
