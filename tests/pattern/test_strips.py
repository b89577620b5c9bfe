"""Check strips: mark to mark on the form as it was read."""

from __future__ import annotations

from math import pi
from types import SimpleNamespace
from typing import Any

import pytest

from backseam.pattern.strips import check_strips


def form(*rows: dict[str, Any]) -> Any:
    """Only what a strip needs of a form: its rows."""
    return SimpleNamespace(rows=tuple(SimpleNamespace(**row) for row in rows))


TUBE = {"name": "tube", "station": 50.0, "read_at": 50.0, "bare": 40 * pi, "over_film": False, "spread": 0.5}
FILMED = {"name": "mouth", "station": 136.0, "read_at": 136.0, "bare": 95.2, "over_film": True, "spread": 2.0}


def test_a_strip_is_the_girth_and_what_the_paper_takes_up() -> None:
    tube, mouth = check_strips(form(TUBE, FILMED))
    assert tube.length == pytest.approx(40 * pi + 0.1 * pi)
    assert mouth.length == pytest.approx(95.2 + 0.1 * pi)
    assert (tube.station, mouth.station) == (50.0, 136.0)


def test_it_is_for_the_form_as_it_was_read() -> None:
    tube, mouth = check_strips(form(TUBE, FILMED))
    assert (tube.over_film, mouth.over_film) == (False, True)
    assert (tube.spread, mouth.spread) == (0.5, 2.0)


def test_card_is_longer_than_paper() -> None:
    (paper,), (card,) = check_strips(form(TUBE)), check_strips(form(TUBE), paper=0.3)
    assert card.length - paper.length == pytest.approx(0.2 * pi)
    assert card.paper == 0.3


def test_no_reading_no_strip() -> None:
    assert check_strips(form()) == ()
