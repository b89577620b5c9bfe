"""Two versions side by side: every difference, and nothing else."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from backseam.store.compare import differences

plain = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.text("abc", max_size=3),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from("abc"), inner, max_size=3),
    max_leaves=8,
)


@given(plain)
def test_a_document_does_not_differ_from_itself(value):
    assert differences(json.dumps(value), json.dumps(value)) == ()


@given(plain, plain)
def test_both_ways_name_the_same_fields(one, other):
    a, b = json.dumps(one), json.dumps(other)
    assert {d.where for d in differences(a, b)} == {d.where for d in differences(b, a)}
    same = json.dumps(one, sort_keys=True) == json.dumps(other, sort_keys=True)
    assert not (same and differences(a, b))


def test_a_reading_that_changed_is_named_by_its_place():
    mine = {"form": {"girths": [{"reading_mm": 86.0}, {"reading_mm": 91.0}]}}
    theirs = {"form": {"girths": [{"reading_mm": 86.5}, {"reading_mm": 91.0}]}}
    (one,) = differences(json.dumps(mine), json.dumps(theirs))
    assert (one.where, one.mine, one.theirs) == (("form", "girths", 0, "reading_mm"), 86.0, 86.5)


def test_true_is_not_one():
    assert len(differences("true", "1")) == 1
