"""What a worked job bears on what can go wrong with its sheath: gathered for the diagnosis."""

from __future__ import annotations

from dataclasses import replace
from math import degrees

import numpy as np

from backseam.fit.hang import Hang
from backseam.fit.hold import Fit
from backseam.form.axis import Plane
from backseam.form.form import Form
from backseam.ground.sources import default
from backseam.job.forecast import hold
from backseam.job.hanging import hanging
from backseam.job.recipe import Worked
from backseam.making.facts import Balance, Facts, Odds
from backseam.pattern.construction import HangerKind

SEED = 0  # same job, same odds


def facts_of(worked: Worked, *, forecast: bool = True) -> Facts:
    """All facts of one job; forecast: with what the forecast of the hold says (a seventh of a second)."""
    facts = _plain(worked)
    if not forecast:
        return facts
    return replace(facts, odds=_odds(hold(worked, seed=SEED)), balance=_balance(hanging(worked)))


def _plain(worked: Worked) -> Facts:
    form, given, seam = worked.form, worked.inputs, worked.seam
    leather, made = given.leather, given.construction
    at = np.array([form.marks.mouth, form.marks.thickest])
    girth = form.girth(at)
    largest = max(float(girth[1]), max(row.girth for row in form.rows))
    stretch = worked.upper.stretch
    bend, way = _bend(form)
    return Facts(
        girth=float(girth[1]),
        lip=form.marks.mouth_above_thickest,
        drop=float(girth[1] - girth[0]),
        swell=largest - float(girth[0]),
        width=float(form.width(at)[0]),
        depth=float(form.depth(at)[0]),
        kind=form.shapes[-1].kind,
        bend=bend,
        way=way,
        readings=len(given.form.readings),
        guessed=sum(row.reading_mm is not None and row.instrument is None for row in worked.job.form.girths),
        mouth_read=_mouth_read(worked),
        flap_step=worked.collar.sliding - worked.collar.caught if made.collar.folded else 0.0,
        film=made.film,
        thickness=leather.thickness,
        thinnest=min(leather.thicknesses),
        thickest_leather=max(leather.thicknesses),
        thickness_read=len(worked.job.leather.thickness_mm or ()),
        part=leather.part,
        allowance=leather.allowance_across,
        stretch=stretch.most,
        stretch_at=stretch.most_at,
        squeeze=max(-stretch.least, 0.0),
        squeeze_at=stretch.least_at,
        sag=worked.upper.mouth_sag,
        mouth_drop=default("wet.mouth_drop") * form.marks.mouth,
        count=seam.count,
        pitch=seam.pitch,
        perforation=seam.perforation,
        tool=made.stitching.tool.value,
        placings=seam.placings,
        eased=seam.eased,
        eased_by=seam.eased_by,
        trimmed=made.flange.trimmed,
        edge_least=max(default("holes.edge_least"), leather.thickness),
        thread=made.stitching.thread,
        awl=made.stitching.awl,
        four_layers=seam.four_layers,
        four_thick=worked.collar.sewn,
        folded=made.collar.folded,
        flap=made.collar.flap if made.collar.folded else 0.0,
        collar_depth=made.collar.depth,
        fold_strain=worked.collar.strain,
        fold_crack=leather.fold_crack,
        liner_wood=worked.job.knife.liner_wood,
        hanger="none" if made.hanger.kind is HangerKind.NONE else made.hanger.kind.value,
        creep=made.hanger.creep,
    )


def _mouth_read(worked: Worked) -> str | None:
    if any(row.instrument == "folded_piece" for row in worked.job.form.girths):
        return "folded_piece"
    return worked.job.construction.mouth_read


def _bend(form: Form) -> tuple[float, str]:
    """How far the axis turns between foot and mouth, degrees, and which way."""
    bend = form.axis.bend
    if bend.straight:
        return 0.0, ""
    u = np.linspace(0.0, form.marks.mouth, 400)
    kappa = form.axis.curvature(u)
    turn = np.concatenate([[0.0], np.cumsum((kappa[1:] + kappa[:-1]) / 2 * np.diff(u))])
    angle = float(np.ptp(turn))
    if bend.plane is Plane.SIDE:
        return degrees(angle), "sideways"
    return degrees(angle), "seam_inside" if float(turn[np.abs(turn).argmax()]) > 0 else "seam_outside"


def _odds(fit: Fit) -> Odds:
    return Odds(fit.loses, fit.slips, fit.click.share)


def _balance(told: Hang) -> Balance | None:
    loop = told.loop
    if loop is None:
        return None
    return Balance(
        margin=loop.margin,
        steady=loop.steady,
        offset=loop.offset,
        lean=degrees(loop.sliding),
        off=default("hang.off_centre"),
        off_lean=degrees(loop.off_sliding),
    )
