"""Lines against ISO 128 (values from memory of the standard's tables)."""

from __future__ import annotations

import pytest

from backseam.papers.model import Role
from backseam.papers.styles import style, styles

# ISO 128-20:1996, 4.1 and 4.2: number of the basic line, and its elements as multiples of the line width d:
# dot at most 0.5 d, gap 3 d, dash 12 d, long dash 24 d, space 18 d.
ELEMENTS = {
    "01": (),
    "02": (12, 3),
    "03": (12, 18),
    "04": (24, 3, 0.5, 3),
    "05": (24, 3, 0.5, 3, 0.5, 3),
    "07": (0.5, 3),
    "10": (12, 3, 0.5, 3),
}
# ISO 128-24:1999, table 2, line group 0.5: wide 0.5, narrow 0.25, graphical symbols 0.35.
WIDTHS = {"2": 0.5, "1": 0.25, "": 0.35}

# ISO 128-24:1999, table 1: use of a line by its number (the nearest use the standard names).
USES = {
    Role.CUT: "01.2",  # visible outline
    Role.STITCH: "01.1",  # imaginary line of intersection, dimension and projection lines
    Role.GLUE: "01.1",  # hatching
    Role.LEADER: "01.1",  # leader
    Role.CENTRE: "04.1",  # centre line, line of symmetry
    Role.FOLD: "02.1",  # hidden edge
    Role.HIDDEN: "02.1",
    Role.TRIM: "05.1",  # outline before or after forming
}


@pytest.mark.parametrize("look", styles(), ids=[look.role.value for look in styles()])
def test_elements_are_multiples_of_the_line_width(look) -> None:  # type: ignore[no-untyped-def]
    number, _, weight = look.number.partition(".")
    assert look.width == WIDTHS[weight]
    assert tuple(dash / look.width for dash in look.dashes) == pytest.approx(ELEMENTS[number])


@pytest.mark.parametrize(("role", "number"), USES.items())
def test_uses_are_those_of_the_table(role: Role, number: str) -> None:
    assert style(role).number == number


def test_wide_is_twice_narrow() -> None:
    """ISO 128-24:1999, 4: the proportion of wide to narrow lines is 2 to 1."""
    assert style(Role.CUT).width == 2 * style(Role.STITCH).width
