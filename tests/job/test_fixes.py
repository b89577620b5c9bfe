"""Every fix clears its finding: applied to a job that has it, the finding is gone."""

from __future__ import annotations

from typing import Any

import pytest
from tests.jobs import raw

from backseam.ground.findings import Finding
from backseam.job.document import Job
from backseam.job.fixes import changed, finding_rows, fix_for
from backseam.job.recipe import Worked, work

CASES: dict[str, dict[str, Any]] = {
    "HANGER-001": {"construction__hanger__from_stitch_mm": 4.5},
    "HANGER-002": {"construction__hanger__from_stitch_mm": 2.0},
    "HANGER-003": {"construction__hanger__top_below_flap_mm": 1.0},
    "HANGER-004": {"construction__collar": "plain", "construction__hanger__top_below_flap_mm": 3.0},
    "HANGER-008": {"construction__hanger__from_stitch_mm": 70.0},
    "HANGER-009": {"construction__hanger__rows_apart_mm": 4.0},
    "HANGER-010": {"construction__hanger__rows_apart_mm": 8.0},
    "HANGER-011": {"construction__hanger__play_mm": 2.0},
    "HANGER-012": {"construction__hanger__punch_mm": 3.0},
    "HANGER-013": {"construction__hanger__punch_mm": 8.0},
    "SEAM-001": {"construction__pitch_mm": 2.6, "construction__tool": "free"},
    "SEAM-002": {"construction__trimmed_flange_mm": 1.0},
    "SEAM-003": {"construction__first_hole_mm": 1.0},
    "SEAM-004": {"construction__last_hole_mm": 1.0, "construction__tool": "free"},
    "SEAM-005": {"construction__thread_mm": 0.3},
    "SEAM-006": {"construction__thread_mm": 2.0},
    "SEAM-007": {"construction__pitch_mm": 2.2, "construction__tool": "free"},
    "SEAM-008": {"construction__pitch_mm": 9.0, "construction__tool": "free"},
    "SEAM-013": {},
    "SEAM-016": {"construction__slant_deg": 56.0},
    "COLLAR-003": {"construction__collar_skive_mm": 8.0},
    "COLLAR-004": {"construction__collar_skive_mm": 15.5},
    "COLLAR-005": {"construction__collar_skive_mm": 60.0},
    "COLLAR-006": {"construction__collar_flap_mm": 0.3},
    "COLLAR-007": {"construction__collar_depth_mm": 5.0},
    "COLLAR-008": {"construction__collar_depth_mm": 40.0},
    "COLLAR-013": {"construction__mouth_read": None},
    "BLANK-006": {"construction__seam_inside_radius_mm": 0.1},
    "BLANK-007": {"construction__seam_inside_radius_mm": 9.0},
    "THREAD-004": {"construction__thread_tail_mm": 20.0},
    "THREAD-005": {"construction__locking_stitches": 0},
    "JOB-001": {"leather__thickness_mm": [0.079]},
    "READ-012": {"form__girths__2__instrument": None},
    "FORM-003": {"form__landmarks__mouth_mm": 132},
}


def document(changes: dict[str, Any]) -> dict[str, Any]:
    made = raw("barrel")
    for path, value in changes.items():
        at: Any = made
        *way, last = path.split("__")
        for key in way:
            at = at[int(key)] if key.isdigit() else at.setdefault(key, {})
        if value is None:
            at.pop(last, None)
        else:
            at[last] = value
    return made


def having(made: Worked, code: str) -> list[Finding]:
    return [one for one in made.findings if one.code == code]


@pytest.mark.parametrize("code", list(CASES))
def test_a_fix_clears_its_finding(code: str) -> None:
    before = document(CASES[code])
    made = work(Job.model_validate(before))
    found = having(made, code)
    assert found, f"the case does not raise {code}: {[one.code for one in made.findings]}"
    fix = fix_for(made, found[0])
    assert fix is not None
    assert fix.label
    changed(before, fix)
    after = work(Job.model_validate(before))
    assert found[0].where not in [one.where for one in having(after, code)]


def test_a_matter_for_hand_or_eye_has_no_fix() -> None:
    made = work(Job.model_validate(raw("barrel")))
    assert all(fix_for(made, one) is None for one in having(made, "PIECE-006"))


def test_rows_carry_text_remedy_and_fix() -> None:
    made = work(Job.model_validate(raw("barrel")))
    rows = finding_rows(made)
    assert [row["code"] for row in rows] == [one.code for one in made.findings]
    fixes = [row["fix"] for row in rows if row["fix"]]
    assert fixes
    assert all(set(fix) == {"label", "changes"} for fix in fixes)


def test_a_label_names_the_field_and_the_value() -> None:
    made = work(Job.model_validate(document(CASES["HANGER-001"])))
    (found,) = having(made, "HANGER-001")
    fix = fix_for(made, found)
    assert fix is not None
    assert fix.label == f"Set from the seam to {fix.changes[0].value} mm"
