"""What the forecast finds that the maker should know: the knife that may fall out stands first."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from backseam.fit.contact import folds_at
from backseam.fit.grip import Grip
from backseam.fit.hold import Fit
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default, values
from backseam.ground.units import Mm, Newton, Share

TWENTY = 20
ROUGH: Share = 0.1  # table error that is worth a word


def doubts(fit: Fit, held: Grip, *, junction_read: bool) -> tuple[Finding, ...]:
    """All of them, in the order in which they matter."""
    return (*_safety(fit, held), *_seat(held, junction_read=junction_read), *_click(fit, held), *_sums(fit))


def few(share: Share) -> int:
    """A share of sheaths as so many of 20, never none."""
    return min(max(round(TWENTY * share), 1), TWENTY)


def _safety(fit: Fit, held: Grip) -> Iterator[Finding]:
    if held.mouth - held.junction < 1.0:
        yield finding("FIT-008", ("form", "landmarks", "mouth_mm"), mouth=held.mouth, junction=held.junction)
        return
    limit = default("fit.doubt")
    known = (
        fit.tested.finished_girth is not None
    )  # of this sheath; its hide alone does not make it one that is made
    if fit.loses > limit:
        yield finding("FIT-002" if known else "FIT-001", ("form", "landmarks"), few=few(fit.loses))
    if fit.slips > limit:
        yield finding("FIT-004" if known else "FIT-003", ("form", "landmarks"), few=few(fit.slips))
    yield from _thumb(held)
    if not known and fit.tested.pull is None and not fit.calibrated:
        yield finding("FIT-009", ("leather",))


def _thumb(held: Grip) -> Iterator[Finding]:
    wall = held.thickness + (held.flap if held.folded else 0.0)
    if rim_stands(held, wall) >= default("fit.thumb_push"):
        return
    steps = np.arange(wall, 3 * wall, 0.1)
    enough = next(
        (float(t) for t in steps if rim_stands(held, float(t)) >= default("fit.thumb_push")), 3 * wall
    )
    girth = float(held.curve(np.array([held.mouth]))[0])
    yield finding("FIT-005", ("construction", "collar"), wall=wall, girth=girth, enough=enough)


def rim_stands(held: Grip, wall: Mm) -> Newton:
    """Push of a thumb on the rim just before it folds, N: load a millimetre times a thumb's width."""
    radius = float(held.curve(np.array([held.mouth]))[0]) / (2 * np.pi)
    a_millimetre = folds_at(held.along, wall, radius, held.poisson, default("fit.fold_knockdown"))
    return a_millimetre * default("fit.thumb_width")


def _seat(held: Grip, *, junction_read: bool) -> Iterator[Finding]:
    if not junction_read:
        yield finding("FIT-007", ("form", "landmarks", "junction_mm"), inside=held.mouth - held.junction)


def _click(fit: Fit, held: Grip) -> Iterator[Finding]:
    """A note where the mouth could be raised for a click that is not there."""
    usual = values()["collar.mouth_above_thickest"]
    if fit.click.share < default("fit.click_share") and held.lip < usual.value:
        yield finding("FIT-006", ("form", "landmarks", "mouth_mm"), lip=held.lip, wanted=usual.high)


def _sums(fit: Fit) -> Iterator[Finding]:
    sums = fit.settled
    if sums.unsettled:
        yield finding(
            "FIT-015",
            ("form", "girths"),
            count=sums.unsettled,
            cases=sums.cases,
            steps=sums.steps,
            residual=sums.residual,
        )
    if sums.table_error > ROUGH:
        yield finding("FIT-016", ("form", "girths"), error=sums.table_error)
