"""Sheets of paper against the tables of the standards."""

from __future__ import annotations

import pytest

from backseam.ground.units import INCH
from backseam.papers.page import SHEETS, area
from backseam.papers.sheet import iso_216

# ISO 216:2007, table 1, main series A, trimmed sizes in mm (values from memory, as printed on any ream).
A_SERIES = {
    0: (841, 1189),
    1: (594, 841),
    2: (420, 594),
    3: (297, 420),
    4: (210, 297),
    5: (148, 210),
    6: (105, 148),
    7: (74, 105),
    8: (52, 74),
    9: (37, 52),
    10: (26, 37),
}


@pytest.mark.parametrize(("number", "size"), A_SERIES.items())
def test_a_series_is_the_table_of_iso_216(number: int, size: tuple[int, int]) -> None:
    assert iso_216(number) == size


def test_a_series_keeps_its_sides_as_1_to_root_2() -> None:
    """ISO 216:2007, 3: each format halved gives the next, of the same shape; A0 has 1 m2. Tolerances to 1 mm."""
    for number in range(5):
        short, long = iso_216(number)
        assert long / short == pytest.approx(2**0.5, abs=1.5 / short)
    assert iso_216(0)[0] * iso_216(0)[1] == pytest.approx(1e6, rel=1e-3)


def test_sheets_of_north_america() -> None:
    """ASME Y14.1: A is 8.5 x 11 in, B is 11 x 17 in (from memory)."""
    letter, tabloid = SHEETS["Letter"], SHEETS["Tabloid"]
    assert (letter.width / INCH, letter.height / INCH) == pytest.approx((8.5, 11))
    assert (tabloid.width / INCH, tabloid.height / INCH) == pytest.approx((11, 17))
    assert (letter.width, letter.height) == pytest.approx((215.9, 279.4))


def test_a4_and_a3_are_those_of_the_series() -> None:
    assert [(SHEETS[n].width, SHEETS[n].height) for n in ("A4", "A3")] == [iso_216(4), iso_216(3)]


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=list(SHEETS))
def test_10_mm_stay_clear_on_each_side(sheet) -> None:  # type: ignore[no-untyped-def]
    box = area(sheet)
    assert (box.left, box.bottom) == (10, 10)
    assert (sheet.width - box.right, sheet.height - box.top) == pytest.approx((10, 10))
