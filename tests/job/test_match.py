"""A knife held against stored uppers: yes, move these rows, or no."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.jobs import SAMPLES, sample, tube

from backseam.ground.errors import Stopped
from backseam.job.document import Job
from backseam.job.match import Verdict, match
from backseam.job.new_knife import read

OWN = "0:82 95:95,4 140:102 147:101,2"


def held(text, job=None, **options):
    found = match([("barrel", job or sample())], read(text, **options), samples=500)
    return found.matches[0]


def codes(one):
    return [finding.code for finding in one.findings]


def test_its_own_knife_fits_as_it_is():
    one = held(OWN)
    assert one.verdict is Verdict.YES
    assert abs(one.worst) < 0.15
    assert one.holes[0] == one.holes[1]
    assert one.as_it_is.draw.middle == pytest.approx(one.planned.draw.middle, rel=0.25)


def test_a_slightly_larger_one_wants_its_rows_moved_by_half():
    """2 mm more girth all over is 1 mm more half width on either side: derived, pinched band."""
    one = held("0:84 95:97,4 140:104 147:103,2")
    assert one.verdict is Verdict.MOVE
    assert one.worst == pytest.approx(-2.0, abs=0.1)
    assert [row.by for row in one.rows] == pytest.approx([1.0] * len(one.rows), abs=0.1)
    assert one.as_it_is.draw.middle > one.moved.draw.middle
    assert one.moved.draw.middle == pytest.approx(one.planned.draw.middle, rel=0.2)


def test_a_smaller_one_loses_hold_until_its_rows_are_moved():
    one = held("0:80 95:93,4 140:100 147:99,2")
    assert one.verdict is Verdict.MOVE
    assert one.worst > 0
    assert one.as_it_is.loses > one.moved.loses
    assert all(row.by < 0 for row in one.rows)


def test_another_knife_does_not_fit():
    big = held("0:95 95:110 140:118")
    assert (big.verdict, big.why) == (Verdict.NO, ("far",))
    assert big.as_it_is is None
    slanted = held("0:88 95:95 140:99")
    assert slanted.verdict is Verdict.NO
    assert "taper" in slanted.why


def test_holes_change_with_a_longer_seam():
    one = held("12:84 55:93 98:101")
    assert one.holes == (35, 36)


def test_a_junction_elsewhere_is_another_upper():
    assert held(OWN, junction="97").verdict is Verdict.YES
    far = held(OWN, junction="82")
    assert (far.verdict, far.why) == (Verdict.NO, ("junction",))


def test_a_thickest_beyond_the_mouth_does_not_click():
    assert "mouth" in held(OWN, thickest="158").why


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("55:91 300:90", "MATCH-003"),
        ("12:84 55:90", "MATCH-004"),
        (OWN, "MATCH-005"),
        ("0:82 95:95,4 130:99 155:106", "MATCH-006"),
    ],
)
def test_what_is_not_known_is_said(text, code):
    assert code in codes(held(text))


def test_said_is_not_asked_for_again():
    assert "MATCH-005" not in codes(held(OWN, junction="95"))


def test_far_readings_are_a_doubt_and_no_stop():
    one = held("0:82 40:87,8")
    assert (one.verdict, one.why) == (Verdict.YES, ())
    assert one.doubt > 5


def test_a_stored_job_with_a_stop_is_named():
    broken = sample()
    broken.form.girths[0].reading_mm = 60.0
    assert "MATCH-007" in codes(held(OWN, broken))


def test_no_reading_on_the_upper():
    one = held("400:90")
    assert (one.verdict, one.why, one.rows) == (Verdict.NO, ("beyond",), ())


def test_best_first_and_what_cannot_be_worked_is_named():
    jobs = [(name, sample(name)) for name in SAMPLES]
    found = match([*jobs, ("empty", Job())], read(OWN), samples=500)
    assert found.matches[0].name == "barrel"
    assert [one.verdict.rank for one in found.matches] == sorted(one.verdict.rank for one in found.matches)
    assert [one.name for one in found.not_read] == ["empty"]
    assert found.fits
    assert not match([], read(OWN)).matches


def test_every_sample_knows_its_own_knife():
    for name in SAMPLES:
        job = sample(name)
        straps = [g for g in job.form.girths if g.reading_mm and g.instrument == "strap_butted"]
        if len(straps) < 2:
            continue
        text = " ".join(f"{one.station_mm}:{one.reading_mm}" for one in straps)
        one = held(text, job)
        assert abs(one.worst) < 0.5, name


def test_a_finished_girth_of_the_old_sheath_says_nothing_of_the_new():
    old = sample(made__finished_girth_mm=90.0, made__pull_n=[80.0])
    assert held(OWN, old).as_it_is.draw == held(OWN).as_it_is.draw


@settings(max_examples=6, deadline=None)
@given(st.floats(-2, 2))
def test_a_tube_is_off_by_what_its_girth_is(more):
    """The whole piece is off by the difference of the girths, and each row by half of it: closed form on a tube."""
    more = round(more, 2)
    read_at = 40 * 3.141592653589793 + 3.141592653589793 * 2 + more
    knife = read(f"10:{read_at:.4f}; 50:{read_at:.4f}; 95:{read_at:.4f}", strap="2")
    one = match([("tube", tube())], knife, samples=200).matches[0]
    assert [row.off for row in one.rows] == pytest.approx([-more] * len(one.rows), abs=0.05)
    assert [row.by for row in one.rows] == pytest.approx([more / 2] * len(one.rows), abs=0.05)
    assert (one.verdict is Verdict.MOVE) >= (more > 1.1 or more < -0.8)


def test_it_stops_when_asked():
    class Stop:
        def at(self, done: int, total: int, doing: str) -> None: ...

        def stop_asked(self) -> bool:
            return True

    with pytest.raises(Stopped):
        match([("barrel", sample())], read(OWN), Stop())
