"""From the document to the frozen inputs of the core: what the maker left open is filled from the house defaults.

Each filling that the maker should know of is a finding. Nothing below this page knows the document.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from math import ceil, radians, tan

from backseam.form.axis import Bend, Plane
from backseam.form.form import FormInput, Laid, Shape
from backseam.form.girth import Instrument, Pull, Reading, instrument_thickness, usual_spread
from backseam.form.landmarks import Groove, MarksRead
from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm
from backseam.job.document import Axis, ConstructionPart, FormPart, GirthReading, HangerPart, Job
from backseam.leather.leather import Leather, State, Tight
from backseam.leather.records import Hide, measured
from backseam.pattern.construction import (
    Collar,
    CollarKind,
    Construction,
    Flange,
    Hand,
    Hanger,
    HangerKind,
    Stitching,
    Tool,
)

LAYER, ALONG = "leather.neutral_layer", "leather.allowance_along"
LAYERS = (0.3, 0.6)  # as the document takes it


@dataclass(frozen=True)
class Inputs:
    """What the core takes: the form's readings, the leather, the construction, the doubts met on the way, and what is
    known of the hide."""

    form: FormInput
    leather: Leather
    construction: Construction
    findings: tuple[Finding, ...]
    hide: Hide = field(default_factory=Hide)


def inputs(job: Job) -> Inputs:
    """The frozen inputs of a job. Raises InputRefused where the document cannot be worked from."""
    found: list[Finding] = []
    hide = known_hide(job)
    leather = _leather(job, hide)
    construction = _construction(job, leather)
    form = _form(job, leather, construction, found)
    return Inputs(form, leather, construction, (*found, *_card(job)), hide)


def known_hide(job: Job) -> Hide:
    """What a job says is known of its hide, as `leather.material` takes it; nothing if it says nothing.

    Raises InputRefused for a name that no record has, a range out of order, a value that is no leather.
    """
    known = job.leather.known
    if known is None:
        return Hide()
    found = {one.name: measured(one.name, one.value, one.low, one.high) for one in known.values}
    return Hide(known.hide or job.leather.card, found, known.calibrated)


def _card(job: Job) -> Iterator[Finding]:
    """A leather card that is named but was not there to be read."""
    if job.leather.card and job.leather.known is None:
        yield finding("LEARN-022", ("leather", "card"), card=job.leather.card)


def _or(value: float | None, name: str) -> float:
    return default(name) if value is None else value


def _leather(job: Job, hide: Hide) -> Leather:
    """The leather: what the job says, then what is known of the hide, then the house."""
    part = job.leather

    def known(name: str) -> float:
        return hide.values[name].value if name in hide.values else default(name)

    across, along = part.allowance_across_percent, part.allowance_along_percent
    state = part.state or State.DAMP
    return Leather(
        thicknesses=tuple(part.thickness_mm or [default("leather.thickness")]),
        tight=part.tight or Tight.ALONG,
        part=part.part or "shoulder",
        state=state,
        allowance_across=default("leather.allowance_across") if across is None else across / 100,
        allowance_along=_along(state, known) if along is None else along / 100,
        neutral_layer=_within(known(LAYER), *LAYERS) if part.neutral_layer is None else part.neutral_layer,
        fold_crack=known("leather.fold_crack"),
    )


def _along(state: State, known: Callable[[str], float]) -> float:
    """What is known of the hide's shortening holds for leather that is marked damp, as its squares were."""
    return known(ALONG) if state is State.DAMP else default(ALONG)


def _within(value: float, least: float, most: float) -> float:
    return min(max(value, least), most)


def _construction(job: Job, leather: Leather) -> Construction:
    part = job.construction
    radius = part.seam_inside_radius_mm
    return Construction(
        seam_inside_radius=default("seam.inside_radius_share") * leather.thickness
        if radius is None
        else radius,
        collar=_collar(part, leather.thickness),
        flange=Flange(
            glue=_or(part.glue_band_mm, "seam.glue_band"),
            clamp=_or(part.clamp_width_mm, "seam.clamp_width"),
            trimmed=_or(part.trimmed_flange_mm, "seam.trimmed"),
        ),
        stitching=_stitching(part),
        hanger=_hanger(part.hanger),
        rough_margin=_or(part.rough_margin_mm, "seam.rough_margin"),
        film=_or(part.film_mm, "reading.film"),
        hand=part.hand or Hand.RIGHT,
        ring_height=default("ring.height"),
        ring_holes_a_side=int(default("ring.holes_a_side")),
        offcut=job.leather.offcut_mm,
    )


def _collar(part: ConstructionPart, thickness: Mm) -> Collar:
    """The skive reaches past the turn-in far enough to stay gentle, in half millimetres."""
    depth, flap = _or(part.collar_depth_mm, "collar.depth"), part.collar_flap_mm
    if flap is None:
        flap = min(max(default("collar.flap_share") * thickness, default("collar.flap_least")), thickness)
    gentle = (thickness - flap) / tan(radians(default("collar.skive_most")))
    skive = depth + ceil(2 * max(default("collar.skive_beyond"), gentle)) / 2
    return Collar(
        kind=part.collar or CollarKind.FOLDED,
        depth=depth,
        flap=flap,
        skive=skive if part.collar_skive_mm is None else part.collar_skive_mm,
        runout=default("collar.runout"),
        inside=default("collar.flap_inside"),
    )


def _stitching(part: ConstructionPart) -> Stitching:
    return Stitching(
        pitch=_or(part.pitch_mm, "holes.pitch"),
        tool=part.tool or Tool.FREE,
        teeth=part.tool_teeth or 0,
        slant=_or(part.slant_deg, "holes.slant"),
        awl=_or(part.awl_mm, "holes.awl"),
        first=_or(part.first_hole_mm, "holes.first"),
        last=_or(part.last_hole_mm, "holes.last"),
        thread=_or(part.thread_mm, "thread.diameter"),
        slack=default("thread.slack"),
        locking=int(default("thread.locking") if part.locking_stitches is None else part.locking_stitches),
        tail=_or(part.thread_tail_mm, "thread.tail"),
    )


def _hanger(part: HangerPart) -> Hanger:
    kind = part.kind or HangerKind.THONG
    strap = kind is HangerKind.STRAP
    return Hanger(
        kind=kind,
        width=_or(part.width_mm, "hanger.strap_width" if strap else "hanger.thong_width"),
        thickness=_or(part.thickness_mm, "hanger.strap_thickness" if strap else "hanger.thong_thickness"),
        hole=_or(part.punch_mm, "hanger.hole"),
        holes_a_side=int(default("hanger.holes_a_side") if part.holes_a_side is None else part.holes_a_side),
        from_stitch=_or(part.from_stitch_mm, "hanger.from_stitch"),
        rows_apart=_or(part.rows_apart_mm, "hanger.rows_apart"),
        top_below_flap=_or(part.top_below_flap_mm, "hanger.top_below_flap"),
        belt_width=_or(part.belt_width_mm, "hanger.belt_width"),
        belt_thickness=_or(part.belt_thickness_mm, "hanger.belt_thickness"),
        play=_or(part.play_mm, "hanger.play"),
        drop=_or(part.drop_mm, "hanger.drop"),
        creep=default("hanger.creep"),
    )


def _form(job: Job, leather: Leather, construction: Construction, found: list[Finding]) -> FormInput:
    part = job.form
    lift = _lift(part)
    collar = construction.collar
    laid = Laid(
        thickness=leather.thickness,
        radius=construction.seam_inside_radius,
        neutral=leather.neutral_layer,
        film=construction.film,
        flap=collar.flap if collar.folded else 0.0,
        depth=collar.depth,
        runout=collar.runout,
        trimmed=construction.flange.trimmed,
    )
    bend = _bend(part.axis, lift)
    if part.heights_along is None and not bend.straight:
        found.append(finding("READ-010", ("form", "heights_along")))
    return FormInput(
        readings=tuple(_reading(g, i, job, leather, lift, found) for i, g in enumerate(part.girths)),
        shapes=_shapes(part, lift),
        bend=bend,
        marks=_marks(part, lift),
        laid=laid,
        heights_along=part.heights_along or "axis",
    )


def _lift(part: FormPart) -> Mm:
    """What to add to heights as noted so that they count from the bottom edge."""
    if part.heights_from == "bottom_edge":
        return 0.0
    if part.reach_mm is None:
        raise InputRefused(PLAIN.say("refusals.form.reach"), ("form", "reach_mm"))
    return part.reach_mm


def _reading(
    row: GirthReading, index: int, job: Job, leather: Leather, lift: Mm, found: list[Finding]
) -> Reading:
    where = ("form", "girths", index)
    instrument = row.instrument
    if instrument is None:
        instrument = Instrument.STRAP_BUTTED if row.reading_mm is not None else Instrument.CALIPER
        if row.reading_mm is not None:
            found.append(finding("READ-012", where, station=row.station_mm))
    pull = row.pull or Pull.SNUG
    correction = job.form.strap_correction
    own = correction is not None and instrument.value.startswith("strap")
    usual = correction.spread_mm if own and correction is not None else usual_spread(instrument)
    spread = row.spread_mm if row.spread_mm is not None else usual * (1 if pull is Pull.SNUG else 2)
    return Reading(
        station=row.station_mm + lift,
        reading=row.reading_mm,
        instrument=instrument,
        thickness=instrument_thickness(instrument, leather.thickness)
        if row.instrument_mm is None
        else row.instrument_mm,
        spread=spread,
        width=row.width_mm,
        depth=row.depth_mm,
        pull=pull,
        over_film=bool(row.over_film),
        bias=correction.bias_mm if own and correction is not None else 0.0,
        name=row.name,
        index=index,
    )


def _shapes(part: FormPart, lift: Mm) -> tuple[Shape, ...]:
    shapes = [
        Shape(
            kind=s.kind,
            station=None if s.station_mm is None else s.station_mm + lift,
            corner=s.corner_mm,
            arris=s.arris_mm,
            egg_share=s.egg_share,
            points=tuple(s.points_mm or ()),
        )
        for s in part.sections
    ]
    for i, shape in enumerate(shapes):
        if shape.kind == "polygon" and not _spans(shape.points):
            raise InputRefused(PLAIN.say("refusals.form.polygon"), ("form", "sections", i, "points_mm"))
    placed = sorted((s for s in shapes if s.station is not None), key=lambda s: s.station or 0.0)
    return tuple(placed) or tuple(shapes[:1]) or (Shape("oval"),)


def _spans(points: tuple[tuple[Mm, Mm], ...]) -> bool:
    if len(points) < 3:
        return False
    (x0, y0), rest = points[0], points[1:]
    return any(abs((a[0] - x0) * (b[1] - y0) - (b[0] - x0) * (a[1] - y0)) > 1e-6 for a in rest for b in rest)


def _bend(axis: Axis, lift: Mm) -> Bend:
    plane = Plane.SIDE if axis.direction == "sideways" else Plane.SEAM
    sign = -1 if axis.direction == "seam_outside" else 1
    if axis.kind == "angle":
        if axis.angle_deg is None or axis.from_mm is None or axis.to_mm is None:
            raise InputRefused(PLAIN.say("refusals.form.half_a_bend"), ("form", "axis"))
        start, end = sorted((axis.from_mm + lift, axis.to_mm + lift))
        if end - start < 1.0:
            raise InputRefused(PLAIN.say("refusals.form.bend_at_one_height"), ("form", "axis", "to_mm"))
        return Bend(plane, sign, radians(axis.angle_deg), start, end)
    if axis.kind == "offsets":
        offsets = sorted((o.station_mm + lift, o.offset_mm) for o in axis.offsets)
        if len(offsets) < 3 or any(b[0] - a[0] < 0.5 for a, b in itertools.pairwise(offsets)):
            raise InputRefused(PLAIN.say("refusals.form.few_offsets"), ("form", "axis", "offsets"))
        return Bend(plane, sign, offsets=tuple(offsets))
    return Bend(plane, sign)


def _marks(part: FormPart, lift: Mm) -> MarksRead:
    marks = part.landmarks

    def up(height: Mm | None) -> Mm | None:
        return None if height is None else height + lift

    junction = up(marks.junction_mm)
    if junction is None and part.heights_from == "junction":
        junction = lift
    grooves = marks.grooves
    return MarksRead(
        mouth=up(marks.mouth_mm),
        mouth_above_thickest=marks.mouth_above_thickest_mm,
        thickest=up(marks.thickest_mm),
        junction=junction,
        liner_end=up(marks.liner_end_mm),
        grooves=None
        if grooves is None
        else tuple(
            Groove(
                g.station_mm + lift,
                _or(g.width_mm, "form.groove_width"),
                _or(g.depth_mm, "form.groove_depth"),
            )
            for g in grooves
        ),
    )
