"""The job document: one knife, one file. Readings as typed, landmarks, decisions; never results.

Every field left out means "the house default" (`ground/defaults.toml`) and stays left out in the file.
Unknown keys are kept and written back. Lengths carry their unit in the key. A number may be written as a text
("86,0", "3/16\"", "5 oz"): it goes through the reader of numbers, and `typed` keeps what was written, by key.

What each field means stands in `words/en/fields.toml`; the published schema is made from both.
"""

from __future__ import annotations

import re
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from backseam.form.girth import Instrument, Pull
from backseam.ground.errors import InputRefused
from backseam.ground.numbers import read_length, read_lengths
from backseam.ground.speech import PLAIN
from backseam.job.accepted import AcceptedPart
from backseam.job.fields import (
    Shorthand,
    Size,
    same_word,
)
from backseam.job.making_part import MakingPart
from backseam.job.part import Day, Long, Measured, Part, Short
from backseam.leather.faults import Fault
from backseam.leather.leather import State, Tight
from backseam.pattern.construction import CollarKind, Hand, HangerKind, Tool

KIND = "backseam.job"
VERSION = 1
MOST_TESTS = 2000  # named beside a learnt value


Girth = Annotated[float, Field(gt=0, le=1000), Size("girth")]
Width = Annotated[float, Field(gt=0, le=500), Size("width")]
Height = Annotated[float, Field(ge=-1000, le=1000), Size("height", signed=True)]
Thickness = Annotated[float, Field(gt=0, le=20), Size("thickness", thickness=True)]
Strap = Annotated[float, Field(gt=0, le=20), Size("strap", thickness=True)]
Spread = Annotated[float, Field(ge=0, le=50), Size("spread")]
Corner = Annotated[float, Field(ge=0, le=200), Size("corner")]
Coordinate = Annotated[float, Field(ge=-500, le=500), Size("coordinate", signed=True)]
Flange = Annotated[float, Field(ge=0, le=300), Size("flange")]
HoleEnd = Annotated[float, Field(ge=0, le=200), Size("hole_end")]
HangerGap = Annotated[float, Field(ge=0, le=300), Size("hanger")]
Bar = Annotated[float, Field(gt=100, le=200), Size("bar")]
Allowance = Annotated[float, Field(ge=-20, le=20), Size("allowance", unit="percent", signed=True)]
Blade = Annotated[float, Field(gt=0, le=1000), Size("blade_length")]
Mass = Annotated[float, Field(gt=0, le=20_000), Size("part_mass", unit="gram")]
Wood = Literal[
    "birch",
    "birch_yellow",
    "birch_paper",
    "beech",
    "beech_american",
    "maple_red",
    "maple_sugar",
    "cherry_black",
    "walnut",
    "walnut_black",
    "oak",
    "oak_white",
    "pine",
]
Offcut = Annotated[float, Field(gt=0, le=5000), Size("offcut")]


def as_thicknesses(value: Any) -> Any:
    """One thickness, several, or a text with several of them, as a list."""
    if isinstance(value, str):
        return [one.typed for one in read_lengths(value, thickness=True)]
    return value if isinstance(value, list | tuple) or value is None else [value]


Thicknesses = Annotated[
    list[Thickness], Field(min_length=1, max_length=5), Shorthand(as_thicknesses, ("number", "string"))
]


def as_numbers(value: Any) -> Any:
    """One number, several, or a text with several of them, as a list; each is read by itself."""
    if isinstance(value, str):
        return [part for part in re.split(r"\s*;\s*", value.strip()) if part] or value
    return value if isinstance(value, list | tuple) or value is None else [value]


def as_points(value: Any) -> Any:
    """The corners of an outline, from a text with one a line: width and depth, apart by a space, semicolon or tab.

    >>> as_points('-10 -8\\n10; -8\\n0,5\\t8"')                                             # 8 x 25.4 = 203.2
    [(-10.0, -8.0), (10.0, -8.0), (0.5, 203.2)]
    """
    if not isinstance(value, str):
        return value
    lines = [(number, line) for number, line in enumerate(value.splitlines(), 1) if line.strip()]
    return [_as_point(number, line.strip()) for number, line in lines]


def _as_point(number: int, line: str) -> tuple[float, float]:
    """One line of an outline. Raises InputRefused, with the line's number."""
    apart = r"\s*[;\t]\s*" if re.search(r"[;\t]", line) else r",?\s+"
    parts = [part for part in re.split(apart, line) if part]
    if len(parts) != 2:
        raise InputRefused(PLAIN.say("refusals.form.point_numbers", line=number, count=len(parts)))
    try:
        width, depth = (read_length(part, signed=True).mm for part in parts)
    except InputRefused as refused:
        raise InputRefused(PLAIN.say("refusals.form.point_line", line=number, why=str(refused))) from None
    return width, depth


def _as_faults(value: Any) -> Any:
    words = re.split(r"\s*[,;]\s*", value.strip()) if isinstance(value, str) else value
    if not isinstance(words, list | tuple):
        return words
    names = tuple(fault.value for fault in Fault)
    return [same_word(word, names) if isinstance(word, str) else word for word in words]


def _as_pair(value: Any) -> Any:
    return re.split(r"\s*[x×;]\s*", value.strip()) if isinstance(value, str) else value


Force = Annotated[float, Field(ge=0, le=5000), Size("", unit="newton")]
Pulls = Annotated[list[Force], Field(min_length=1, max_length=9), Shorthand(as_numbers, ("number", "string"))]


def _as_kind(value: Any) -> Any:
    return {"kind": value} if isinstance(value, str) else value


def _as_sections(value: Any) -> Any:
    return [_as_kind(value)] if isinstance(value, str | dict) else value


class GirthReading(Measured):
    """One row as the maker noted it: a height, a girth with its instrument, or width and depth, or both."""

    book: ClassVar[str] = "reading"

    station_mm: Height
    reading_mm: Girth | None = None
    instrument: Instrument | None = None
    instrument_mm: Annotated[float, Field(gt=0, le=20), Size("instrument", thickness=True)] | None = None
    width_mm: Width | None = None
    depth_mm: Width | None = None
    pull: Pull | None = None
    over_film: bool | None = None
    spread_mm: Spread | None = None
    name: Short = ""
    note: Annotated[str, Field(max_length=2000)] = ""


class OffsetReading(Measured):
    """Distance of the axis from a straightedge laid along it, at a height."""

    book: ClassVar[str] = "offset"

    station_mm: Height
    offset_mm: Annotated[float, Field(ge=-300, le=300), Size("offset", signed=True)]


class Axis(Measured):
    """Straight; or bent, as an angle over a height range, or as offsets from a straightedge.

    direction: seam_inside means that the seam lies on the hollow side; sideways is towards the right half.
    """

    book: ClassVar[str] = "axis"

    kind: Literal["straight", "angle", "offsets"] = "straight"
    direction: Literal["seam_inside", "seam_outside", "sideways"] = "seam_inside"
    angle_deg: Annotated[float, Field(ge=-90, le=90), Size("bend", unit="degree", signed=True)] | None = None
    from_mm: Height | None = None
    to_mm: Height | None = None
    offsets: Annotated[list[OffsetReading], Field(max_length=200)] = Field(default_factory=list)


class SectionGiven(Measured):
    """The kind of section, at a station (station_mm) or everywhere (left out).

    corner_mm: leg of the octagon's corner cut; arris_mm: radius of its arrises; egg_share: part of the depth
    on the seam's side of the widest place; points_mm: outline of a polygon, width first, depth second (seam
    at + depth).
    """

    book: ClassVar[str] = "section"

    station_mm: Height | None = None
    kind: Literal["round", "oval", "egg", "octagon", "polygon"] = "oval"
    corner_mm: Corner | None = None
    arris_mm: Corner | None = None
    egg_share: Annotated[float, Field(ge=0.2, le=0.8), Size("", unit="share")] | None = None
    points_mm: (
        Annotated[
            list[tuple[Coordinate, Coordinate]],
            Field(min_length=3, max_length=2000),
            Shorthand(as_points, ("string",)),
        ]
        | None
    ) = None


class Groove(Measured):
    """A grip groove round the liner."""

    book: ClassVar[str] = "groove"

    station_mm: Height
    width_mm: Annotated[float, Field(gt=0, le=50), Size("groove_width")] | None = None
    depth_mm: Annotated[float, Field(gt=0, le=20), Size("groove_depth")] | None = None


class Landmarks(Measured):
    """Heights that matter, counted as the stations are. mouth_above_thickest_mm is signed."""

    book: ClassVar[str] = "landmarks"

    liner_end_mm: Height | None = None
    junction_mm: Height | None = None
    thickest_mm: Height | None = None
    mouth_mm: Height | None = None
    mouth_above_thickest_mm: Annotated[float, Field(ge=-200, le=200), Size("mouth", signed=True)] | None = (
        None
    )
    grooves: Annotated[list[Groove], Field(max_length=20)] | None = None


class StrapCorrection(Measured):
    """The maker's own correction, from wrapping a rod of known girth three times."""

    book: ClassVar[str] = "strap_correction"

    bias_mm: Annotated[float, Field(ge=-20, le=20), Size("spread", signed=True)]
    spread_mm: Spread


class FormPart(Measured):
    """What was read of the form."""

    book: ClassVar[str] = "form"

    girths: Annotated[list[GirthReading], Field(max_length=10_000)] = Field(default_factory=list)
    sections: Annotated[
        list[SectionGiven], Field(max_length=1000), Shorthand(_as_sections, ("string", "object"))
    ] = Field(default_factory=list)
    axis: Annotated[Axis, Shorthand(_as_kind, ("string",))] = Field(default_factory=Axis)
    landmarks: Landmarks = Field(default_factory=Landmarks)
    heights_along: Literal["axis", "front", "side"] | None = None
    heights_from: Literal["bottom_edge", "junction"] = "bottom_edge"
    reach_mm: Annotated[float, Field(gt=0, le=1000), Size("reach")] | None = None
    strap_correction: StrapCorrection | None = None


class KnownPart(Part):
    """A value learnt of a hide, with its band (5 and 95 of 100) and the tests it came from."""

    book: ClassVar[str] = "known_value"

    name: Short
    value: float
    low: float
    high: float
    unit: Short = ""
    tests: Annotated[list[Short], Field(max_length=MOST_TESTS)] = Field(default_factory=list)


class KnownHide(Part):
    """What is known of the hide, as its leather card had it when the job was read."""

    book: ClassVar[str] = "known_hide"

    hide: Short = ""
    calibrated: bool = False
    values: Annotated[list[KnownPart], Field(max_length=200)] = Field(default_factory=list)


class LeatherPart(Measured):
    """The leather in hand. thickness_mm takes one reading or up to five."""

    book: ClassVar[str] = "leather"

    thickness_mm: Thicknesses | None = None
    tight: Tight | None = None
    part: Literal["shoulder", "bend", "belly", "harness", "other"] | None = None
    kind: Short = ""
    card: Short = ""
    known: KnownHide | None = None
    state: State | None = None
    allowance_across_percent: Allowance | None = None
    allowance_along_percent: Allowance | None = None
    neutral_layer: Annotated[float, Field(ge=0.3, le=0.6), Size("", unit="share")] | None = None
    offcut_mm: Annotated[tuple[Offcut, Offcut], Shorthand(_as_pair, ("string",))] | None = None


class HangerPart(Measured):
    """What carries the sheath."""

    book: ClassVar[str] = "hanger"

    kind: HangerKind | None = None
    width_mm: Annotated[float, Field(gt=0, le=200), Size("thong")] | None = None
    thickness_mm: Strap | None = None
    punch_mm: Annotated[float, Field(gt=0, le=30), Size("punch")] | None = None
    holes_a_side: Annotated[int, Field(ge=1, le=10), Size("", unit="count")] | None = None
    from_stitch_mm: HangerGap | None = None
    rows_apart_mm: Annotated[float, Field(gt=0, le=300), Size("hanger")] | None = None
    top_below_flap_mm: HangerGap | None = None
    belt_width_mm: Annotated[float, Field(gt=0, le=300), Size("belt")] | None = None
    belt_thickness_mm: Strap | None = None
    play_mm: HangerGap | None = None
    drop_mm: Annotated[float, Field(ge=0, le=1000), Size("drop")] | None = None


class ConstructionPart(Measured):
    """The maker's decisions."""

    book: ClassVar[str] = "construction"

    seam_inside_radius_mm: Annotated[float, Field(ge=0, le=50), Size("radius")] | None = None
    collar: CollarKind | None = None
    collar_depth_mm: Annotated[float, Field(gt=0, le=150), Size("collar")] | None = None
    collar_flap_mm: Annotated[float, Field(gt=0, le=20), Size("flap", thickness=True)] | None = None
    collar_skive_mm: Annotated[float, Field(ge=0, le=200), Size("collar")] | None = None
    mouth_read: Literal["bare", "folded_piece"] | None = None
    glue_band_mm: Flange | None = None
    clamp_width_mm: Flange | None = None
    trimmed_flange_mm: Flange | None = None
    pitch_mm: Annotated[float, Field(gt=0, le=50), Size("pitch")] | None = None
    tool: Tool | None = None
    tool_teeth: Annotated[int, Field(ge=0, le=30), Size("", unit="count")] | None = None
    slant_deg: Annotated[float, Field(ge=0, le=90), Size("slant", unit="degree")] | None = None
    awl_mm: Annotated[float, Field(gt=0, le=20), Size("awl")] | None = None
    first_hole_mm: HoleEnd | None = None
    last_hole_mm: HoleEnd | None = None
    thread_mm: Annotated[float, Field(gt=0, le=10), Size("thread")] | None = None
    locking_stitches: Annotated[int, Field(ge=0, le=20), Size("", unit="count")] | None = None
    thread_tail_mm: Annotated[float, Field(ge=0, le=2000), Size("tail")] | None = None
    rough_margin_mm: Annotated[float, Field(ge=0, le=300), Size("margin")] | None = None
    film_mm: Annotated[float, Field(ge=0, le=5), Size("film")] | None = None
    hand: Hand | None = None
    hanger: Annotated[HangerPart, Shorthand(_as_kind, ("string",))] = Field(default_factory=HangerPart)


class KnifePart(Measured):
    """What was measured and weighed of the knife itself: only how the sheath hangs needs it.

    weight_g: knife without its liner; balance_mm: where it balances on a finger, from the junction, + towards the butt.
    """

    book: ClassVar[str] = "knife"

    weight_g: Annotated[float, Field(gt=0, le=20_000), Size("knife_mass", unit="gram")] | None = None
    balance_mm: Annotated[float, Field(ge=-1000, le=1000), Size("balance", signed=True)] | None = None
    blade_length_mm: Blade | None = None
    blade_width_mm: Annotated[float, Field(gt=0, le=200), Size("blade_width")] | None = None
    blade_thickness_mm: Annotated[float, Field(gt=0, le=20), Size("blade_thickness")] | None = None
    handle_length_mm: Annotated[float, Field(gt=0, le=1000), Size("handle_length")] | None = None
    handle_wood: Wood | None = None
    liner_wood: Wood | None = None
    liner_g: Mass | None = None
    upper_g: Mass | None = None
    hanger_g: Mass | None = None


class MadeGirth(Measured):
    """Girth inside the finished sheath at a height, knife out."""

    book: ClassVar[str] = "made_girth"

    station_mm: Height
    girth_mm: Annotated[float, Field(gt=0, le=1000), Size("")]


class MadeRing(Measured):
    """The trial ring of this job, dried."""

    book: ClassVar[str] = "made_ring"

    inside_mm: Annotated[float, Field(gt=0, le=1000), Size("")] | None = None
    pull_n: Pulls | None = None
    waxed: bool | None = None


class MadePart(Measured):
    """The sheath as it came out: what its leather is learnt from. Nothing printed hangs on it."""

    book: ClassVar[str] = "made"

    date: Day = ""
    finished_girth_mm: Annotated[float, Field(gt=0, le=1000), Size("")] | None = None
    spread_mm: Annotated[float, Field(ge=0, le=50), Size("")] | None = None
    girths: Annotated[list[MadeGirth], Field(max_length=50)] = Field(default_factory=list)
    pull_n: Pulls | None = None
    waxed: bool | None = None
    hole_gap_mm: Annotated[float, Field(ge=-50, le=50), Size("", signed=True)] | None = None
    faults: Annotated[list[Fault], Field(max_length=30), Shorthand(_as_faults, ("string",))] = Field(
        default_factory=list
    )
    ring: MadeRing = Field(default_factory=MadeRing)
    note: Annotated[str, Field(max_length=2000)] = ""


class PaperPart(Measured):
    """How it is printed. bar_across, bar_along: the 150 mm bars as measured on a print of this printer."""

    book: ClassVar[str] = "paper"

    sheet: Literal["A4", "A3", "Letter", "Tabloid"] | None = None
    units: Literal["mm", "inch"] | None = None
    bar_across_mm: Bar | None = None
    bar_along_mm: Bar | None = None


class Job(Part):
    """The whole document."""

    book: ClassVar[str] = "job"

    kind: Literal["backseam.job"] = "backseam.job"
    version: Literal[1] = 1
    id: Short = ""
    title: Short = ""
    maker: Short = ""
    customer: Short = ""
    date: Day = ""
    promised: Day = ""
    note: Long = ""
    form: FormPart = Field(default_factory=FormPart)
    leather: LeatherPart = Field(default_factory=LeatherPart)
    construction: ConstructionPart = Field(default_factory=ConstructionPart)
    knife: KnifePart = Field(default_factory=KnifePart)
    making: MakingPart = Field(default_factory=MakingPart)
    made: MadePart = Field(default_factory=MadePart)
    paper: PaperPart = Field(default_factory=PaperPart)
    accepted: Annotated[list[AcceptedPart], Field(max_length=200)] = Field(default_factory=list)
