"""What the model of the document found wrong, as one sentence a field: the place, what is so, what to do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

from backseam.ground.errors import InDoubt, InputRefused, SeveralRefused
from backseam.ground.numbers import plain, shown
from backseam.ground.plausible import suspicion
from backseam.ground.speech import PLAIN
from backseam.job.fields import Size, choices, field_words, sizes
from backseam.job.walk import Place, place, spelled

MOST_SENTENCES = 20
LONGEST_ECHO = 40


def told(error: ValidationError, root: type[BaseModel]) -> InputRefused:
    """The findings of the model as refusals with their places; one alone, or several together."""
    each = [_told(_Fault.of(found, root)) for found in error.errors(include_url=False)]
    if len(each) > MOST_SENTENCES:
        more = InputRefused(PLAIN.say("refusals.field.more", count=len(each) - MOST_SENTENCES))
        each = [*each[:MOST_SENTENCES], more]
    return each[0] if len(each) == 1 else SeveralRefused(tuple(each))


def at(where: tuple[str | int, ...], sentence: str) -> str:
    """A sentence with its place in front.

    >>> at(("form", "girths", 3, "reading_mm"), "Type it again.")
    'form.girths[3].reading_mm: Type it again.'
    """
    return f"{spelled(where)}: {sentence}" if where else sentence


@dataclass(frozen=True)
class _Fault:
    """One thing the model found: kind, place, value, limits."""

    kind: str
    where: tuple[str | int, ...]
    value: Any
    limits: dict[str, Any]
    place: Place

    @classmethod
    def of(cls, found: Any, root: type[BaseModel]) -> _Fault:
        where = tuple(
            one for one in found["loc"] if not (isinstance(one, str) and one.startswith("function-"))
        )
        return cls(found["type"], where, found.get("input"), found.get("ctx", {}), place(root, where))

    @property
    def size(self) -> Size | None:
        return sizes(self.place.part).get(self.place.key) if self.place.part else None

    @property
    def meaning(self) -> str:
        """What belongs here, as a sentence."""
        word = field_words(self.place.part).get(self.place.key) if self.place.part else None
        return word[1] if word else ""

    def say(self, key: str, **values: object) -> str:
        sentence = PLAIN.say(f"refusals.field.{key}", value=_echo(self.value), meaning=self.meaning, **values)
        return at(self.where, sentence.strip())


def _told(fault: _Fault) -> InputRefused:
    cause = fault.limits.get("error")
    if isinstance(cause, InDoubt):
        return InDoubt(at(fault.where, str(cause)), cause.choices, fault.where, likely=cause.likely)
    if isinstance(cause, InputRefused):
        return InputRefused(at(fault.where, str(cause)), fault.where)
    sentence = _SENTENCES.get(fault.kind, _other)(fault)
    return InputRefused(sentence, fault.where)


def _missing(fault: _Fault) -> str:
    return fault.say("missing_entry" if isinstance(fault.where[-1], int) else "missing")


def _too_small(fault: _Fault) -> str:
    limit = fault.limits.get("gt", fault.limits.get("ge"))
    key = "not_above" if "gt" in fault.limits else "below"
    return fault.say(key, limit=plain(float(limit or 0))) + _slip(fault)


def _too_large(fault: _Fault) -> str:
    limit = fault.limits.get("le", fault.limits.get("lt"))
    return fault.say("above", limit=plain(float(limit or 0))) + _slip(fault)


def _slip(fault: _Fault) -> str:
    """The known slip that would explain the number, if one does."""
    size = fault.size
    if size is None or not size.kind or not isinstance(fault.value, int | float | str):
        return ""
    value = float(size.number(fault.value))
    found = suspicion(value, size.kind) if value else None
    if found is None or found.looks is None:
        return ""
    looks = PLAIN.say(f"refusals.doubt.looks.{found.looks}")
    return " " + PLAIN.say("refusals.field.slip", looks=looks, better=found.proposal)


def _no_choice(fault: _Fault) -> str:
    several = choices(fault.place.part).get(fault.place.key, ()) if fault.place.part else ()
    near = get_close_matches(str(fault.value).casefold(), [one.casefold() for one in several], 1)
    nearest = next((one for one in several if near and one.casefold() == near[0]), "")
    key = "no_choice_near" if nearest else "no_choice" if len(several) > 1 else "fixed"
    expected = fault.limits.get("expected", "").strip("'")
    return fault.say(key, choices=", ".join(several), nearest=nearest, expected=expected)


def _length(fault: _Fault) -> str:
    limits = fault.limits
    limit = limits.get("max_length", limits.get("min_length"))
    if isinstance(fault.value, str):
        return fault.say("text_too_long", count=len(fault.value), limit=limit)
    key = "too_many" if "max_length" in limits else "too_few"
    return fault.say(key, count=limits.get("actual_length", 0), limit=limit)


def _other(fault: _Fault) -> str:
    return fault.say("other")


def _day(fault: _Fault) -> str:
    """A day, an instant, or the name of an act: what a text with a pattern can be."""
    return fault.say(
        {"at": "instant_wanted", "since": "instant_wanted"}.get(str(fault.where[-1]), "day_wanted")
    )


def _saying(key: str) -> Callable[[_Fault], str]:
    return lambda fault: fault.say(key)


_SENTENCES: dict[str, Callable[[_Fault], str]] = {
    "missing": _missing,
    "greater_than": _too_small,
    "greater_than_equal": _too_small,
    "less_than": _too_large,
    "less_than_equal": _too_large,
    "enum": _no_choice,
    "literal_error": _no_choice,
    "too_long": _length,
    "too_short": _length,
    "string_too_long": _length,
    "float_type": _saying("number_wanted"),
    "float_parsing": _saying("number_wanted"),
    "finite_number": _saying("not_finite"),
    "int_type": _saying("number_wanted"),
    "int_parsing": _saying("number_wanted"),
    "int_from_float": _saying("whole_wanted"),
    "int_parsing_size": _saying("number_wanted"),
    "bool_type": _saying("yes_or_no_wanted"),
    "bool_parsing": _saying("yes_or_no_wanted"),
    "string_type": _saying("text_wanted"),
    "string_unicode": _saying("text_broken"),
    "list_type": _saying("list_wanted"),
    "tuple_type": _saying("list_wanted"),
    "dict_type": _saying("group_wanted"),
    "model_type": _saying("group_wanted"),
    "model_attributes_type": _saying("group_wanted"),
    "string_pattern_mismatch": _day,
    "value_error": _day,
}


def _echo(value: Any) -> str:
    """The value as it may be shown again: short, one line."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return shown(float(value)) if abs(value) < 1e300 else "this number"
    if isinstance(value, dict | list | tuple):
        return "a group" if isinstance(value, dict) else "a list"
    text = "".join(char if char.isprintable() else "?" for char in str(value))
    return f'"{text[:LONGEST_ECHO]}…"' if len(text) > LONGEST_ECHO else f'"{text}"'
