"""What a sheath on the kitchen scale says about its drying: the account's samples, weighed by how well they fit.

Each sample of the account is one way the leather may dry. Sped up or slowed down by a pace, and set on a form and a
piece of some weight, it foretells what the scale shows; the better it did, the more it counts for what is to come.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite, log

import numpy as np
from numpy.typing import NDArray

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.speech import PLAIN
from backseam.ground.units import Gram, Minute, Mm, Share
from backseam.leather.material import Material
from backseam.leather.records import TAIL
from backseam.leather.wet import COLLAR, FLANGE, HOUR, WALL, History

Array = NDArray[np.float64]

MOST = 60  # weighings used
PACES = 41
WIDEST = 1.6  # log of the pace tried, both ways
WILD = 1.5  # standard deviations beyond which a weighing counts less and less
TURNS = 8  # of the counting less
UNKNOWN: Gram = 1e4  # standard deviation of a weight nobody gave
FAR = 4.0  # standard deviations of a weighing to be looked at
LEAST = 3  # weights, before and while drying, that say something
MEMBERS = 200
LATE: Share = 0.10  # water above the room's between which the last drying is read
LAST: Share = 0.03


@dataclass(frozen=True)
class Weighing:
    """Minutes since the start of the soak, and grams of the whole: leather, what it is moulded on, thread."""

    minutes: Minute
    grams: Gram


@dataclass(frozen=True)
class Drying:
    """What the weighings taught: low, likely, high of each.

    pace: how much faster than the account; per_hour: first-order constant of the wall's last drying, 1/h; dry: grams
    of the whole when it has the room's water; left: grams still to leave. wild: places of weighings that fit badly.
    """

    pace: tuple[Share, Share, Share]
    per_hour: tuple[float, float, float]
    dry: tuple[Gram, Gram, Gram]
    left: tuple[Gram, Gram, Gram]
    wild: tuple[int, ...]


@dataclass(frozen=True)
class Weighed:
    """The account's samples after weighing. sample: which one; pace: how fast it runs from `ready` on, (members,)."""

    sample: NDArray[np.int64]
    pace: Array
    ready: Array
    drying: Drying | None
    findings: tuple[Finding, ...]

    def moments(self, each: Array) -> Array:
        """Moments of the samples, minutes, as the members have them."""
        at = each[self.sample]
        return np.where(at > self.ready, self.ready + (at - self.ready) / self.pace, at)

    def water(self, minutes: Array, past: History, water: Array) -> Array:
        """Water of each member at some minutes, (members, minutes)."""
        late = minutes - self.ready[:, None]
        own = np.where(late > 0, self.ready[:, None] + late * self.pace[:, None], minutes)
        rows = zip(own, past.minutes[self.sample], water[self.sample], strict=True)
        return np.array([np.interp(at, t, x) for at, t, x in rows])


@dataclass(frozen=True)
class _Fit:
    """Of each sample (rows) at each pace (columns): what is against it, dry leather and form in g, residuals in g,
    water at each weighing."""

    against: Array
    dry: Array
    form: Array
    residual: Array
    water: Array


def weigh(
    leather: Material,
    past: History,
    flap: Mm,
    weighings: Sequence[Weighing],
    piece: Gram | None = None,
    form: Gram | None = None,
) -> Weighed:
    """The samples that the weighings speak for.

    What the scale shows is form + dry leather (1 + X(ready + pace (t - ready))). For every sample and pace the two
    weights that fit best are found by least squares in which a wild weighing counts less (Huber), with what is known
    of them held to; the sample and pace then count by

        exp(-1/2 sum rho(residual/sd)) x normal(ln pace)

    piece, form: weights before the soak. Weights in g. Source: huber-1964 (robust squares), textbook (Bayes).
    Tested: pace of made-up weighings found, one wild reading, no weights known.
    """
    used = _used(past, weighings)
    spread = leather.value("scale.spread")
    findings = tuple(_doubts(leather, past, used, piece, form))
    paces = np.exp(np.linspace(-WIDEST, WIDEST, PACES))
    own = log(leather.value("scale.pace") * leather.record("scale.pace").high) / 1.645
    prior = (np.log(paces) / own) ** 2
    if not used or any(item.code in ("WET-012", "WET-013") for item in findings):
        return _members(past, np.tile(prior, (len(past.ready), 1)), np.ones(PACES), None, findings)
    fit = _fit(leather, past, flap, used, paces, (piece, form))
    against = np.where(fit.dry > 0, fit.against + prior, np.inf)
    best = np.unravel_index(np.argmin(against), against.shape)
    off = np.abs(fit.residual[best]) / spread
    wild = tuple(int(i) for i in np.nonzero(off > FAR)[0])
    findings += tuple(
        finding(
            "WET-014", (), grams=used[i].grams, hours=used[i].minutes / HOUR, off=float(fit.residual[best][i])
        )
        for i in wild
    )
    weighed = _members(past, against, paces, None, findings)
    return _members(past, against, paces, _drying(past, fit, weighed, paces, against, wild), findings)


def _used(past: History, weighings: Sequence[Weighing]) -> tuple[Weighing, ...]:
    """Those while drying, in order of time."""
    for each in weighings:
        if not (isfinite(each.minutes) and isfinite(each.grams) and each.minutes >= 0 and each.grams > 0):
            raise InputRefused(PLAIN.say("wet.refuse.weight", grams=each.grams, minutes=each.minutes))
    if len(weighings) > MOST:
        raise InputRefused(PLAIN.say("wet.refuse.many", count=len(weighings), most=MOST))
    soaked = float(np.median(past.soaked))
    return tuple(sorted((w for w in weighings if w.minutes >= soaked), key=lambda each: each.minutes))


def _doubts(
    leather: Material,
    past: History,
    used: Sequence[Weighing],
    piece: Gram | None,
    form: Gram | None,
) -> Iterator[Finding]:
    """Weights that rise, and too few to say anything."""
    rise = leather.value("scale.rise")
    pairs = [(after.grams - before.grams, before, after) for before, after in pairwise(used)]
    most, before, after = max(pairs, key=lambda pair: pair[0], default=(0.0, None, None))
    if before and after and most > rise:
        hours = before.minutes / HOUR, after.minutes / HOUR
        yield finding("WET-011", (), first=before.grams, second=after.grams, start=hours[0], end=hours[1])
    if len(used) > 1 and used[-1].grams > used[0].grams + rise:
        yield finding("WET-012", (), first=used[0].grams, last=used[-1].grams)
    elif len(used) + (piece is not None) + (form is not None) < LEAST:
        yield finding("WET-013", (), count=len(used))


def _fit(
    leather: Material,
    past: History,
    flap: Mm,
    used: Sequence[Weighing],
    paces: Array,
    known: tuple[Gram | None, Gram | None],
) -> _Fit:
    """Least squares of form and dry leather for every sample and pace, wild weighings counting less."""
    minutes = np.array([each.minutes for each in used])
    grams = np.array([each.grams for each in used])
    water = _whole_water(leather, past, flap, minutes, paces)
    wet, spread = 1 + water, leather.value("scale.spread")
    piece, form = known
    kept = (1 + past.equilibrium)[:, None]
    dry0 = np.broadcast_to(0.0 if piece is None else piece / kept, water.shape[:2])
    dry_sd = np.broadcast_to(UNKNOWN, dry0.shape) if piece is None else leather.value("scale.piece") * dry0
    form0 = 0.0 if form is None else form
    form_sd = UNKNOWN if form is None else 2 * spread
    count = np.ones_like(wet)
    for _ in range(TURNS):
        a = count.sum(-1) / spread**2 + 1 / form_sd**2
        b = (count * wet).sum(-1) / spread**2
        c = (count * wet**2).sum(-1) / spread**2 + 1 / dry_sd**2
        right = (count * grams).sum(-1) / spread**2 + form0 / form_sd**2
        left = (count * wet * grams).sum(-1) / spread**2 + dry0 / dry_sd**2
        square = a * c - b * b
        rest, dry = (c * right - b * left) / square, (a * left - b * right) / square
        residual = grams - rest[..., None] - dry[..., None] * wet
        off = np.abs(residual) / spread
        count = np.minimum(1.0, WILD / np.maximum(off, WILD))
    against = np.where(off <= WILD, off**2, 2 * WILD * off - WILD**2).sum(-1)
    against = against + ((rest - form0) / form_sd) ** 2 + ((dry - dry0) / dry_sd) ** 2
    return _Fit(against, dry, rest, residual, water)


def _whole_water(leather: Material, past: History, flap: Mm, minutes: Array, paces: Array) -> Array:
    """Water of the whole upper of every sample at every pace, at some minutes, (samples, paces, minutes)."""
    shares = {place: leather.value(f"part.{place}") for place in (WALL, FLANGE, COLLAR)}
    if not flap:
        shares[WALL] += shares.pop(COLLAR)
    total = sum(shares.values())
    whole = sum((share / total * past.mean[place] for place, share in shares.items()), np.zeros(()))
    late = np.maximum(minutes - past.ready[:, None], 0.0)
    at = np.minimum(minutes, past.ready[:, None])[:, None, :] + paces[None, :, None] * late[:, None, :]
    return np.array([np.interp(each, t, x) for each, t, x in zip(at, past.minutes, whole, strict=True)])


def _members(
    past: History, against: Array, paces: Array, drying: Drying | None, findings: tuple[Finding, ...]
) -> Weighed:
    """As many members as MEMBERS, each standing for the same share of what speaks for samples and paces."""
    at = _picked(against)
    sample, pace = np.unravel_index(at, against.shape)
    return Weighed(sample, paces[pace], past.ready[sample], drying, findings)


def _picked(against: Array) -> NDArray[np.intp]:
    """Places in the flattened table, drawn in equal steps of exp(-against/2)."""
    weight = np.exp(-(against - against.min()) / 2).ravel()
    steps = (np.arange(MEMBERS) + 0.5) / MEMBERS
    return np.searchsorted(np.cumsum(weight) / weight.sum(), steps)


def _drying(
    past: History, fit: _Fit, weighed: Weighed, paces: Array, against: Array, wild: tuple[int, ...]
) -> Drying:
    """The members' pace, last drying, dry weight and what is still to leave."""
    at = _picked(against)
    dry, form, water = fit.dry.ravel()[at], fit.form.ravel()[at], fit.water[..., -1].ravel()[at]
    room = past.equilibrium[weighed.sample]
    constant = _last_constant(past)[weighed.sample] * weighed.pace
    return Drying(
        _three(weighed.pace),
        _three(constant),
        _three(form + dry * (1 + room)),
        _three(np.maximum(dry * (water - room), 0.0)),
        wild,
    )


def _last_constant(past: History) -> Array:
    """First-order constant of each sample's wall, 1/h, while its water above the room's falls from LATE to LAST."""
    above = past.mean[WALL] - past.equilibrium[:, None]
    found = []
    for each, minutes in zip(above, past.minutes, strict=True):
        falling = -np.log(np.maximum(each[len(each) // 2 :], 1e-9))
        t1, t2 = np.interp([-log(LATE), -log(LAST)], falling, minutes[len(minutes) // 2 :])
        found.append(log(LATE / LAST) / max(t2 - t1, 1e-9) * HOUR)
    return np.array(found)


def _three(each: Array) -> tuple[float, float, float]:
    low, likely, high = (float(x) for x in np.quantile(each, (TAIL, 0.5, 1 - TAIL)))
    return low, likely, high
