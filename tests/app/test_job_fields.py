"""Fields of the job page: each field of the document can be reached, in a panel or in the table of readings."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from backseam.app.job_fields import panels, reading_row
from backseam.ground.speech import words
from backseam.job.schema import schema

OUT_OF_REACH = {"kind", "version", "typed", "known", "making", "girths", "card", "accepted"}


def _paths(fields: list[dict[str, Any]]) -> Iterator[str]:
    for one in fields:
        yield ".".join(str(step) for step in one["path"])
        yield from _paths(one.get("rows", []))


def _leaves(part: dict[str, Any], whole: dict[str, Any]) -> Iterator[str]:
    """Names of all fields of a published part, deep."""
    for name, one in part.get("properties", {}).items():
        if name in OUT_OF_REACH:
            continue
        below = list(_refs(one))
        if not below:
            yield name
        for ref in below:
            inner = whole["$defs"][ref.rpartition("/")[2]]
            yield from _leaves(inner, whole) if "properties" in inner else (name,)


def _refs(one: Any) -> Iterator[str]:
    if isinstance(one, dict):
        if "$ref" in one:
            yield one["$ref"]
        for value in one.values():
            yield from _refs(value)
    elif isinstance(one, list):
        for value in one:
            yield from _refs(value)


def test_every_field_of_the_document_has_its_place_on_the_page() -> None:
    shown = {path.rpartition(".")[2] for panel in panels("en") for path in _paths(panel["fields"])}
    shown |= {path.rpartition(".")[2] for path in _paths(reading_row("en"))}
    whole = schema()
    assert set(_leaves(whole, whole)) - shown == set()


def test_every_field_has_a_name_and_a_reason() -> None:
    for panel in panels("en"):
        for one in panel["fields"]:
            assert one["label"]
            assert one["why"]
            assert one["kind"] in {"length", "number", "choice", "text", "long", "day", "flag", "list"}


def test_units_have_words() -> None:
    named = words("en", "job")["unit"]
    assert {one["unit"] for panel in panels("en") for one in panel["fields"] if one["unit"]} <= set(named)
