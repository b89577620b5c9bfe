"""Why is this here: the right inputs are named, with the right slopes."""

import numpy as np
import pytest
from tests.jobs import sample, tube

from backseam.ground.errors import InputRefused
from backseam.job.explain import why


def by_path(answer):
    return {r.path: r for r in answer.reasons}


def test_a_station_of_a_tube_names_its_reading_with_half_its_slope():
    found = by_path(why(tube(), "station:1"))
    reading = found["form.girths.0.reading_mm"]
    assert reading.moves["half width"] == pytest.approx(0.5, abs=0.01)
    assert "thread" in reading.label
    assert found["form.girths.0.instrument_mm"].moves["half width"] == pytest.approx(-np.pi / 2, abs=0.02)
    assert found["leather.thickness_mm"].moves["half width"] == pytest.approx(
        (np.pi - (2 - np.pi / 2)) / 2, abs=0.1
    )
    assert "construction.pitch_mm" not in found


def test_a_hole_names_pitch_ends_and_readings():
    answer = why(sample(), "hole:12")
    found = by_path(answer)
    assert {
        "form.girths.2.reading_mm",
        "construction.seam_inside_radius_mm",
        "construction.first_hole_mm",
    } <= set(found)
    assert found["construction.seam_inside_radius_mm"].assumed
    assert not found["form.girths.2.reading_mm"].assumed
    strongest = [r.over_spread for r in answer.reasons]
    assert strongest == sorted(strongest, reverse=True)


def test_left_and_right_holes_mirror_their_reasons():
    right, left = (by_path(why(tube(), f"hole:3{side}")) for side in ("", ":left"))
    path = "form.girths.0.reading_mm"
    assert left[path].moves["x"] == pytest.approx(-right[path].moves["x"])


@pytest.mark.parametrize("what", ["thread", "blank", "pitch", "ring", "strip:2", "hanger:1"])
def test_everything_can_be_asked(what):
    answer = why(sample(), what)
    assert answer.values
    assert answer.reasons


@pytest.mark.parametrize("what", ["hole:0", "hole:900", "station:77", "rivet", "", "strip:99", "hanger:50"])
def test_what_is_not_there_is_refused_in_one_sentence(what):
    with pytest.raises(InputRefused, match="There is no"):
        why(sample(), what)
