"""Gates with what was written into them. Limits come from the gates themselves (tests/making); here: what is read."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest

from backseam.job.as_made import KEYS
from backseam.job.document import Job
from backseam.job.gate_rows import FOUND_AS, GateRow, gate_rows
from backseam.job.recipe import Worked, work

BARREL = json.loads(files("backseam.samples").joinpath("barrel.json").read_bytes())


@pytest.fixture(scope="module")
def plain() -> Worked:
    """The sample, nothing written in."""
    return work(Job.model_validate(BARREL))


def written(plain: Worked, gate: str, *read: str) -> GateRow:
    """The row of one gate after something was written in."""
    making = {"gates": [{"gate": gate, "read": list(read)}]}
    job = Job.model_validate({**BARREL, "making": making})
    from dataclasses import replace

    return next(row for row in gate_rows(replace(plain, job=job)) if row.id == gate)


def test_nothing_written_is_open(plain: Worked) -> None:
    rows = gate_rows(plain)
    assert {row.state for row in rows} == {"open"}
    assert [row.id for row in rows if len(row.boxes) == 2] == ["rows_count", "rows_length"]


def test_a_count_holds_only_when_both_rows_have_it(plain: Worked) -> None:
    n = plain.seam.count
    assert written(plain, "rows_count", str(n), str(n)).state == "held"
    assert written(plain, "rows_count", str(n), "").state == "open"
    out = written(plain, "rows_count", str(n), str(n + 1))
    assert (out.state, out.found) == ("out", (("holes_left", str(n)), ("holes_right", str(n + 1))))


def test_lengths_are_read_as_typed(plain: Worked) -> None:
    height = plain.upper.height
    assert written(plain, "fold", f"{height:.1f}".replace(".", ",")).state == "held"
    assert written(plain, "fold", f'{height / 25.4:.2f}"').state == "held"
    assert written(plain, "fold", f"{height + 3:.1f}").state == "out"
    assert written(plain, "fold", "as it should be").state == "open"


def test_a_tick_is_enough_where_there_is_no_number(plain: Worked) -> None:
    assert written(plain, "clamp", "yes").state == "held"


def test_what_is_out_can_be_asked_of_a_rescue() -> None:
    assert {key for keys in FOUND_AS.values() for key in keys} <= set(KEYS)
