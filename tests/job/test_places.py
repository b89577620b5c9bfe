"""The places on the sheath: each has its numbers, its sentence, and lies on the drawing."""

from __future__ import annotations

from functools import cache

import pytest
from tests.jobs import SAMPLES, raw, sample
from tests.voice import assert_clear

from backseam.ground.speech import Speech
from backseam.job.places import Place, places_of
from backseam.job.recipe import Worked, work
from backseam.job.views import sides


@cache
def worked(name: str) -> Worked:
    return work(sample(name))


def found(made: Worked, speech: Speech = Speech()) -> dict[str, Place]:  # noqa: B008
    return {one.key: one for one in places_of(made, sides(made), speech)}


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_has_the_places_of_its_construction(name: str) -> None:
    keys = set(found(worked(name)))
    assert {"draw", "mouth", "thickest", "bottom", "collar", "hanger", "seam"} <= keys
    assert ("upper_groove" in keys) == (len(worked(name).form.marks.grooves) == 2)


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_each_says_what_it_does_in_a_sentence(name: str, units: str) -> None:
    for one in found(worked(name), Speech(units)).values():  # type: ignore[arg-type]
        assert_clear(one.effect)
        assert one.name
        assert one.value


@pytest.mark.parametrize("name", SAMPLES)
def test_every_reading_within_the_sheath_is_at_one_place(name: str) -> None:
    paths = [
        field.path[2]
        for one in found(worked(name)).values()
        for field in one.fields
        if field.path[-1] == "reading_mm"
    ]
    mouth = worked(name).form.marks.mouth
    within = [row.index for row in worked(name).form.rows if row.station <= mouth + 0.05]
    assert sorted(paths) == sorted(within)


def test_fields_hold_what_was_typed() -> None:
    document = raw("barrel")
    document["form"]["girths"][3]["reading_mm"] = "102,0"
    from backseam.job.document import Job

    place = found(work(Job.model_validate(document)))["thickest"]
    field = place.fields[0]
    assert (field.path, field.typed, field.kind, field.unit) == (
        ("form", "girths", 3, "reading_mm"),
        "102,0",
        "length",
        "mm",
    )
    assert place.value == "102,0"


def test_choices_come_from_the_document() -> None:
    fields = {field.path[-1]: field for field in found(worked("barrel"))["thickest"].fields}
    assert {"value": "strap_butted", "label": "Strap, butted"} in fields["instrument"].choices
    assert fields["pull"].kind == "choice"
    assert fields["pull"].typed == ""


def test_a_place_without_a_reading_says_what_is_missing() -> None:
    document = raw("barrel")
    document["form"]["girths"] = document["form"]["girths"][:-1]
    from backseam.job.document import Job

    place = found(work(Job.model_validate(document)))["mouth"]
    assert "No reading at the mouth" in place.effect
    assert [field.path for field in place.fields] == [("form", "landmarks", "mouth_mm")]


def test_under_the_collar_the_piece_is_wider_than_a_bare_strap_reads() -> None:
    assert "Two layers" in found(worked("barrel"))["thickest"].effect
    assert "Two layers" not in found(worked("barrel"))["junction"].effect


@pytest.mark.parametrize("name", SAMPLES)
def test_left_places_lie_on_the_left_edge_and_right_ones_beyond_it(name: str) -> None:
    made = worked(name)
    places = found(made)
    for one in places.values():
        assert one.at["front"][1] <= 8.0
        if one.side == "left" and "piece" in one.at:
            assert one.at["piece"][0] < 0
        elif "piece" in one.at:
            assert one.at["piece"][0] > 0
    row = next(
        r for r in made.upper.stations if r.name == "thickest" or r.station == places["thickest"].station
    )
    assert -places["thickest"].at["piece"][0] == pytest.approx(
        row.half_width, abs=1.5
    )  # heights of a bend are not level


def test_what_the_page_takes_is_plain() -> None:
    import json

    told = [one.told() for one in found(worked("sideways")).values()]
    assert json.loads(json.dumps(told)) == told
