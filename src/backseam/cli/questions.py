"""The questions of `backseam new`: what is asked, in which order, and how an answer is read.

The order depends on the answers so far and on nothing else, so a draft is only its answers.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from backseam.ground.errors import InDoubt, InputRefused
from backseam.ground.numbers import plain, read_angle, read_count, read_length, read_lengths
from backseam.ground.plausible import suspicion
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, words
from backseam.ground.units import INCH, Mm
from backseam.job.fields import same_word

Answers = Mapping[str, str]
Read = Callable[[Answers, str], str]
Station = Literal[
    "bottom_edge", "lower_groove", "upper_groove", "liner_end", "junction", "thickest", "mouth", "free"
]
NAMED: tuple[Station, ...] = ("lower_groove", "upper_groove", "liner_end", "junction", "thickest")
MAY_BE_MISSING = ("lower_groove", "upper_groove", "liner_end")
LONGEST_TEXT = 200
MOST_FREE = 50
THIN: Mm = 1.0  # thinner is told to a tenth of a thousandth of an inch


@dataclass(frozen=True)
class Question:
    """One question. proposal: what Enter takes; optional: may be skipped; choices: words with their meaning."""

    id: str
    key: str
    part: str
    read: Read
    proposal: str = ""
    optional: bool = False
    choices: Mapping[str, str] = field(default_factory=dict)
    said: Mapping[str, str] = field(default_factory=dict)

    @property
    def ask(self) -> str:
        """The question itself."""
        return _say(f"question.{self.key}.ask", **self.said)

    @property
    def line(self) -> str:
        """One line of explanation."""
        return _say(f"question.{self.key}.line", **self.said)

    @property
    def more(self) -> str:
        """What `?` tells."""
        return str(words("en", "questions")["question"][self.key].get("more", ""))


def questions(answers: Answers) -> Iterator[Question]:
    """All questions that these answers lead to, in order."""
    yield from _job()
    yield from _leather(answers)
    yield from _form(answers)
    yield from _with_what(answers)
    yield from _stations(answers)
    yield from _seam(answers)


def unit_of(answers: Answers) -> Literal["mm", "inch"]:
    """The unit of a number that names none."""
    return "inch" if answers.get("units") == "inch" else "mm"


def mm(answers: Answers, id: str) -> Mm | None:
    """A length among the answers; None if it was skipped or not asked yet."""
    text = answers.get(id, "")
    return read_length(text, signed=True).mm if text else None


def height_of(answers: Answers, station: Station) -> Mm | None:
    """The height of a named station as the maker counts it; None if there is none."""
    if station == "bottom_edge":
        return -(mm(answers, "reach") or 0.0) if from_junction(answers) else 0.0
    if station == "junction" and from_junction(answers):
        return 0.0
    if station == "mouth":
        thickest, above = mm(answers, "height.thickest"), mm(answers, "mouth_above")
        return None if thickest is None or above is None else thickest + above
    return mm(answers, f"height.{station}")


def from_junction(answers: Answers) -> bool:
    """True if heights count from the junction."""
    return answers.get("heights_from") == "junction"


def free_stations(answers: Answers) -> Iterator[str]:
    """The free heights answered so far, by their number."""
    for number in range(1, MOST_FREE + 1):
        if not answers.get(f"free.{number}"):
            return
        yield str(number)


def station_name(station: str, answers: Answers, number: str = "") -> str:
    """What the maker calls a station."""
    return _say(f"name.{station}", height=answers.get(f"free.{number}", ""))


def _job() -> Iterator[Question]:
    yield Question("title", "title", "job", _text)
    yield Question("customer", "customer", "job", _text, optional=True)
    yield Question("promised", "promised", "job", _day, optional=True)
    yield _choice("units", "job", "mm")
    yield _choice("hand", "job", "right")


def _leather(answers: Answers) -> Iterator[Question]:
    yield Question(
        "thickness", "thickness", "leather", _thickness, _shown(answers, default("leather.thickness"))
    )
    yield _choice("tight", "leather", "along")
    yield _choice("collar", "leather", "folded")
    if answers.get("collar") == "folded":
        yield Question(
            "collar_depth", "collar_depth", "leather", _length("collar"), _usual(answers, "collar.depth")
        )


def _form(answers: Answers) -> Iterator[Question]:
    yield _choice("heights_from", "form", "bottom_edge")
    if from_junction(answers):
        yield Question("reach", "reach", "form", _length("reach"))
    yield _choice("axis", "form", "straight")
    if answers.get("axis") in ("angle", "offsets"):
        yield _choice("bend_side", "form", "seam_inside")
    if answers.get("axis") == "angle":
        yield Question("bend_angle", "bend_angle", "form", _angle)
        yield Question("bend_from", "bend_from", "form", _length("height", signed=True))
        yield Question("bend_to", "bend_to", "form", _length("height", signed=True))
    if answers.get("axis") == "offsets":
        yield Question("bend_offsets", "bend_offsets", "form", _offsets)
    yield _choice("heights_along", "form", "axis")
    yield _choice("liner_section", "form", "octagon")
    yield _choice("handle_section", "form", "oval")


def _with_what(answers: Answers) -> Iterator[Question]:
    yield _choice("instrument", "readings", "strap_butted")
    instrument = answers.get("instrument", "")
    if instrument == "caliper":
        return
    if instrument in ("thread", "paper"):
        usual = _usual(answers, f"reading.{instrument}_thickness")
        yield Question("instrument_thickness", "instrument_thickness", "readings", _length("paper"), usual)
    elif instrument != "strap_pinched":
        same = _shown(answers, leather_mm(answers))
        yield Question("instrument_thickness", "instrument_thickness", "readings", _strap, same)
    yield _choice("pull", "readings", "snug")
    yield _choice("over_film", "readings", "bare")


def _stations(answers: Answers) -> Iterator[Question]:
    yield from _girth_and_size(answers, "bottom_edge", needed=True)
    for station in NAMED:
        if station == "upper_groove" and not answers.get("height.lower_groove"):
            continue
        if station != "junction" or not from_junction(answers):
            yield _height(answers, station)
        if height_of(answers, station) is not None:
            yield from _girth_and_size(answers, station, needed=station not in MAY_BE_MISSING)
        if station == "upper_groove":
            usual = _shown(answers, default("form.groove_width"), default("form.groove_depth"))
            yield Question("groove_size", "groove_size", "readings", _groove_size, usual)
    yield from _mouth(answers)
    for number in range(1, MOST_FREE + 1):
        yield Question(f"free.{number}", "free", "readings", _length("height", signed=True), optional=True)
        if not answers.get(f"free.{number}"):
            return
        yield from _girth_and_size(answers, "free", number=str(number), needed=True)


def _mouth(answers: Answers) -> Iterator[Question]:
    usual = _usual(answers, "collar.mouth_above_thickest")
    yield Question("mouth_above", "mouth_above", "readings", _length("mouth", signed=True), usual)
    if answers.get("instrument") != "caliper" and answers.get("collar") == "folded":
        yield _choice("mouth_read", "readings", "bare")
    yield from _girth_and_size(answers, "mouth", needed=False)


def _seam(answers: Answers) -> Iterator[Question]:
    yield Question("pitch", "pitch", "seam", _length("pitch"), _usual(answers, "holes.pitch"))
    yield _choice("tool", "seam", "free")
    if answers.get("tool") in ("iron", "fork"):
        yield Question("teeth", "teeth", "seam", _teeth)
    yield _choice("hanger", "hanger", "thong")
    if answers.get("hanger") in ("thong", "strap"):
        yield Question("belt", "belt", "hanger", _length("belt"), _usual(answers, "hanger.belt_width"))


def _height(answers: Answers, station: Station) -> Question:
    origin = _say("name.junction" if from_junction(answers) else "name.bottom_edge")
    said = _said(answers, station) | {"hint": _say(f"hint.height.{station}", **{"from": origin})}
    below = station in ("lower_groove", "upper_groove", "liner_end")
    read = _below_junction if below else _length("height", signed=True)
    return Question(
        f"height.{station}", "height", "readings", read, optional=station in MAY_BE_MISSING, said=said
    )


def _girth_and_size(
    answers: Answers, station: Station, *, needed: bool, number: str = ""
) -> Iterator[Question]:
    tail = f"{station}.{number}" if number else station
    said = _said(answers, station, number)
    folded = station == "mouth" and answers.get("mouth_read") == "folded_piece"
    if answers.get("instrument") != "caliper" or folded:
        hint = _say(f"hint.girth.{'mouth_folded' if folded else station}")
        ask = {**said, "hint": hint}
        yield Question(f"girth.{tail}", "girth", "readings", _girth(f"girth.{tail}"), optional=True, said=ask)
    if station in ("lower_groove", "upper_groove") or folded:
        return
    bare = needed and not answers.get(f"girth.{tail}")
    yield Question(f"size.{tail}", "size", "readings", _size, optional=not bare, said=said)


def _said(answers: Answers, station: str, number: str = "") -> dict[str, str]:
    name = station_name(station, answers, number)
    return {"Name": name[:1].upper() + name[1:], "name": name}


def _choice(key: str, part: str, proposal: str) -> Question:
    several: dict[str, str] = words("en", "questions")["question"][key]["choices"]

    def read(answers: Answers, text: str) -> str:
        return _chosen(text, tuple(several))

    return Question(key, key, part, read, proposal, choices=several)


def _chosen(text: str, choices: tuple[str, ...]) -> str:
    """A choice by its word, its beginning, its meaning or its number."""
    typed = text.strip()
    if typed.isascii() and typed.isdigit() and 1 <= int(typed) <= len(choices):
        return choices[int(typed) - 1]
    word = same_word(typed, choices)
    if word in choices:
        return word
    key = typed.casefold().replace(" ", "_")
    begun = [one for one in choices if key and (one.startswith(key) or f"_{key}" in one)]
    if len(begun) == 1:
        return begun[0]
    raise InputRefused(_say("talk.choice", choices=", ".join(choices)))


def _text(answers: Answers, text: str) -> str:
    kept = " ".join("".join(char if char.isprintable() else " " for char in text).split())
    return kept[:LONGEST_TEXT]


def _day(answers: Answers, text: str) -> str:
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise InputRefused(_say("talk.day", typed=text.strip()[:30])) from None


def _length(kind: str, *, signed: bool = False) -> Read:
    def read(answers: Answers, text: str) -> str:
        return _sound(answers, text, kind, signed=signed)

    return read


def _sound(
    answers: Answers,
    text: str,
    kind: str,
    *,
    signed: bool = False,
    thickness: bool = False,
    other: Mm | None = None,
) -> str:
    """A length that reads and is what such a length usually is; its text with its unit."""
    unit = unit_of(answers)
    length = read_length(text, unit=unit, signed=signed, thickness=thickness)
    kept = length.typed if length.given or unit == "mm" else f"{length.typed} in"
    odd = suspicion(length.mm, kind, other, inches=unit == "inch" and not length.given)
    if odd and odd.better and not length.given:
        own = f"{length.typed} {'in' if unit == 'inch' else 'mm'}"
        raise InDoubt(odd.question(length.typed), (odd.proposal, own), likely=True)
    return kept


def _girth(own: str) -> Read:
    def read(answers: Answers, text: str) -> str:
        others = [
            value
            for id in answers
            if id.startswith("girth.") and id != own and (value := mm(answers, id)) is not None
        ]
        other = sum(others) / len(others) if others else None
        return _sound(answers, text, "girth", other=other)

    return read


def _strap(answers: Answers, text: str) -> str:
    return _sound(answers, text, "strap", thickness=True)


def _thickness(answers: Answers, text: str) -> str:
    read = read_lengths(text, unit=unit_of(answers), thickness=True)
    if len(read) > 5:
        raise InputRefused(_say("talk.too_many"))
    kept, meant, doubt = [], [], None
    for one in read:
        try:
            kept.append(_sound(answers, one.typed, "thickness", thickness=True))
            meant.append(kept[-1])
        except InDoubt as found:
            doubt = doubt or found
            meant.append(found.choices[0])
            kept.append(found.choices[1])
    if doubt:
        raise InDoubt(str(doubt), ("; ".join(meant), "; ".join(kept)), likely=True)
    return "; ".join(kept)


def leather_mm(answers: Answers) -> Mm:
    """The leather's thickness: the mean of its readings, or the house default."""
    text = answers.get("thickness")
    if not text:
        return default("leather.thickness")
    read = [one.mm for one in read_lengths(text, thickness=True)]
    return round(sum(read) / len(read), 2)


def _below_junction(answers: Answers, text: str) -> str:
    kept = _sound(answers, text, "height", signed=True)
    height = read_length(kept, signed=True).mm
    if from_junction(answers) and height > 0:
        first = f"-{kept.lstrip('+')}"
        raise InDoubt(_say("talk.minus", first=first), (first, kept), likely=True)
    return kept


def pair(text: str) -> tuple[str, str]:
    """Two lengths with an x, a semicolon or spaces between.

    >>> pair("18 x 26"), pair("18,5 26")
    (('18', '26'), ('18,5', '26'))
    """
    parts = [part for part in re.split(r"\s*[x×*;]\s*", text.strip().lower()) if part]
    if len(parts) == 1:
        parts = text.split()
    if len(parts) != 2:
        raise InputRefused(_say("talk.pair"))
    return parts[0], parts[1]


def _pair_of(kinds: tuple[str, str]) -> Read:
    def read(answers: Answers, text: str) -> str:
        first, second = pair(text)
        unit = re.search(r"[a-z\"]+$", second.lower())
        if unit and not re.search(r"[a-z\"]$", first.lower()):
            first = f"{first} {unit[0]}"
        return f"{_sound(answers, first, kinds[0])} x {_sound(answers, second, kinds[1])}"

    return read


_size = _pair_of(("width", "width"))
_groove_size = _pair_of(("groove_width", "groove_depth"))


def _angle(answers: Answers, text: str) -> str:
    return read_angle(text, most=90.0).typed


def _teeth(answers: Answers, text: str) -> str:
    return str(int(read_count(text, most=30).value))


def _offsets(answers: Answers, text: str) -> str:
    pairs = [part.split() for part in text.split(";") if part.strip()]
    if any(len(one) != 2 for one in pairs):
        raise InputRefused(_say("talk.pairs"))
    if len(pairs) < 3 or len({read_length(one[0], signed=True).mm for one in pairs}) < len(pairs):
        raise InputRefused(_say("talk.pairs_few"))
    kept = (
        f"{_sound(answers, height, 'height', signed=True)} @ {_sound(answers, offset, 'offset', signed=True)}"
        for height, offset in pairs
    )
    return "; ".join(kept)


def _usual(answers: Answers, name: str) -> str:
    return _shown(answers, default(name))


def _shown(answers: Answers, *lengths: Mm) -> str:
    """What is proposed, in the unit the maker works in: to a thousandth of an inch, finer where it is thin."""
    if unit_of(answers) == "mm":
        return " x ".join(map(plain, lengths)) + " mm"
    return " x ".join(f"{one / INCH:.{3 if one > THIN else 4}f}" for one in lengths) + " in"


def _say(key: str, /, **values: object) -> str:
    return PLAIN.say(f"questions.{key}", **values)
