"""What a maker found at a gate, after an act that cannot be undone: counts, lengths, the gap at the try-on, a girth.

Read as strictly as the job itself: an unknown key, a text that is no number, a count of 900 is refused in a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from enum import StrEnum
from math import isfinite
from typing import Any

from backseam.ground.errors import InputRefused
from backseam.ground.numbers import read_length, read_lengths
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm
from backseam.job.document import Job
from backseam.job.fields import Size, same_word
from backseam.job.text import raw_of

Places = tuple[tuple[str, tuple[Mm, Mm]], ...]  # by name of a station or height: left and right, mm


class Stage(StrEnum):
    """How far the work has come, by the last act that cannot be undone."""

    CUT = "cut"
    FOLDED = "folded"
    PIERCED = "pierced"
    SEWN = "sewn"
    DRIED = "dried"

    @property
    def rank(self) -> int:
        """0 for the earliest."""
        return list(Stage).index(self)

    def before(self, other: Stage) -> bool:
        """True if `other` is still to come."""
        return self.rank < other.rank


@dataclass(frozen=True)
class AsMade:
    """What was found; None or empty: not looked at. Lengths mm.

    stage: as said, else by what was found. cut_height: bottom edge to the upper cut, before folding. height: bottom
    edge to mouth once folded. row_left, row_right: first to last
    hole. row_gap: between the hole rows when the upper is pinched round the form, minus if they overlap; by place, or
    one for all (place ""). half_widths: of the rows as pierced, from the centre line. finished_mouth: girth inside the
    dried mouth, knife out. thickness: of the leather, flap: of the turned-in layer, as they turned out. flange: what is
    left outside the rows.
    """

    stage: Stage | None = None
    cut_height: Mm | None = None
    height: Mm | None = None
    holes_left: int | None = None
    holes_right: int | None = None
    row_left: Mm | None = None
    row_right: Mm | None = None
    pitch: Mm | None = None
    row_gap: Places = ()
    half_widths: Places = ()
    finished_mouth: Mm | None = None
    thickness: Mm | None = None
    flap: Mm | None = None
    flange: Mm | None = None

    @property
    def reached(self) -> Stage:
        """The stage as said, or the earliest at which all of this can have been found."""
        if self.stage is not None:
            return self.stage
        if self.finished_mouth is not None:
            return Stage.DRIED
        pierced = (self.holes_left, self.holes_right, self.row_left, self.row_right, self.pitch)
        if any(one is not None for one in pierced) or self.row_gap or self.half_widths:
            return Stage.PIERCED
        return Stage.FOLDED if self.height is not None or self.flap is not None else Stage.CUT

    @property
    def nothing(self) -> bool:
        """True if nothing was found at all."""
        return all(getattr(self, one.name) in (None, ()) for one in fields(self) if one.name != "stage")


# Key in what is typed, the field, how it is read, and what it can be.
_LENGTHS: dict[str, tuple[str, bool, Mm, Mm]] = {
    "cut_height_mm": ("cut_height", False, 10.0, 1000.0),
    "height_mm": ("height", False, 10.0, 1000.0),
    "row_left_mm": ("row_left", False, 5.0, 1000.0),
    "row_right_mm": ("row_right", False, 5.0, 1000.0),
    "pitch_mm": ("pitch", False, 0.5, 50.0),
    "finished_mouth_mm": ("finished_mouth", False, 10.0, 1000.0),
    "flap_mm": ("flap", True, 0.2, 20.0),
    "flange_mm": ("flange", False, 0.0, 100.0),
}
_COUNTS = {"holes_left": "holes_left", "holes_right": "holes_right"}
_TWO = re.compile(r"([^\s;/]*\d)\s+([^\s;/]*\d)|(.+?)\s*;\s*(.+)")  # "50 50,4"; "50 mm; 50,4 mm"
_FEWEST, _MOST = 2, 500
_GAP_MOST: Mm = 100.0
_HALF_MOST: Mm = 500.0
_THICK = (0.3, 20.0)
KEYS = (*_LENGTHS, *_COUNTS, "row_gap_mm", "half_widths_mm", "thickness_mm", "stage")


def read(raw: Any) -> AsMade:
    """What was found, from a mapping as typed or read from JSON. Raises InputRefused with the key and the remedy."""
    if not isinstance(raw, Mapping):
        raise _no("shape")
    found: dict[str, Any] = {}
    for key, value in raw.items():
        if key in _LENGTHS:
            name, thickness, low, high = _LENGTHS[key]
            found[name] = _within(key, _number(key, value, Size("", thickness=thickness)), low, high)
        elif key in _COUNTS:
            count = _within(key, _number(key, value, Size("", unit="count")), _FEWEST, _MOST)
            if count != int(count):
                raise _no("whole", key=key, value=count)
            found[_COUNTS[key]] = int(count)
        elif key == "row_gap_mm":
            found["row_gap"] = _places(key, value, -_GAP_MOST, _GAP_MOST)
        elif key == "half_widths_mm":
            found["half_widths"] = _places(key, value, 1.0, _HALF_MOST)
        elif key == "thickness_mm":
            found["thickness"] = _thickness(key, value)
        elif key == "stage":
            found["stage"] = _stage(value)
        else:
            raise _unknown(str(key))
    return AsMade(**found)


def of_job(job: Job) -> AsMade:
    """What the job itself says of the sheath as it came out: its mouth, else the gap before it was sewn."""
    gap, mouth = job.made.hole_gap_mm, job.made.finished_girth_mm
    if mouth is not None:
        return AsMade(finished_mouth=mouth)
    return AsMade() if gap is None else AsMade(row_gap=(("", (gap, gap)),))


def entered(raw: dict[str, Any], setting: str) -> None:
    """Put one `key=value` (or `half_widths_mm.thickest=50,2`) into what was typed."""
    key, sign, value = setting.partition("=")
    if not sign:
        raise _no("setting", typed=setting[:40])
    name, dot, place = key.strip().partition(".")
    said: Any = value.strip()
    if said.startswith(("[", "{")):
        said = raw_of(f'{{"it": {said}}}')["it"]
    if not dot:
        raw[name] = said
        return
    inner = raw.get(name)
    raw[name] = {**(inner if isinstance(inner, dict) else {}), place: said}


def _number(key: str, value: Any, size: Size) -> float:
    try:
        read_as = size.number(value)
    except InputRefused as refused:
        raise InputRefused(f"{key}: {refused}", (key,)) from None
    if not isinstance(read_as, int | float) or not isfinite(read_as):
        raise _no("number", key=key)
    return float(read_as)


def _within(key: str, value: float, low: float, high: float) -> float:
    if not low <= value <= high:
        raise _no("range", key=key, value=f"{value:g}", low=f"{low:g}", high=f"{high:g}")
    return value


def _places(key: str, value: Any, low: Mm, high: Mm) -> Places:
    """One number for all places, or a number, or left and right, for each place."""
    if not isinstance(value, Mapping):
        return (("", _pair(key, value, low, high)),)
    if not value:
        raise _no("number", key=key)
    return tuple(
        (str(place).strip(), _pair(f"{key}.{place}", one, low, high)) for place, one in value.items()
    )


def _pair(key: str, value: Any, low: Mm, high: Mm) -> tuple[Mm, Mm]:
    sides = value if isinstance(value, list | tuple) else [value]
    if isinstance(value, str) and (two := _TWO.fullmatch(value.strip())):
        sides = [side for side in two.groups() if side is not None]
    if not 1 <= len(sides) <= 2:
        raise _no("number", key=key)
    numbers = [_within(key, _number(key, one, Size("", signed=low < 0)), low, high) for one in sides]
    return numbers[0], numbers[-1]


def _thickness(key: str, value: Any) -> Mm:
    """The mean of one reading or several."""
    if isinstance(value, str):
        try:
            several = [one.mm for one in read_lengths(value, thickness=True)]
        except InputRefused as refused:
            raise InputRefused(f"{key}: {refused}", (key,)) from None
    else:
        rows = value if isinstance(value, list | tuple) and value else [value]
        several = [_number(key, one, Size("", thickness=True)) for one in rows]
    return sum(_within(key, one, *_THICK) for one in several) / len(several)


def _stage(value: Any) -> Stage:
    words = tuple(one.value for one in Stage)
    word = same_word(value, words) if isinstance(value, str) else ""
    if word not in words:
        raise _no("stage", value=str(value)[:20], stages=", ".join(words))
    return Stage(word)


def height_of(place: str, named: Mapping[str, Mm]) -> Mm:
    """The height a place stands for: the name of a station, or a length. Raises InputRefused.

    >>> height_of("Thickest", {"thickest": 140.0}), height_of("9,5 cm", {})
    (140.0, 95.0)
    """
    low = place.casefold()
    for name, height in named.items():
        if name and name.casefold() == low:
            return height
    try:
        return read_length(place).mm
    except InputRefused:
        names = ", ".join(name for name in named if name)
        raise InputRefused(
            PLAIN.say("rescue.refuse.place", place=place[:30], names=names), (place,)
        ) from None


def _unknown(key: str) -> InputRefused:
    near = get_close_matches(key, KEYS, 1, 0.5)
    said = PLAIN.say(
        "rescue.refuse.unknown_near" if near else "rescue.refuse.unknown",
        key=key[:40],
        near=near[0] if near else "",
        keys=", ".join(KEYS),
    )
    return InputRefused(said, (key,))


def _no(why: str, **values: object) -> InputRefused:
    return InputRefused(PLAIN.say(f"rescue.refuse.{why}", **values), (str(values.get("key", "")),))
