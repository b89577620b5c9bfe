"""Will it hold: the forecast of one sheath, from its form, its piece, its leather and what has been measured.

    grip -> unknowns -> 10,000 sheaths drawn -> their sizes -> table of the account -> hold, draw, push as bands
                                                  ^ finished girth            ^ pull, then which sheaths still count

A forecast never stops a sheet: all it finds are checks and notes.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from backseam.fit import doubts
from backseam.fit.crowd import IN, OUT, Crowd, force, gather
from backseam.fit.grip import Grip, grip
from backseam.fit.hold import Band, Click, Curve, Fit, Later, Settled
from backseam.fit.matters import matters, parts, table_error
from backseam.fit.response import Loads, Response, Sizes, respond
from backseam.fit.tested import Measured, accepted, weigh
from backseam.form.form import Form
from backseam.ground.findings import Finding, finding, ordered
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default
from backseam.ground.units import Gram, Second, Share
from backseam.leather.leather import Leather
from backseam.leather.material import Material
from backseam.pattern.construction import Construction
from backseam.pattern.draft import Layout

Array = NDArray[np.float64]

VERSION = 1
SAMPLES = 10_000
CHECKED = 10  # sheaths solved one by one beside the table
DAY: Second = 86400.0
LATER: dict[str, Second] = {"day": DAY, "month": 30 * DAY, "year": 365 * DAY}
NEAR = slice(0, 8, 2)  # travels at which later draws are looked for
LEVELS = (0.05, 0.5, 0.95)


def forecast(
    form: Form,
    layout: Layout,
    leather: Leather,
    construction: Construction,
    material: Material,
    *,
    tested: Measured | None = None,
    knife: Gram | None = None,
    seed: int = 0,
    samples: int = SAMPLES,
    progress: Progress = SILENT,
) -> Fit:
    """Hold, draw, push and click of one sheath as bands; see `hold.Fit`.

    tested: what has been measured of it, or of a trial ring; knife: weighed, g; same seed, same forecast.
    Raises Stopped only.
    """
    step(progress, 0, 4, "finding where leather grips")
    held = grip(form, layout, leather, construction, material)
    known, found = accepted(tested or Measured(), held)
    step(progress, 1, 4, "drawing sheaths")
    crowd = gather(held, material, leather.thickness_spread, known, seed, samples)
    step(progress, 2, 4, "pressing the band")
    answer = respond(held, crowd.sizes, _few(crowd, CHECKED))
    step(progress, 3, 4, "reading the bands")
    error = table_error(crowd, answer)
    crowd, loads, more = _pulled(crowd, answer.loads(crowd.sizes), material, known)
    mass = default("fit.knife_mass") if knife is None else knife
    fit = _told(held, material, known, crowd, answer, loads, mass, seed, error, agrees=not more)
    told = doubts.doubts(fit, held, junction_read=form.marks.junction is not None)
    return replace(fit, findings=ordered((*told, *found, *more)))


def _few(crowd: Crowd, count: int) -> Sizes:
    n = crowd.sheaths.count
    return crowd.sizes.of(np.linspace(0, n - 1, min(count, n)).astype(np.intp))


def _pulled(
    crowd: Crowd, loads: Loads, material: Material, known: Measured
) -> tuple[Crowd, Loads, tuple[Finding, ...]]:
    """The crowd once a pull is known; unchanged, with a finding, where the pull contradicts the rest."""
    if known.pull is None:
        return crowd, loads, ()
    peak = force(loads, crowd, OUT, crowd.wax if known.waxed else crowd.dry).max(axis=0)
    stiffness, record = crowd.sheaths.drawn["stiffness.hoop"], material.record("stiffness.hoop")
    seen = weigh(peak, stiffness, record, known.pull, default("fit.pull_noise"))
    if not seen.agrees:
        return crowd, loads, (finding("FIT-014", ("fit", "pull_n"), times=_times(seen.ratio)),)
    i = seen.index
    return crowd.chosen(i, seen.stiffness), loads.of(i), ()


def _told(
    held: Grip,
    material: Material,
    known: Measured,
    crowd: Crowd,
    answer: Response,
    loads: Loads,
    mass: Gram,
    seed: int,
    error: Share,
    *,
    agrees: bool,
) -> Fit:
    """From the crowd's loads to what is said."""
    out, push = force(loads, crowd, OUT), force(loads, crowd, IN)
    waxed = force(loads, crowd, OUT, crowd.wax)
    drawn = out.max(axis=0)
    later, year = _later(material, crowd, answer)
    weight = mass / 1000 * default("fit.gravity")
    shares = parts(crowd, known, drawn)
    return Fit(
        calibrated=agrees
        and (material.calibrated or (known.pull is not None and known.finished_girth is not None)),
        hold=band(out[0]),
        draw=band(drawn),
        push=band(push.max(axis=0)),
        later=later,
        waxed=Later("waxed", band(waxed[0]), band(waxed.max(axis=0))),
        click=_click(push, answer.travel),
        curve=Curve(answer.travel, _bands(out), _bands(push)),
        parts=shares,
        together=max(0.0, 1 - sum(part.share for part in shares)),
        matters=matters(held, material, crowd, known, answer),
        liner=band(_liner(held, crowd)),
        rest=band(_rest(held, crowd)),
        loses=float((year < weight * default("fit.shake")).mean()),
        slips=float((drawn > default("fit.hand_slips")).mean()),
        mass=mass,
        lip=held.lip,
        rows=held.rows,
        tested=known,
        settled=Settled(answer.cases, answer.steps, answer.unsettled, answer.residual, error),
        seed=seed,
        samples=crowd.sheaths.count,
        findings=(),
    )


def band(values: Array) -> Band:
    """5, 50 and 95 % of them."""
    low, middle, high = _bands(values)
    return Band(float(low), float(middle), float(high))


def _bands(values: Array) -> Array:
    """Quantiles (3, ...) along the last axis, straight between neighbours. numpy's own, which picks them out one by
    one, takes three times as long as sorting."""
    ranked = np.sort(values, axis=-1)
    at = np.array(LEVELS) * (ranked.shape[-1] - 1)
    low = at.astype(np.intp)
    below, above = ranked[..., low], ranked[..., np.minimum(low + 1, ranked.shape[-1] - 1)]
    return np.moveaxis(below + (at - low) * (above - below), -1, 0)


def _times(ratio: float) -> str:
    """How far a pull is from the middle of the forecast, in words of numbers."""
    if not np.isfinite(ratio):
        return "many times"
    return f"{ratio:.1f} times" if ratio < 10 else f"{ratio:.0f} times"


def _later(material: Material, crowd: Crowd, answer: Response) -> tuple[tuple[Later, ...], Array]:
    """A day, a month, a year on, and the draws of the last.

    Held at one stretch, leather's tension falls with log time: the rest girth creeps up to what is inside it. The
    passing of the thickest is a short stretch and stays. So only the tightness at rest is made smaller.
    """
    rate = material.value("relax.per_decade")
    drawn = crowd.sheaths.drawn
    told, draw_ = [], np.zeros(crowd.sheaths.count)
    for when, time in LATER.items():
        lost = (1 - material.tension_left(time)) / rate if rate else 0.0
        left = np.maximum(1 - drawn["relax.per_decade"] * lost, 0.0)
        if when == "year":
            left = left * (1 - drawn["relax.humidity_year"])
        tight = crowd.sizes.tight
        sizes = replace(crowd.sizes, tight=np.where(tight > 0, tight * left[:, None], tight))
        out = force(answer.loads(sizes, NEAR), crowd, OUT)
        draw_ = out.max(axis=0)
        told.append(Later(when, band(out[0]), band(draw_)))
    return tuple(told), draw_


def _click(push: Array, travel: Array) -> Click:
    """The push peaks before the seat and falls by enough to be felt."""
    seat = np.maximum(push[0], 0.0)
    peak = push.max(axis=0)
    clicks = (peak > 0) & (peak - seat > default("fit.click_least") * peak)
    if not clicks.any():
        return Click(0.0, None)
    return Click(float(clicks.mean()), float(np.median(travel[push[:, clicks].argmax(axis=0)])))


def _liner(held: Grip, crowd: Crowd) -> Array:
    """What holds the liner in the upper, N (n,): rings all the way down, grip grooves not reckoned.

    It adds nothing to the hold of the knife; it is what keeps the liner from coming along.
    """
    u = np.linspace(0.0, held.liner_end, 25)
    rate = held.hoop * held.thickness / np.interp(u, held.heights, held.length)
    load = 2 * np.pi * rate * held.curve(u) * held.liner_end / len(u)
    leaning = load * held.curve.slope(u) / (2 * np.pi)
    mu = crowd.dry.flesh
    tight = np.maximum(crowd.sizes.tight[:, 0], 0.0)
    return np.asarray(crowd.stiff * tight * (mu * load.sum() - (1 + mu**2) * leaning.sum()))


def _rest(held: Grip, crowd: Crowd) -> Array:
    """Girth inside the finished mouth, knife out, mm (n,)."""
    form = float(held.curve(np.array([held.mouth]))[0])
    off = crowd.sizes.readings.T @ held.hats(np.array([held.mouth]))[:, 0] if held.rows else 0.0
    return np.asarray(form - 2 * np.pi * held.film + off - crowd.sizes.tight[:, -1] * form)
