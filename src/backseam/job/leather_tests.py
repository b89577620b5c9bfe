"""Leather tests as they are typed: one part for each kind of test, numbers as they were read.

A printed sheet of tests, filled in, becomes one such document (`LeatherTests`); a leather card keeps them all. `blank`
is the document before anything is filled in: what is left blank in it was not done.
"""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, ValidationError

from backseam.job.document import Pulls, as_numbers
from backseam.job.fields import Shorthand, Size
from backseam.job.part import Day, Measured, Part, Short
from backseam.job.refused import told
from backseam.job.schema import published
from backseam.job.upgrade import Raw, upgraded

TESTS_KIND = "backseam.leather-tests"
VERSION = 1
MOST = 200  # tests of a kind

Weight = Annotated[float, Field(gt=0, le=100_000), Size("", unit="gram")]
Length = Annotated[float, Field(gt=0, le=2000), Size("")]
Thick = Annotated[float, Field(gt=0, le=20), Size("", thickness=True)]
Humidity = Annotated[float, Field(ge=0, le=100), Size("", unit="percent")]
Angle = Annotated[float, Field(ge=0, le=90), Size("", unit="degree")]


class OneTest(Measured):
    """Base of all tests. left_out: taken out again, kept to be read."""

    date: Day = ""
    left_out: bool = False
    note: Annotated[str, Field(max_length=2000)] = ""


class RingPart(OneTest):
    """A dried trial ring: the first test, worth more than the rest together."""

    book: ClassVar[str] = "ring_test"

    handle_mm: Length
    inside_mm: Length | None = None
    pull_n: Pulls | None = None
    waxed: bool = False
    cut_percent: Annotated[float, Field(ge=-20, le=20), Size("", unit="percent", signed=True)] = 0.0
    height_mm: Length | None = None
    thickness_mm: Thick | None = None
    radius_mm: Annotated[float, Field(ge=0, le=50), Size("")] | None = None
    film_mm: Annotated[float, Field(ge=0, le=5), Size("")] | None = None
    spread_mm: Annotated[float, Field(ge=0, le=50), Size("")] | None = None


class LoadRow(Measured):
    """A weight on the strip, and the length between its marks a minute later."""

    book: ClassVar[str] = "strip_load"

    mass_g: Weight
    length_mm: Length


class StripPart(OneTest):
    """A strip with weights."""

    book: ClassVar[str] = "strip_test"

    direction: Literal["across", "along"]
    width_mm: Length = 15.0
    thickness_mm: Thick
    marks_mm: Length = 100.0
    loads: Annotated[list[LoadRow], Field(max_length=50)] = Field(default_factory=list)


class RodRow(Measured):
    """A rod, and what the grain did over it."""

    book: ClassVar[str] = "rod_row"

    rod_mm: Length
    cracked: bool


class RodPart(OneTest):
    """A scrap bent over rods."""

    book: ClassVar[str] = "rod_test"

    state: Literal["dry", "damp", "folded"]
    thickness_mm: Thick
    rods: Annotated[list[RodRow], Field(max_length=50)] = Field(default_factory=list)


class DriedPart(OneTest):
    """A soaked strip dried free or pinned."""

    book: ClassVar[str] = "dried_test"

    direction: Literal["across", "along"]
    wet_mm: Length = 100.0
    dry_mm: Length
    pinned: bool = False
    thick_wet_mm: Thick | None = None
    thick_dry_mm: Thick | None = None


class SquaresPart(OneTest):
    """Squares of 10 mm inked on the damp piece, measured when finished."""

    book: ClassVar[str] = "squares_test"

    drawn_mm: Length = 50.0
    across_mm: Length | None = None
    along_mm: Length | None = None
    place: Literal["sheath", "scrap"] = "sheath"


class TiltPart(OneTest):
    """Leather on the handle's wood, tilted until it slips."""

    book: ClassVar[str] = "tilt_test"

    side: Literal["flesh", "grain"]
    angles_deg: Annotated[
        list[Angle], Field(min_length=1, max_length=20), Shorthand(as_numbers, ("number", "string"))
    ]
    waxed: bool = False


class StrapPart(OneTest):
    """A strap butted round a rod of known girth."""

    book: ClassVar[str] = "strap_test"

    rod_mm: Length = 30.0
    thickness_mm: Thick
    readings_mm: Annotated[
        list[Length], Field(min_length=1, max_length=20), Shorthand(as_numbers, ("number", "string"))
    ]


class ScrapPart(OneTest):
    """A scrap weighed dry, soaked and cased."""

    book: ClassVar[str] = "scrap_test"

    room_g: Weight
    soaked_g: Weight | None = None
    cased_g: Weight | None = None
    humidity_percent: Humidity = 50.0


class WeightRow(Measured):
    """A weighing while drying."""

    book: ClassVar[str] = "weight_row"

    minutes: Annotated[float, Field(ge=0, le=100_000)]
    mass_g: Weight


class DryingPart(OneTest):
    """A sheath weighed while it dried."""

    book: ClassVar[str] = "drying_test"

    thickness_mm: Thick | None = None
    flap_mm: Annotated[float, Field(ge=0, le=20), Size("", thickness=True)] = 0.0
    temperature_c: Annotated[float, Field(ge=-50, le=100)] = 20.0
    humidity_percent: Humidity = 50.0
    piece_g: Weight | None = None
    form_g: Weight | None = None
    weights: Annotated[list[WeightRow], Field(max_length=60)] = Field(default_factory=list)


class AllTests(Part):
    """Leather tests by kind, oldest first."""

    book: ClassVar[str] = "leather_tests"

    rings: Annotated[list[RingPart], Field(max_length=MOST)] = Field(default_factory=list)
    strips: Annotated[list[StripPart], Field(max_length=MOST)] = Field(default_factory=list)
    rods: Annotated[list[RodPart], Field(max_length=MOST)] = Field(default_factory=list)
    dried: Annotated[list[DriedPart], Field(max_length=MOST)] = Field(default_factory=list)
    squares: Annotated[list[SquaresPart], Field(max_length=MOST)] = Field(default_factory=list)
    tilts: Annotated[list[TiltPart], Field(max_length=MOST)] = Field(default_factory=list)
    straps: Annotated[list[StrapPart], Field(max_length=MOST)] = Field(default_factory=list)
    scraps: Annotated[list[ScrapPart], Field(max_length=MOST)] = Field(default_factory=list)
    dryings: Annotated[list[DryingPart], Field(max_length=MOST)] = Field(default_factory=list)

    def count(self) -> int:
        """How many there are, of all kinds."""
        return sum(len(getattr(self, name)) for name in type(self).model_fields)


class LeatherTests(Part):
    """A filled-in sheet of tests, to be learnt from."""

    book: ClassVar[str] = "test_sheet"

    kind: Literal["backseam.leather-tests"] = "backseam.leather-tests"
    version: Literal[1] = 1
    hide: Short = ""
    tests: AllTests = Field(default_factory=AllTests)


def tests_of(raw: Any) -> LeatherTests:
    """A sheet of tests from a raw document.

    Raises `InputRefused` (several at once as `SeveralRefused`), `DocumentTooNew` for a newer one.
    """
    try:
        return LeatherTests.model_validate(filled(upgraded(raw, {}, VERSION, TESTS_KIND)))
    except ValidationError as error:
        raise told(error, LeatherTests) from None


def schema() -> dict[str, Any]:
    """The published schema of a filled-in sheet of tests."""
    return published(LeatherTests, f"urn:backseam:leather-tests:{VERSION}")


# One test of each kind, and the list it stands in.
LISTS = {
    "ring": "rings",
    "strip": "strips",
    "rod": "rods",
    "dried": "dried",
    "squares": "squares",
    "tilt": "tilts",
    "strap": "straps",
    "scrap": "scraps",
    "drying": "dryings",
}

# What of a test is read: without any of it the test was not done.
READ = {
    "rings": ("inside_mm", "pull_n"),
    "strips": ("loads",),
    "rods": ("rods",),
    "dried": ("dry_mm",),
    "squares": ("across_mm", "along_mm"),
    "tilts": ("angles_deg",),
    "straps": ("readings_mm",),
    "scraps": ("soaked_g", "cased_g"),
    "dryings": ("weights",),
}
ROWS = 5  # of boxes on the printed sheet
BLANK: tuple[tuple[str, dict[str, Any]], ...] = (
    (
        "rings",
        {"handle_mm": "", "inside_mm": "", "pull_n": ["", "", ""], "thickness_mm": "", "cut_percent": 0},
    ),
    *(
        (
            "strips",
            {
                "direction": way,
                "width_mm": 15,
                "thickness_mm": "",
                "marks_mm": 100,
                "loads": "mass_g length_mm",
            },
        )
        for way in ("across", "along")
    ),
    *(("tilts", {"side": side, "waxed": False, "angles_deg": ["", "", ""]}) for side in ("flesh", "grain")),
    *(
        ("rods", {"state": state, "thickness_mm": "", "rods": "rod_mm cracked"})
        for state in ("dry", "damp", "folded")
    ),
    ("straps", {"rod_mm": "", "thickness_mm": "", "readings_mm": ["", "", ""]}),
    *(
        ("dried", {"direction": way, "pinned": pinned, "wet_mm": 100, "dry_mm": ""})
        for way, pinned in (("along", False), ("across", False), ("across", True))
    ),
    ("squares", {"place": "sheath", "drawn_mm": 50, "across_mm": "", "along_mm": ""}),
    ("scraps", {"room_g": "", "soaked_g": "", "cased_g": "", "humidity_percent": 50}),
    (
        "dryings",
        {
            "thickness_mm": "",
            "flap_mm": 0,
            "temperature_c": 20,
            "humidity_percent": 50,
            "piece_g": "",
            "form_g": "",
            "weights": "minutes mass_g",
        },
    ),
)


def blank(hide: str = "") -> Raw:
    """A sheet of tests with nothing filled in, as the printed one has it."""
    tests: dict[str, list[Any]] = {}
    for name, one in BLANK:
        rows = READ[name][0]
        keys = one[rows].split() if isinstance(one.get(rows), str) and " " in one[rows] else []
        made = {**one, rows: [dict.fromkeys(keys, "") for _ in range(ROWS)]} if keys else dict(one)
        tests.setdefault(name, []).append({"date": "", **made})
    return {"kind": TESTS_KIND, "version": VERSION, "hide": hide, "tests": tests}


def filled(raw: Raw) -> Raw:
    """A raw sheet without what was left blank: fields, rows, and tests of which nothing was read."""
    tests = raw.get("tests")
    if not isinstance(tests, dict):
        return raw
    done: dict[str, Any] = {}
    for name, several in tests.items():
        if name not in READ or not isinstance(several, list):
            done[name] = several
            continue
        done[name] = [_filled(one) for one in several if not _undone(one, READ[name])]
    return {**raw, "tests": done}


def _undone(one: Any, read: tuple[str, ...]) -> bool:
    """True if all that is read of a test stands there and is blank."""
    there = [one[key] for key in read if key in one] if isinstance(one, dict) else []
    return bool(there) and all(_is_blank(value) for value in there)


def _filled(one: Any) -> Any:
    if isinstance(one, dict):
        return {key: _filled(value) for key, value in one.items() if not _is_blank(value)}
    if isinstance(one, list):
        return [_filled(value) for value in one if not _is_blank(value)]
    return one


def _is_blank(value: Any) -> bool:
    """True for an empty text, nothing, and a row or list of nothing else."""
    if isinstance(value, dict):
        return all(_is_blank(one) for one in value.values())
    if isinstance(value, list):
        return all(_is_blank(one) for one in value)
    return value is None or (isinstance(value, str) and not value.strip())
