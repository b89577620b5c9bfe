"""From readings to the form: instruments taken off, sections solved, heights turned, doubts found."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from math import pi

import numpy as np
from numpy.typing import NDArray

from backseam.form.axis import Axis, Plane
from backseam.form.fillet import Wrap, stitch_to_stitch
from backseam.form.form import Form, FormInput, FormRow, Laid, Shape, base, heights_along
from backseam.form.girth import (
    Instrument,
    Pull,
    Reading,
    butted,
    girth_limits,
    girth_under_overlap,
    girth_under_strap,
    overlap_excess,
)
from backseam.form.landmarks import Landmarks, settle
from backseam.form.section import fitted, own_girth, possible_girths
from backseam.geom.curve import smooth_monotone
from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm

Array = NDArray[np.float64]

_NEAR: Mm = 1e-3  # what is still to mend in a girth; the step that follows leaves a hundredth of it


@dataclass(frozen=True)
class _Row:
    """A station on its way to a FormRow: NaN where a measure is still unknown. stitch: L where L was read."""

    name: str
    station: Mm
    girth: Mm
    stitch: Mm
    layers: Mm  # thickness wrapped where L was read
    width: Mm
    depth: Mm
    spread: Mm
    over_film: bool
    index: int


def build(given: FormInput) -> Form:
    """The form from its readings. Raises InputRefused without any reading to go by."""
    if not given.readings:
        raise InputRefused(PLAIN.say("refusals.form.empty"), ("form", "girths"))
    ordered = tuple(sorted(given.readings, key=lambda r: r.station))
    found = _doubts_of_readings(ordered, given)
    merged = [
        _merge(list(group), given.laid, found)
        for _, group in groupby(ordered, key=lambda r: round(r.station, 3))
    ]
    found += _impossible(merged, given)
    rows = _solved(merged, given)
    marks, proposals = settle(given.marks, _as_readings(rows), tuple(r.girth for r in rows))
    found += proposals
    form = _loft(rows, rows, marks, given)
    if given.heights_along != "axis":
        for _ in range(2):  # widths and depths move with the heights, so a second turn settles it to 0.001
            rows_turned, turned_marks = _turned(rows, marks, form, given.heights_along)
            form = _loft(rows_turned, rows, turned_marks, given)
    form, sharp = _valid_bend(form)
    return replace(form, findings=(*found, *sharp, *_doubts_of_form(form)))


def rows_read(given: FormInput) -> tuple[FormRow, ...]:
    """The readings alone, instruments taken off and merged by height, from the bottom edge up; no form between them.

    Raises InputRefused where a row cannot be taken.
    """
    ordered = tuple(sorted(given.readings, key=lambda r: r.station))
    found: list[Finding] = []
    merged = [
        _merge(list(group), given.laid, found)
        for _, group in groupby(ordered, key=lambda r: round(r.station, 3))
    ]
    return tuple(_solved(merged, given))


# --- one station -----------------------------------------------------------------------------------------------


def _merge(group: list[Reading], laid: Laid, found: list[Finding]) -> _Row:
    """Readings at one height become one row: girths meet by their spreads, the first width and depth hold."""
    parts = [_taken(reading, laid) for reading in group]
    strapped = [p for p in parts if not (np.isnan(p.girth) and np.isnan(p.stitch))]
    first = strapped[0] if strapped else parts[0]
    if len(strapped) > 1:
        girths = [p.girth if not np.isnan(p.girth) else p.stitch - pi * p.layers for p in strapped]
        weight = np.array([1 / max(p.spread, 0.05) ** 2 for p in strapped])
        apart = max(girths) - min(girths)
        if apart > max(p.spread for p in strapped):
            found.append(
                finding(
                    "READ-002",
                    ("form", "girths", strapped[1].index),
                    station=first.station,
                    count=len(strapped),
                    apart=apart,
                )
            )
        mean = float(np.average(girths, weights=weight))
        first = replace(first, girth=mean, stitch=np.nan, spread=float(max(weight.sum() ** -0.5, apart / 2)))
    width = next((p.width for p in parts if not np.isnan(p.width)), np.nan)
    depth = next((p.depth for p in parts if not np.isnan(p.depth)), np.nan)
    name = next((p.name for p in parts if p.name), "")
    return replace(first, width=width, depth=depth, name=name)


def _taken(reading: Reading, laid: Laid) -> _Row:
    """One reading with its instrument taken off."""
    girth = stitch = np.nan
    layers = laid.thickness
    if reading.reading is not None and reading.instrument is not Instrument.CALIPER:
        read = reading.reading - reading.bias
        match reading.instrument:
            case Instrument.STRAP_PINCHED:
                stitch = read
            case Instrument.FOLDED_PIECE:
                stitch, layers = read, laid.thickness + laid.flap
            case Instrument.STRAP_OVERLAPPED:
                girth = girth_under_overlap(read, reading.thickness)
            case _:
                girth = girth_under_strap(read, reading.thickness)
    grow = 0.0 if reading.over_film else 2 * pi * laid.film
    if not np.isnan(girth) and girth <= 0:
        said = PLAIN.say(
            "refusals.form.too_small",
            reading=reading.reading,
            station=reading.station,
            instrument=reading.instrument.value.replace("_", " "),
        )
        raise InputRefused(said, ("form", "girths", reading.index))
    thick = 0.0 if reading.over_film else 2 * laid.film
    return _Row(
        name=reading.name,
        station=reading.station,
        girth=girth + grow,
        stitch=stitch + grow,
        layers=layers,
        width=np.nan if reading.width is None else reading.width + thick,
        depth=np.nan if reading.depth is None else reading.depth + thick,
        spread=reading.spread,
        over_film=reading.over_film,
        index=reading.index,
    )


# --- all stations: width, depth and girth of each ----------------------------------------------------------------


def _solved(rows: list[_Row], given: FormInput) -> list[FormRow]:
    """Width, depth and girth at every station, known ones kept, the others from their neighbours' shape."""
    u = np.array([r.station for r in rows])
    girth, width, depth, stitch = (
        np.array([getattr(r, n) for r in rows]) for n in ("girth", "width", "depth", "stitch")
    )
    layers = np.array([r.layers for r in rows])
    read_stitch = ~np.isnan(stitch)
    girth = np.where(read_stitch, stitch - 2 * pi * given.laid.neutral * layers, girth)
    wide = _shape_at(given.shapes, u, girth, width, depth)
    if read_stitch.any():
        wrap = Wrap(layers, np.full_like(u, given.laid.radius), given.laid.neutral)
        for _ in range(4):  # L = P + ... + Delta(section): Delta moves by a hundredth of what P moves
            w, d, g, _ = wide
            sections = fitted(base(given.shapes, u, w, d), w, d, g)[0]
            length = stitch_to_stitch(sections, wrap)[0]
            short = np.where(read_stitch, stitch - length, 0.0)
            girth = girth + short
            wide = _shape_at(given.shapes, u, girth, width, depth)
            if np.abs(short).max() < _NEAR:
                break
    w, d, g, roundness = wide
    return [
        FormRow(
            name=r.name,
            station=r.station,
            read_at=r.station,
            girth=float(g[i]),
            bare=float(g[i]) - (0.0 if r.over_film else 2 * pi * given.laid.film),
            spread=r.spread
            if not (np.isnan(r.girth) and np.isnan(r.stitch))
            else default("reading.spread_caliper"),
            width=float(w[i]),
            depth=float(d[i]),
            roundness=float(roundness[i]),
            over_film=r.over_film,
            index=r.index,
            hand=_hand(float(g[i]), r, given.laid),
        )
        for i, r in enumerate(rows)
    ]


def _hand(girth: Mm, row: _Row, laid: Laid) -> Mm:
    if not np.isnan(row.stitch):
        return row.stitch / 2
    return butted(girth - (0.0 if row.over_film else 2 * pi * laid.film), laid.thickness) / 2


def _shape_at(
    shapes: tuple[Shape, ...], u: Array, girth: Array, width: Array, depth: Array
) -> tuple[Array, Array, Array, Array]:
    """Fill what is unknown (NaN): width, depth, girth, and the mixing weight (n,)."""
    both = ~np.isnan(width) & ~np.isnan(depth)
    whole = both & ~np.isnan(girth)
    ratio = np.interp(u, u[both], (width / depth)[both]) if both.any() else np.ones_like(u)
    round_ = np.zeros_like(u)
    if whole.any():
        own = fitted(
            base(shapes, u[whole], width[whole], depth[whole]), width[whole], depth[whole], girth[whole]
        )[1]
        round_ = np.interp(u, u[whole], own)
    start = np.where(np.isnan(girth), np.nan, girth) / pi
    d = np.where(np.isnan(depth), np.where(np.isnan(width), start, width / ratio), depth)
    if np.isnan(d).any():  # neither strap nor caliper at this height: a note or a name alone
        said = PLAIN.say("refusals.form.nothing_read", station=float(u[np.isnan(d)][0]))
        raise InputRefused(said, ("form", "girths"))
    w = np.where(np.isnan(width), ratio * d, width)
    for _ in range(24):
        now = _mixed_girth(shapes, u, w, d, round_)
        short = np.where(np.isnan(girth), 0.0, girth - now)
        grow = np.where(np.isnan(girth), 1.0, girth / now)
        d = np.where(
            np.isnan(depth), np.where(np.isnan(width), d * grow, np.maximum(d + short / 2, 0.05 * d)), d
        )
        w = np.where(
            np.isnan(width), np.where(np.isnan(depth), ratio * d, np.maximum(w + short / 2, 0.05 * w)), w
        )
        if np.all(both | (np.abs(short) < 1e-9)):
            break
    now = _mixed_girth(shapes, u, w, d, round_)
    low, high = possible_girths(w, d)
    return w, d, np.clip(np.where(np.isnan(girth), now, girth), low, high), round_


def _mixed_girth(shapes: tuple[Shape, ...], u: Array, w: Array, d: Array, round_: Array) -> Array:
    own = own_girth(base(shapes, u, w, d))
    up, down = np.maximum(round_, 0), np.maximum(-round_, 0)
    least, most = possible_girths(w, d)
    return np.asarray(own + up * (most - own) - down * (own - least))


def _as_readings(rows: list[FormRow]) -> tuple[Reading, ...]:
    return tuple(
        Reading(r.station, r.girth, Instrument.PAPER, 0.0, r.spread, name=r.name, index=r.index) for r in rows
    )


# --- along the axis ----------------------------------------------------------------------------------------------


def _loft(rows: list[FormRow], read: list[FormRow], marks: Landmarks, given: FormInput) -> Form:
    """Smooth curves of width, depth and girth through the rows."""
    u = np.array([r.station for r in rows])
    return Form(
        width=smooth_monotone(u, np.array([r.width for r in rows])),
        depth=smooth_monotone(u, np.array([r.depth for r in rows])),
        girth=smooth_monotone(u, np.array([r.girth for r in rows])),
        shapes=given.shapes,
        axis=Axis(given.bend),
        marks=marks,
        laid=given.laid,
        rows=tuple(replace(row, read_at=before.station) for row, before in zip(rows, read, strict=True)),
        findings=(),
        along=given.heights_along,
    )


def _turned(rows: list[FormRow], marks: Landmarks, form: Form, along: str) -> tuple[list[FormRow], Landmarks]:
    """Heights counted along the front or the side, turned into heights along the axis."""
    low = min(rows[0].station, 0.0)
    u = np.linspace(low, max(rows[-1].station, marks.mouth) * 1.2 + 1, 600)
    height = heights_along(u, along, form.axis, form.width, form.depth)

    def to_axis(read: Mm) -> Mm:
        return float(np.interp(read, height, u))

    return [replace(row, station=to_axis(row.station)) for row in rows], marks.moved(to_axis)


def _valid_bend(form: Form) -> tuple[Form, list[Finding]]:
    """The bend, cut to what the account allows: curvature x half depth on the hollow side, flange included."""
    if form.axis.bend.straight:
        return form, []
    u = np.linspace(0.0, form.marks.mouth, 200)
    if form.axis.bend.plane is Plane.SEAM:
        thick = form.laid.thickness
        inward = form.axis.curvature(u) > 0
        reach = (
            form.depth(u) / 2 + thick + np.where(inward, form.laid.radius + thick + form.laid.trimmed, 0.0)
        )
    else:
        reach = form.width(u) / 2 + form.laid.thickness
    worst = np.abs(form.axis.curvature(u)) * reach
    limit = default("form.bend_limit")
    if worst.max() <= limit:
        return form, []
    at = float(u[worst.argmax()])
    stop = finding("FORM-004", ("form", "axis"), at=at, worst=float(worst.max()), limit=limit)
    return replace(form, axis=replace(form.axis, share=float(limit / worst.max()))), [stop]


# --- doubts ------------------------------------------------------------------------------------------------------


def _doubts_of_readings(readings: tuple[Reading, ...], given: FormInput) -> list[Finding]:
    found: list[Finding] = []
    for r in readings:
        where = ("form", "girths", r.index)
        if r.reading is not None and r.instrument is Instrument.STRAP_OVERLAPPED:
            excess = overlap_excess(girth_under_overlap(r.reading, r.thickness), r.thickness)
            found.append(finding("READ-003", where, station=r.station, excess=excess))
        if r.reading is not None and r.pull is not Pull.SNUG:
            found.append(finding("READ-004", where, station=r.station, pull=r.pull.value, spread=r.spread))
    if all(r.width is None or r.depth is None for r in readings) and all(
        s.kind not in ("round", "polygon") for s in given.shapes
    ):
        found.append(finding("READ-011", ("form", "girths")))
    if len({round(r.station, 3) for r in readings}) == 1:
        found.append(finding("READ-006", ("form", "girths"), station=readings[0].station))
    if not given.bend.straight and given.heights_along == "":
        found.append(finding("READ-010", ("form", "heights_along")))
    return found


def _impossible(rows: list[_Row], given: FormInput) -> list[Finding]:
    """A girth that no convex section of that width and depth can have, with what the strap could read there."""
    found = []
    for r in rows:
        if np.isnan(r.width) or np.isnan(r.depth) or (np.isnan(r.girth) and np.isnan(r.stitch)):
            continue
        low, high = girth_limits(r.width, r.depth)
        girth = r.girth if not np.isnan(r.girth) else r.stitch - 2 * pi * given.laid.neutral * r.layers
        slack = 0.0 if not np.isnan(r.girth) else 2.0
        if not low - 0.25 - slack <= girth <= high + 0.25 + slack:
            found.append(
                finding(
                    "READ-001",
                    ("form", "girths", r.index),
                    station=r.station,
                    width=r.width,
                    depth=r.depth,
                    girth=girth,
                    low=butted(low, given.laid.thickness),
                    high=butted(high, given.laid.thickness),
                )
            )
    return found


def _doubts_of_form(form: Form) -> list[Finding]:
    """Doubts about the landmarks and the run of the girth; heights as the maker counts them."""
    rows, marks = form.rows, form.marks
    mouth = form.as_read(marks.mouth)
    found = [*_unread_ends(form, mouth), *_falls(form)]
    at_mouth, at_thickest = (float(form.girth(m)) for m in (marks.mouth, marks.thickest))
    where = ("form", "landmarks", "mouth_mm")
    if marks.mouth < marks.thickest - 0.05:
        found.append(finding("FORM-003", where, below=marks.thickest - marks.mouth))
    elif at_mouth > at_thickest + 0.2:
        found.append(finding("FORM-002", where, mouth=mouth, rise=at_mouth - at_thickest))
    elif at_thickest - float(form.girth(0.0)) < 0.5:
        found.append(finding("FORM-007", ("form", "girths")))
    for row in rows:
        if row.spread >= default("reading.spread_caliper") and row.name in ("mouth", "thickest"):
            found.append(finding("READ-007", ("form", "girths", row.index), name=row.name, spread=row.spread))
    return found


def _unread_ends(form: Form, mouth: Mm) -> list[Finding]:
    found: list[Finding] = []
    first, last = form.rows[0], form.rows[-1]
    if form.marks.mouth > last.station + 0.5:
        by = form.marks.mouth - last.station
        found.append(finding("READ-008", ("form", "girths"), mouth=mouth, last=last.read_at, by=by))
    if first.station > 0.5:
        found.append(finding("FORM-006", ("form", "girths"), first=first.read_at))
    return found


def _falls(form: Form) -> list[Finding]:
    return [
        finding(
            "FORM-001",
            ("form", "girths", above.index),
            at=above.read_at,
            fall=below.girth - above.girth,
            below=below.read_at,
        )
        for below, above in pairwise(form.rows)
        if above.station <= form.marks.thickest + 0.5
        and below.girth - above.girth > max(below.spread, above.spread)
    ]
