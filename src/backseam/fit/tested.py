"""What has been measured of a finished sheath or a trial ring, and what it says of the rest.

First the girth, then a pull: a pull alone cannot tell a tight rest girth from a stiff or rough leather, and taking it
all for stiffness misleads by a factor of two.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isfinite, log, sqrt

import numpy as np
from numpy.typing import NDArray

from backseam.fit.draws import NORMAL_95, Sheaths
from backseam.fit.grip import Grip
from backseam.fit.response import Sizes
from backseam.geom.normal import normal_point
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value, default, values
from backseam.ground.units import Mm, Newton, Share
from backseam.leather.records import TAIL_POINT

Array = NDArray[np.float64]

LEAST_KEPT: Share = 0.02  # of the sheaths that must still count once a pull is known


@dataclass(frozen=True)
class Measured:
    """finished_girth: inside the dried mouth (or a trial ring, station then says where), knife out, mm ± spread
    (half width, 95 %); pull: largest, drawing, by luggage scale, N; waxed: the handle or its path was waxed then.
    """

    finished_girth: Mm | None = None
    station: Mm | None = None
    spread: Mm | None = None
    pull: Newton | None = None
    waxed: bool = False


def accepted(tested: Measured, grip: Grip) -> tuple[Measured, tuple[Finding, ...]]:
    """What can be used of it; what cannot is left out, with a finding each."""
    found: list[Finding] = []
    kept = tested
    if tested.pull is not None:
        record = values()["fit.pull"]
        if not isfinite(tested.pull) or not record.low <= tested.pull <= record.high:
            shown = f"{tested.pull:g}" if isfinite(tested.pull) else "?"
            found.append(finding("FIT-010", ("fit", "pull_n"), pull=shown, low=record.low, high=record.high))
            kept = replace(kept, pull=None)
    if tested.finished_girth is not None:
        handle = _handle(grip, tested.station)
        rest = values()["fit.rest"]
        least, most = handle * (1 - rest.high), handle * (1 - rest.low)
        girth = tested.finished_girth
        if not isfinite(girth) or not least <= girth <= most:
            shown = f"{girth:g}" if isfinite(girth) else "?"
            found.append(
                finding(
                    "FIT-011",
                    ("fit", "finished_girth_mm"),
                    girth=shown,
                    least=least,
                    most=most,
                    handle=handle,
                )
            )
            kept = replace(kept, finished_girth=None)
    if kept.pull is not None and kept.finished_girth is None:
        found.append(finding("FIT-012", ("fit", "finished_girth_mm")))
    if kept.finished_girth is not None and kept.pull is None:
        found.append(finding("FIT-013", ("fit", "pull_n")))
    return kept, tuple(found)


def _handle(grip: Grip, station: Mm | None) -> Mm:
    """Girth of the bare handle where the finished girth was read."""
    at = grip.mouth if station is None else station
    return float(grip.curve(np.array([at]))[0]) - 2 * np.pi * grip.film


def with_girth(sizes: Sizes, grip: Grip, tested: Measured, sheaths: Sheaths) -> Sizes:
    """The same sheaths with the rest girth as measured: shrinkage, set, piece and film are in it at once.

    What is shrinkage's unknown share becomes the unknown share of the measurement.
    """
    if tested.finished_girth is None or not len(sizes.tight):
        return sizes
    station = grip.mouth if tested.station is None else tested.station
    spread = default("fit.girth_read") if tested.spread is None else tested.spread
    read = tested.finished_girth + spread / NORMAL_95 * sheaths.point("set.pull_in")
    off = sizes.readings.T @ grip.hats(np.array([station]))[:, 0] if grip.rows else np.zeros(len(read))
    form = float(grip.curve(np.array([station]))[0])
    wanted = (form - 2 * np.pi * grip.film + off - read) / form
    weight = np.array([float(np.interp(station, grip.knots, row)) for row in np.eye(len(grip.knots))])
    return replace(sizes, tight=sizes.tight + (wanted - sizes.tight @ weight)[:, None])


@dataclass(frozen=True)
class Weighed:
    """What a pull makes of drawn sheaths. index: which of them to go on with (some more than once); stiffness: theirs,
    MPa; agrees: False if the pull lies beyond what the rest allows, when nothing is changed. ratio: pull over median.
    """

    index: NDArray[np.intp]
    stiffness: Array
    agrees: bool
    ratio: float


def weigh(draw: Array, stiffness: Array, record: Value, pull: Newton, noise: Share) -> Weighed:
    """Stiffness and the rest once the pull is known.

    The draw goes with the stiffness, so for each sheath the stiffness that fits is known up to the noise of the pull:
    with f the draw at 1 MPa, prior ln E ~ N(m, s^2) and ln pull = ln E + ln f + N(0, noise^2),

        ln E | pull ~ N((m/s^2 + ln(pull/f)/noise^2) v, v),  1/v = 1/s^2 + 1/noise^2
        weight of the sheath ~ N(ln(pull/f); m, s^2 + noise^2)

    and sheaths are taken on in proportion to their weights (systematic resampling). With the girth measured first
    this is friction times stiffness; it is called stiffness. Source: textbook (conjugate normal, importance
    resampling). Tested: a known truth is found again; without noise the forecast is the pull.
    """
    n = len(draw)
    everyone = np.arange(n)
    one = np.maximum(draw, 0.0) / stiffness
    can = one > 0
    middle, width = log(record.value), log(record.high / record.low) / (2 * TAIL_POINT)
    if can.sum() < LEAST_KEPT * n:
        return Weighed(everyone, stiffness, False, float("inf"))
    need = np.log(pull / np.where(can, one, 1.0))
    ratio = pull / max(float(np.median(draw)), 1e-9)
    weight = np.where(can, np.exp(-0.5 * (need - middle) ** 2 / (width**2 + noise**2)), 0.0)
    spread = float(np.std(np.log(draw[can])))
    middle_draw = float(np.median(np.log(draw[can])))
    far = abs(log(pull) - middle_draw) > default("fit.contradiction") * sqrt(spread**2 + noise**2)
    total = weight.sum()
    if far or total <= 0 or total**2 / (weight**2).sum() < LEAST_KEPT * n:
        return Weighed(everyone, stiffness, False, ratio)
    index = np.searchsorted(np.cumsum(weight) / total, (everyone + 0.5) / n).clip(0, n - 1)
    precision = 1 / width**2 + 1 / noise**2
    centre = (middle / width**2 + need[index] / noise**2) / precision
    spare = np.argsort(stiffness, kind="stable").argsort(kind="stable")[index]  # a share that is free again
    return Weighed(index, np.exp(centre + normal_point((spare + 0.5) / n) / sqrt(precision)), True, ratio)
