"""The book's API: jobs and leather cards, listed, read, saved, removed, brought back, looked back at."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Response
from pydantic import BaseModel, Field
from pydantic_core import to_json

from backseam.app.api_drawing import JSON, REFUSALS, Document, HouseOf
from backseam.app.keeping import JOBS, LEATHER, Shelf, kept_told, line_told, merged
from backseam.app.naming import attachment
from backseam.app.settings import settings_in
from backseam.app.strict import StrictRoute
from backseam.job.text import raw_of

Id = Annotated[str, Path(min_length=1, max_length=120)]
Revision = Annotated[int, Field(ge=0, le=2**53)]


class Kept(BaseModel):
    """Where a document stands in the book."""

    id: str
    title: str
    revision: int
    saved_at: str = Field(description="ISO 8601 in UTC.")
    mark: str = ""


class KeptDocument(Kept):
    """A document with its content."""

    document: dict[str, Any]


class Row(BaseModel):
    """One row of a listing."""

    id: str
    title: str
    revision: int
    saved_at: str
    promised: str = ""
    customer: str = ""
    stage: str = ""
    mark: str = ""
    removed_at: str = ""


class Rows(BaseModel):
    """A listing, last saved first."""

    lines: list[Row]


class History(BaseModel):
    """Saves of a document, newest first."""

    history: list[Row]


class Difference(BaseModel):
    """A field in which two saves differ."""

    where: list[str | int]
    name: str
    earlier: str
    later: str


class Differences(BaseModel):
    """All of them."""

    differences: list[Difference]


class Made(BaseModel):
    """A new document. fresh: the workshop's own defaults stand under it."""

    document: Document
    fresh: bool = False


class Saved(BaseModel):
    """A document to save over the revision it was opened with."""

    document: Document
    revision: Revision
    mark: Annotated[str, Field(max_length=200, description="A word of one's own for this save.")] = ""


class Restored(BaseModel):
    """Which save to bring back, and which one is there now."""

    revision: Revision
    current: Revision


def as_json(value: Any, status: int = 200) -> Response:
    """Plain values as JSON."""
    return Response(to_json(value), status_code=status, media_type=JSON)


def routes(shelf: Shelf, name: str) -> APIRouter:
    """The addresses of one kind of document."""
    made = APIRouter(prefix=f"/api/{name}", route_class=StrictRoute, responses=REFUSALS, tags=[name])
    _now(made, shelf, name)
    _back(made, shelf)
    return made


def _now(made: APIRouter, shelf: Shelf, name: str) -> None:
    """Documents as they are."""

    @made.get("", response_model=Rows, name=f"{name}_list", summary="What is in the book")
    def listing(
        house: HouseOf,
        search: Annotated[str, Query(max_length=200)] = "",
        removed: Annotated[bool, Query(description="Those that were taken out.")] = False,
    ) -> Response:
        """Last saved first; search: words that all stand in title, customer or id."""
        lines = house.book.lines(shelf.kind, search, removed=removed)
        return as_json({"lines": [line_told(line) for line in lines]})

    @made.post("", response_model=Kept, status_code=201, name=f"{name}_add", summary="A new one")
    def add(asked: Made, house: HouseOf) -> Response:
        """Into the book; what it cannot hold is refused with the place."""
        document = asked.document
        if asked.fresh and shelf is JOBS:
            document = merged(settings_in(house.book).defaults, document)
        return as_json(kept_told(shelf.add(house.book, document), whole=False), 201)

    @made.get("/{id}", response_model=KeptDocument, name=f"{name}_read", summary="One document")
    def read(id: Id, house: HouseOf) -> Response:
        """As it was last saved."""
        return as_json(kept_told(shelf.read(house.book, id)))

    @made.put("/{id}", response_model=Kept, name=f"{name}_save", summary="Save one")
    def save(id: Id, asked: Saved, house: HouseOf) -> Response:
        """Over the revision it was opened with. Saved elsewhere meanwhile: 409, both versions, field by field."""
        kept = shelf.save(house.book, id, asked.document, asked.revision, asked.mark)
        return as_json(kept_told(kept, whole=False))

    @made.delete("/{id}", status_code=204, name=f"{name}_remove", summary="Take one out")
    def remove(id: Id, house: HouseOf, revision: Annotated[int, Query(ge=0, le=2**53)]) -> Response:
        """Its history stays, and it can be brought back."""
        shelf.read(house.book, id)
        house.book.remove(id, revision=revision)
        return Response(status_code=204)

    @made.post(
        "/{id}/duplicate", response_model=Kept, status_code=201, name=f"{name}_duplicate", summary="A copy"
    )
    def duplicate(id: Id, house: HouseOf) -> Response:
        """A new document with the same content, its title saying so; what was done and made stays behind."""
        document = raw_of(shelf.read(house.book, id).text)
        document["title"] = house.say("copy_of", title=document.get("title") or "")[:200]
        for left in ("making", "made"):
            document.pop(left, None)
        return as_json(kept_told(shelf.add(house.book, document), whole=False), 201)

    @made.get(
        "/{id}/export",
        response_class=Response,
        responses={200: {"content": {JSON: {}}}},
        name=f"{name}_export",
        summary="As a file",
    )
    def export(id: Id, house: HouseOf) -> Response:
        """The document as a file to keep or send on."""
        kept = shelf.read(house.book, id)
        return Response(kept.text, media_type=JSON, headers=attachment(kept.title or kept.id, "json"))


def _back(made: APIRouter, shelf: Shelf) -> None:
    """Documents as they were."""
    name = made.prefix.rpartition("/")[2]

    @made.post("/{id}/bring-back", response_model=Kept, name=f"{name}_bring_back", summary="Bring one back")
    def bring_back(id: Id, house: HouseOf) -> Response:
        """One that was taken out, as it was."""
        return as_json(kept_told(house.book.bring_back(id), whole=False))

    @made.get("/{id}/history", response_model=History, name=f"{name}_history", summary="Its saves")
    def history(id: Id, house: HouseOf) -> Response:
        """Newest first."""
        return as_json({"history": [line_told(line) for line in house.book.history(id)]})

    @made.get(
        "/{id}/history/{revision}", response_model=KeptDocument, name=f"{name}_at", summary="One of its saves"
    )
    def at(id: Id, revision: Annotated[int, Path(ge=0, le=2**53)], house: HouseOf) -> Response:
        """The document as it was then."""
        return as_json(kept_told(house.book.at(id, revision)))

    @made.get(
        "/{id}/differences", response_model=Differences, name=f"{name}_differences", summary="Two saves"
    )
    def differences(
        id: Id,
        house: HouseOf,
        earlier: Annotated[int, Query(ge=0, le=2**53)],
        later: Annotated[int, Query(ge=0, le=2**53)],
    ) -> Response:
        """Field by field."""
        before, after = (house.book.at(id, revision).text for revision in (earlier, later))
        found = [
            {"where": one["where"], "name": one["name"], "earlier": one["mine"], "later": one["theirs"]}
            for one in shelf.differ(before, after)
        ]
        return as_json({"differences": found})

    @made.post("/{id}/restore", response_model=KeptDocument, name=f"{name}_restore", summary="Back to a save")
    def restore(id: Id, asked: Restored, house: HouseOf) -> Response:
        """The document as it was then, as a new save over the present one."""
        then = house.book.at(id, asked.revision)
        mark = house.say("restored", at=then.saved_at[:16].replace("T", " "))
        return as_json(kept_told(shelf.save(house.book, id, raw_of(then.text), asked.current, mark)))


router = APIRouter()


@router.get("/api/jobs/{id}/glance", tags=["jobs"], responses=REFUSALS, summary="A job at a glance")
async def glance(id: Id, house: HouseOf) -> Response:
    """Its small drawing, how far it has come, what is next, what goes on by itself."""
    from fastapi.concurrency import run_in_threadpool

    kept = await run_in_threadpool(JOBS.read, house.book, id)
    given = {"document": raw_of(kept.text), "now": house.now().isoformat(), "units": house.units()}
    return Response(await house.ask("papers", "glance", given), media_type=JSON)


router.include_router(routes(JOBS, "jobs"))
router.include_router(routes(LEATHER, "leather"))
