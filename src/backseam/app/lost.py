"""The page for an address that leads nowhere, or to what cannot be opened: what is so, and the ways on."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import Response

from backseam.app.views import render, speech_of
from backseam.ground.errors import StoreError


def wanted(request: Request) -> bool:
    """True for a browser that wants a page; the API and files answer as they always do."""
    own = request.url.path.startswith(("/api/", "/static/"))
    return not own and request.method in ("GET", "HEAD") and "text/html" in request.headers.get("accept", "")


def page(request: Request, status: int, text: str, removed: bool | None = None) -> Response | None:
    """The page. removed: of what is not in the book, whether it once was and can be brought back; None for all else.
    None comes back if the settings that say how to speak cannot be read either.
    """
    kind, _, id = request.url.path.removeprefix("/").partition("/")
    head = "gone" if removed else "nothing" if status == 404 else "trouble"
    try:
        speech = speech_of(request)
        if removed is not None:
            text = speech.say(f"app.lost.{'removed' if removed else 'no_such'}")
        given = {"head": head, "text": text, "kind": kind, "id": id if removed else ""}
        return render(request, "lost.html", status=status, **given)
    except StoreError:
        return None
