"""The rooms: Today, a new job, the way round, leather, papers, settings. Pages only, no sums."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from backseam.app import hide_page
from backseam.app.bench_forms import bench_forms
from backseam.app.house import house_of
from backseam.app.keeping import LEATHER
from backseam.app.views import render, speech_of
from backseam.ground.speech import PLAIN
from backseam.job.leather_card import loads

router = APIRouter(include_in_schema=False)
INSTRUMENTS = ("strap_butted", "strap_overlapped", "strap_pinched", "thread", "paper")
PARTS = ("shoulder", "bend", "belly", "harness", "other")
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
        hides=list(hide_page.listed(book_of(request), speech_of(request))),
        parts=PARTS,
        unit=unit_of(request),
    )


@router.get("/leather/{id}")
def hide(request: Request, id: str) -> HTMLResponse:
    """One hide: what is known, what was tested, where to type more."""
    book = book_of(request)
    kept = LEATHER.read(book, id)
    card, speech = loads(kept.text), speech_of(request)
    own, others = hide_page.jobs(book, kept, card)
    return render(
        request,
        "hide.html",
        room="leather",
        hide=kept,
        card=card,
        thickness="; ".join(speech.fill("{v:n2}", {"v": one}) for one in card.thickness_mm or ()),
        about=hide_page.about(card, speech),
        calibrated=card.calibrated,
        known=list(hide_page.known(card, speech)),
        tests=list(hide_page.tests(card, speech)),
        forms=bench_forms(speech),
        own=own,
        others=others,
        parts=PARTS,
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
