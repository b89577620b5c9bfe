"""Steps from version to version, tried with steps made up for the test."""

from __future__ import annotations

import pytest

from backseam.ground.errors import DocumentTooNew
from backseam.job.document import KIND, VERSION
from backseam.job.upgrade import STEPS, upgraded


def test_there_is_a_step_for_every_old_version():
    assert set(STEPS) == set(range(1, VERSION))


def test_steps_run_in_order_and_only_those_needed():
    steps = {
        1: lambda raw: {**raw, "title": raw["name"] + "1"},
        2: lambda raw: {**raw, "title": raw["title"] + "2"},
    }
    old = {"kind": KIND, "version": 1, "name": "k"}
    assert upgraded(old, steps, 3) == {"kind": KIND, "version": 3, "name": "k", "title": "k12"}
    newer = {"kind": KIND, "version": 2, "title": "x"}
    assert upgraded(newer, steps, 3)["title"] == "x2"
    assert old == {"kind": KIND, "version": 1, "name": "k"}


def test_a_newer_document_is_not_touched():
    with pytest.raises(DocumentTooNew, match="version 9"):
        upgraded({"kind": KIND, "version": 9})
