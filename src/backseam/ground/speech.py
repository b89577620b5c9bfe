"""Everything Backseam says comes from `words/<language>/*.toml`, formatted here.

A template names its values in braces with the kind of number after a colon:

| spec  | value            | example, mm | example, inch |
|-------|------------------|-------------|---------------|
| `mm`  | length           | 96.0 mm     | 3 25/32"      |
| `mm0`, `mm2` | with other decimals | 96 mm |          |
| `n`, `n0`, `n2` | length without its unit | 96.0 | 3.780 |
| `r`, `r0` | the same, as read on a rule | 96.0    | 3 25/32"      |
| `pct` | share 0-1        | 1.5 %       | 1.5 %         |
| `deg` | degrees          | 45°         | 45°           |
| `f1`  | plain number     | 4.2         | 4.2           |
| none  | text or count    |             |               |
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import Any, Literal

from backseam.ground.units import INCH, inches

Units = Literal["mm", "inch"]


@cache
def words(language: str, book: str) -> dict[str, Any]:
    """The texts of one book (`sheets`, `card`, `findings/form`) in one language, read once."""
    page = files("backseam.ground").joinpath("words", language, f"{book}.toml")
    return tomllib.loads(page.read_text(encoding="utf-8"))


class _Numbers(Formatter):
    """`str.format` with the trade's kinds of numbers."""

    def __init__(self, units: Units) -> None:
        self.units = units

    def format_field(self, value: Any, format_spec: str) -> str:
        kind = format_spec.rstrip("0123456789")
        decimals = int(format_spec[len(kind) :] or 1)
        match kind:
            case "mm":
                return inches(value) if self.units == "inch" else f"{tidy(value, decimals)} mm"
            case "n":
                return f"{value / INCH:.3f}" if self.units == "inch" else tidy(value, decimals)
            case "r":
                return inches(value) if self.units == "inch" else tidy(value, decimals)
            case "pct":
                return f"{tidy(100 * value, decimals)} %"
            case "deg":
                return f"{value:.0f}°"
            case "f":
                return tidy(value, decimals)
            case "":
                return str(value)
        return str(super().format_field(value, format_spec))


def tidy(value: float, decimals: int) -> str:
    """Fixed decimals, and never a minus before a zero.

    >>> tidy(-0.04, 1), tidy(95.25, 1)
    ('0.0', '95.2')
    """
    text = f"{value:.{decimals}f}"
    return text.lstrip("-") if float(text) == 0 else text


@dataclass(frozen=True)
class Speech:
    """How to speak: language of the words, units of the numbers."""

    units: Units = "mm"
    language: str = "en"

    def say(self, key: str, /, **values: Any) -> str:
        """The text `book.key` with its values filled in, for instance `say("sheets.legend.cut")`."""
        book, *path = key.split(".")
        text: Any = words(self.language, book)
        for name in path:
            text = text[name]
        return self.fill(text, values)

    def fill(self, template: str, values: dict[str, Any]) -> str:
        """One template with its values, numbers in this speech's units."""
        return _Numbers(self.units).vformat(template, (), values)

    def length(self, value: float, decimals: int = 1) -> str:
        """A length with its unit."""
        return self.fill(f"{{v:mm{decimals}}}", {"v": value})


PLAIN = Speech()
