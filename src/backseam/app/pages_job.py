"""The job page: the document, the words and the fields laid in; the drawing is the page's own script's."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from pydantic_core import to_json

from backseam.app.house import house_of
from backseam.app.job_fields import panels, reading_row
from backseam.app.views import render, speech_of
from backseam.ground.speech import Speech, words

router = APIRouter(include_in_schema=False)

READS = ("holes", "pitch", "seam", "thread", "blank")


@router.get("/jobs/{id}", response_class=HTMLResponse)
def job_page(request: Request, id: str) -> HTMLResponse:
    """One job, to be looked at and changed."""
    book = house_of(request).book
    kept = book.read(id)
    speech = speech_of(request)
    document = json.loads(kept.text)
    laid = {
        "id": kept.id,
        "revision": kept.revision,
        "saved_at": kept.saved_at,
        "read_only": bool(book.read_only),
        "units": _units(document, speech),
        "document": document,
        **_described(speech.language),
    }
    day = _day(document.get("promised"))
    given = {"laid": _harmless(laid), "job": document, "id": kept.id, "units": laid["units"]}
    return render(request, "job.html", reads=READS, day=day, **given)


def _day(text: Any) -> str:
    """A day as one says it; what is no day, as it was typed."""
    try:
        day = date.fromisoformat(str(text or ""))
        return f"{day:%a} {day.day} {day:%b}"
    except ValueError:
        return str(text or "")


def _units(document: Mapping[str, Any], speech: Speech) -> str:
    """The job's own units, else the workshop's."""
    paper = document.get("paper")
    own = paper.get("units") if isinstance(paper, dict) else None
    return str(own) if own in ("mm", "inch") else speech.units


@cache
def _described(language: str) -> dict[str, Any]:
    """Words and fields: the same for every job."""
    row = reading_row(language)
    legs = {f"leg.{key}": text for key, text in words(language, "way")["leg"].items()}
    holds = {f"hold.{key}": text for key, text in words(language, "fit")["hold"].items()}
    return {
        "words": {**dict(_flat(words(language, "job"))), **legs, **holds},
        "panels": panels(language),
        "row": row,
    }


def _flat(table: Mapping[str, Any], before: str = "") -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for name, value in table.items():
        found += _flat(value, f"{before}{name}.") if isinstance(value, dict) else [(f"{before}{name}", value)]
    return found


def _harmless(laid: Mapping[str, Any]) -> str:
    """JSON that cannot end the element it lies in, whatever was typed."""
    text = to_json(laid).decode()
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text
