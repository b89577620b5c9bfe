"""Names for the units used inside, and their exact definitions.

Inside Backseam lengths are millimetres, angles radians, shares 0-1. Other units are turned here, at the doors.
Source of the inch: the international yard and pound agreement, 1959 (1 inch = 25.4 mm exactly).
"""

from __future__ import annotations

from fractions import Fraction
from typing import TypeAlias

Mm: TypeAlias = float
Mm2: TypeAlias = float
Radian: TypeAlias = float
Degree: TypeAlias = float
Share: TypeAlias = float
Strain: TypeAlias = float
PerMm: TypeAlias = float
MPa: TypeAlias = float  # N/mm2
Newton: TypeAlias = float
Gram: TypeAlias = float
Second: TypeAlias = float
Minute: TypeAlias = float
Celsius: TypeAlias = float

INCH: Mm = 25.4
CENTIMETRE: Mm = 10.0
METRE: Mm = 1000.0
OUNCE_OF_THICKNESS: Mm = INCH / 64  # the leather trade's ounce: 1/64 inch
POUND: Gram = 453.59237
STANDARD_GRAVITY = 9.80665  # N that pull at a kilogram, si-2019
POINT: Mm = INCH / 72  # the typographer's point of PDF, ISO 32000


def inches(length: Mm, denominator: int = 32) -> str:
    """A length as inches and the nearest fraction.

    >>> inches(95.0)
    '3 3/4"'
    >>> inches(2.0, 64)
    '5/64"'
    >>> inches(-1.2)
    '-1/16"'
    """
    sign = "-" if length < 0 else ""
    parts = Fraction(round(abs(length) / INCH * denominator), denominator)
    whole, rest = divmod(parts, 1)
    if not rest:
        return f'{sign if whole else ""}{whole}"'
    return f'{sign}{whole} {rest}"' if whole else f'{sign}{rest}"'
