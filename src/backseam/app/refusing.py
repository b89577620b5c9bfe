"""What cannot be done, said in one way everywhere: a status, a code, a sentence, a place, a remedy."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from fastapi import FastAPI, HTTPException, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException as PlainHTTPException

from backseam.app import lost
from backseam.ground.errors import (
    BackseamError,
    DocumentTooNew,
    InDoubt,
    InputRefused,
    NotConverged,
    NotThere,
    OutputRefused,
    SeveralRefused,
    Stopped,
    StoreError,
)
from backseam.ground.speech import PLAIN
from backseam.job.walk import spelled

Where = tuple[str | int, ...]
STATUS = {"not_there": 404, "book_busy": 503, "book_full": 507}  # of the book's refusals; all others 409


class Refused(BaseModel):
    """Why something was not done. One sentence, and where in the document; `also` holds further ones."""

    code: str = Field(examples=["refused"])
    text: str = Field(examples=["The reading is not above 0. Type the girth in mm."])
    where: list[str | int] = Field(default_factory=list, examples=[["form", "girths", 3, "reading_mm"]])
    remedy: str = ""
    choices: list[str] = Field(
        default_factory=list, description="Texts to type instead, where there was a doubt."
    )
    also: list[dict[str, Any]] = Field(default_factory=list)


class Refusal(HTTPException):
    """A refusal on its way to the page."""

    def __init__(self, status: int, body: Mapping[str, Any]) -> None:
        super().__init__(status, detail=str(body.get("text", "")))
        self.body = dict(body)


def refusal(status: int, key: str, where: Where = (), /, **values: object) -> Refusal:
    """A refusal of the API's own, its sentence from the words of the API."""
    text = PLAIN.say(f"api.refused.{key}", **values)
    return Refusal(status, {"code": key, "text": text, "where": list(where), "remedy": ""})


def told(error: BackseamError, inside: Where = ()) -> tuple[int, dict[str, Any]]:
    """Status and body for an error of the core or of the book."""
    if isinstance(error, SeveralRefused):
        each = [told(one, inside)[1] for one in error.each] or [_body("refused", str(error), ())]
        return 422, {**each[0], "also": each[1:]}
    where = tuple(getattr(error, "where", ()) or ())
    text = _without_place(str(error), where)
    if isinstance(error, InDoubt):
        return 422, {**_body("in_doubt", text, where), "choices": list(error.choices)}
    status, code = _kind(error)
    return status, _body(code, text, where)


def _kind(error: BackseamError) -> tuple[int, str]:
    """Status and code by the kind of error."""
    if isinstance(error, StoreError):
        return STATUS.get(error.code, 409), error.code
    for cls, answer in (
        (DocumentTooNew, (422, "newer")),
        (InputRefused, (422, "refused")),
        (NotConverged, (422, "not_settled")),
        (Stopped, (409, "stopped")),
        (OutputRefused, (409, "not_written")),
    ):
        if isinstance(error, cls):
            return answer
    return 409, "not_done"


def _body(code: str, text: str, where: Where) -> dict[str, Any]:
    shown = text.encode("utf-8", "replace").decode()  # half a sign, echoed, could not be sent
    return {"code": code, "text": shown, "where": list(where), "remedy": ""}


def _without_place(text: str, where: Where) -> str:
    """The sentence alone: the place stands beside it."""
    place = f"{spelled(where)}: " if where else ""
    return text.removeprefix(place) if place else text


def answer(status: int, body: Mapping[str, Any]) -> JSONResponse:
    """A refusal as a response."""
    return JSONResponse(dict(body), status_code=status)


def install(app: FastAPI) -> None:
    """Every way in which a request can end badly, turned into a sentence."""
    app.add_exception_handler(BackseamError, _of_core)
    app.add_exception_handler(RequestValidationError, _of_body)
    app.add_exception_handler(PlainHTTPException, _of_http)
    app.add_exception_handler(Exception, _of_fault)


def shown(request: Request, status: int, body: Mapping[str, Any], removed: bool | None = None) -> Response:
    """A refusal as a page where a browser asked for one, else as JSON."""
    page = lost.page(request, status, body["text"], removed) if lost.wanted(request) else None
    return page or answer(status, body)


async def _of_core(request: Request, error: Exception) -> Response:
    assert isinstance(error, BackseamError)
    removed = bool(error.removed_at) if isinstance(error, NotThere) else None
    return shown(request, *told(error), removed)


async def _of_body(request: Request, error: Exception) -> Response:
    """What the request itself lacks, or holds that cannot be."""
    assert isinstance(error, RequestValidationError)
    each = [_body("request", _sentence(one), tuple(_place(one["loc"]))) for one in error.errors()[:20]]
    return shown(request, 422, {**each[0], "also": each[1:]})


def _place(loc: Iterable[Any]) -> Iterable[str | int]:
    return (one for one in list(loc)[1:] if isinstance(one, str | int))


def _sentence(found: Mapping[str, Any]) -> str:
    kind = str(found["type"])
    name = ".".join(str(one) for one in _place(found["loc"])) or str(found["loc"][0])
    key = "missing" if kind == "missing" else "size" if kind.endswith(("too_long", "too_short")) else "value"
    return PLAIN.say(f"api.body.{key}", name=name[:80])


async def _of_http(request: Request, error: Exception) -> Response:
    """Refusals of the API, and those of the framework by their status."""
    if isinstance(error, Refusal):
        return answer(error.status_code, error.body)
    assert isinstance(error, PlainHTTPException)
    key = {400: "body", 404: "no_such_page", 405: "method", 413: "large_body", 415: "body"}.get(
        error.status_code, "other"
    )
    text = PLAIN.say(f"api.http.{key}")
    if lost.wanted(request):
        return shown(request, error.status_code, _body(key, text, ()))
    return JSONResponse(_body(key, text, ()), status_code=error.status_code, headers=error.headers)


async def _of_fault(request: Request, _: Exception) -> Response:
    return shown(request, 500, _body("fault", PLAIN.say("api.http.fault"), ()))
