"""Fields of the job document as the page shows them: made from the document, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from backseam.ground.speech import words
from backseam.job.document import (
    ConstructionPart,
    FormPart,
    GirthReading,
    HangerPart,
    Job,
    KnifePart,
    LeatherPart,
    MadePart,
    PaperPart,
)
from backseam.job.fields import choices, field_words, sizes

Path = tuple[str | int, ...]
Field = dict[str, Any]

_ASK = ("title", "customer", "promised", "date", "id", "maker", "note")
_SEW = (
    *("pitch_mm", "tool", "tool_teeth", "slant_deg", "awl_mm", "first_hole_mm", "last_hole_mm"),
    *("thread_mm", "locking_stitches", "thread_tail_mm"),
)
_LEFT_OUT = {"typed", "known", "card"}


def panels(language: str) -> list[dict[str, Any]]:
    """All panels with their fields."""
    upper = [name for name in ConstructionPart.model_fields if name not in {*_SEW, "hand", "hanger"}]
    given: dict[str, Iterator[Field]] = {
        "ask": _several(
            _part(Job, (), language, _ASK), _part(ConstructionPart, ("construction",), language, ("hand",))
        ),
        "form": _part(FormPart, ("form",), language, without=("girths",)),
        "leather": _part(LeatherPart, ("leather",), language),
        "upper": _part(ConstructionPart, ("construction",), language, tuple(upper)),
        "sew": _part(ConstructionPart, ("construction",), language, _SEW),
        "hanger": _part(HangerPart, ("construction", "hanger"), language),
        "knife": _part(KnifePart, ("knife",), language),
        "made": _part(MadePart, ("made",), language),
        "paper": _part(PaperPart, ("paper",), language),
    }
    named = words(language, "job")["panel"]
    return [{"key": key, **named[key], "fields": list(fields)} for key, fields in given.items()]


def reading_row(language: str) -> list[Field]:
    """The fields of one reading."""
    return list(_part(GirthReading, (), language))


def fields_of(part: type[BaseModel], language: str, without: tuple[str, ...] = ()) -> list[Field]:
    """The fields of a part by itself, without those named."""
    return list(_part(part, (), language, without=without))


def _several(*parts: Iterator[Field]) -> Iterator[Field]:
    for part in parts:
        yield from part


def _part(
    part: type[BaseModel],
    path: Path,
    language: str,
    only: tuple[str, ...] = (),
    without: tuple[str, ...] = (),
    group: str = "",
) -> Iterator[Field]:
    for name in only or tuple(part.model_fields):
        if name in _LEFT_OUT or name in without:
            continue
        label, why = _named(part, name)
        field = {"path": [*path, name], "label": label, "why": why, "unit": "", "group": group}
        yield from _field(part, name, field, language)


def _named(part: type[BaseModel], name: str) -> tuple[str, str]:
    label, why = field_words(part)[name]
    return label[:1].upper() + label[1:], why


def _field(part: type[BaseModel], name: str, field: Field, language: str) -> Iterator[Field]:
    annotation = part.model_fields[name].annotation
    inner, listed = _inner(annotation)
    if isinstance(inner, type) and issubclass(inner, BaseModel):
        if listed:
            yield {**field, "kind": "list", "rows": list(_part(inner, (), language))}
        else:
            yield from _part(inner, tuple(field["path"]), language, group=field["label"])
        return
    if several := choices(part).get(name) or _choices_of(inner if listed else None):
        told = [{"value": one, "label": _choice(one, language)} for one in several]
        yield {**field, "kind": "choice", "choices": told, "several": listed}
        return
    size = sizes(part).get(name)
    if listed and get_origin(inner) is tuple:
        yield {**field, "kind": "points", "unit": size.unit if size else ""}
    elif listed or get_origin(inner) is tuple:
        yield {**field, "kind": "list", "unit": size.unit if size else ""}
    elif size is not None:
        yield {**field, "kind": "length" if size.unit == "mm" else "number", "unit": size.unit}
    elif inner is bool:
        yield {**field, "kind": "flag"}
    else:
        yield {**field, "kind": _text_kind(name)}


def _text_kind(name: str) -> str:
    if name in ("date", "promised"):
        return "day"
    return "long" if name == "note" else "text"


def _inner(annotation: Any) -> tuple[Any, bool]:
    """What is within "or nothing", marks and a list; and whether it was a list."""
    while True:
        if hasattr(annotation, "__metadata__"):
            annotation = annotation.__origin__
            continue
        args = [one for one in get_args(annotation) if one is not type(None)]
        origin = get_origin(annotation)
        if origin is list:
            return _inner(args[0])[0], True
        if origin is not None and len(args) == 1 and len(get_args(annotation)) == 2:
            annotation = args[0]
            continue
        return annotation, False


def _choices_of(annotation: Any) -> tuple[str, ...]:
    from enum import Enum

    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return tuple(str(one.value) for one in annotation)
    return ()


def _choice(value: str, language: str) -> str:
    """A choice in words."""
    known: dict[str, str] = words(language, "job")["choice"]
    return known.get(value, value.replace("_", " "))
