"""Options that several commands share, and the job they are called on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Annotated, Literal, TypeAlias

from cyclopts import Parameter

from backseam.cli.files import read_bytes
from backseam.ground.errors import InputRefused, SeveralRefused
from backseam.ground.speech import PLAIN, Speech
from backseam.job.document import Job
from backseam.job.text import loads

Sheet: TypeAlias = Literal["A4", "A3", "Letter", "Tabloid"]
Units: TypeAlias = Literal["mm", "inch"]


def help_of(name: str) -> str:
    """What an option is for."""
    return PLAIN.say(f"cli.options.{name}")


JobFile: TypeAlias = Annotated[Path, Parameter(help=help_of("job"))]
UnitsOption: TypeAlias = Annotated[Units | None, Parameter(help=help_of("units"), show_default=False)]
JsonOption: TypeAlias = Annotated[
    bool, Parameter(name="--json", negative=(), help=help_of("json"), show_default=False)
]


def read_job(path: Path) -> Job:
    """The job in a file, with what its leather card beside it knows; what is refused names the file."""
    with named_in(path):
        job = loads(read_bytes(path))
    card = card_beside(path, job.leather.card)
    if card is None:
        return job
    from backseam.job.leather_card import loads as card_of
    from backseam.job.leather_card import with_card

    with named_in(card):
        return with_card(job, card_of(read_bytes(card)))


def card_beside(path: Path, name: str) -> Path | None:
    """The leather card a job names, in the job's folder or on a way from there; None if there is no such file."""
    if not name:
        return None
    for one in (path.parent / name, path.parent / f"{name}.json"):
        with suppress(OSError, ValueError):
            if one.is_file():
                return one
    return None


@contextmanager
def named_in(path: Path) -> Iterator[None]:
    """What is refused of a file names it."""
    try:
        yield
    except SeveralRefused as refused:
        raise SeveralRefused(tuple(_named(path, one) for one in refused.each)) from None
    except InputRefused as refused:
        raise _named(path, refused) from None


def speech_for(job: Job | None, units: Units | None) -> Speech:
    """How to speak: as asked for, else as the job says, else in millimetres."""
    return Speech(units or (job.paper.units if job else None) or "mm")


def _named(path: Path, refused: InputRefused) -> InputRefused:
    said = str(refused)
    refused.args = (said if said.startswith(str(path)) else f"{path}: {said}",)
    return refused
