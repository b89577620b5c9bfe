"""Pages: Jinja templates, every word of them from the book `app`, everything typed escaped."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, cast

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from backseam.ground.speech import PLAIN, Speech

ROOMS = (("today", "/"), ("leather", "/leather"), ("papers", "/papers"), ("settings", "/settings"))


@cache
def pages() -> Environment:
    """The templates of the package, escaping on, a name that is not given is a fault."""
    made = Environment(
        loader=PackageLoader("backseam.app", "views"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(icon=icon, rooms=ROOMS)
    return made


def icon(name: str) -> Markup:
    """One of our own icons; it always stands beside a word, or the button has a name for readers."""
    return Markup('<svg class="icon" aria-hidden="true"><use href="#i-{}"/></svg>').format(name)


def speech_of(request: Request) -> Speech:
    """How this workshop speaks: its units and language, from its settings."""
    told: Callable[[], Mapping[str, Any]] | None = getattr(request.app.state, "settings", None)
    settings = told() if told else {}
    units = "inch" if settings.get("units") == "inch" else "mm"
    return Speech(units=cast(Any, units), language=str(settings.get("language") or PLAIN.language))


def render(request: Request, name: str, *, room: str = "", status: int = 200, **values: Any) -> HTMLResponse:
    """A page. room: which link of the rail is lit. values: what the template needs."""
    speech = speech_of(request)
    given = {"say": speech.say, "speech": speech, "language": speech.language, "room": room, **values}
    return HTMLResponse(pages().get_template(name).render(given), status_code=status)
