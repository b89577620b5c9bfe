"""Loops for the belts people wear, and the ounces their leather is sold by."""

from __future__ import annotations

import pytest

from backseam.ground.units import INCH, OUNCE_OF_THICKNESS
from backseam.pattern.hanger import loop_length


@pytest.mark.parametrize(("belt", "inside"), [(38.0, 99.0), (40.0, 103.0), (50.0, 123.0)])
def test_inside_of_a_loop(belt: float, inside: float) -> None:
    """Common practice, no source: 2 (B + t_b) + 15 for a belt 4 thick."""
    assert loop_length(belt, 4.0, 15.0) == inside


@pytest.mark.parametrize(("inches", "fits"), [(1.25, 32), (1.5, 38), (1.75, 45), (2.0, 51)])
def test_a_loop_for_the_metric_width_takes_the_belt_in_inches(inches: float, fits: float) -> None:
    """Belts come in quarter inches (trade sizes, from memory); a metric loop keeps its play."""
    left = loop_length(fits, 4.0, 15.0) - 2 * (inches * INCH + 4.0)
    assert left == pytest.approx(15.0, abs=1.2)


@pytest.mark.parametrize(
    ("ounces", "thickness"), [(1, 0.40), (3, 1.19), (5, 1.98), (6, 2.38), (8, 3.17), (10, 3.97), (12, 4.76)]
)
def test_ounces_of_leather(ounces: int, thickness: float) -> None:
    """The trade's table, an ounce being 1/64 inch. Common practice, no source: 5 oz is about 2 mm, 10 about 4."""
    assert ounces * OUNCE_OF_THICKNESS == pytest.approx(thickness, abs=0.0051)
    assert ounces * 0.4 == pytest.approx(thickness, abs=0.05)
