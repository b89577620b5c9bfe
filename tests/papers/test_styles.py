"""Each role has a line; dashes end on a dash."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from backseam.papers.model import Role
from backseam.papers.styles import style, styles

DASHED = [s.role for s in styles() if s.dashes]


def test_each_role_has_one_line_of_the_group() -> None:
    assert [s.role for s in styles()] == list(Role)
    assert {s.width for s in styles()} == {0.5, 0.25, 0.35}


def test_only_the_preview_mark_is_pale() -> None:
    assert {s.role for s in styles() if s.ink != 1} == {Role.PREVIEW}


@pytest.mark.parametrize("role", DASHED)
@given(length=st.floats(0.01, 2000), closed=st.booleans())
def test_a_dashed_line_is_whole_dashes_and_begins_and_ends_on_one(
    role: Role, length: float, closed: bool
) -> None:
    look = style(role)
    dashes = look.fitted(length, closed=closed)
    if not dashes:
        assert length < 2 * sum(look.dashes)
        return
    period = sum(dashes)
    repeats = (length if closed else length - dashes[0]) / period
    assert repeats == pytest.approx(round(repeats), abs=1e-6)
    assert len(dashes) == len(look.dashes)
    assert all(d > 0 for d in dashes)


@pytest.mark.parametrize("role", DASHED)
def test_long_lines_keep_the_dashes_of_the_standard(role: Role) -> None:
    look = style(role)
    assert look.fitted(300.0) == pytest.approx(look.dashes, rel=0.12)


def test_a_dotted_line_keeps_its_dots() -> None:
    look = style(Role.SKIVE)
    assert look.fitted(7.3)[0] == look.dashes[0]
