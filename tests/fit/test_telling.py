"""The forecast in sentences: words before newtons."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from tests.fit.conftest import SAMPLES, foreseen, parts, worked

from backseam.fit.hold import Band
from backseam.fit.inverse import aim
from backseam.fit.telling import band_words, change, how_settled, name, sentences, ways, what_matters
from backseam.ground.speech import PLAIN, Speech

NEWTON = re.compile(r"\d\s*N\b")


@pytest.mark.parametrize("sample", SAMPLES)
def test_no_bare_newton_before_girth_and_pull(sample):
    said = " ".join(sentences(foreseen(worked(sample)), PLAIN))
    assert not NEWTON.search(said)
    assert "In words until" in said


def test_newtons_after(calibrated):
    said = sentences(calibrated, PLAIN)
    assert NEWTON.search(said[0])
    assert not any("In words until" in line for line in said)


def test_bands_in_words(fit):
    assert band_words(Band(1.0, 2.0, 3.0), fit, PLAIN) == "slides out"
    assert band_words(Band(6.0, 14.0, 20.0), fit, PLAIN) == "light to everyday"
    assert band_words(Band(1.0, 14.0, 50.0), fit, PLAIN) == "slides out to too hard, most likely everyday"


def test_bands_in_newtons(calibrated):
    assert band_words(Band(-1.0, 14.2, 50.4), calibrated, PLAIN) == "14 N (0 to 50)"


def test_changes_as_a_maker_says_them():
    assert [change(ratio, PLAIN) for ratio in (0.5, 0.34, 2.0, 0.05, 1.0, 1.3, 0.8)] == [
        "half as strong",
        "a third as strong",
        "twice as strong",
        "next to nothing",
        "no different",
        "30 % stronger",
        "20 % weaker",
    ]


def test_three_that_matter_in_one_sentence(fit):
    said = what_matters(fit, PLAIN)
    assert said.startswith("What moves the draw most: the finished girth 0.5 mm more makes it 59 % weaker;")
    assert said.count(";") == 2
    assert '1/64"' in what_matters(fit, Speech("inch")) or '1/32"' in what_matters(fit, Speech("inch"))


def test_the_side_that_moves_more_is_said(fit):
    lame = replace(fit.matters[0], less=0.5, more=1.0)
    assert "0.5 mm less makes it half as strong" in what_matters(replace(fit, matters=(lame,)), PLAIN)


def test_fewer_where_fewer_matter(fit):
    assert what_matters(replace(fit, matters=fit.matters[:2]), PLAIN).count(";") == 1
    assert what_matters(replace(fit, matters=fit.matters[:1]), PLAIN).count(";") == 0
    assert what_matters(replace(fit, matters=()), PLAIN) == ""


def test_every_unknown_has_a_name(fit, calibrated):
    for one in (fit, calibrated):
        for part in (*one.parts, *one.matters):
            assert name(part.name, one, PLAIN)
    assert name("reading:3", fit, PLAIN) == "girth at the thickest"


def test_a_nameless_row_is_called_by_its_height():
    fit = foreseen(worked("stout"))
    for row in fit.rows:
        said = name(f"reading:{row.index}", fit, PLAIN)
        assert row.name in said if row.name else "mm" in said


def test_click_or_none(fit):
    from backseam.fit.hold import Click

    clicks = replace(fit, click=Click(0.8, 6.0))
    assert "It clicks home 6 mm before the seat in 16 of 20." in sentences(clicks, PLAIN)
    assert "It slides home without a click." in sentences(fit, PLAIN)


def test_how_it_settled(fit):
    assert how_settled(fit, PLAIN).startswith("10000 sheaths, seed 3; ")


def test_ways_as_sentences(barrel):
    said = ways(aim(*parts(barrel), (15.0, 25.0), samples=400), PLAIN)
    assert len(said) == 3
    assert all("in 20 land there" in line for line in said)
