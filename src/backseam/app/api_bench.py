"""The finished sheath's API: drying, hang, rescue, faults, moulding, and long work."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import BaseModel, Field

from backseam.app.api_drawing import REFUSALS, Asked, Document, HouseOf, Units, as_json
from backseam.app.desk import Lane
from backseam.app.hides import with_hide
from backseam.app.refusing import refusal
from backseam.app.strict import StrictRoute
from backseam.job.text import raw_of
from backseam.store.book import Book

router = APIRouter(prefix="/api", route_class=StrictRoute, responses=REFUSALS, tags=["sheath"])
LANE: Lane = "papers"
Typed = Annotated[str, Field(max_length=200)]


class DryAsked(Asked):
    """The room, when the soak begins, and what the scale says while it dries."""

    room: Annotated[str, Field(max_length=60, examples=["19 C, 55 %"])] | None = None
    start: Annotated[str, Field(max_length=20, examples=["14:00"])] | None = None
    weigh: Annotated[
        list[Typed],
        Field(
            max_length=60, examples=[["20:30 264 g", "6.5 h 258 g"]], description="Of the whole, in order."
        ),
    ] = Field(default_factory=list)
    piece: Annotated[Typed | None, Field(description="Weight of the dry piece before the soak.")] = None
    form: Annotated[Typed | None, Field(description="Weight of what it dries on.")] = None


class RescueAsked(Asked):
    """What was found at a gate, by the names of `backseam rescue`; left out, what the job itself says."""

    found: Annotated[
        dict[str, Any], Field(max_length=60, examples=[{"holes_left": "36", "row_gap_mm": "3,5"}])
    ] = Field(default_factory=dict)


class DiagnoseAsked(BaseModel):
    """What is wrong, in words; left out, all symptoms. A job puts the causes in its own order."""

    symptom: Typed = ""
    document: Document | None = None
    units: Units | None = None


class MatchAsked(BaseModel):
    """Heights and girths of a strap round the new knife, as "12:84 55:93 98:101"; jobs of the book by a search."""

    readings: Annotated[str, Field(max_length=2000, examples=["12:84 55:93 98:101"])]
    strap: Typed | None = None
    junction: Typed | None = None
    thickest: Typed | None = None
    search: Typed = ""
    units: Units | None = None


class TaskTold(BaseModel):
    """How far long work is."""

    task: str
    state: str = Field(description="waiting, working, done, stopped or refused")
    done: int
    total: int
    doing: str
    refused: dict[str, Any] | None = None


@router.post("/dry", summary="When to mould, clamp, draw and wax")
async def dry(asked: DryAsked, house: HouseOf) -> Response:
    """The clock of the wet leather."""
    return as_json(await house.ask(LANE, "dry", asked.given, asked.client, asked.seq))


@router.post("/hang", summary="How it hangs on the belt")
async def hang(asked: Asked, house: HouseOf) -> Response:
    """Weight, balance, lean, swing."""
    return as_json(await house.ask(LANE, "hang", asked.given, asked.client, asked.seq))


@router.post("/rescue", summary="Already cut like this: what now")
async def rescue(asked: RescueAsked, house: HouseOf) -> Response:
    """Each way on, what it costs and what hold it gives, best first."""
    return as_json(await house.ask(LANE, "rescue", asked.given, asked.client, asked.seq))


@router.post("/diagnose", summary="What a fault comes from")
async def diagnose(asked: DiagnoseAsked, house: HouseOf) -> Response:
    """Causes, likeliest first, how to tell, how to mend."""
    return as_json(await house.ask(LANE, "diagnose", asked.model_dump()))


@router.post("/match", summary="An old pattern for a new knife")
async def match(asked: MatchAsked, house: HouseOf) -> Response:
    """The jobs of the book held against a few straps of a knife: as it is, with rows moved, or not."""
    lines = await run_in_threadpool(house.book.lines, "job", asked.search)
    jobs = [(one.id, await run_in_threadpool(_job, house.book, one.id)) for one in lines]
    if not jobs:
        raise refusal(422, "no_jobs")
    return as_json(await house.ask(LANE, "match", {**asked.model_dump(), "jobs": jobs}))


def _job(book: Book, id: str) -> Any:
    """A job of the book with what its hide's card knows."""
    return with_hide(book, raw_of(book.read(id).text))


@router.post("/moulding", status_code=202, summary="Lay both pieces on the form")
async def moulding(asked: Asked, house: HouseOf) -> TaskTold:
    """Begins long work; look at it under /api/tasks."""
    return TaskTold(**house.tasks.begin(LANE, "moulding", await house.reckoned(asked.given)).told)


@router.get("/tasks/{task}", summary="How far long work is")
async def task_told(task: Typed, house: HouseOf) -> TaskTold:
    """Steps done, and what is at hand."""
    return TaskTold(**house.tasks.of(task).told)


@router.delete("/tasks/{task}", summary="Stop long work")
async def task_stopped(task: Typed, house: HouseOf) -> TaskTold:
    """It stops within half a second."""
    return TaskTold(**house.tasks.stop(task).told)


@router.get("/tasks/{task}/result", summary="What came of long work")
async def task_result(task: Typed, house: HouseOf) -> Response:
    """The answer, once it is done."""
    found = house.tasks.of(task)
    if found.state != "done":
        raise refusal(409, "not_ready")
    return as_json(found.result)
