"""The workshop's settings: one document in the book, read like any other."""

from __future__ import annotations

import json
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from backseam.ground.errors import InputRefused, NotThere, SavedElsewhere
from backseam.job.document import KIND, VERSION
from backseam.job.refused import told
from backseam.job.text import job_of, laid_out
from backseam.store.book import Book
from backseam.store.rows import Kept

ID = "settings"
Word = Annotated[str, Field(max_length=200)]


class PrinterSettings(BaseModel):
    """One printer: its bars of 150 mm as measured on a print."""

    model_config = ConfigDict(extra="allow", allow_inf_nan=False)
    name: Word = ""
    sheet: Literal["A4", "A3", "Letter", "Tabloid"] | None = None
    bar_across_mm: Annotated[float, Field(gt=100, le=200)] | None = None
    bar_along_mm: Annotated[float, Field(gt=100, le=200)] | None = None


class Settings(BaseModel):
    """Units, sheet, language, look, rates, defaults of new jobs, printers."""

    model_config = ConfigDict(extra="allow", allow_inf_nan=False)
    kind: Literal["backseam.settings"] = "backseam.settings"
    version: Literal[1] = 1
    units: Literal["mm", "inch"] = "mm"
    sheet: Literal["A4", "A3", "Letter", "Tabloid"] = "A4"
    language: Annotated[str, Field(pattern=r"^[a-z]{2}$")] = "en"
    theme: Literal["system", "light", "dark"] = "system"
    reach: Word = ""
    maker: Word = ""
    rates: Annotated[dict[str, Word | float], Field(max_length=40)] = Field(default_factory=dict)
    defaults: dict[str, Any] = Field(default_factory=dict)
    printers: Annotated[list[PrinterSettings], Field(max_length=40)] = Field(default_factory=list)


def settings_of(raw: Any) -> Settings:
    """Settings as sent. Raises InputRefused with the place."""
    try:
        made = Settings.model_validate(raw)
    except ValidationError as error:
        raise told(error, Settings) from None
    job_of({**made.defaults, "kind": KIND, "version": VERSION})
    return made


def kept_settings(book: Book) -> Kept | None:
    """The settings' document; None if they were never saved."""
    try:
        return book.read(ID)
    except NotThere:
        return None


def settings_in(book: Book) -> Settings:
    """The settings of a book, or those of the house."""
    kept = kept_settings(book)
    if kept is None:
        return Settings()
    try:
        return settings_of(json.loads(kept.text))
    except InputRefused:
        return Settings()


def save(book: Book, raw: Any, revision: int) -> Kept:
    """Save them over the revision they were opened with. Raises InputRefused, SavedElsewhere."""
    text = laid_out(settings_of(raw).model_dump(mode="json", exclude_none=True))
    kept = kept_settings(book)
    if kept is None:
        return book.add("settings", text, title="", id=ID)
    if revision != kept.revision:
        raise SavedElsewhere(_elsewhere(), kept)
    return book.save(ID, text, revision=revision, title="")


def _elsewhere() -> str:
    from backseam.ground.speech import PLAIN

    return PLAIN.say("api.refused.settings_elsewhere")
