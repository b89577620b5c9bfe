"""The drawing's API: what answers while a number is typed."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Response
from pydantic import BaseModel, Field, WithJsonSchema

from backseam.app.house import House, house_of
from backseam.app.refusing import Refused, refusal, told
from backseam.app.strict import StrictRoute
from backseam.ground.speech import Speech
from backseam.intake.readings_csv import read_readings
from backseam.job.hand_line import hand_line
from backseam.job.text import plain_of

JSON = "application/json"
REFUSALS: dict[int | str, dict[str, Any]] = {
    "4XX": {"model": Refused, "description": "Why not, in one sentence."}
}
EXAMPLE = {
    "kind": "backseam.job",
    "version": 1,
    "title": "Puukko, birch handle",
    "form": {
        "girths": [
            {"station_mm": 12, "reading_mm": 72, "instrument": "strap_butted"},
            {"station_mm": 60, "reading_mm": 92, "instrument": "strap_butted"},
            {
                "station_mm": 104,
                "reading_mm": 104,
                "instrument": "strap_butted",
                "width_mm": 29,
                "depth_mm": 25,
            },
            {"station_mm": 128, "reading_mm": 100, "instrument": "strap_butted"},
            {"station_mm": 150, "reading_mm": 92, "instrument": "strap_butted"},
        ],
        "landmarks": {"junction_mm": 60, "thickest_mm": 104, "mouth_above_thickest_mm": 6},
    },
    "leather": {"thickness_mm": 2.5},
}
Document = Annotated[
    dict[str, Any],
    WithJsonSchema(
        {
            "type": "object",
            "description": "A job document; its fields are those of /api/schema/job.",
            "examples": [EXAMPLE],
            "required": ["kind", "version"],
            "properties": {"kind": {"const": "backseam.job"}, "version": {"const": 1}},
        }
    ),
]
Client = Annotated[str, Field(max_length=80, description="One page; in each the newest request wins.")]
Units = Literal["mm", "inch"]
View = Literal["front", "back", "piece", "stretch"]
HouseOf = Annotated[House, Depends(house_of)]
router = APIRouter(prefix="/api", route_class=StrictRoute, responses=REFUSALS, tags=["drawing"])


class Asked(BaseModel):
    """A request about one job."""

    document: Document
    client: Client = ""
    seq: Annotated[int, Field(ge=0, le=2**53)] = 0
    units: Units | None = None

    @property
    def given(self) -> dict[str, Any]:
        """What goes to a worker."""
        return self.model_dump()


class WorkAsked(Asked):
    """Which drawings are wanted beside what is worked out."""

    views: Annotated[list[View], Field(max_length=4)] = ["front", "back", "piece"]


class HandStation(BaseModel):
    """One height of the hand line."""

    reading: int = Field(description="Row of form.girths.")
    name: str
    station_mm: float
    strap_mm: float = Field(description="What a butted strap of this leather reads there.")
    half_width_mm: float = Field(description="Where the dot goes, each side of the centre line.")


class HandRefused(BaseModel):
    """A reading that was left out."""

    where: list[str | int]
    text: str


class HandTold(BaseModel):
    """The hand line."""

    stations: list[HandStation]
    dots: list[tuple[float, float]]
    refused: list[HandRefused]


class HandAsked(BaseModel):
    """The job, as far as it is typed."""

    document: Document


def as_json(body: bytes) -> Response:
    """JSON that a worker has written."""
    return Response(body, media_type=JSON)


@router.post("/hand", summary="The hand line, at once")
async def hand(asked: HandAsked, house: HouseOf) -> HandTold:
    """Readings turned to the strap, half widths to join by dots. What cannot be taken is named and left out."""
    found = hand_line((await house.reckoned({"document": asked.document}))["document"])
    rows = [
        HandStation(
            reading=row.reading,
            name=row.name,
            station_mm=round(row.station, 3),
            strap_mm=round(row.strap, 3),
            half_width_mm=round(row.half_width, 3),
        )
        for row in found.rows
    ]
    bodies = [told(one)[1] for one in found.refused]
    return HandTold(
        stations=rows,
        dots=[(row.half_width_mm, row.station_mm) for row in rows],
        refused=[HandRefused(where=body["where"], text=body["text"]) for body in bodies],
    )


@router.post("/work", summary="The job worked out, with its drawings")
async def work(asked: WorkAsked, house: HouseOf) -> Response:
    """The flat piece, its holes, its findings, the drawings asked for."""
    return as_json(await house.ask("piece", "work", asked.given, asked.client, asked.seq))


class WhyAsked(Asked):
    """What is asked for."""

    what: Annotated[str, Field(max_length=80, examples=["hole:12", "station:3", "thread"])]


class FitAsked(Asked):
    """The mouth may be tried at another height than the document says."""

    mouth_above_thickest_mm: Annotated[float, Field(ge=-200, le=200)] | None = None


class SectionAsked(Asked):
    """The height to cut at."""

    station_mm: Annotated[float, Field(ge=-1000, le=1000)]


class Pasted(BaseModel):
    """Cells as they come from a spreadsheet."""

    text: Annotated[
        str, Field(max_length=1_000_000, examples=["station_mm\treading_mm\n40\t87,8\n95\t95,4\n"])
    ]
    units: Units | None = None


class PasteTold(BaseModel):
    """Readings as they go into a job document."""

    readings: list[dict[str, Any]]
    notes: list[str]


@router.post("/why", summary="Why a hole or a line is where it is")
async def why(asked: WhyAsked, house: HouseOf) -> Response:
    """Which readings and values it came from, and how far each moves it."""
    return as_json(await house.ask("papers", "why", asked.given, asked.client, asked.seq))


@router.post("/fit", summary="How it will hold")
async def fit(asked: FitAsked, house: HouseOf) -> Response:
    """Draw, push and click as words and bands, the force curve, what matters most."""
    return as_json(await house.ask("fit", "fit", asked.given, asked.client, asked.seq))


@router.post("/section", summary="The form cut level")
async def section(asked: SectionAsked, house: HouseOf) -> Response:
    """The section at a height, with its width, depth and girth."""
    return as_json(await house.ask("fit", "section", asked.given, asked.client, asked.seq))


@router.post(
    "/solid",
    summary="The form in three dimensions",
    responses={200: {"content": {"model/gltf-binary": {}}}},
    response_class=Response,
)
async def solid(asked: Asked, house: HouseOf) -> Response:
    """Form, upper, seam, stations and stretch as a GLB."""
    made = await house.ask("fit", "solid", asked.given, asked.client, asked.seq)
    return Response(made, media_type="model/gltf-binary")


@router.post("/paste", summary="Readings from a spreadsheet")
def paste(asked: Pasted) -> PasteTold:
    """A table as it was pasted, as readings; what is doubtful comes back as a refusal with its choices."""
    if not asked.text.strip():
        raise refusal(422, "no_table", ("text",))
    speech = Speech(asked.units or "mm")
    table = read_readings(asked.text.encode(), unit=asked.units)
    return PasteTold(
        readings=[plain_of(row) for row in table.rows], notes=[one.text(speech) for one in table.findings]
    )
