"""What is foreseen, as the blocks `fit`, `clock`, `hang` and `moulding` of `worked.json`. Units in key names, no NaN.

Forces stand in newtons only once a finished girth and a pull have been measured; until then the words speak.
"""

from __future__ import annotations

from math import degrees, isfinite
from typing import TYPE_CHECKING, Any

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from backseam.fit.hang import Hang, Loop
from backseam.fit.hold import Band, Fit
from backseam.fit.telling import sentences
from backseam.form.form import Form
from backseam.ground.speech import Speech
from backseam.job.foreseen import Foreseen
from backseam.making.clock import Clock, Curve, Moment

if TYPE_CHECKING:
    from backseam.fit.moulding import Moulding

Three = tuple[float, float, float]
MOST_MATTERS = 3


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class BandOut(_Part):
    """What 5, 50 and 95 of 100 sheaths stay below."""

    words: tuple[str, str, str]
    newtons_n: Three | None = Field(description="Only once a finished girth and a pull were measured.")


class MatterOut(_Part):
    """What one reading or value moves."""

    name: str
    step_mm: float | None = Field(description="By which it is moved; none: by a tenth of its value.")
    less: float = Field(description="Draw when it is a step less, over the usual one.")
    more: float
    weak: bool


class CurveOut(_Part):
    """Force against travel, 5, 50 and 95 of 100 sheaths."""

    travel_mm: list[float]
    draw_n: list[list[float]]
    push_n: list[list[float]]


class FitOut(_Part):
    """The forecast of hold, draw and click."""

    calibrated: bool
    said: list[str]
    hold: BandOut
    draw: BandOut
    push: BandOut
    later: dict[str, BandOut] = Field(description="Draw after a day, a month, a year, and waxed.")
    click_share: float
    click_travel_mm: float | None
    loses_share: float = Field(
        description="Of all sheaths from these readings that would lose the knife upside down."
    )
    slips_share: float = Field(description="That draw so hard that a wet hand slips.")
    rest_girth_mm: Three
    variance: dict[str, float] = Field(description="Share of the variance of the draw, by unknown.")
    matters: list[MatterOut]
    curve: CurveOut | None = Field(description="Only once a finished girth and a pull were measured.")
    samples: int
    seed: int
    table_error: float
    unsettled: int


class MomentOut(_Part):
    """Minutes from the start of the soak: 5, 50, 95 of 100 cases. none: never in this room."""

    low_min: float | None
    likely_min: float | None
    high_min: float | None


class WaterOut(_Part):
    """Water on dry leather against time, likely and its band."""

    place: str
    time_min: list[float]
    low: list[float]
    likely: list[float]
    high: list[float]


class ClockOut(_Part):
    """The timetable of the wet leather."""

    temperature_c: float
    humidity: float
    start_min: float | None = Field(description="Minutes after midnight, where it was given.")
    moments: dict[str, MomentOut]
    windows: dict[str, MomentOut]
    wall: WaterOut
    slowest: WaterOut
    weak: list[str]


class LoopOut(_Part):
    """How it hangs by its holes."""

    stands: str
    margin_mm: Three = Field(description="Holes above the centre of gravity, knife in: low, likely, high.")
    empty_margin_mm: float
    gripped_deg: float
    sliding_deg: float
    to_body_deg: float
    period_s: float | None


class HangOut(_Part):
    """Weights and balance."""

    mass_g: float
    empty_g: float
    centre_mm: Three = Field(description="Of gravity above the bottom edge, knife in: low, likely, high.")
    parts_g: dict[str, float]
    hanging: LoopOut | None


class PieceOut(_Part):
    """One piece laid on the form. Stretches are shares, positive = pulled; heights from the bottom edge as read."""

    stretch_most: float
    stretch_most_at_mm: float
    stretch_p99: float
    squeeze_most: float
    squeeze_most_at_mm: float
    girth_most: float
    girth_least: float
    slackest_mm: float
    slackest_at_mm: float
    marks_apart_mm: float
    wrinkled_mm2: float
    tension_n_per_mm: float
    pressure_mpa: float
    step_most: float = Field(description="Where a flap ends: told apart, for strain there hangs on the mesh.")
    step_least: float
    flange_most: float
    flange_least: float
    row_height_mm: list[float]
    row_slack_mm: list[float]
    settled: bool
    residual_mm: float


class MouldingOut(_Part):
    """Both pieces side by side."""

    computed: PieceOut
    hand: PieceOut
    better: bool = Field(
        description="The computed piece stretches less at its worst, and no row of it is slack."
    )


class ForeseenOut(_Part):
    """All blocks; moulding is none until it has been done."""

    fit: FitOut
    clock: ClockOut
    hang: HangOut
    moulding: MouldingOut | None


def foreseen_out(foreseen: Foreseen, form: Form, speech: Speech) -> ForeseenOut:
    """The blocks."""
    compared = foreseen.moulding
    return ForeseenOut(
        fit=_fit(foreseen.fit, speech),
        clock=_clock(foreseen.clock, foreseen.start),
        hang=_hang(foreseen.hang),
        moulding=None
        if compared is None
        else MouldingOut(
            computed=_piece(compared.computed, form),
            hand=_piece(compared.hand, form),
            better=compared.better,
        ),
    )


def _round(value: float, decimals: int = 3) -> float:
    return round(float(value), decimals) + 0.0


def _row(values: Any, decimals: int = 3) -> list[float]:
    return [_round(value, decimals) for value in values]


def _band(band: Band, *, calibrated: bool) -> BandOut:
    low, middle, high = (word.value for word in band.words)
    newtons = (_round(band.low, 2), _round(band.middle, 2), _round(band.high, 2))
    return BandOut(words=(low, middle, high), newtons_n=newtons if calibrated else None)


def _fit(fit: Fit, speech: Speech) -> FitOut:
    def band(one: Band) -> BandOut:
        return _band(one, calibrated=fit.calibrated)

    curve = CurveOut(
        travel_mm=_row(fit.curve.travel),
        draw_n=[_row(row, 2) for row in fit.curve.draw],
        push_n=[_row(row, 2) for row in fit.curve.push],
    )
    return FitOut(
        calibrated=fit.calibrated,
        said=list(sentences(fit, speech)),
        hold=band(fit.hold),
        draw=band(fit.draw),
        push=band(fit.push),
        later={each.when: band(each.draw) for each in (*fit.later, fit.waxed)},
        click_share=_round(fit.click.share, 4),
        click_travel_mm=None if fit.click.travel is None else _round(fit.click.travel),
        loses_share=_round(fit.loses, 4),
        slips_share=_round(fit.slips, 4),
        rest_girth_mm=(_round(fit.rest.low), _round(fit.rest.middle), _round(fit.rest.high)),
        variance={part.name: _round(part.share, 4) for part in fit.parts},
        matters=[
            MatterOut(
                name=one.name,
                step_mm=None if one.tenth else _round(one.step),
                less=_round(one.less, 4),
                more=_round(one.more, 4),
                weak=one.weak,
            )
            for one in fit.matters[:MOST_MATTERS]
        ],
        curve=curve if fit.calibrated else None,
        samples=fit.samples,
        seed=fit.seed,
        table_error=_round(fit.settled.table_error, 4),
        unsettled=fit.settled.unsettled,
    )


def _minutes(value: float) -> float | None:
    return _round(value, 1) if isfinite(value) else None


def _clock(clock: Clock, start: float | None) -> ClockOut:
    def moment(one: Moment) -> MomentOut:
        low, likely, high = (_minutes(value) for value in (one.low, one.likely, one.high))
        return MomentOut(low_min=low, likely_min=likely, high_min=high)

    def water(curve: Curve) -> WaterOut:
        known = np.isfinite(curve.minutes)
        return WaterOut(
            place=curve.place,
            time_min=_row(curve.minutes[known], 1),
            low=_row(curve.low[known], 4),
            likely=_row(curve.likely[known], 4),
            high=_row(curve.high[known], 4),
        )

    return ClockOut(
        temperature_c=clock.room.temperature,
        humidity=clock.room.humidity,
        start_min=start,
        moments={one.name: moment(one) for one in clock.moments},
        windows={one.name: moment(one) for one in clock.windows},
        wall=water(clock.wall),
        slowest=water(clock.slowest),
        weak=list(clock.weak),
    )


def _hang(hang: Hang) -> HangOut:
    return HangOut(
        mass_g=_round(hang.mass, 1),
        empty_g=_round(hang.empty, 1),
        centre_mm=(_round(hang.height_low, 1), _round(hang.height, 1), _round(hang.height_high, 1)),
        parts_g={part.name: _round(part.mass, 1) for part in hang.parts},
        hanging=None if hang.loop is None else _loop(hang.loop),
    )


def _loop(loop: Loop) -> LoopOut:
    return LoopOut(
        stands=loop.stands.value,
        margin_mm=(_round(loop.margin_low, 1), _round(loop.margin, 1), _round(loop.margin_high, 1)),
        empty_margin_mm=_round(loop.empty, 1),
        gripped_deg=_round(degrees(loop.gripped), 2),
        sliding_deg=_round(degrees(loop.sliding), 2),
        to_body_deg=_round(degrees(loop.away), 2),
        period_s=_round(loop.period, 2) if isfinite(loop.period) else None,
    )


def _piece(done: Moulding, form: Form) -> PieceOut:
    sums = done.sums
    return PieceOut(
        stretch_most=_round(sums.most, 5),
        stretch_most_at_mm=_round(form.as_read(sums.most_at), 1),
        stretch_p99=_round(sums.p99, 5),
        squeeze_most=_round(sums.least, 5),
        squeeze_most_at_mm=_round(form.as_read(sums.least_at), 1),
        girth_most=_round(sums.girth_most, 5),
        girth_least=_round(sums.girth_least, 5),
        slackest_mm=_round(sums.slackest),
        slackest_at_mm=_round(form.as_read(sums.slackest_at), 1),
        marks_apart_mm=_round(sums.apart),
        wrinkled_mm2=_round(sums.wrinkled, 1),
        tension_n_per_mm=_round(sums.tension),
        pressure_mpa=_round(sums.pressure, 4),
        step_most=_round(sums.step_most, 5),
        step_least=_round(sums.step_least, 5),
        flange_most=_round(sums.flange_most, 5),
        flange_least=_round(sums.flange_least, 5),
        row_height_mm=_row(done.rows.height, 2),
        row_slack_mm=_row(done.rows.slack),
        settled=done.settled,
        residual_mm=_round(done.residual, 6),
    )
