"""Settings of the workshop, backups of its book, schemas of its documents, files from outside."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Annotated, Any, Literal

from fastapi import APIRouter, File, Path, Response, UploadFile
from pydantic import BaseModel, Field

from backseam.app import settings
from backseam.app.api_drawing import JSON, REFUSALS, HouseOf
from backseam.app.api_jobs import Kept, Revision, as_json
from backseam.app.keeping import JOBS, LEATHER, kept_told, put_back
from backseam.app.refusing import refusal, told
from backseam.app.strict import StrictRoute
from backseam.ground.errors import BackseamError
from backseam.job.text import raw_of
from backseam.store import backup, copies

MOST_FILES = 20
LARGEST_FILE = 60_000_000  # bytes
Schema = Literal["job", "leather-card", "leather-tests", "worked"]
router = APIRouter(prefix="/api", route_class=StrictRoute, responses=REFUSALS, tags=["workshop"])


class SettingsKept(BaseModel):
    """The settings, and where they stand in the book: revision 0 if they were never saved."""

    revision: int
    saved_at: str
    document: settings.Settings


class SettingsSaved(BaseModel):
    """Settings to save over the revision they were opened with."""

    document: dict[str, Any]
    revision: Revision = 0


class Backup(BaseModel):
    """One copy of the whole book."""

    name: str
    made_at: str
    bytes: int
    documents: int | None = None


class Backups(BaseModel):
    """All of them, newest first."""

    backups: list[Backup]


class PlainCopy(BaseModel):
    """One document as a plain file beside the book."""

    name: str
    id: str
    written_at: str
    bytes: int


class PlainCopies(BaseModel):
    """All of them, newest first."""

    copies: list[PlainCopy]


class BroughtIn(BaseModel):
    """What came of files from outside."""

    jobs: list[Kept]
    leather: list[Kept]
    refused: list[dict[str, Any]] = Field(description="File by file, why one was left.")


@router.get("/settings", response_model=SettingsKept, summary="The settings")
def read_settings(house: HouseOf) -> Response:
    """Units, sheet, rates, defaults, printers."""
    kept = settings.kept_settings(house.book)
    document = settings.settings_in(house.book).model_dump(mode="json", exclude_none=True)
    head = {"revision": kept.revision, "saved_at": kept.saved_at} if kept else {"revision": 0, "saved_at": ""}
    return as_json({**head, "document": document})


@router.put("/settings", response_model=SettingsKept, summary="Save the settings")
def save_settings(asked: SettingsSaved, house: HouseOf) -> Response:
    """Over the revision they were opened with."""
    kept = settings.save(house.book, asked.document, asked.revision)
    return as_json({"revision": kept.revision, "saved_at": kept.saved_at, "document": json.loads(kept.text)})


@router.get("/backups", response_model=Backups, summary="Copies of the book")
def list_backups(house: HouseOf) -> Response:
    """Newest first."""
    return as_json({"backups": house.backups()})


@router.post("/backups", response_model=Backups, summary="Make a copy now")
def make_backup(house: HouseOf) -> Response:
    """Checked before it counts."""
    backup.make(house.book, house.now())
    return as_json({"backups": house.backups()})


@router.post("/backups/{name}/restore", response_model=Backups, summary="Back to a copy")
def restore_backup(name: Annotated[str, Path(max_length=120)], house: HouseOf) -> Response:
    """The whole book as it was then; the present one is laid beside it, untouched."""
    house.restore(name)
    return as_json({"backups": house.backups()})


@router.get("/copies", response_model=PlainCopies, summary="Plain copies of the jobs")
def list_copies(house: HouseOf) -> Response:
    """Newest first."""
    return as_json({"copies": [asdict(one) for one in copies.listed(house.path)]})


@router.post("/copies/{name}/restore", response_model=Kept, summary="A job from its plain copy")
def restore_copy(name: Annotated[str, Path(max_length=140)], house: HouseOf) -> Response:
    """The job as the copy has it, saved over the one of now, which stays in its history; anew if it is gone."""
    one, raw = copies.read(house.path, name)
    return as_json(kept_told(put_back(house.book, one.id, raw_of(raw))))


@router.post("/import", response_model=BroughtIn, status_code=201, summary="Files from outside")
async def bring_in(
    house: HouseOf, files: Annotated[list[UploadFile], File(description="Jobs or leather cards.")]
) -> Response:
    """Job files and leather cards, each into the book or back with the reason; names of files are only shown."""
    found: dict[str, list[dict[str, Any]]] = {"jobs": [], "leather": [], "refused": []}
    if not files:
        raise refusal(422, "nothing_sent", ("files",))
    if len(files) > MOST_FILES:
        raise refusal(413, "many_files", ("files",), most=MOST_FILES)
    for file in files:
        name = "".join(sign if sign.isprintable() else "?" for sign in (file.filename or ""))[:80]
        if file.size is not None and file.size > LARGEST_FILE:
            raise refusal(413, "large_file", ("files",), name=name)
        try:
            raw = raw_of(await file.read())
            kind = raw.get("kind") if isinstance(raw, dict) else None
            shelf, into = (LEATHER, "leather") if kind == "backseam.leather" else (JOBS, "jobs")
            found[into].append(kept_told(shelf.add(house.book, raw), whole=False))
        except BackseamError as error:
            found["refused"].append({"file": name, **told(error)[1]})
    return as_json(found, 201)


@router.get(
    "/schema/{name}",
    response_class=Response,
    responses={200: {"content": {JSON: {}}}},
    summary="What may stand in a document",
)
def schema(name: Schema) -> Response:
    """Every field with its meaning and its limits, as JSON Schema."""
    from backseam.job import leather_card, leather_tests, schema, worked_json

    made = {
        "job": schema.schema,
        "leather-card": leather_card.schema,
        "leather-tests": leather_tests.schema,
        "worked": worked_json.schema,
    }
    return as_json(made[name]())
