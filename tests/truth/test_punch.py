"""Round punches by number."""

from __future__ import annotations

import pytest

from backseam.pattern.hanger import punch_diameter, punch_number


@pytest.mark.parametrize(
    ("number", "diameter"),
    [
        (-1, 1.6),  # No. 00
        (0, 2.0),
        (1, 2.4),
        (2, 2.8),
        (3, 3.2),
        (4, 3.6),
        (5, 4.0),
        (6, 4.4),
        (7, 4.8),
        (8, 5.2),
    ],
)
def test_punch_numbers(number: int, diameter: float) -> None:
    """The trade's table: No. 0 is 5/64 inch (craft handbook), each number 1/64 more; mm to one decimal."""
    assert round(punch_diameter(number), 1) == diameter
    assert punch_number(diameter) == number


def test_no_zero_is_five_sixty_fourths() -> None:
    """Exact: 5/64 of 25.4 mm."""
    assert punch_diameter(0) == 1.984375
