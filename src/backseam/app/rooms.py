"""The rooms: Today, a new job, the way round, leather, papers, settings. Pages only, no sums."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from backseam.app.house import house_of
from backseam.app.views import render, speech_of
from backseam.ground.speech import PLAIN, Speech
from backseam.job.learned import base_of
from backseam.job.learned_words import HIDDEN, named
from backseam.job.leather_card import LeatherCard, loads
from backseam.job.leather_tests import LISTS

router = APIRouter(include_in_schema=False)
INSTRUMENTS = ("strap_butted", "strap_overlapped", "strap_pinched", "thread", "paper")
SAMPLE = "barrel"


def book_of(request: Request) -> Any:
    """The job book of this app."""
    return house_of(request).book


def unit_of(request: Request) -> str:
    """What a length is typed in."""
    return PLAIN.say(f"card.unit.{speech_of(request).units}")


@router.get("/")
def today(request: Request) -> HTMLResponse:
    """What is wet, what is due, what is next."""
    book = book_of(request)
    jobs = sorted(book.lines("job"), key=lambda line: (line.promised or "9999", line.title))
    doubts = house_of(request).doubts()
    return render(request, "today.html", room="today", jobs=jobs, read_only=book.read_only, doubts=doubts)


@router.get("/new")
def new(request: Request) -> HTMLResponse:
    """Four straps and the leather."""
    return render(request, "new.html", room="today", instruments=INSTRUMENTS, unit=unit_of(request))


@router.get("/welcome")
def welcome(request: Request) -> HTMLResponse:
    """Two minutes round the workshop."""
    lines = book_of(request).lines("job")
    return render(request, "welcome.html", first=lines[0].id if lines else "")


@router.get("/leather")
def leather(request: Request) -> HTMLResponse:
    """All hides of the book."""
    return render(
        request,
        "leather.html",
        room="leather",
        hides=book_of(request).lines("leather"),
        unit=unit_of(request),
    )


@router.get("/leather/{id}")
def hide(request: Request, id: str) -> HTMLResponse:
    """One hide: what is known, what was tested, where to type more."""
    kept = book_of(request).read(id)
    card, speech = loads(kept.text), speech_of(request)
    return render(
        request,
        "hide.html",
        room="leather",
        hide=kept,
        about=_about(card, speech),
        calibrated=card.calibrated,
        known=list(_known(card, speech)),
        tests=list(_tests(card, speech)),
        jobs=book_of(request).lines("job"),
        unit=unit_of(request),
    )


@router.get("/papers")
def papers(request: Request) -> HTMLResponse:
    """Jobs with their papers."""
    return render(
        request, "papers.html", room="papers", job=None, jobs=book_of(request).lines("job"), unit=""
    )


@router.get("/papers/{id}")
def papers_of(request: Request, id: str) -> HTMLResponse:
    """The papers of one job."""
    return render(
        request, "papers.html", room="papers", job=book_of(request).read(id), jobs=(), unit=unit_of(request)
    )


@router.get("/settings")
def settings(request: Request) -> HTMLResponse:
    """Units, sheets, rates, defaults, backups."""
    return render(
        request, "settings.html", room="settings", book=book_of(request).path, unit=unit_of(request)
    )


def _about(card: LeatherCard, speech: Speech) -> str:
    part = speech.say(f"app.leather.parts.{card.part}")
    several = card.thickness_mm
    if not several:
        return part
    return speech.say("way.thick", thickness=sum(several) / len(several), part=part)


def _known(card: LeatherCard, speech: Speech) -> Iterator[dict[str, Any]]:
    """What was learnt, each with its band and what the house believed."""
    house = base_of(card)
    for one in card.values:
        before = house.get(one.name)
        if one.name in HIDDEN:
            continue
        figure = _figure(one.name, one.unit)
        yield {
            "name": named(one.name, speech),
            "value": figure(one.value),
            "band": f"{figure(one.low)} … {figure(one.high)}",
            "house": figure(before.value) if before else "",
            "tests": ", ".join(one.tests),
            "bar": _bar(one.low, one.high, one.value, before) if before else "",
        }


def _figure(name: str, unit: str) -> Any:
    """How a value is written: shares of a length or girth in percent, friction and water as they are."""
    if unit in ("share", "strain") and name.split(".")[0] not in ("friction", "water"):
        return lambda value: PLAIN.fill("{v:pct}", {"v": value})
    said = "" if unit == "share" else unit
    return lambda value: f"{value:.3g} {said}".strip()


def _bar(low: float, high: float, middle: float, house: Any) -> Markup:
    """The band now inside the band of the house, as a small drawing."""
    left, right = min(low, house.low), max(high, house.high)
    room = (right - left) or 1.0
    a, b = 100 * (low - left) / room, 100 * (high - left) / room
    at = 100 * (house.value - left) / room
    return Markup(
        '<svg class="band" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">'
        '<rect class="track" width="100" height="10"/><rect class="span" x="{}" width="{}" height="10"/>'
        '<path class="house" d="M{} 0V10"/></svg>'
    ).format(f"{a:.1f}", f"{max(b - a, 1):.1f}", f"{at:.1f}")


def _tests(card: LeatherCard, speech: Speech) -> Iterator[str]:
    """Every test and sheath on the card, by name."""
    for name, many in LISTS.items():
        for number, one in enumerate(getattr(card.tests, many), 1):
            yield _test(f"{name} {number}", one, speech)
    for number, sheath in enumerate(card.sheaths, 1):
        yield _test(f"sheath {number}", sheath, speech) + (f": {sheath.title}" if sheath.title else "")


def _test(name: str, one: Any, speech: Speech) -> str:
    out = f" ({speech.say('app.leather.left_out')})" if one.left_out else ""
    return f"{name}{', ' + one.date if one.date else ''}{out}"
