"""What is taken on trust, and how far it moves a number."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from backseam.ground.sources import values
from backseam.ground.speech import words
from backseam.making.assumptions import PAPER, assumptions, fillet_moves, neutral_layer_moves
from backseam.pattern.construction import CollarKind, HangerKind


def named(worked):
    return {item.name: item for item in assumptions(worked)}


def test_all_weak_values_of_the_job_are_there(barrel):
    weak = {
        record.name for record in values().values() if record.weak and record.name.partition(".")[0] in PAPER
    }
    assert set(named(barrel)) == weak


def test_what_the_job_does_not_use_is_not_there(barrel, change):
    plain = change(barrel, inputs__construction__collar__kind=CollarKind.PLAIN)
    assert "leather.fold_crack" not in named(plain)
    bare = replace(barrel, hanger=replace(barrel.hanger, kind=HangerKind.NONE))
    assert "hanger.creep" not in named(bare)


def test_neutral_layer_alone_moves_the_girth():
    """2 pi x 2 x (0.5 - 0.4) = 1.26 mm for 2 mm leather: parallel curve, closed form."""
    assert neutral_layer_moves(2.0, 0.4, 0.5) == pytest.approx(1.2566, abs=1e-4)


def test_fillet_on_a_round():
    """R 15, t 2: stitch to stitch 99.663272 with r 0 and 101.895437 with r 2 (closed form of the
    teardrop).
    """
    assert fillet_moves(2 * pi * 15, 2.0, 0.0, 1.0) == pytest.approx(101.895437 - 99.663272, abs=1e-6)


def test_moves_are_this_jobs(barrel):
    trust = named(barrel)
    assert trust["leather.allowance_along"].moves == pytest.approx(0.02 * barrel.upper.height)
    assert trust["leather.allowance_across"].moves == pytest.approx(
        0.02 * max(row.stitch_to_stitch for row in barrel.upper.stations)
    )
    assert trust["hanger.creep"].moves == pytest.approx(0.08 * barrel.hanger.cut)
    assert trust["leather.wrinkle"].moves is None


def test_what_moves_the_paper_by_half_a_millimetre_says_so(barrel):
    """An assumed value that moves a printed length by more than 0.5 mm over its range carries the figure."""
    for item in assumptions(barrel):
        if item.name in ("leather.neutral_layer", "seam.inside_radius_share", "leather.allowance_across"):
            assert item.moves is not None
            assert item.moves > 0.5


def test_the_makers_own_value_is_known_as_such(barrel, change):
    assert not named(barrel)["leather.neutral_layer"].own
    own = change(barrel, inputs__leather__neutral_layer=0.45)
    assert named(own)["leather.neutral_layer"].own
    assert named(own)["leather.neutral_layer"].value == 0.45


def test_every_weak_value_has_its_words():
    book = words("en", "card")["assume"]
    for record in values().values():
        group, name = record.name.split(".")
        if record.weak and group in PAPER:
            assert set(book[group][name]) == {"what", "value", "range", "moves"}, record.name
