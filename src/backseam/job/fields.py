"""What a field of the job document is: the kind of number in it, how its text is read, what it is called.

A field carries its `Size` as a mark on its type. The same mark reads the text of a number and lets
`plausible` look at it; its name and explanation stand in `words/en/fields.toml`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Any, Literal, get_args

from pydantic import BaseModel, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

from backseam.ground.errors import InputRefused
from backseam.ground.numbers import (
    read_angle,
    read_count,
    read_force,
    read_length,
    read_mass,
    read_percent,
    read_share,
)
from backseam.ground.speech import PLAIN, words

Unit = Literal["mm", "degree", "percent", "share", "count", "gram", "newton"]
LARGEST_WHOLE = 10**9
LONGEST_TEXT = 200  # a longer one is a table: its numbers are kept, not how it was written


@dataclass(frozen=True)
class Size:
    """A number: kind (its range in `ground.plausible`, or ""), unit, whether below zero or in ounces too."""

    kind: str
    unit: Unit = "mm"
    signed: bool = False
    thickness: bool = False

    def number(self, value: Any) -> Any:
        """The number in a text; numbers pass, yes and no do not."""
        if isinstance(value, bool):
            raise InputRefused(PLAIN.say("refusals.field.yes_or_no", value=str(value).lower()))
        if isinstance(value, int) and abs(value) > LARGEST_WHOLE:
            raise InputRefused(PLAIN.say("refusals.field.huge"))
        return self.read(value) if isinstance(value, str) else value

    def read(self, text: str) -> float:
        """The text as a number in the field's own unit."""
        match self.unit:
            case "mm":
                return read_length(text, thickness=self.thickness, signed=self.signed).mm
            case "degree":
                return read_angle(text).value
            case "percent":
                return read_percent(text).value
            case "share":
                return read_share(text).value
            case "count":
                return int(read_count(text).value)
            case "gram":
                return read_mass(text).value
            case "newton":
                return read_force(text).value

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(self.number, handler(source))

    def __get_pydantic_json_schema__(
        self, inner: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        made = handler(inner)
        return {**made, "type": [made["type"], "string"]}


@dataclass(frozen=True)
class Shorthand:
    """A field that may be written shorter: how the short form is written out, and the JSON types it may have."""

    written_out: Callable[[Any], Any]
    short: tuple[str, ...]

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(self.written_out, handler(source))

    def __get_pydantic_json_schema__(
        self, inner: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"anyOf": [handler(inner), {"type": list(self.short)}]}


@cache
def sizes(part: type[BaseModel]) -> dict[str, Size]:
    """The number fields of a part, by key."""
    found = {name: _mark(field.metadata, field.annotation) for name, field in part.model_fields.items()}
    return {name: mark for name, mark in found.items() if mark}


@cache
def choices(part: type[BaseModel]) -> dict[str, tuple[str, ...]]:
    """The fields of a part that take one word out of several, with those words."""
    found = {name: _words(field.annotation) for name, field in part.model_fields.items()}
    return {name: several for name, several in found.items() if several}


def choice_of(part: type[BaseModel], value: Any) -> Any:
    """The part's raw form with `Strap butted` written `strap_butted`, `a4` written `A4`."""
    if not isinstance(value, dict):
        return value
    mended = {
        name: nearest
        for name, several in choices(part).items()
        if isinstance(word := value.get(name), str) and (nearest := same_word(word, several)) != word
    }
    return {**value, **mended} if mended else value


def same_word(word: str, several: tuple[str, ...]) -> str:
    """The one of several that `word` is but for case, spaces and hyphens; else the word as it is."""
    key = _bare(word)
    return next((one for one in several if _bare(one) == key), word)


def kept_as_typed(part: type[BaseModel], value: Any) -> Any:
    """The part's raw form with the texts of its numbers noted under `typed`."""
    if not isinstance(value, dict) or "typed" not in part.model_fields:
        return value
    texts = {name: text for name in sizes(part) if 0 < len(text := _text(value.get(name))) <= LONGEST_TEXT}
    before = value.get("typed", {})
    return {**value, "typed": {**before, **texts}} if texts and isinstance(before, dict) else value


def one_line(text: str) -> str:
    """A text without line breaks and control signs, or a refusal that names the sign."""
    for char in text:
        if ord(char) < 32 or 127 <= ord(char) < 160 or char in "\u2028\u2029":
            raise InputRefused(PLAIN.say("refusals.field.control", code=f"U+{ord(char):04X}"))
    return text


def described(schema: dict[str, Any], part: type[Any]) -> None:
    """Titles and descriptions of a part's published schema, from `words/en/fields.toml`."""
    table = field_words(part)
    schema.pop("title", None)
    if head := table.get("about"):
        schema["title"], schema["description"] = head
    for name, field in schema.get("properties", {}).items():
        if name in table:
            field["title"], field["description"] = table[name]


def field_words(part: type[Any]) -> Mapping[str, tuple[str, str]]:
    """Name and explanation of each field of a part, as [name, explanation]."""
    table: Mapping[str, tuple[str, str]] = words("en", "fields").get(part.book, {})
    return table


def _mark(metadata: list[Any] | tuple[Any, ...], annotation: Any) -> Size | None:
    for mark in metadata:
        if isinstance(mark, Size):
            return mark
    for inner in get_args(annotation):
        if found := _mark(getattr(inner, "__metadata__", ()), inner):
            return found
    return None


def _words(annotation: Any) -> tuple[str, ...]:
    """The words of an enumeration or a literal, also inside `... | None`."""
    if isinstance(annotation, type):
        return tuple(one.value for one in annotation) if issubclass(annotation, Enum) else ()
    found: tuple[str, ...] = ()
    for inner in get_args(annotation):
        found += (inner,) if isinstance(inner, str) else _words(inner)
    return found


def _text(value: Any) -> str:
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, list | tuple) and any(isinstance(one, str) for one in value):
        return "; ".join(str(one).strip() for one in value)
    return ""


def _bare(word: str) -> str:
    return word.casefold().replace(" ", "").replace("_", "").replace("-", "")
