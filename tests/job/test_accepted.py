"""Acceptance of a check: kept in the job with its reason, gone when what it speaks of moves, never for a stop."""

from __future__ import annotations

from typing import Any

import pytest
from tests.jobs import sample

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, Severity, finding
from backseam.ground.speech import Speech
from backseam.job.accepted import AcceptedPart, datum_of, open_checks, reason_for
from backseam.job.fixes import finding_rows
from backseam.job.recipe import Worked, work
from backseam.job.text import dumps, job_of, loads
from backseam.job.way import way
from backseam.papers.sheets import bench_card

CLOSE: dict[str, Any] = {"construction__hanger__from_stitch_mm": 4.5}
WHY = "Tried on a piece of scrap, it holds"


def _found(worked: Worked) -> Finding:
    return next(one for one in worked.findings if one.severity is Severity.CHECK)


def _accepting(worked: Worked, found: Finding) -> dict[str, Any]:
    return {
        "code": found.code,
        "where": list(found.where),
        "datum": datum_of(worked.job, found),
        "why": WHY,
    }


@pytest.fixture(scope="module")
def worked() -> Worked:
    return work(sample(**CLOSE))


def test_it_is_kept_and_told(worked: Worked) -> None:
    one = _accepting(worked, _found(worked))
    job = loads(dumps(sample(**CLOSE, accepted=[one])))
    again = work(job)
    told = {row["code"]: row for row in finding_rows(again)}
    assert told[one["code"]]["accepted"] == WHY
    assert told[one["code"]]["datum"] == one["datum"]
    assert open_checks(job, job.accepted, again.findings) == open_checks(job, (), again.findings) - 1
    upper = next(leg for leg in way(job, again, Speech()) if leg.key == "upper")
    before = next(leg for leg in way(worked.job, worked, Speech()) if leg.key == "upper")
    assert upper.text != before.text


def test_it_lapses_when_its_datum_moves(worked: Worked) -> None:
    one = _accepting(worked, _found(worked))
    moved = work(sample(**{**CLOSE, "construction__hanger__from_stitch_mm": 4.2}, accepted=[one]))
    assert any(found.code == one["code"] for found in moved.findings)
    assert {row["accepted"] for row in finding_rows(moved)} == {""}


def test_it_holds_while_something_else_moves(worked: Worked) -> None:
    one = _accepting(worked, _found(worked))
    moved = work(sample(**CLOSE, customer="Somebody else", accepted=[one]))
    assert WHY in {row["accepted"] for row in finding_rows(moved)}


def test_neither_a_stop_nor_a_note_is_accepted(worked: Worked) -> None:
    for code in ("COLLAR-009", "SEAM-013"):
        found = finding(code, ("construction",), **dict.fromkeys(("a", "b"), 1.0))
        assert found.severity is not Severity.CHECK
        part = AcceptedPart(code=code, where=["construction"], datum=datum_of(worked.job, found), why=WHY)
        assert reason_for(worked.job, (part,), found) == ""


@pytest.mark.parametrize("why", ["", "   ", "x" * 501])
def test_a_reason_is_needed_and_short(why: str) -> None:
    one = {"code": "A-1", "datum": "d", "why": why}
    with pytest.raises(InputRefused, match=r"accepted"):
        job_of(sample().model_dump(mode="json", exclude_none=True) | {"accepted": [one]})


def test_the_bench_card_has_it_last_with_its_reason(worked: Worked) -> None:
    found = _found(worked)
    content = bench_card.contents(worked, reason=lambda one: WHY if one is found else "")
    items = content["findings"]["items"]
    assert items[-1]["remedy"].replace("\u200b", "") == f"Accepted: {WHY}"
    assert [one for one in items[:-1] if "Accepted" in one["remedy"]] == []
