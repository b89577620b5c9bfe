"""What all parts of the job document are made of: unknown keys kept, no NaN, texts of numbers kept beside them."""

from __future__ import annotations

from datetime import date as day
from datetime import datetime as instant
from typing import Annotated, Any, ClassVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator

from backseam.job.fields import choice_of, described, kept_as_typed, one_line


class Part(BaseModel):
    """Base of all parts of the document: unknown keys kept, no NaN, no infinity, values checked on change."""

    book: ClassVar[str] = ""  # its table in words/en/fields.toml

    model_config = ConfigDict(
        extra="allow",
        allow_inf_nan=False,
        validate_assignment=True,
        str_strip_whitespace=True,
        json_schema_extra=described,
        defer_build=True,  # the whole document's validator holds those of its parts; building each alone costs as much
    )

    @model_validator(mode="before")
    @classmethod
    def _as_written(cls, value: Any) -> Any:
        """Choices in any case and spacing; the text of numbers kept beside them."""
        return kept_as_typed(cls, choice_of(cls, value))


class Measured(Part):
    """A part with numbers that were read or chosen. typed: what was written, by key."""

    typed: dict[str, Annotated[str, Field(max_length=200)]] = Field(default_factory=dict)


Short = Annotated[str, Field(max_length=200), AfterValidator(one_line)]
Long = Annotated[str, Field(max_length=10_000)]


def _a_day(value: str) -> str:
    if value:
        day.fromisoformat(value)
    return value


Day = Annotated[str, Field(pattern=r"^([0-9]{4}-[0-9]{2}-[0-9]{2})?$"), AfterValidator(_a_day)]


def _an_instant(value: str) -> str:
    if value and instant.fromisoformat(value).tzinfo is None:
        raise ValueError("no zone")
    return value


Instant = Annotated[str, Field(max_length=40), AfterValidator(_an_instant)]
