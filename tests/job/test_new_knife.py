"""Strap readings as typed, and the stored form scaled to them."""

from __future__ import annotations

from contextlib import suppress
from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.jobs import SAMPLES, sample, tube

from backseam.form.girth import butted
from backseam.ground.errors import BackseamError, InputRefused
from backseam.ground.sources import default
from backseam.job.new_knife import NewKnife, Strap, ratio_span, read, scaled, shaped, share
from backseam.job.recipe import work

BARREL = work(sample())


@pytest.mark.parametrize(
    "text",
    [
        "12:84 55:93 98:101",
        "12:84, 55:93, 98:101",
        "12 : 84 55 : 93 98 : 101",
        "98:101 12:84 55:93",
        "12:84;55:93;98:101;",
        "12,0:84,0 55:93.0 98:10,1cm",
        "12=84 55=93 98=101",
    ],
)
def test_readings_as_people_type_them(text):
    assert read(text).straps == (Strap(12, 84), Strap(55, 93), Strap(98, 101))


def test_inches_and_fractions():
    knife = read("1/2 in:3 1/4 in 2 in:3.5in")
    assert [(one.height, one.girth) for one in knife.straps] == [(12.7, 82.55), (50.8, 88.9)]
    bare = read("0.5:3.25 2:3.5", unit="inch", strap="5oz", junction="3 1/2")
    assert bare.straps == knife.straps
    assert (bare.strap, bare.junction) == (pytest.approx(1.984, abs=0.001), 88.9)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "height:girth"),
        ("12 84", "height:girth"),
        ("12:84:55", "height:girth"),
        ("12:84;55", "height:girth"),
        (";", "0 readings"),
        (" ".join(f"{i * 5}:90" for i in range(13)), "13 readings"),
        ("12:8", "girth of 8 mm"),
        ("12:4000", ""),
        ("2000:84", ""),
        ("12:8O", "letter O"),
        ("12:nan", "nan"),
        ("12:-84", ""),
    ],
)
def test_what_is_no_reading_is_refused_in_a_sentence(text, part):
    with pytest.raises(InputRefused) as refused:
        read(text)
    assert part in str(refused.value)


def test_a_strap_of_a_metre_is_none():
    with pytest.raises(InputRefused):
        read("12:84", strap="100")


def test_one_reading_and_two_at_one_height():
    assert [one.code for one in read("55:93").findings] == ["MATCH-001"]
    same = read("55:93 55:96 98:101")
    assert same.straps[0] == Strap(55, 94.5)
    assert [one.code for one in same.findings] == ["MATCH-002"]
    assert read("55:93 55,4:93,2 98:101").findings == ()


@given(st.text(max_size=30) | st.text(alphabet="0123456789:;., in/-", max_size=40))
def test_nothing_typed_ends_in_anything_but_a_sentence(text):
    with suppress(BackseamError):
        assert 1 <= len(read(text).straps) <= 12


@given(
    st.lists(
        st.tuples(st.integers(0, 150), st.integers(60, 140)),
        min_size=1,
        max_size=12,
        unique_by=lambda one: one[0] // 3,
    )
)
def test_what_is_written_is_read(pairs):
    text = " ".join(f"{height}:{girth}" for height, girth in pairs)
    assert sum(one.girth for one in read(text).straps) > 0
    assert read(text).straps[0].height >= min(pairs)[0]


def test_a_knife_that_reads_as_the_stored_one_is_the_stored_one():
    part = scaled(BARREL, read("0:82 95:95,4 140:102"))
    assert part.ratio == pytest.approx(1.0, abs=1e-9)
    new = work(part.job)
    u = np.linspace(0, 147, 30)
    assert new.form.girth(u) == pytest.approx(BARREL.form.girth(u), abs=0.1)
    assert new.form.marks == BARREL.form.marks


def test_a_tube_scaled_is_a_tube_of_the_new_girth():
    """A butted strap round a tube reads pi (d + strap): closed form."""
    stored = work(tube(40.0, 100.0))
    part = scaled(stored, NewKnife((Strap(20, pi * 44), Strap(80, pi * 44)), strap=2.0))
    assert part.ratio == pytest.approx(42 / 40)
    assert work(part.job).form.girth(np.array([50.0]))[0] == pytest.approx(pi * 42, abs=0.02)


def test_the_doubt_grows_with_the_distance():
    part = scaled(BARREL, read("40:88 100:96"))
    doubt = part.doubt(np.array([40.0, 50.0, 70.0, 140.0]))
    assert doubt[0] == pytest.approx(0.5)
    assert list(doubt) == sorted(doubt)


def test_between_readings_the_ratio_does_not_overshoot():
    part = scaled(BARREL, read("10:84 60:99 140:103"))
    assert np.all(share(part, np.linspace(-20, 200, 99)) <= part.ratio.max() + 1e-9)


def test_readings_off_the_upper_are_left_out():
    part = scaled(BARREL, read("12:84 300:90"))
    assert len(part.at) == 1
    assert [one.code for one in part.findings] == ["MATCH-003"]
    assert scaled(BARREL, read("300:90")).job is None


def test_heights_are_counted_as_in_the_job():
    bent = work(sample("bent-inside"))
    part = scaled(bent, read("88:91,4 135:99"))
    assert part.at == pytest.approx([bent.form.marks.junction, bent.form.marks.thickest], abs=0.05)
    assert part.ratio == pytest.approx(1.0, abs=1e-4)
    from_junction = sample(form__heights_from="junction", form__reach_mm=95.0)
    for row in from_junction.form.girths:
        row.station_mm -= 95
    marks = from_junction.form.landmarks
    for name in ("liner_end_mm", "junction_mm", "thickest_mm", "mouth_mm"):
        setattr(marks, name, getattr(marks, name) - 95)
    for groove in marks.grooves:
        groove.station_mm -= 95
    turned = scaled(work(from_junction), read("-95:82 0:95,4 45:102"))
    assert turned.ratio == pytest.approx(1.0, abs=1e-9)
    assert work(turned.job).form.marks.mouth == pytest.approx(147)


def test_the_doubt_covers_how_one_sample_is_told_from_another():
    """Every sample from every other, three exact readings at foot, middle and below the mouth: the girths between lie
    within the doubt nearly always (computed here on the shipped samples; 0.03 mm a mm covered 81 %)."""
    forms = {name: shaped(sample(name)) for name in SAMPLES if name != "tube"}
    within = []
    for own, stored in forms.items():
        for name, other in forms.items():
            if name == own:
                continue
            film = 2 * pi * other.inputs.construction.film
            top = min(stored.form.marks.mouth, other.form.marks.mouth)
            u = np.array([10.0, top / 2, top - 8])
            girths = butted(other.form.girth(u) - film, 2.0)
            straps = tuple(
                Strap(stored.form.as_read(float(h)), float(g)) for h, g in zip(u, girths, strict=True)
            )
            part = scaled(stored, NewKnife(straps, strap=2.0))
            if ratio_span(part) > default("match.span"):
                continue
            at = np.linspace(0, top, 40)
            told = (stored.form.girth(at) - film) * share(part, at)
            within.append(np.mean(np.abs(told - other.form.girth(at) + film) <= part.doubt(at)))
    assert np.mean(within) > 0.93
