"""Leather that learns: tests and finished sheaths taken onto a card; the sheets for the tests."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Response
from pydantic import BaseModel, Field

from backseam.app.api_drawing import REFUSALS, HouseOf
from backseam.app.api_jobs import Id, Kept, as_json
from backseam.app.keeping import JOBS, LEATHER, kept_told
from backseam.app.naming import attachment
from backseam.app.refusing import refusal
from backseam.app.settings import settings_in
from backseam.app.strict import StrictRoute
from backseam.job.text import raw_of

router = APIRouter(prefix="/api/leather/{id}", route_class=StrictRoute, responses=REFUSALS, tags=["leather"])
Test = Annotated[str, Field(max_length=60)]


class LearnAsked(BaseModel):
    """What it is learnt from: a sheet of tests, or a job of the book whose sheath is finished."""

    tests: dict[str, Any] | None = None
    job: Annotated[str, Field(max_length=120)] | None = None
    without: Annotated[list[Test], Field(max_length=100, description="Tests left out of the sums.")] = Field(
        default_factory=list
    )
    again: Annotated[list[Test], Field(max_length=100, description="Tests taken in again.")] = Field(
        default_factory=list
    )


class Learnt(Kept):
    """The card as it is now, and what changed, in words."""

    told: list[str]
    findings: list[dict[str, Any]]


@router.post("/learn", response_model=Learnt, summary="Learn from a test or a sheath")
async def learn(id: Id, asked: LearnAsked, house: HouseOf) -> Response:
    """Takes it onto the card, learns its values anew, saves the card."""
    from fastapi.concurrency import run_in_threadpool
    from pydantic_core import from_json

    if asked.tests is None and asked.job is None and not asked.without and not asked.again:
        raise refusal(422, "nothing_to_learn", ("tests",))
    card = await run_in_threadpool(LEATHER.read, house.book, id)
    given: dict[str, Any] = {
        "id": id,
        "card": raw_of(card.text),
        "tests": asked.tests,
        "without": asked.without,
        "again": asked.again,
    }
    given["units"] = await run_in_threadpool(house.units)
    if asked.job is not None:
        given["job"] = raw_of((await run_in_threadpool(JOBS.read, house.book, asked.job)).text)
    told = from_json(await house.ask("papers", "learn", given))
    kept = await run_in_threadpool(LEATHER.save, house.book, id, told["card"], card.revision, "")
    return as_json({**kept_told(kept, whole=False), "told": told["told"], "findings": told["findings"]})


@router.get(
    "/tests.pdf",
    response_class=Response,
    responses={200: {"content": {"application/pdf": {}}}},
    summary="The sheets for the tests",
)
def tests(id: Id, house: HouseOf) -> Response:
    """How each test is done, with boxes to write in."""
    from backseam.ground.speech import Speech
    from backseam.papers.sheets.leather_tests import write

    kept, given = LEATHER.read(house.book, id), settings_in(house.book)
    made = write(kept.title or kept.id, Speech(given.units), given.sheet)
    return Response(made, media_type="application/pdf", headers=attachment(f"{kept.title} tests", "pdf"))
