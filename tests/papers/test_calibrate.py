"""A printer's scale: measured, checked, taken out again."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from backseam.ground.errors import InputRefused
from backseam.papers.calibrate import Printer, corrected, factors, spread
from backseam.papers.model import Drawing, Ring, Role, Stroke, mark_box
from backseam.papers.page import SHEETS, Page, tile


def _printed(page: Page, across: float, along: float) -> Drawing:
    """What a printer of these factors makes of a page: it knows the paper, not how the drawing lies."""
    upright = page.sheet.width <= page.sheet.height
    return page.drawing.mapped(*((across, along) if upright else (along, across)))


def _bars(drawing: Drawing) -> tuple[float, float]:
    solid = [mark_box(m) for m in drawing.only(Role.BAR).marks if isinstance(m, Stroke) and m.fill == 1]
    return max(b.width for b in solid), max(b.height for b in solid)


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("scale", [1.0, 1.3])
@settings(max_examples=8, deadline=None)
@given(across=st.floats(0.971, 1.029), along=st.floats(0.971, 1.029))
def test_a_corrected_print_measures_150(
    pattern: Drawing, name: str, scale: float, across: float, along: float
) -> None:
    """Print, measure both bars, correct, print again."""
    page = tile(Drawing("", pattern.only(Role.CUT).marks).mapped(scale, scale), SHEETS[name], caption="")[0]
    upright = page.sheet.width <= page.sheet.height
    level, high = _bars(_printed(page, across, along))
    printer = Printer(level, high) if upright else Printer(high, level)
    again = _printed(corrected(page, printer), across, along)
    assert _bars(again) == pytest.approx((150.0, 150.0))


def test_a_printer_that_prints_99_73_per_cent(pattern: Drawing) -> None:
    (page,) = tile(pattern, SHEETS["A4"], caption="")
    assert _bars(_printed(page, 0.9973, 0.9973)) == pytest.approx((149.595, 149.595))
    assert _bars(_printed(corrected(page, Printer(149.595, 149.595)), 0.9973, 0.9973)) == pytest.approx(
        (150, 150)
    )


def test_everything_is_corrected_not_only_the_bars(pattern: Drawing) -> None:
    (page,) = tile(pattern, SHEETS["A4"], caption="")
    made = corrected(page, Printer(148.5, 151.5))
    for role in (Role.CUT, Role.SLIT, Role.PUNCH):
        before, after = (Drawing("", d.only(role).marks).box for d in (page.drawing, made.drawing))
        assert after.width == pytest.approx(before.width * 150 / 148.5, rel=0.002)
        assert after.height == pytest.approx(before.height * 150 / 151.5, rel=0.002)
    rings = [m for m in made.drawing.marks if isinstance(m, Ring)]
    assert rings[0].radius == pytest.approx(2.5, rel=1e-3)


def test_nothing_to_correct_leaves_the_page_alone(pattern: Drawing) -> None:
    (page,) = tile(pattern, SHEETS["A4"], caption="")
    assert corrected(page, Printer()) is page


def test_the_middle_of_the_sheet_stays() -> None:
    page = Page("A", SHEETS["A4"], Drawing("", (Ring((105, 148.5), 1, Role.PUNCH),)))
    (ring,) = corrected(page, Printer(149, 151)).drawing.marks
    assert isinstance(ring, Ring)
    assert ring.centre == pytest.approx((105, 148.5))


@pytest.mark.parametrize(("across", "along", "way"), [(140.0, 150.0, "across"), (150.0, 156.0, "along")])
def test_a_print_that_was_fitted_to_the_page_is_refused(across: float, along: float, way: str) -> None:
    with pytest.raises(
        InputRefused, match=f"The bar {way} the sheet measures 1..\\.0 mm instead of 150.0 mm"
    ) as found:
        factors(Printer(across, along))
    assert found.value.where == ("paper", f"bar_{way}_mm")


@pytest.mark.parametrize("bar", [0.0, -150.0, float("nan"), float("inf")])
def test_what_is_no_length_is_refused(bar: float) -> None:
    with pytest.raises(InputRefused, match="The bar across the sheet needs the length you measured"):
        factors(Printer(across=bar))


def test_limits_are_3_per_cent() -> None:
    assert factors(Printer(145.5, 154.5)) == pytest.approx((0.97, 1.03))
    for bar in (145.4, 154.6):
        with pytest.raises(InputRefused):
            factors(Printer(across=bar))


def test_spread_of_the_whole_bar_is_that_of_reading_it() -> None:
    assert spread(150.0) == pytest.approx(0.2)
    assert spread(0.0) == 0
