"""From the document to the core's inputs: what is left open is filled, and said."""

import pytest
from tests.jobs import raw, sample

from backseam.ground.errors import InputRefused
from backseam.job.document import Job
from backseam.job.inputs import inputs
from backseam.job.recipe import work
from backseam.job.text import job_of


def test_a_bare_document_gets_the_house_defaults():
    given = inputs(Job.model_validate({"form": {"girths": [{"station_mm": 0, "reading_mm": 90}]}}))
    assert given.leather.thickness == 2.0
    assert given.construction.seam_inside_radius == 1.0
    assert given.construction.collar.flap == 1.0
    assert given.construction.stitching.pitch == 4.0
    assert [f.code for f in given.findings] == ["READ-012"]


def test_thickness_is_the_mean_and_the_strap_is_as_thick():
    given = inputs(sample(leather__thickness_mm=[2.2, 2.4, 2.0]))
    assert given.leather.thickness == pytest.approx(2.2)
    assert given.leather.thickness_spread == pytest.approx(0.2)
    assert given.form.readings[0].thickness == pytest.approx(2.2)


def test_heights_from_the_junction_need_the_reach_and_give_the_same_piece():
    document = raw()
    for row in document["form"]["girths"]:
        row["station_mm"] -= 95
    for shape in document["form"]["sections"]:
        shape["station_mm"] -= 95
    marks = document["form"]["landmarks"]
    for key in ("liner_end_mm", "junction_mm", "thickest_mm", "mouth_mm"):
        marks[key] -= 95
    for groove in marks["grooves"]:
        groove["station_mm"] -= 95
    document["form"]["heights_from"] = "junction"
    with pytest.raises(InputRefused, match="reach"):
        inputs(Job.model_validate(document))
    document["form"]["reach_mm"] = 95
    a, b = work(sample()), work(Job.model_validate(document))
    assert a.seam.right == b.seam.right


def test_a_strap_correction_changes_bias_and_spread_of_straps_only():
    given = inputs(sample("slim", form__strap_correction={"bias_mm": 0.4, "spread_mm": 0.3}))
    assert all(r.bias == 0.0 for r in given.form.readings)
    given = inputs(sample("barrel", form__strap_correction={"bias_mm": 0.4, "spread_mm": 0.3}))
    assert all(r.bias == 0.4 and r.spread == 0.3 for r in given.form.readings)


def test_a_bend_without_heights_along_is_a_check():
    job = sample("bent-inside")
    job.form.heights_along = None
    assert "READ-010" in [f.code for f in inputs(job).findings]


@pytest.mark.parametrize(
    ("axis", "words"),
    [
        ({"kind": "angle", "angle_deg": 10}, "angle_deg, from_mm, to_mm"),
        ({"kind": "angle", "angle_deg": 10, "from_mm": 50, "to_mm": 50}, "the same"),
        ({"kind": "offsets", "offsets": [{"station_mm": 0, "offset_mm": 0}]}, "three heights"),
    ],
)
def test_half_a_bend_is_refused_in_one_sentence(axis, words):
    with pytest.raises(InputRefused, match=words):
        inputs(sample(form__axis=axis))


def test_a_polygon_in_one_line_is_refused():
    with pytest.raises(InputRefused, match="three points"):
        inputs(sample(form__sections=[{"kind": "polygon", "points_mm": [[0, 0], [1, 1], [2, 2]]}]))


def test_a_polygon_section_goes_through():
    points = [[-9, -13], [9, -13], [9, 13], [-9, 13]]
    w = work(sample(form__sections=[{"kind": "polygon", "points_mm": points}]))
    assert not w.stopped


def test_the_corners_of_a_polygon_may_be_a_text():
    """One corner a line; a point, comma or inch as elsewhere (1 in = 25.4 mm, exact)."""
    section = {"kind": "polygon", "points_mm": '-9 -13\n9; -13\n\n9,0\t13\n-1/2" 13'}
    job = sample(form__sections=[section])
    assert job.form.sections[0].points_mm == [(-9, -13), (9, -13), (9, 13), (-12.7, 13)]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("-9 -13\n9\n9 13", "Line 2 has 1 of the two numbers"),
        ("-9 -13\n9 -13 4\n9 13", "Line 2 has 3 of the two numbers"),
        ("-9 -13\n9 -13\n9 1x3", "Line 3: "),
    ],
)
def test_a_corner_that_cannot_be_read_is_named_by_its_line(text, words):
    with pytest.raises(InputRefused, match=words) as met:
        job_of({**raw(), "form": {**raw()["form"], "sections": [{"kind": "polygon", "points_mm": text}]}})
    assert met.value.where == ("form", "sections", 0, "points_mm")
