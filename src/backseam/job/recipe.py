"""The whole work in order: what feeds what. Read this file first.

    document -> inputs -> form -> layout -> upper -> seam -> thread
                                   |          |-> hanger, strips, trial ring -> blank
                                   collar ----'
Every stage is a pure function of frozen inputs; each result ends in its findings, and they are gathered here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from backseam.form.build import build
from backseam.form.fillet import Wrap, stitch_to_stitch
from backseam.form.form import Form
from backseam.form.girth import Instrument
from backseam.ground.findings import Finding, ordered, stops
from backseam.ground.progress import SILENT, Progress, step
from backseam.job.document import Job
from backseam.job.doubts import doubts
from backseam.job.inputs import Inputs, inputs
from backseam.pattern import blank, collar, hanger, ring, seam, strips, thread
from backseam.pattern.draft import Layout, draft, lay_out
from backseam.pattern.upper import Upper

VERSION = 1  # moves when a number on a paper moves for the same document


@dataclass(frozen=True)
class Worked:
    """Everything computed from one job document, in the order of the work. findings: gravest first."""

    job: Job
    inputs: Inputs
    form: Form
    layout: Layout
    collar: collar.CollarPlan
    upper: Upper
    seam: seam.Seam
    thread: thread.Thread
    hanger: hanger.HangerPlan
    strips: tuple[strips.CheckStrip, ...]
    ring: ring.TrialRing
    blank: blank.Blank
    findings: tuple[Finding, ...]

    @property
    def stopped(self) -> bool:
        """True if a full-scale sheet would be wrong."""
        return stops(self.findings)


def work(job: Job, progress: Progress = SILENT) -> Worked:
    """From one document to the pattern, its seam and its findings.

    Raises InputRefused if the document cannot be worked from at all, Stopped if `progress` asks for it.
    """
    step(progress, 0, 6, "reading the job")
    given = inputs(job)
    leather, construction = given.leather, given.construction
    step(progress, 1, 6, "building the form")
    form = build(given.form)
    step(progress, 2, 6, "flattening the upper")
    layout = lay_out(form, leather, progress)
    step(progress, 3, 6, "drawing the piece")
    lengths = _lengths(form, given)
    fold = _collar(job, given, form, lengths)
    upper = draft(form, layout, leather, construction, fold)
    step(progress, 4, 6, "setting out the holes")
    struck = seam.strike(
        upper.stitch_right,
        construction.stitching,
        collar_from_mouth=construction.collar.depth,
        leather=leather.thickness,
        flap=construction.collar.flap,
        folded=construction.collar.folded,
        trimmed=construction.flange.trimmed,
    )
    sewn = thread.measure(struck, construction.stitching)
    carried = _hanger(form, layout, upper, given)
    step(progress, 5, 6, "cutting the trial ring and the check strips")
    trial = _ring(form, given, lengths.thickest * (1 + leather.allowance_across))
    wraps = strips.check_strips(form)
    rough = blank.lay(
        upper.cut, trial, construction, leather, longest_girth=max(r.girth_butted for r in upper.stations)
    )
    return Worked(
        job=job,
        inputs=given,
        form=form,
        layout=layout,
        collar=fold,
        upper=upper,
        seam=struck,
        thread=sewn,
        hanger=carried,
        strips=wraps,
        ring=trial,
        blank=rough,
        findings=ordered(
            (
                *doubts(job),
                *(
                    finding
                    for part in (given, form, fold, upper, struck, sewn, carried, rough)
                    for finding in part.findings
                ),
            )
        ),
    )


@dataclass(frozen=True)
class _Lengths:
    """Stitch to stitch: at the mouth with both layers and with one, at the thickest with one."""

    mouth_double: float
    mouth_single: float
    thickest: float


def _lengths(form: Form, given: Inputs) -> _Lengths:
    leather, construction = given.leather, given.construction
    at = np.array([form.marks.mouth, form.marks.mouth, form.marks.thickest])
    single = leather.thickness
    thickness = np.array([single + construction.collar.flap, single, single])
    wrap = Wrap(thickness, np.full(3, construction.seam_inside_radius), leather.neutral_layer)
    return _Lengths(*(float(x) for x in stitch_to_stitch(form.sections(at), wrap)[0]))


def _collar(job: Job, given: Inputs, form: Form, lengths: _Lengths) -> collar.CollarPlan:
    """The fold at the mouth: what it adds there with both layers and with one, and how the mouth was read."""
    leather, construction = given.leather, given.construction
    girth = float(form.girth(form.marks.mouth))
    single = girth + 2 * np.pi * leather.neutral_layer * leather.thickness
    double = single + 2 * np.pi * leather.neutral_layer * construction.collar.flap
    with_piece = [
        r for r in given.form.readings if r.instrument is Instrument.FOLDED_PIECE and r.reading is not None
    ]
    read = "folded_piece" if with_piece else job.construction.mouth_read
    return collar.plan(
        construction.collar,
        leather,
        girth=girth,
        fillet_above=lengths.mouth_double - double,
        fillet_below=lengths.mouth_single - single,
        mouth_read=read,
        folded_reading=with_piece[-1].reading if with_piece else None,
        spread=with_piece[-1].spread if with_piece else 0.0,
    )


def _hanger(form: Form, layout: Layout, upper: Upper, given: Inputs) -> hanger.HangerPlan:
    construction = given.construction
    folded = construction.collar.folded

    def at(u: float, v: float) -> tuple[float, float]:
        x, y = layout.place(u, v)[0]
        return float(x), float(y)

    return hanger.place(
        at,
        layout.half,
        construction.hanger,
        top_limit=form.marks.mouth - (construction.collar.depth if folded else 0.0),
        bottom_limit=0.0,
        stitch_right=upper.stitch_right,
        leather=given.leather.thickness,
        folded=folded,
        grooves=[(groove.station, groove.width) for groove in form.marks.grooves],
    )


def _ring(form: Form, given: Inputs, length: float) -> ring.TrialRing:
    """The trial ring for the thickest, one layer."""
    leather, construction = given.leather, given.construction
    at = np.array([form.marks.thickest])
    return ring.cut(
        "thickest",
        form.as_read(form.marks.thickest),
        length,
        girth=float(form.girth(at)[0]),
        spread=float(form.spread(at)[0]),
        leather=leather.thickness,
        stitching=construction.stitching,
        clamp=construction.flange.clamp,
        height=construction.ring_height,
        holes_a_side=construction.ring_holes_a_side,
    )
