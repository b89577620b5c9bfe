"""What was worked out, as JSON with a published schema: `worked.json`. Lengths in mm, rounded to 0.001 here only."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, Literal

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from backseam.ground.findings import Finding, Severity
from backseam.ground.speech import PLAIN, Speech
from backseam.job.foreseen import Foreseen, all_findings
from backseam.job.foreseen_json import ClockOut, FitOut, HangOut, MouldingOut, foreseen_out
from backseam.job.recipe import VERSION, Worked
from backseam.pattern.seam import Hole

Pair = tuple[float, float]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class StationOut(_Part):
    """One height: girths by name, half widths by hand and computed."""

    name: str
    station_mm: float = Field(description="Along the axis from the bottom edge.")
    girth_form_mm: float = Field(description="Of the form as laid, film included.")
    girth_butted_mm: float = Field(
        description="What a butted strap of the same leather reads on the form as it was read."
    )
    girth_neutral_mm: float = Field(description="Of the leather's neutral layer, both layers at the collar.")
    stitch_to_stitch_mm: float = Field(description="Along the neutral layer from stitch line to stitch line.")
    half_width_hand_mm: float = Field(description="Half the butted strap.")
    half_width_mm: float = Field(
        description="x of the stitch line at y = station on the flat piece, not of the cut."
    )
    spread_mm: float = Field(description="Of the half width: 95 % lie within ± this.")
    width_mm: float
    depth_mm: float
    stitch_from_form_mm: float = Field(description="Distance of the stitch line from the form at the back.")
    reading: int | None = Field(description="Row of form.girths it was read in.")
    layers: int


class UpperOut(_Part):
    """The flat piece, grain side up, mouth up; x = 0 on the centre line, y = 0 at the bottom edge on it."""

    cut: list[Pair] = Field(description="Outline to cut now, counter-clockwise, closed but not repeated.")
    stitch_left: list[Pair]
    stitch_right: list[Pair] = Field(description="Mouth to bottom.")
    trim: list[list[Pair]] = Field(description="Two lines, left and right, to trim at after drying.")
    fold: list[Pair]
    flap: list[Pair]
    bottom: list[Pair]
    press: dict[str, list[Pair]]
    snips: list[Pair]
    centre_x_mm: float
    height_mm: float
    turn_in_mm: float
    mouth_sag_mm: float = Field(description="y at the stitch line minus y on the centre line, at the mouth.")
    bottom_sag_mm: float
    blank_mm: Pair = Field(description="Width and height of the rectangle to cut for the upper.")


class HoleOut(_Part):
    """One hole; number 1 is next to the mouth."""

    number: int
    x_mm: float
    y_mm: float
    slit_deg: float = Field(description="Direction of the slit, counter-clockwise from +x.")
    layers: int
    sewn_mm: float


class SeamOut(_Part):
    """Both rows of holes, mouth to bottom; left i meets right i."""

    count: int
    pitch_mm: float
    length_mm: float
    sewn_length_mm: float
    slant_deg: float
    perforation: float
    four_layers: int
    eased: int
    eased_by_mm: float
    holes_left: list[Pair]
    holes_right: list[Pair]
    holes: list[HoleOut] = Field(
        description="The right row with slits and layers; the left one is its mirror image."
    )


class StrainOut(_Part):
    """Strain of the leather in moulding, from the flattening; the run-out below the flap left out."""

    max: float
    min: float
    p99: float
    max_at_mm: float
    min_at_mm: float
    girth_max: float
    girth_min: float
    steps: int
    residual_mm: float


class HandOut(_Part):
    """The hand line against the computed one."""

    dots: list[Pair]
    largest_difference_mm: float
    at_mm: float
    largest_below_collar_mm: float
    length_mm: float


class ThreadOut(_Part):
    """Thread to cut and what goes with it."""

    length_mm: float
    rule_of_thumb_mm: float
    diameter_mm: float
    needle_mm: float
    awl_mm: Pair
    joins: int


class HangerOut(_Part):
    """Holes as (x, y, diameter); slits as (x1, y1, x2, y2)."""

    kind: str
    holes: list[tuple[float, float, float]]
    slits: list[tuple[float, float, float, float]]
    loop_mm: float
    cut_mm: float


class RingOut(_Part):
    """The trial ring."""

    station_mm: float
    length_mm: float
    height_mm: float
    width_mm: float
    holes_right: list[Pair]
    inside_mm: float
    inside_spread_mm: float


class StripOut(_Part):
    """A paper strip to wrap round the form."""

    name: str
    station_mm: float
    length_mm: float
    over_film: bool


class FindingOut(_Part):
    """One finding."""

    code: str
    severity: Severity
    text: str
    remedy: str
    where: list[str | int]
    numbers: dict[str, Any]


class WorkedOut(_Part):
    """The whole of it."""

    kind: Literal["backseam.worked"] = "backseam.worked"
    version: int = VERSION
    job: str
    title: str
    stopped: bool
    landmarks: dict[str, float | None]
    stations: list[StationOut]
    upper: UpperOut
    seam: SeamOut
    thread_mm: float
    thread: ThreadOut
    hanger: HangerOut
    ring: RingOut
    strips: list[StripOut]
    blank_whole_mm: Pair
    strain: StrainOut
    hand: HandOut
    fit: FitOut | None = Field(None, description="How it will hold; none if nothing can be foreseen.")
    clock: ClockOut | None = Field(None, description="When the wet leather is ready.")
    hang: HangOut | None = Field(None, description="How it hangs.")
    moulding: MouldingOut | None = Field(
        None, description="Both pieces laid on the form; none until it was done."
    )
    findings: list[FindingOut]


def _mm(value: float) -> float:
    return round(float(value), 3) + 0.0


def _line(points: Iterable[Any]) -> list[Pair]:
    return [(_mm(x), _mm(y)) for x, y in points]


def hole_out(hole: Hole) -> HoleOut:
    """One hole as it stands in `worked.json`, mm."""
    return HoleOut(
        number=hole.number,
        x_mm=_mm(hole.x),
        y_mm=_mm(hole.y),
        slit_deg=round(float(np.degrees(hole.slit)), 2),
        layers=hole.layers,
        sewn_mm=_mm(hole.sewn),
    )


def worked_out(worked: Worked, speech: Speech = PLAIN, foreseen: Foreseen | None = None) -> WorkedOut:
    """The model of `worked.json`. foreseen: what is known of how it will come out."""
    blocks = foreseen_out(foreseen, worked.form, speech) if foreseen else None
    marks, hand, blank = worked.form.marks, worked.upper.hand, worked.blank
    return WorkedOut(
        job=worked.job.id,
        title=worked.job.title,
        stopped=worked.stopped,
        landmarks={
            "mouth_mm": _mm(marks.mouth),
            "thickest_mm": _mm(marks.thickest),
            "mouth_above_thickest_mm": _mm(marks.mouth_above_thickest),
            "junction_mm": None if marks.junction is None else _mm(marks.junction),
            "liner_end_mm": None if marks.liner_end is None else _mm(marks.liner_end),
        },
        stations=stations_out(worked),
        upper=_upper(worked),
        seam=_seam(worked),
        thread_mm=_mm(worked.thread.length),
        thread=_thread(worked),
        hanger=_hanger(worked),
        ring=_ring(worked),
        strips=[
            StripOut(name=s.name, station_mm=_mm(s.station), length_mm=_mm(s.length), over_film=s.over_film)
            for s in worked.strips
        ],
        blank_whole_mm=(_mm(blank.width), _mm(blank.height)),
        strain=_strain(worked),
        hand=HandOut(
            dots=_line(hand.dots),
            largest_difference_mm=_mm(hand.largest_difference),
            at_mm=_mm(hand.at),
            largest_below_collar_mm=_mm(hand.largest_below_collar),
            length_mm=_mm(hand.length),
        ),
        fit=blocks and blocks.fit,
        clock=blocks and blocks.clock,
        hang=blocks and blocks.hang,
        moulding=blocks and blocks.moulding,
        findings=findings_out(all_findings(worked, foreseen), speech),
    )


def findings_out(findings: tuple[Finding, ...], speech: Speech = PLAIN) -> list[FindingOut]:
    """The findings with their texts."""
    return [
        FindingOut(
            code=f.code,
            severity=f.severity,
            text=f.text(speech),
            remedy=f.remedy(speech),
            where=list(f.where),
            numbers={k: round(v, 4) if isinstance(v, float) else v for k, v in f.numbers.items()},
        )
        for f in findings
    ]


def stations_out(worked: Worked) -> list[StationOut]:
    """The stations as they stand in `worked.json`, mm."""
    return [
        StationOut(
            name=row.name,
            station_mm=_mm(row.station),
            girth_form_mm=_mm(row.girth_form),
            girth_butted_mm=_mm(row.girth_butted),
            girth_neutral_mm=_mm(row.girth_neutral),
            stitch_to_stitch_mm=_mm(row.stitch_to_stitch),
            half_width_hand_mm=_mm(row.half_width_hand),
            half_width_mm=_mm(row.half_width),
            spread_mm=_mm(row.spread),
            width_mm=_mm(row.width),
            depth_mm=_mm(row.depth),
            stitch_from_form_mm=_mm(row.stitch_from_form),
            reading=row.reading_index,
            layers=row.layers,
        )
        for row in worked.upper.stations
    ]


def _upper(worked: Worked) -> UpperOut:
    upper = worked.upper
    return UpperOut(
        cut=_line(upper.cut),
        stitch_left=_line(upper.stitch_left),
        stitch_right=_line(upper.stitch_right),
        trim=[_line(upper.trim_left), _line(upper.trim_right)],
        fold=_line(upper.fold),
        flap=_line(upper.flap),
        bottom=_line(upper.bottom),
        press={press.name: _line(press.line) for press in upper.press},
        snips=_line(upper.snips),
        centre_x_mm=0.0,
        height_mm=_mm(upper.height),
        turn_in_mm=_mm(upper.turn_in),
        mouth_sag_mm=_mm(upper.mouth_sag),
        bottom_sag_mm=_mm(upper.bottom_sag),
        blank_mm=(_mm(worked.blank.upper_width), _mm(worked.blank.upper_height)),
    )


def _seam(worked: Worked) -> SeamOut:
    seam = worked.seam
    return SeamOut(
        count=seam.count,
        pitch_mm=_mm(seam.pitch),
        length_mm=_mm(seam.length),
        sewn_length_mm=_mm(seam.sewn_length),
        slant_deg=seam.slant,
        perforation=round(seam.perforation, 4),
        four_layers=seam.four_layers,
        eased=seam.eased,
        eased_by_mm=_mm(seam.eased_by),
        holes_left=_line((h.x, h.y) for h in seam.left),
        holes_right=_line((h.x, h.y) for h in seam.right),
        holes=[hole_out(h) for h in seam.right],
    )


def _thread(worked: Worked) -> ThreadOut:
    thread = worked.thread
    return ThreadOut(
        length_mm=_mm(thread.length),
        rule_of_thumb_mm=_mm(thread.rule_of_thumb),
        diameter_mm=_mm(thread.diameter),
        needle_mm=_mm(thread.needle),
        awl_mm=(_mm(thread.awl_low), _mm(thread.awl_high)),
        joins=thread.joins,
    )


def _hanger(worked: Worked) -> HangerOut:
    hanger = worked.hanger
    return HangerOut(
        kind=hanger.kind.value,
        holes=[(_mm(h.x), _mm(h.y), _mm(h.diameter)) for h in hanger.holes],
        slits=[(_mm(s.x1), _mm(s.y1), _mm(s.x2), _mm(s.y2)) for s in hanger.slits],
        loop_mm=_mm(hanger.loop),
        cut_mm=_mm(hanger.cut),
    )


def _ring(worked: Worked) -> RingOut:
    ring = worked.ring
    return RingOut(
        station_mm=_mm(ring.station),
        length_mm=_mm(ring.length),
        height_mm=_mm(ring.height),
        width_mm=_mm(ring.width),
        holes_right=_line((h.x, h.y) for h in ring.right),
        inside_mm=_mm(ring.inside),
        inside_spread_mm=_mm(ring.inside_spread),
    )


def _strain(worked: Worked) -> StrainOut:
    s = worked.upper.stretch
    return StrainOut(
        max=round(s.most, 5),
        min=round(s.least, 5),
        p99=round(s.p99, 5),
        max_at_mm=_mm(s.most_at),
        min_at_mm=_mm(s.least_at),
        girth_max=round(s.girth_most, 5),
        girth_min=round(s.girth_least, 5),
        steps=s.steps,
        residual_mm=round(s.residual, 6),
    )


def dumps(worked: Worked, speech: Speech = PLAIN, foreseen: Foreseen | None = None) -> str:
    """`worked.json` as text."""
    return worked_out(worked, speech, foreseen).model_dump_json(indent=1) + "\n"


def schema() -> dict[str, Any]:
    """JSON Schema of `worked.json`."""
    made = WorkedOut.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": "backseam.worked/1", **made}


def schema_text() -> str:
    """The schema as text."""
    return json.dumps(schema(), indent=1) + "\n"
