"""The leather card: what is known of one hide, as one document. JSON, strict as the job is, nothing in it ever lost.

Leather tests as they were read, sheaths as they came out, the maker's own values; and the values learnt from all of
them, with bands, which a job that names the card takes over (`overrides`). The learnt values are made anew from the
rest whenever something is added (`job.learned`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, ValidationError

from backseam.ground.errors import InputRefused
from backseam.ground.sources import Value
from backseam.ground.speech import PLAIN
from backseam.job.document import Job, KnownHide, KnownPart, Thicknesses
from backseam.job.leather_tests import LISTS, MOST, AllTests
from backseam.job.part import Day, Long, Measured, Part, Short
from backseam.job.refused import told
from backseam.job.schema import published
from backseam.job.text import laid_out, plain_of, raw_of
from backseam.job.upgrade import Raw, Step, upgraded
from backseam.leather.records import Hide, measured

KIND = "backseam.leather"
VERSION = 1
STEPS: Mapping[int, Step] = {}  # by the version it starts from; the first has none


class SheathPart(Part):
    """A finished sheath: its job as it was learnt from, without whose it is."""

    book: ClassVar[str] = "card_sheath"

    title: Short = ""
    date: Day = ""
    left_out: bool = False
    note: Annotated[str, Field(max_length=2000)] = ""
    job: dict[str, Any]


class OwnPart(Measured):
    """A value the maker sets: it stands where the house's own stood before anything was learnt."""

    book: ClassVar[str] = "own_value"

    name: Short
    value: float
    low: float | None = None
    high: float | None = None


class LeatherCard(Part):
    """The whole document."""

    book: ClassVar[str] = "leather_card"

    kind: Literal["backseam.leather"] = "backseam.leather"
    version: Literal[1] = 1
    id: Short = ""
    title: Short = ""
    date: Day = ""
    note: Long = ""
    part: Literal["shoulder", "bend", "belly", "harness", "other"] = "shoulder"
    thickness_mm: Thicknesses | None = None
    own: Annotated[list[OwnPart], Field(max_length=MOST)] = Field(default_factory=list)
    tests: AllTests = Field(default_factory=AllTests)
    sheaths: Annotated[list[SheathPart], Field(max_length=MOST)] = Field(default_factory=list)
    calibrated: bool = False
    values: Annotated[list[KnownPart], Field(max_length=MOST)] = Field(default_factory=list)


def loads(text: str | bytes) -> LeatherCard:
    """The card in a text, brought up to date.

    Raises `InputRefused` (several at once as `SeveralRefused`), `DocumentTooNew` for a newer card.
    """
    return card_of(upgraded(raw_of(text), STEPS, VERSION, KIND))


def card_of(raw: Raw) -> LeatherCard:
    """The card of a raw document, or a sentence for each field that cannot be taken."""
    try:
        return LeatherCard.model_validate(raw)
    except ValidationError as error:
        raise told(error, LeatherCard) from None


def dumps(card: LeatherCard) -> str:
    """The card as text; the same card gives the same text."""
    return laid_out({"kind": KIND, "version": VERSION, **plain_of(card)})


def schema() -> dict[str, Any]:
    """The published schema of the card, for editors and other programs."""
    return published(LeatherCard, f"urn:backseam:leather:{VERSION}")


def name_of(card: LeatherCard) -> str:
    """What the hide is called."""
    return card.id or card.title


def overrides(card: LeatherCard) -> Mapping[str, Value]:
    """What the card knows, by the name of the record it stands above: `Hide(name_of(card), overrides(card))`.

    The maker's own values, and above them those learnt. Raises InputRefused for a name that no record has or a
    range out of order. Tested: read back, names, bands.
    """
    found = {value.name: value for value in own_values(card)}
    for one in card.values:
        value = measured(one.name, one.value, one.low, one.high)
        found[one.name] = replace(value, place=", ".join(one.tests)[:200])
    return found


def own_values(card: LeatherCard) -> tuple[Value, ...]:
    """The values the maker set."""
    return tuple(measured(one.name, one.value, one.low, one.high) for one in card.own)


def hide_of(card: LeatherCard) -> Hide:
    """The hide as `leather.material` takes it."""
    return Hide(name_of(card), overrides(card), card.calibrated)


def with_card(job: Job, card: LeatherCard) -> Job:
    """The job with what its leather card knows written into it (`leather.known`), for everything worked out from it.

    What the job leaves open of the leather itself, its part of the hide and its thickness, is as on the card.
    Tested: forecast of a job with and without its card, read twice is the same.
    """
    made = job.model_copy(deep=True)
    leather = made.leather
    leather.known = known_of(card)
    if leather.part is None:
        leather.part = card.part
    if leather.thickness_mm is None and card.thickness_mm:
        leather.thickness_mm = list(card.thickness_mm)
    return made


def written_in(raw: Raw, card: LeatherCard) -> Raw:
    """The same as `with_card` for a document as it was typed, whatever else stands in it; raw itself stays.

    A document whose leather is none is left to those who read it. Tested: read, it is the job `with_card` makes.
    """
    leather = raw.get("leather") if isinstance(raw, dict) else None
    if not isinstance(leather, dict):
        return raw
    made = {**leather, "known": plain_of(known_of(card))}
    if made.get("part") is None:
        made["part"] = card.part
    if made.get("thickness_mm") is None and card.thickness_mm:
        made["thickness_mm"] = list(card.thickness_mm)
    return {**raw, "leather": made}


def known_of(card: LeatherCard) -> KnownHide:
    """What a job cut from this hide takes over. Raises InputRefused as `overrides` does."""
    values = [
        known_part(value, tuple(value.place.split(", ")) if value.place else ())
        for value in overrides(card).values()
    ]
    return KnownHide(hide=name_of(card), calibrated=card.calibrated, values=values)


def known_part(value: Value, tests: tuple[str, ...]) -> KnownPart:
    """A learnt value as it stands on the card, to six digits."""
    low, middle, high = (float(f"{x:.6g}") for x in (value.low, value.value, value.high))
    return KnownPart(
        name=value.name,
        value=middle,
        low=min(low, middle),
        high=max(high, middle),
        unit=value.unit,
        tests=list(tests),
    )


def without(card: LeatherCard, test: str, *, left_out: bool = True) -> LeatherCard:
    """The card with one test or sheath (`strip 2`, `sheath 1`) left out of the sums, still kept; or taken in again.

    Raises InputRefused if there is no such test.
    """
    name, _, number = test.strip().rpartition(" ")
    lists = {"sheath": card.sheaths, **{one: getattr(card.tests, many) for one, many in LISTS.items()}}
    entries = lists.get(name)
    if entries is None or not number.isdecimal() or not 0 < int(number) <= len(entries):
        names = [f"{one} {n + 1}" for one, many in lists.items() for n in range(len(many))]
        raise InputRefused(
            PLAIN.say("learn.refuse.no_test", test=test[:40], tests=", ".join(names[:20]) or "-")
        )
    made = card.model_copy(deep=True)
    again = made.sheaths if name == "sheath" else getattr(made.tests, LISTS[name])
    again[int(number) - 1].left_out = left_out
    return made
