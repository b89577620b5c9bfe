"""Any field by its path: every path of the document can be set and read back; slips are named."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.voice import assert_clear, refusal_of

from backseam.ground.errors import InputRefused
from backseam.job.document import Job
from backseam.job.paths import all_paths, get, put, put_all, steps_of
from backseam.job.text import dumps, loads

# Paths the issue names, and what each may be set to.
NAMED = [
    ("leather.thickness_mm", "2.2", [2.2]),
    ("leather.thickness_mm", "[2.0,2.1]", [2.0, 2.1]),
    ("leather.thickness_mm", "2,0 2,1 1,9", [2.0, 2.1, 1.9]),
    ("leather.thickness_mm", "5 oz", [1.984375]),
    ("construction.seam_inside_radius_mm", "1,5", 1.5),
    ("construction.pitch_mm", '5/32"', 3.96875),
    ("construction.collar", "plain", "plain"),
    ("construction.collar", "Folded", "folded"),
    ("construction.collar_depth_mm", "1.5 cm", 15.0),
    ("construction.collar_flap_mm", "1", 1.0),
    ("construction.collar_skive_mm", "19", 19.0),
    ("construction.film_mm", "0.03", 0.03),
    ("construction.hanger", "none", {"kind": "none"}),
    ("construction.hanger.belt_width_mm", "38", 38.0),
    ("construction.tool_teeth", "4", 4),
    ("construction.slant_deg", "45°", 45.0),
    ("form.axis", "straight", {"kind": "straight"}),
    ("form.axis", '{"kind": "angle", "angle_deg": "8°", "from_mm": 40, "to_mm": 120}', None),
    ("form.sections", "octagon", [{"kind": "octagon"}]),
    ("form.sections", '[{"kind": "octagon"}, {"station_mm": 130, "kind": "oval"}]', None),
    ("form.landmarks.mouth_above_thickest_mm", "-3", -3.0),
    ("form.landmarks.grooves", "[]", []),
    ("leather.offcut_mm", "250 x 130", [250.0, 130.0]),
    ("leather.allowance_across_percent", "0,5 %", 0.5),
    ("leather.neutral_layer", "45 %", 0.45),
    ("title", "3/4 knife, [x]", "3/4 knife, [x]"),
    ("date", "2026-11-20", "2026-11-20"),
]


@pytest.mark.parametrize(("path", "text", "value"), NAMED)
def test_fields_are_set_by_path(path, text, value):
    job = put(Job(), path, text)
    if value is not None:
        found = get(job, path)
        assert (
            {k: v for k, v in found.items() if k != "typed"} if isinstance(found, dict) else found
        ) == value
    assert loads(dumps(job)) == job


def test_rows_are_added_and_changed():
    job = put(Job(), "form.girths[+]", '{"station_mm": 0, "reading_mm": "82,0"}')
    job = put_all(job, [("form.girths[+].station_mm", "95"), ("form.girths[1].reading_mm", "95,4")])
    assert [row.reading_mm for row in job.form.girths] == [82.0, 95.4]
    assert get(job, "form.girths[1].reading_mm") == 95.4
    assert get(put(job, "form.girths.1.reading_mm", 96), "form.girths.1.reading_mm") == 96.0


def test_null_takes_a_field_out_again():
    job = put(put(Job(), "leather.thickness_mm", "5 oz"), "leather.thickness_mm", "null")
    assert job.leather.thickness_mm is None
    assert "typed" not in dumps(job)


def test_a_number_given_anew_forgets_what_was_typed():
    job = put(put(Job(), "construction.pitch_mm", "4,0"), "construction.pitch_mm", 3.5)
    assert job.construction.typed == {}
    assert job.construction.pitch_mm == 3.5


SLIPS = [
    ("leather.thicknes_mm", "2", "leather.thickness_mm?"),
    ("thickness_mm", "2", "leather.thickness_mm?"),
    ("leather.thickness", "2", "leather.thickness_mm?"),
    ("construction.colar", "plain", "construction.collar?"),
    ("zzz", "2", "no field"),
    ("", "2", "no path"),
    ("a b", "2", "no path"),
    ("form..girths", "2", "no path"),
    ("leather.thickness_mm", "", "Nothing stands here"),
    ("leather.thickness_mm", "nan", "measured"),
    ("leather.thickness_mm", "-2", "below zero"),
    ("leather.thickness_mm", "[2,", "no whole list"),
    ("leather.thickness_mm", "[]", "fewer"),
    ("leather.thickness_mm", "[1,1,1,1,1,1]", "more than the 5"),
    ("construction.pitch_mm", "0", "not above 0"),
    ("construction.collar", "fold", "folded?"),
    ("construction.collar", "", "not one of"),
    ("form.girths", "3", "list in square brackets"),
    ("form.girths[7].station_mm", "3", "counted from 0"),
    ("form", "x", "group of fields"),
    ("leather.offcut_mm", "250", "missing"),
    ("version", "7", "always 1"),
    ("kind", "x", "always backseam.job"),
    ("title", "a\x07b", "U+0007"),
    ("date", "20.11.2026", "not a day"),
]


@pytest.mark.parametrize(("path", "text", "part"), SLIPS)
def test_slips_are_told_in_one_sentence(path, text, part):
    with pytest.raises(InputRefused) as refused:
        put(Job(), path, text)
    assert part in str(refused.value)
    assert_clear(str(refused.value))


def test_every_path_can_be_asked_for():
    for path in all_paths():
        if "[]" not in path:
            get(Job(), path)
    assert "form.girths[].reading_mm" in set(all_paths())


def test_steps():
    assert steps_of("form.girths[+].typed.reading_mm") == ("form", "girths", -1, "typed", "reading_mm")


@given(st.text(max_size=30), st.text(max_size=30))
def test_any_path_and_value_is_set_or_refused(path, text):
    refused = refusal_of(put, Job(), path, text)
    assert refused is None or str(refused)


@given(st.sampled_from(sorted(all_paths())), st.text(max_size=20))
def test_any_text_at_a_true_path_is_taken_or_refused(path, text):
    refused = refusal_of(put, Job(), path.replace("[]", "[+]"), text)
    assert refused is None or str(refused)
