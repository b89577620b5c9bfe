"""The job document: one knife, one file. Readings as typed, landmarks, decisions; never results.

Every field left out means "the house default" (`ground/defaults.toml`) and stays left out in the file. Unknown keys
are kept and written back. Lengths carry their unit in the key. `typed` keeps what the maker wrote, by key.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from backseam.form.girth import Instrument, Pull
from backseam.leather.leather import State, Tight
from backseam.pattern.construction import CollarKind, Hand, HangerKind, Tool

KIND = "backseam.job"
VERSION = 1


class Part(BaseModel):
    """Base of all parts of the document: unknown keys kept, no NaN, no infinity, values checked on change."""

    model_config = ConfigDict(
        extra="allow", allow_inf_nan=False, validate_assignment=True, str_strip_whitespace=True
    )


Length = Annotated[float, Field(ge=0, le=2000)]
SignedLength = Annotated[float, Field(ge=-2000, le=2000)]
Positive = Annotated[float, Field(gt=0, le=2000)]
Thickness = Annotated[float, Field(gt=0, le=20)]
Percent = Annotated[float, Field(ge=-20, le=20)]
Count = Annotated[int, Field(ge=0, le=100)]
Short = Annotated[str, Field(max_length=200)]


def _as_list(value: Any) -> Any:
    return value if isinstance(value, list | tuple) or value is None else [value]


class GirthReading(Part):
    """One row as the maker noted it: a height, a girth with its instrument, or width and depth, or both."""

    station_mm: SignedLength
    reading_mm: Positive | None = None
    instrument: Instrument | None = None
    instrument_mm: Thickness | None = None
    width_mm: Positive | None = None
    depth_mm: Positive | None = None
    pull: Pull | None = None
    over_film: bool | None = None
    spread_mm: Length | None = None
    name: Short = ""
    note: str = Field(default="", max_length=2000)
    typed: dict[str, str] = Field(default_factory=dict)


class OffsetReading(Part):
    """Distance of the axis from a straightedge laid along it, at a height."""

    station_mm: SignedLength
    offset_mm: SignedLength


class Axis(Part):
    """Straight; or bent, as an angle over a height range, or as offsets from a straightedge.

    direction: seam_inside means that the seam lies on the hollow side; sideways is towards the right half.
    """

    kind: Literal["straight", "angle", "offsets"] = "straight"
    direction: Literal["seam_inside", "seam_outside", "sideways"] = "seam_inside"
    angle_deg: Annotated[float, Field(ge=-90, le=90)] | None = None
    from_mm: SignedLength | None = None
    to_mm: SignedLength | None = None
    offsets: list[OffsetReading] = Field(default_factory=list)


class SectionGiven(Part):
    """The kind of section, at a station (station_mm) or everywhere (left out).

    corner_mm: leg of the octagon's corner cut; arris_mm: radius of its arrises; egg_share: part of the depth on the
    seam's side of the widest place; points_mm: outline of a polygon, width first, depth second (seam at + depth).
    """

    station_mm: SignedLength | None = None
    kind: Literal["round", "oval", "egg", "octagon", "polygon"] = "oval"
    corner_mm: Length | None = None
    arris_mm: Length | None = None
    egg_share: Annotated[float, Field(ge=0.2, le=0.8)] | None = None
    points_mm: list[tuple[float, float]] | None = Field(default=None, max_length=2000)


class Groove(Part):
    """A grip groove round the liner."""

    station_mm: SignedLength
    width_mm: Positive | None = None
    depth_mm: Positive | None = None


class Landmarks(Part):
    """Heights that matter, from the bottom edge. mouth_above_thickest_mm is signed."""

    liner_end_mm: SignedLength | None = None
    junction_mm: SignedLength | None = None
    thickest_mm: SignedLength | None = None
    mouth_mm: SignedLength | None = None
    mouth_above_thickest_mm: Annotated[float, Field(ge=-200, le=200)] | None = None
    grooves: list[Groove] | None = Field(default=None, max_length=20)


class StrapCorrection(Part):
    """The maker's own correction, from wrapping a rod of known girth three times."""

    bias_mm: Annotated[float, Field(ge=-20, le=20)]
    spread_mm: Length


class FormPart(Part):
    """What was read of the form."""

    girths: list[GirthReading] = Field(default_factory=list, max_length=10_000)
    sections: Annotated[list[SectionGiven], BeforeValidator(lambda v: _sections(v))] = Field(
        default_factory=list, max_length=1000
    )
    axis: Annotated[Axis, BeforeValidator(lambda v: {"kind": v} if isinstance(v, str) else v)] = Field(
        default_factory=Axis
    )
    landmarks: Landmarks = Field(default_factory=Landmarks)
    heights_along: Literal["axis", "front", "side"] | None = None
    heights_from: Literal["bottom_edge", "junction"] = "bottom_edge"
    reach_mm: Positive | None = None
    strap_correction: StrapCorrection | None = None


def _sections(value: Any) -> Any:
    if isinstance(value, str):
        return [{"kind": value}]
    if isinstance(value, dict):
        return [value]
    return value


class LeatherPart(Part):
    """The leather in hand. thickness_mm takes one reading or up to five."""

    thickness_mm: Annotated[list[Thickness], BeforeValidator(_as_list)] | None = Field(
        default=None, min_length=1, max_length=5
    )
    tight: Tight | None = None
    part: Literal["shoulder", "bend", "belly", "other"] | None = None
    kind: Short = ""
    state: State | None = None
    allowance_across_percent: Percent | None = None
    allowance_along_percent: Percent | None = None
    neutral_layer: Annotated[float, Field(ge=0.3, le=0.6)] | None = None
    offcut_mm: tuple[Positive, Positive] | None = None


class HangerPart(Part):
    """What carries the sheath."""

    kind: HangerKind | None = None
    width_mm: Positive | None = None
    thickness_mm: Thickness | None = None
    punch_mm: Positive | None = None
    holes_a_side: Annotated[int, Field(ge=1, le=10)] | None = None
    from_stitch_mm: Length | None = None
    rows_apart_mm: Positive | None = None
    belt_width_mm: Positive | None = None
    belt_thickness_mm: Thickness | None = None
    play_mm: Length | None = None
    drop_mm: Length | None = None


class ConstructionPart(Part):
    """The maker's decisions."""

    seam_inside_radius_mm: Length | None = None
    collar: CollarKind | None = None
    collar_depth_mm: Positive | None = None
    collar_flap_mm: Thickness | None = None
    collar_skive_mm: Length | None = None
    mouth_read: Literal["bare", "folded_piece"] | None = None
    glue_band_mm: Length | None = None
    clamp_width_mm: Length | None = None
    trimmed_flange_mm: Length | None = None
    pitch_mm: Positive | None = None
    tool: Tool | None = None
    tool_teeth: Annotated[int, Field(ge=0, le=30)] | None = None
    slant_deg: Annotated[float, Field(ge=0, le=90)] | None = None
    awl_mm: Positive | None = None
    first_hole_mm: Length | None = None
    last_hole_mm: Length | None = None
    thread_mm: Positive | None = None
    locking_stitches: Annotated[int, Field(ge=0, le=20)] | None = None
    thread_tail_mm: Length | None = None
    rough_margin_mm: Length | None = None
    film_mm: Annotated[float, Field(ge=0, le=5)] | None = None
    hand: Hand | None = None
    hanger: HangerPart = Field(default_factory=HangerPart)


class PaperPart(Part):
    """How it is printed. printer: the bars as measured on a print, across and along the sheet."""

    sheet: Literal["A4", "A3", "Letter", "Tabloid"] | None = None
    units: Literal["mm", "inch"] | None = None
    bar_across_mm: Positive | None = None
    bar_along_mm: Positive | None = None


class Job(Part):
    """The whole document."""

    kind: Literal["backseam.job"] = "backseam.job"
    version: Literal[1] = 1
    id: Short = ""
    title: Short = ""
    maker: Short = ""
    customer: Short = ""
    date: Annotated[str, Field(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
    promised: Annotated[str, Field(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
    note: str = Field(default="", max_length=10_000)
    form: FormPart = Field(default_factory=FormPart)
    leather: LeatherPart = Field(default_factory=LeatherPart)
    construction: ConstructionPart = Field(default_factory=ConstructionPart)
    paper: PaperPart = Field(default_factory=PaperPart)
