"""The papers' API: the list, each page to look at, each file, all of them at once."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import BaseModel, Field

from backseam.app.api_drawing import JSON, REFUSALS, HouseOf
from backseam.app.api_jobs import Id
from backseam.app.house import House
from backseam.app.keeping import JOBS
from backseam.app.naming import attachment
from backseam.app.refusing import refusal
from backseam.app.strict import StrictRoute
from backseam.job.text import raw_of

KINDS = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
    "json": JSON,
    "csv": "text/csv; charset=utf-8",
    "glb": "model/gltf-binary",
    "png": "image/png",
    "zip": "application/zip",
}
FILE: dict[int | str, dict[str, Any]] = {
    200: {"content": {kind: {} for kind in KINDS.values()}, "description": "The file."}
}
Paper = Annotated[str, Path(max_length=60, pattern=r"^[a-z0-9][a-z0-9-]*$")]
File = Annotated[str, Path(max_length=60, pattern=r"^[a-z0-9][a-z0-9-]*\.[a-z]{3,4}$")]
router = APIRouter(
    prefix="/api/jobs/{id}/papers", route_class=StrictRoute, responses=REFUSALS, tags=["papers"]
)


class PaperTold(BaseModel):
    """One paper."""

    name: str
    title: str
    files: list[str]
    pages: int
    preview: str = Field(description="png or svg: what a page is looked at as.")


class PapersTold(BaseModel):
    """All papers of a job; stamp moves when one of them does."""

    papers: list[PaperTold]
    stopped: bool = Field(description="True if only a marked preview can be had.")
    stamp: str


@router.get("", response_model=PapersTold, summary="Papers of a job")
async def papers(id: Id, house: HouseOf) -> Response:
    """What can be printed, as the job stands in the book."""
    return Response(await _made(house, id, "papers"), media_type=JSON)


@router.get("/all.pdf", response_class=Response, responses=FILE, summary="All sheets in one PDF")
async def all_pdf(id: Id, house: HouseOf) -> Response:
    """Pattern with its setting-out, then the cards."""
    made = await _made(house, id, "papers_pdf")
    return Response(made, media_type=KINDS["pdf"], headers=attachment(await _title(house, id), "pdf"))


@router.get("/all.zip", response_class=Response, responses=FILE, summary="All papers as files")
async def all_zip(id: Id, house: HouseOf) -> Response:
    """One folder with everything."""
    made = await _made(house, id, "papers_zip")
    return Response(made, media_type=KINDS["zip"], headers=attachment(await _title(house, id), "zip"))


@router.get("/{file}", response_class=Response, responses=FILE, summary="One file")
async def one(
    id: Id, file: File, house: HouseOf, look: Annotated[bool, Query(description="Shown, not kept.")] = False
) -> Response:
    """A paper as PDF, SVG, DXF or a table."""
    name, _, ending = file.rpartition(".")
    if ending not in KINDS:
        raise refusal(404, "no_such_paper")
    made = await _made(house, id, "paper", file=file)
    title = f"{await _title(house, id)} {name}"
    return Response(made, media_type=KINDS[ending], headers=attachment(title, ending, inline=look))


@router.get("/{name}/{page}.png", response_class=Response, responses=FILE, summary="A page to look at")
async def page(id: Id, name: Paper, page: Annotated[int, Path(ge=1, le=500)], house: HouseOf) -> Response:
    """Drawn from the file that is printed."""
    return Response(await _made(house, id, "paper_page", name=name, page=page), media_type=KINDS["png"])


@router.get("/{name}/{page}.svg", response_class=Response, responses=FILE, summary="A drawing to look at")
async def drawing(id: Id, name: Paper, page: Annotated[int, Path(ge=1, le=500)], house: HouseOf) -> Response:
    """For papers that are one drawing."""
    if page != 1:
        raise refusal(404, "no_such_paper")
    return Response(await _made(house, id, "paper", file=f"{name}.svg"), media_type=KINDS["svg"])


async def _made(house: House, id: str, what: str, **more: Any) -> bytes:
    kept = await run_in_threadpool(JOBS.read, house.book, id)
    units = await run_in_threadpool(house.units)
    document = raw_of(kept.text)
    own = document.get("paper") if isinstance(document.get("paper"), dict) else {}
    given = {"document": document, "units": own.get("units") or units, **more}
    return await house.ask("papers", what, given)


async def _title(house: House, id: str) -> str:
    kept = await run_in_threadpool(JOBS.read, house.book, id)
    return kept.title or kept.id
