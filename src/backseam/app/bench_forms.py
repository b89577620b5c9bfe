"""The leather tests as forms: how each is done, its picture, its fields; in the words of the printed sheets."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from typing import Any

from pydantic import BaseModel
from pydantic_core import PydanticUndefined

from backseam.app.job_fields import fields_of
from backseam.ground.speech import Speech
from backseam.job.leather_tests import LISTS, ROWS, AllTests
from backseam.papers import svg
from backseam.papers.model import Drawing
from backseam.papers.sheets.leather_test_pictures import PICTURES
from backseam.papers.sheets.leather_tests import told

ORDER = ("ring", "strip", "tilt", "rod", "strap", "dried", "squares", "scrap", "drying")  # as on the sheets
SHEET = {"rod": "rods"}  # where the sheet's name is another
LEFT = ("typed", "left_out", "note", "date")  # date and note stand once, at the end
UNITS = {"gram": "g", "percent": "%", "degree": "°", "newton": "N"}
OWN_UNITS = {"temperature_c": "°C", "minutes": "min"}

Form = dict[str, Any]


@cache
def bench_forms(speech: Speech) -> tuple[Form, ...]:
    """One form a test, the trial ring first."""
    return tuple(_form(name, speech) for name in ORDER)


def part_of(name: str) -> type[BaseModel]:
    """What a test of this name is read as."""
    annotation = AllTests.model_fields[LISTS[name]].annotation
    part: type[BaseModel] = annotation.__args__[0]  # type: ignore[union-attr]
    return part


def _form(name: str, speech: Speech) -> Form:
    part, sheet = part_of(name), SHEET.get(name, name)
    fields, rows = [], None
    for field in fields_of(part, speech.language, LEFT):
        if field.get("rows"):
            inner = [_field(one, part.model_fields[field["path"][-1]], speech) for one in field["rows"]]
            rows = {"key": field["path"][-1], "label": field["label"], "fields": inner, "count": ROWS}
        else:
            fields.append(_field(field, part.model_fields[field["path"][-1]], speech))
    return {
        "name": name,
        "list": LISTS[name],
        "title": told(sheet, "title", speech),
        "steps": [told(sheet, key, speech) for key in ("one", "two", "three")],
        "caution": told(sheet, "caution", speech) if sheet in _cautioned() else "",
        "picture": _picture(sheet, speech),
        "fields": fields,
        "rows": rows,
    }


def _cautioned() -> frozenset[str]:
    from backseam.papers.sheets.leather_tests import SKETCHES

    return frozenset(one.name for one in SKETCHES if one.cautioned)


def _field(field: dict[str, Any], info: Any, speech: Speech) -> dict[str, Any]:
    key = str(field["path"][-1])
    unit = OWN_UNITS.get(key) or _unit(field["unit"], speech)
    kind = "plain" if key in OWN_UNITS else str(field["kind"])
    usual = info.default if key == field["path"][-1] else None
    return {
        "key": key,
        "label": f"{field['label']}, {unit}" if unit else field["label"],
        "hint": _hint(str(field["why"])),
        "kind": kind,
        "long": unit == speech.say(f"learn.unit.{speech.units}"),
        "choices": field.get("choices", ()),
        "usual": _usual(usual, unit, speech) if kind not in ("choice", "flag") else "",
    }


def _unit(unit: str, speech: Speech) -> str:
    return speech.say(f"learn.unit.{speech.units}") if unit == "mm" else UNITS.get(unit, "")


def _hint(why: str) -> str:
    """The explanation without the unit that stands in the label."""
    if why.startswith("True if "):
        return "Tick if " + why.removeprefix("True if ")
    for unit in (", mm.", ", g.", ", degrees.", ", degrees C.", ", per cent."):
        if why.endswith(unit):
            return why.removesuffix(unit) + "."
    return why


def _usual(value: Any, unit: str, speech: Speech) -> str:
    """What stands there if nothing is typed."""
    if value is PydanticUndefined or not isinstance(value, int | float) or isinstance(value, bool):
        return ""
    if unit == speech.say(f"learn.unit.{speech.units}"):
        return speech.fill("{v:n}", {"v": value})
    return f"{value:g}"


def _picture(name: str, speech: Speech) -> str:
    """The sheet's picture, to be put into the page as it is."""
    drawn = svg.write(Drawing(told(name, "title", speech), PICTURES[name](speech)))
    return "data:image/svg+xml;base64," + b64encode(drawn.encode()).decode()
