"""What is found, how grave, and in which order."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.fit.conftest import foreseen, parts, with_marks, worked

from backseam.fit.doubts import doubts, few, rim_stands
from backseam.fit.grip import grip
from backseam.fit.hold import Settled
from backseam.fit.tested import Measured
from backseam.ground.findings import Severity, finding
from backseam.ground.speech import Speech, words


def codes(fit):
    return [item.code for item in fit.findings]


def test_a_knife_that_may_fall_out_stands_first(fit):
    assert fit.loses > 0.05
    assert codes(fit)[0] == "FIT-001"
    assert fit.findings[0].severity is Severity.CHECK
    assert fit.findings[0].numbers == {"few": few(fit.loses)}


def test_it_is_told_otherwise_once_the_girth_is_known(barrel):
    loose = foreseen(barrel, tested=Measured(finished_girth=95.3))
    assert codes(loose)[0] == "FIT-002"
    assert "FIT-009" not in codes(loose)


def test_a_draw_that_slips_the_hand(fit, barrel):
    assert "FIT-003" in codes(fit)
    hard = foreseen(barrel, tested=Measured(finished_girth=93.4, pull=120.0))
    assert "FIT-004" in codes(hard)
    assert "FIT-002" not in codes(hard)


def test_a_sure_hold_finds_nothing_of_that(barrel):
    sure = foreseen(barrel, tested=Measured(finished_girth=94.3, pull=30.0))
    assert not {"FIT-001", "FIT-002", "FIT-003", "FIT-004", "FIT-009"} & set(codes(sure))


def test_a_thin_mouth_folds_under_the_thumb(barrel):
    thin = worked("barrel", leather__thickness_mm=(1.3,), construction__collar="plain")
    told = next(item for item in foreseen(thin).findings if item.code == "FIT-005")
    assert told.numbers["enough"] > 1.3
    held = grip(*parts(barrel))
    assert rim_stands(held, 3.0) == pytest.approx(9 * rim_stands(held, 1.0))
    assert "FIT-005" not in codes(foreseen(barrel))


def test_no_click_where_the_mouth_is_at_the_thickest(barrel):
    level = foreseen(with_marks(barrel, mouth=141.0))
    assert "FIT-006" in codes(level)
    assert "FIT-006" not in codes(foreseen(barrel))  # 7 above: nothing to raise


def test_no_junction_no_certain_length(barrel):
    assert "FIT-007" in codes(foreseen(with_marks(barrel, junction=None, liner_end=None)))


def test_no_handle_in_the_upper(barrel):
    fit = foreseen(with_marks(barrel, junction=147.0, liner_end=147.0))
    assert codes(fit)[0] == "FIT-008"
    assert fit.draw.high == 0


def test_sums_that_did_not_settle_are_told_with_their_residual(fit, barrel):
    bad = replace(fit, settled=Settled(630, 400, 3, 0.012, 0.31))
    found = doubts(bad, grip(*parts(barrel)), junction_read=True)
    told = {item.code: item for item in found}
    assert "3 of 630" in told["FIT-015"].text()
    assert "1.2 %" in told["FIT-015"].text()
    assert "31 %" in told["FIT-016"].text()


def test_nothing_measured_is_told_once(fit):
    assert codes(fit).count("FIT-009") == 1


def test_no_forecast_stops_a_sheet():
    assert "stop" not in {record["severity"] for record in words("en", "findings/fit").values()}


def test_no_force_is_said_before_it_is_known(fit):
    for item in fit.findings:
        assert " N" not in item.text()
        assert " N" not in item.remedy()


def test_few_is_never_none_and_never_more_than_all():
    assert [few(share) for share in (0.0, 0.051, 0.5, 1.0)] == [1, 1, 10, 20]


@pytest.mark.parametrize("code", sorted(words("en", "findings/fit")))
def test_every_finding_speaks_in_both_units(code):
    threes = "few wall girth enough lip wanted inside mouth junction pull low high"
    twos = "handle least most count cases steps residual error drop cut"
    numbers, more = dict.fromkeys(threes.split(), 3.0), dict.fromkeys(twos.split(), 2.0)
    told = finding(code, **numbers, **more, times="3 times", highest=7.0, top=140.0)
    if code in ("FIT-020", "FIT-023", "FIT-024", "FIT-025"):
        told = finding(code, **{**numbers, "wanted": "A firm hold"}, **more, highest=7.0)
    for units in ("mm", "inch"):
        assert told.text(Speech(units))
        assert told.remedy(Speech(units))
