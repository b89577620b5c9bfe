"""The server put together: guard outside, routes inside, the desk beside."""

from __future__ import annotations

import asyncio
import importlib
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import datetime
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path

from fastapi import FastAPI, Query, Request
from fastapi.responses import PlainTextResponse, RedirectResponse, Response
from fastapi.staticfiles import StaticFiles

from backseam.app import guard, refusing
from backseam.app.desk import Desk
from backseam.app.house import House, utc_now
from backseam.app.keys import Keys
from backseam.app.samples import opened
from backseam.app.settings import settings_in
from backseam.ground.speech import PLAIN

# Each holds a `router`. The order is the order in which addresses are tried.
ROUTERS = (
    "api_drawing",
    "api_bench",
    "api_papers",
    "api_leather",
    "api_jobs",
    "api_settings",
    "rooms",
    "pages_job",
)


def create(
    book_path: Path,
    *,
    port: int,
    token: str = "",
    keys: Keys | None = None,
    now: Callable[[], datetime] = utc_now,
    workers: int = 2,
) -> FastAPI:
    """The app for one book at one port. token: lets one browser in, once; workers: 0 works inside the server."""
    held = keys or Keys()
    held.token = token or held.token
    book = opened(book_path, now)
    house = House(book_path, port, held, Desk(workers), book, now)

    @asynccontextmanager
    async def living(_: FastAPI) -> AsyncIterator[None]:
        await house.desk.start()
        watching = asyncio.create_task(house.watch())
        yield
        watching.cancel()
        house.close()

    made = FastAPI(
        title="Backseam",
        summary="From the readings of one knife to the full-size pattern of its sheath.",
        description=PLAIN.say("api.about"),
        version="1",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        lifespan=living,
        redirect_slashes=False,
    )
    made.state.house = house
    made.state.settings = lambda: settings_in(house.book).model_dump()
    refusing.install(made)
    made.get("/enter", include_in_schema=False)(_enter)
    made.get("/api", include_in_schema=False)(_listed)
    for name in ROUTERS:
        if find_spec(f"backseam.app.{name}") is not None:
            made.include_router(importlib.import_module(f"backseam.app.{name}").router)
    static = Path(str(files("backseam.app").joinpath("static")))
    made.mount("/static", StaticFiles(directory=static), name="static")
    made.add_middleware(guard.Guard, port=port, keys=held)
    return made


async def _enter(request: Request, token: str = Query(default="", max_length=200)) -> Response:
    """The way in: the token is spent, the cookie given, and the address left behind."""
    house: House = request.app.state.house
    if not house.keys.taken(token):
        return PlainTextResponse(PLAIN.say("api.guard.entrance") + "\n", status_code=401)
    onward = RedirectResponse("/", status_code=303)
    onward.set_cookie(
        house.keys.cookie_name(house.port),
        house.keys.cookie(),
        max_age=400 * 24 * 3600,
        httponly=True,
        samesite="strict",
        path="/",
    )
    return onward


async def _listed(request: Request) -> Response:
    """The list of the API as plain text; /api/openapi.json says all of it."""
    described = request.app.openapi()
    rows = [
        f"{method.upper():<7}{path:<44}{one['summary']}"
        for path, methods in described["paths"].items()
        for method, one in methods.items()
        if path.startswith("/api/")
    ]
    return PlainTextResponse("\n".join([described["info"]["description"].strip(), "", *rows, ""]))
