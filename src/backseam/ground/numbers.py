"""The reader of numbers as people type them; nothing is guessed.

A bare `float()` takes what no rule shows (`nan`, `1e309`, `1_0`, digits of other scripts) and leaves out what
every bench shows (`86,0`, `3/16"`, `8.5 cm`, `5 oz`). This reader takes one number with or without its unit,
keeps the text beside it, and answers everything else with one sentence:

- `InputRefused`: not a number here; says which sign is in the way and, where it can, what to type.
- `InDoubt` (an `InputRefused`): it can be read two ways. `1,234` may be one and a quarter or a thousand;
  `3 3/4` without a unit is mostly inches. The doubt carries the texts that say each meaning plainly. A door
  that can ask, asks; one that cannot, refuses. `--yes` takes the first only where it is `likely` (the
  fraction of an inch), never where only the writer can know (the thousand).

Rule for three digits after a single mark: with a comma it is always a doubt (thousands in one country,
decimals in the next); with a point only if the thousand is possible too (1.234 may be 1234, but 95.123 cannot
be 95 metres). A table that shows its decimal mark elsewhere says so by `decimal`, and the doubt is gone.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from backseam.ground.errors import InDoubt, InputRefused
from backseam.ground.speech import PLAIN
from backseam.ground.units import (
    CENTIMETRE,
    INCH,
    METRE,
    OUNCE_OF_THICKNESS,
    POUND,
    STANDARD_GRAVITY,
    Degree,
    Gram,
    Mm,
    Newton,
)

LONGEST_TEXT = 60  # characters of one number
LONGEST_LENGTH: Mm = 2000.0  # more is no part of a sheath
HEAVIEST: Gram = 20_000.0  # more is no knife
HARDEST: Newton = 5_000.0  # more pulls no hand
RULE_FRACTIONS = frozenset((2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32, 40, 48, 50, 64, 100, 128))

Unit = Literal[
    "mm",
    "cm",
    "m",
    "inch",
    "foot",
    "ounce",
    "degree",
    "percent",
    "one",
    "gram",
    "kilogram",
    "ounce_mass",
    "newton",
    "kilogram_force",
    "pound_force",
]
Decimal = Literal[".", ","]

_SPELLINGS: dict[Unit, tuple[str, ...]] = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "inch": ('"', "''", "in", "inch", "inches"),
    "foot": ("'", "ft", "foot", "feet"),
    "ounce": ("oz", "ounce", "ounces"),
    "degree": ("°", "deg", "degree", "degrees"),
    "percent": ("%", "percent"),
    "gram": ("g", "gram", "grams", "gramme", "grammes"),
    "kilogram": ("kg", "kilogram", "kilograms", "kilo"),
    "ounce_mass": ("oz", "ounce", "ounces"),
    "newton": ("n", "newton", "newtons"),
    "kilogram_force": ("kg", "kgf", "kp", "kilo"),
    "pound_force": ("lb", "lbs", "lbf", "pound", "pounds"),
}
_WORTH: dict[Unit, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(str(CENTIMETRE)),
    "m": Fraction(str(METRE)),
    "inch": Fraction(str(INCH)),
    "foot": 12 * Fraction(str(INCH)),
    "ounce": Fraction(str(INCH)) / 64,
    "degree": Fraction(1),
    "percent": Fraction(1),
    "one": Fraction(1),
    "gram": Fraction(1),
    "kilogram": Fraction(1000),
    "ounce_mass": Fraction(str(POUND)) / 16,
    "newton": Fraction(1),
    "kilogram_force": Fraction(str(STANDARD_GRAVITY)),
    "pound_force": Fraction(str(POUND)) / 1000 * Fraction(str(STANDARD_GRAVITY)),
}
assert float(_WORTH["ounce"]) == OUNCE_OF_THICKNESS
_SHORT: dict[Unit, str] = {
    "mm": " mm",
    "cm": " cm",
    "m": " m",
    "inch": " in",
    "foot": " ft",
    "ounce": " oz",
    "gram": " g",
    "kilogram": " kg",
    "ounce_mass": " oz",
    "newton": " N",
    "kilogram_force": " kg",
    "pound_force": " lb",
}
_LENGTHS: tuple[Unit, ...] = ("mm", "cm", "m", "inch", "foot")

_TYPESET = str.maketrans(
    {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "−": "-", "⁄": "/", "＋": "+"}
)
_VULGAR = {char: unicodedata.normalize("NFKC", char).replace("⁄", "/") for char in "¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"}
_DECIMAL = r"(?:[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)"
_UNIT = r"(?:[a-z]+\.?|''|[\"'°%])"
_PLAIN = re.compile(rf"(?P<number>{_DECIMAL})\s*(?P<unit>{_UNIT})?")
_SIGNS = "0123456789 .,/'\"°%+-"
_WHOLE = r"(?:(?P<whole>[0-9]+)(?:\s+|-))?"
_FRACTION = re.compile(rf"{_WHOLE}(?P<top>[0-9]+)\s*/\s*(?P<under>[0-9]+)\s*(?P<unit>{_UNIT})?")
_FEET = re.compile(r"(?P<feet>[0-9]+)\s*(?:'(?!')|ft\.?|foot|feet)\s*(?P<rest>[0-9].*)")


@dataclass(frozen=True)
class Length:
    """A length in mm, the text it was read from, the unit it was in, and whether that unit was written."""

    mm: Mm
    typed: str
    unit: Unit
    given: bool


@dataclass(frozen=True)
class Number:
    """An angle (degrees), a weight (g), a pull (N), a percentage or a count, and the text it was read from."""

    value: float
    typed: str


def read_length(
    text: str,
    *,
    unit: Unit | None = None,
    thickness: bool = False,
    signed: bool = False,
    most: Mm = LONGEST_LENGTH,
    decimal: Decimal | None = None,
) -> Length:
    """One length as typed, in mm. `unit` is that of a bare number (default mm); `thickness` lets ounces in.

    The inch is 25.4 mm, the ounce of thickness 1/64 inch, both exact; sums are made in fractions and rounded
    once. Source: inch-1959; the ounce is common practice. `most`: a larger size (mm) is refused.

    >>> read_length("86,0").mm, read_length('3/16"').mm, read_length("3 3/4 in").mm   # 0.1875, 3.75 x 25.4
    (86.0, 4.7625, 95.25)
    >>> read_length("8.5 cm").mm, read_length("1'2\\"").mm                              # 14 x 25.4
    (85.0, 355.6)
    >>> read_length("5 oz", thickness=True).mm                                         # 5 x 25.4 / 64
    1.984375
    """
    units = (*_LENGTHS, "ounce") if thickness else _LENGTHS
    kind = "thickness" if thickness else "length"
    value, given = _Reader(text, units, unit or "mm", kind, signed, most, decimal).read()
    return Length(float(value), text.strip(), given or unit or "mm", given is not None)


def read_lengths(text: str, *, unit: Unit | None = None, thickness: bool = False) -> tuple[Length, ...]:
    """Several lengths with spaces or semicolons between them; one alone is read as `read_length` does.

    >>> [one.mm for one in read_lengths("2,0 2,1 1,9")]
    [2.0, 2.1, 1.9]
    """
    parts = text.split(";") if ";" in text else text.split()
    try:
        return (read_length(text, unit=unit, thickness=thickness),)
    except InDoubt:
        raise
    except InputRefused:
        if len(parts) < 2:
            raise
    return tuple(read_length(part, unit=unit, thickness=thickness) for part in parts)


def read_mass(text: str, *, most: Gram = HEAVIEST, decimal: Decimal | None = None) -> Number:
    """One weight in grams, also as kg or ounces (the pound of 1959 is 453.59237 g, the ounce a sixteenth of it).

    >>> read_mass("142").value, read_mass("0,14 kg").value, round(read_mass("5 oz").value, 2)   # 5 x 28.3495
    (142.0, 140.0, 141.75)
    """
    value, _ = _Reader(text, ("gram", "kilogram", "ounce_mass"), "gram", "mass", False, most, decimal).read()
    return Number(float(value), text.strip())


def read_force(text: str, *, most: Newton = HARDEST, decimal: Decimal | None = None) -> Number:
    """One pull in newtons, also as a luggage scale shows it, in kg or lb (1 kg pulls with 9.80665 N).

    Source: si-2019 (standard gravity). Tested: by hand.

    >>> read_force("22 N").value, round(read_force("2,5 kg").value, 2), round(read_force("5 lb").value, 2)
    (22.0, 24.52, 22.24)
    """
    units: tuple[Unit, ...] = ("newton", "kilogram_force", "pound_force")
    value, _ = _Reader(text, units, "newton", "force", False, most, decimal).read()
    return Number(float(value), text.strip())


def read_angle(text: str, *, most: Degree = 360.0, decimal: Decimal | None = None) -> Number:
    """One angle in degrees; a minus is allowed.

    >>> read_angle("45°").value, read_angle("-7,5").value
    (45.0, -7.5)
    """
    value, _ = _Reader(text, ("degree",), "degree", "angle", True, most, decimal).read()
    return Number(float(value), text.strip())


def read_percent(text: str, *, most: float = 100.0, decimal: Decimal | None = None) -> Number:
    """One percentage, as per cent (1.5 for `1,5 %`); a minus is allowed.

    >>> read_percent("1,5 %").value
    1.5
    """
    value, _ = _Reader(text, ("percent",), "percent", "percent", True, most, decimal).read()
    return Number(float(value), text.strip())


def read_share(text: str) -> Number:
    """One share from 0 to 1, also as per cent.

    >>> read_share("0,45").value, read_share("45 %").value
    (0.45, 0.45)
    """
    value, unit = _Reader(text, ("percent",), "one", "percent", False, 100.0, None).read()
    return Number(float(value / 100 if unit == "percent" else value), text.strip())


def read_count(text: str, *, most: int = 10_000) -> Number:
    """One whole number from 0 up.

    >>> read_count(" 4 ").value
    4.0
    """
    value, _ = _Reader(text, (), "one", "count", False, most, None).read()
    if value.denominator != 1:
        raise InputRefused(_say("not_whole", typed=text.strip()))
    return Number(float(value), text.strip())


def plain(value: float) -> str:
    """A number without needless decimals.

    >>> plain(95.0), plain(4.7625)
    ('95', '4.7625')
    """
    return f"{value:.10g}"


def shown(value: float) -> str:
    """A number as a sentence shows it: four decimals at most, none needless.

    >>> shown(100 / 3), shown(95.4)
    ('33.3333', '95.4')
    """
    return plain(round(value, 4))


@dataclass(frozen=True)
class _Reader:
    """One text, and what may stand in it."""

    text: str
    units: tuple[Unit, ...]
    bare: Unit
    kind: str
    signed: bool
    most: float
    decimal: Decimal | None

    @property
    def typed(self) -> str:
        return self.text.strip()

    def read(self) -> tuple[Fraction, Unit | None]:
        """The value in the base unit, and the unit that was written."""
        if not self.typed:
            raise InputRefused(_say("empty"))
        if len(self.typed) > LONGEST_TEXT:
            raise InputRefused(_say("too_long", count=len(self.typed)))
        body = _tidied(self.typed)
        sign, body = (body[0], body[1:].lstrip()) if body[:1] in "+-" else ("", body)
        value, unit = self._quantity(body)
        if sign == "-" and value:
            if not self.signed:
                raise self._no("below_zero")
            value = -value
        if abs(value) > Fraction(str(self.most)):
            raise self._no("too_large", value=plain(float(value)), most=plain(self.most))
        return value, unit

    def _quantity(self, body: str) -> tuple[Fraction, Unit | None]:
        if (match := _FEET.fullmatch(body)) and "foot" in self.units:
            return self._feet_and_inches(match)
        if match := _FRACTION.fullmatch(body):
            return self._fraction(match)
        if match := _PLAIN.fullmatch(body):
            unit = self._unit(match["unit"])
            return self._decimal(match["number"], unit) * _WORTH[unit or self.bare], unit
        raise self._diagnosed(body)

    def _feet_and_inches(self, match: re.Match[str]) -> tuple[Fraction, Unit | None]:
        rest = match["rest"]
        if rest[-1].isdigit():
            rest += '"'
        inches, unit = self._quantity(rest)
        if unit != "inch":
            raise self._no("two_numbers", numbers=_numbers_in(self.typed))
        return int(match["feet"]) * _WORTH["foot"] + inches, "foot"

    def _fraction(self, match: re.Match[str]) -> tuple[Fraction, Unit | None]:
        top, under = int(match["top"]), int(match["under"])
        if under not in RULE_FRACTIONS or (match["whole"] and top >= under):
            raise self._no("fraction")
        unit = self._unit(match["unit"])
        if unit is None and "inch" in self.units and self.bare != "inch":
            better = self.typed + _SHORT["inch"]
            raise InDoubt(
                _say("inches_of_fraction", typed=self.typed, first=better),
                (better, self.typed + _SHORT[self.bare]),
                likely=True,
            )
        return (int(match["whole"] or 0) + Fraction(top, under)) * _WORTH[unit or self.bare], unit

    def _unit(self, written: str | None) -> Unit | None:
        if written is None:
            return None
        name = written.rstrip(".")
        for unit, spellings in _SPELLINGS.items():
            if name in spellings and unit in self.units:
                return unit
        if name in _SPELLINGS["ounce"] and self.kind == "length":
            raise self._no("ounce")
        raise self._letter() or self._no("unit_unknown", unit=name, units=_say(f"units.{self.kind}"))

    def _decimal(self, number: str, unit: Unit | None) -> Fraction:
        """The value of digits with marks; three digits after a mark may be thousands."""
        parts = re.split("[.,]", number)
        marks = [char for char in number if char in ".,"]
        leading = 1 <= len(parts[0]) <= 3 and parts[0][0] != "0"
        if not marks:
            return Fraction(number)
        if len(marks) == 1:
            if leading and len(parts[1]) == 3 and marks[0] != self.decimal:
                self._doubt_thousands(parts, marks[0], unit)
            return Fraction(f"{parts[0] or 0}.{parts[1]}")
        groups = all(len(part) == 3 for part in parts[1:-1]) and len(set(marks[:-1])) == 1
        if leading and groups and (marks[-1] != marks[0] or len(parts[-1]) == 3):
            tail = f"{marks[-1]}{parts[-1]}" if marks[-1] != marks[0] else parts[-1]
            better = "".join(parts[:-1]) + tail + _SHORT.get(unit or self.bare, "")
            raise InDoubt(_say("grouped", typed=self.typed, first=better), (better,))
        raise self._no("two_marks")

    def _doubt_thousands(self, parts: list[str], mark: str, unit: Unit | None) -> None:
        worth = _WORTH[unit or self.bare]
        possible = int("".join(parts)) * worth <= Fraction(str(self.most))
        if mark == "." and not possible:
            return
        short = _SHORT.get(unit or self.bare, "")
        first, second = f"{parts[0]}{mark}{parts[1]}0{short}", f"{''.join(parts)}{short}"
        choices = (first, second) if possible else (first,)
        raise InDoubt(_say("thousands", typed=self.typed, first=first, second=second), choices)

    def _diagnosed(self, body: str) -> InputRefused:
        """Nothing fits: say what is in the way."""
        low = self.typed.casefold()
        if re.fullmatch(r"[+-]?\s*(?:nan|inf|infinity|∞)", low):
            return self._no("not_finite")
        for char in self.typed:
            if char.isdecimal() and char not in "0123456789":
                name = unicodedata.name(char, "").split(" DIGIT")[0].replace("-", " ").title()
                return self._no("foreign_digit", mark=char, name=name, better=_western(self.typed))
        if "_" in self.typed:
            return self._no("underscore", better=self.typed.replace("_", ""))
        if re.fullmatch(r"[+-]?[0-9.,]+e[+-]?[0-9]+", low):
            return self._no("exponent")
        return self._letter() or self._misformed(body)

    def _misformed(self, body: str) -> InputRefused:
        if match := re.fullmatch(r"([0-9]+)([.,])\s*[a-z\"']*", body):
            return self._no("mark_last", whole=match[1], mark=match[2])
        if strange := next((char for char in body if not (char.isalpha() or char in _SIGNS)), None):
            return self._no("strange", mark=strange)
        if len(re.findall(_DECIMAL, body)) > 1:
            return self._no("two_numbers", numbers=_numbers_in(self.typed))
        if match := re.fullmatch(rf"{_DECIMAL}\s*(\D+)", body):
            return self._no("unit_unknown", unit=match[1].strip(), units=_say(f"units.{self.kind}"))
        return self._no("no_number")

    def _letter(self) -> InputRefused | None:
        """A letter O for a zero, a letter l or I for a one: say so if the number reads well without."""
        for letters, digit in (("OoОоΟο", "0"), ("lI|", "1")):
            found = [char for char in self.typed if char in letters]
            better = re.sub(rf"(?<![^\W\d_{letters}])[{letters}](?![^\W\d_{letters}])", digit, self.typed)
            if found and better != self.typed and (match := _PLAIN.fullmatch(_tidied(better))):
                unit = (match["unit"] or "").rstrip(".")
                if not unit or any(unit in _SPELLINGS[one] for one in self.units):
                    return self._no("letter", letter=found[0], better=better)
        return None

    def _no(self, key: str, **values: object) -> InputRefused:
        return InputRefused(_say(key, typed=self.typed, **values))


def _tidied(text: str) -> str:
    """Lower case, one kind of space, typewriter's marks, vulgar fractions written out."""
    spelled = "".join(f" {_VULGAR[char]}" if char in _VULGAR else char for char in text)
    return re.sub(r"\s+", " ", spelled.translate(_TYPESET)).strip().lower()


def _western(text: str) -> str:
    return "".join(str(unicodedata.decimal(char)) if char.isdecimal() else char for char in text)


def _numbers_in(text: str) -> str:
    return ", ".join(re.findall(_DECIMAL, _tidied(text)))


def _say(key: str, **values: object) -> str:
    return PLAIN.say(f"refusals.number.{key}", **values)
