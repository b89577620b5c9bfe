"""What the account answers over the rest girth, the lip and the thickness, once, so that 10,000 sheaths cost nothing.

For each travel of the draw two numbers are kept for the upper zone (grain side, collar) and two for the lower (flesh
side): the whole load on the handle A and its moment S = sum of load x slope. Friction and stiffness come after:

    in, out = E/E0 [mu A ± (1 + mu^2) S]      (tan(alpha + atan mu) to first order in the slope)

since the account is linear in the stiffness and friction does not change where leather touches. Between the nodes of
the table everything is straight. How far that is from solving each sheath is measured each time and printed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.fit.band import Contact, press
from backseam.fit.contact import seam_give
from backseam.fit.draws import Sheaths
from backseam.fit.grip import NOTHING, Grip
from backseam.ground.units import Mm

Array = NDArray[np.float64]

_TIGHT = (0.0, 0.06, 0.14, 0.24, 0.38, 0.56, 0.76, 1.0)  # nodes of the rest girth, first touch to tightest
_LOOSE = (1.0, 0.3)  # and to the slackest
_LEAST = 1e-4
_PIECE = 256  # sheaths
_THICKER = 0.04  # share of the thickness by which its effect is tried


@dataclass(frozen=True)
class Sizes:
    """What sheaths n differ in, as the account sees it. tight (n, knots): girth of the handle over the rest girth,
    less 1, at the grip's knots; drop (n,): of the lip's girth beyond the form's, mm; readings (rows, n): true girth
    less read, mm; thickness (n,) mm; soft_upper, soft_lower (n,): give of wall and seam there against the grip's own.
    """

    tight: Array
    drop: Array
    readings: Array
    thickness: Array
    soft_upper: Array
    soft_lower: Array

    def of(self, index: NDArray[np.intp]) -> Sizes:
        """Those with these numbers."""
        return Sizes(
            self.tight[index],
            self.drop[index],
            self.readings[:, index],
            self.thickness[index],
            self.soft_upper[index],
            self.soft_lower[index],
        )

    def joined(self, more: Sizes) -> Sizes:
        """These, then those."""
        return Sizes(
            np.concatenate([self.tight, more.tight]),
            np.r_[self.drop, more.drop],
            np.concatenate([self.readings, more.readings], axis=1),
            np.r_[self.thickness, more.thickness],
            np.r_[self.soft_upper, more.soft_upper],
            np.r_[self.soft_lower, more.soft_lower],
        )


@dataclass(frozen=True)
class Loads:
    """Load on the handle and its moment for n sheaths at q travels, both zones: (q, n) each, N, at the stiffness E0."""

    upper: Array
    upper_slope: Array
    lower: Array
    lower_slope: Array

    def of(self, index: NDArray[np.intp]) -> Loads:
        """Those of the sheaths with these numbers."""
        return Loads(
            self.upper[:, index], self.upper_slope[:, index], self.lower[:, index], self.lower_slope[:, index]
        )


@dataclass(frozen=True)
class Response:
    """The table. pattern (knots,): usual tightness; tight: nodes of what is beyond it everywhere; drops: of the lip.

    upper (tight, drops, 2, q) and lower (tight, 2, q): load and load x slope at the usual thickness; thicker (2,):
    by what share each zone's loads grow with a share of the thickness. weights (2, knots): how tightness at the
    knots bears on upper and lower zone; referee: a few sheaths solved one by one.
    """

    grip: Grip
    travel: Array
    pattern: Array
    tight: Array
    drops: Array
    upper: Array
    lower: Array
    thicker: Array
    weights: Array
    referee: Loads
    cases: int
    steps: int
    unsettled: int
    residual: float

    def loads(self, sizes: Sizes, at: slice = slice(None)) -> Loads:
        """Loads of these sheaths, from the table, at some of its travels."""
        beyond = sizes.tight - self.pattern
        top, low = (hat(self.tight, beyond @ weight) for weight in self.weights)
        grown = 1 + self.thicker[:, None] * (sizes.thickness / self.grip.thickness - 1)
        top *= grown[0] * sizes.soft_upper
        low *= grown[1] * sizes.soft_lower
        both = (top[:, None] * hat(self.drops, sizes.drop)).reshape(-1, top.shape[1])
        upper, lower = self.upper[..., at], self.lower[..., at]
        a, b = _looked_up(upper, both), _looked_up(lower, low)
        q = upper.shape[-1]
        return Loads(a[:q], a[q:], b[:q], b[q:])


def sizes_of(grip: Grip, sheaths: Sheaths) -> Sizes:
    """From drawn unknowns to what the account sees.

    A reading that is off by d makes the piece wrong by d: the true girth is the reading plus d, and sewing stretches
    the piece by d/L more than reckoned. Stretch sets, so that only a part of it grips; slack is only partly moulded
    away, so that most of it is lost:

        tight = pull_in + (1 - set) x stretch  (stretch > 0)   or   pull_in + slack_kept x stretch  (< 0)
        less 2 pi film / P: the film is drawn out and leaves its room

    Source: derived (finished rest girth: shrinkage and springback, and what set leaves of the stretch given).
    """
    get = sheaths.drawn
    off = _off(grip, sheaths)
    girth = grip.curve(grip.knots)
    kept = kept_of(sheaths, stretch_of(grip, sheaths))
    tight = get["set.pull_in"][:, None] + kept - 2 * np.pi * get["reading.film"][:, None] / girth
    ends = grip.hats(np.array([grip.thickest, grip.mouth])) if grip.rows else np.zeros((0, 2))
    drop = off.T @ (ends[:, 0] - ends[:, 1]) if grip.lip > 0.5 else np.zeros(sheaths.count)
    return Sizes(tight, drop, off, get["work:thickness"], *_softness(grip, get))


def _off(grip: Grip, sheaths: Sheaths) -> Array:
    """By how much each reading is off, mm, (rows, n)."""
    if not grip.rows:
        return np.zeros((0, sheaths.count))
    return np.stack([sheaths.drawn[f"reading:{row.index}"] for row in grip.rows])


def stretch_of(grip: Grip, sheaths: Sheaths) -> Array:
    """Stretch that sewing gives the dried piece at the knots, (n, knots); negative where it is slack."""
    reach = grip.hats(grip.knots) if grip.rows else np.zeros((0, len(grip.knots)))
    length = np.interp(grip.knots, grip.heights, grip.length)
    wrong = _off(grip, sheaths).T @ reach + sheaths.drawn["work:piece"][:, None]
    return np.asarray(grip.given + wrong / length)


def kept_of(sheaths: Sheaths, stretch: Array) -> Array:
    """What of a stretch still grips, (n, knots): less what set takes of it, or the part of slack not moulded away."""
    get = sheaths.drawn
    share = np.where(stretch > 0, 1 - get["set.kept"][:, None], get["fit.slack_kept"][:, None])
    return np.asarray(share * stretch)


def _softness(grip: Grip, get: dict[str, Array]) -> tuple[Array, Array]:
    """How much stiffer or softer than reckoned: another fillet, another flap."""
    at = float(np.interp(grip.mouth, grip.heights, grip.length))
    layers = grip.thickness + (get["work:flap"] if grip.folded else 0.0)
    usual = grip.thickness + (grip.flap if grip.folded else 0.0)
    upper = (1 + seam_give(usual, grip.radius, at)) / (1 + seam_give(usual, get["work:radius"], at))
    lower = (1 + seam_give(grip.thickness, grip.radius, at)) / (
        1 + seam_give(grip.thickness, get["work:radius"], at)
    )
    return upper * layers / usual, lower


def respond(grip: Grip, sizes: Sizes, checked: Sizes | None = None) -> Response:
    """The table for the range of these sheaths, and the `checked` ones solved one by one beside it."""
    travel = grip.travel()
    checked = sizes.of(np.arange(1)) if checked is None else checked
    pattern = sizes.tight.mean(axis=0)
    tight = _tight_nodes(sizes.tight - pattern, -float(pattern.mean()))
    drops = _around(sizes.drop, 3) if grip.lip > 0.5 else np.zeros(1)
    nodes = [axis.ravel() for axis in np.meshgrid(tight, drops, indexing="ij")]
    thick = grip.thickness * np.array([1 - _THICKER, 1 + _THICKER])
    middle = float(tight[-3])
    parts = (
        _at_nodes(grip, travel, pattern, nodes[0], nodes[1], np.full(len(nodes[0]), grip.thickness)),
        _at_nodes(grip, travel, pattern, np.full(2, middle), np.zeros(2), thick),
        _one_by_one(grip, travel, checked),
    )
    solved_, touched = _solve(grip, travel, *parts)
    count, m = len(nodes[0]), solved_.moments
    table = m[..., :count].transpose(0, 3, 1, 2).reshape(2, len(tight), len(drops), 2, len(travel))
    return Response(
        grip=grip,
        travel=travel,
        pattern=pattern,
        tight=tight,
        drops=drops,
        upper=table[0],
        lower=table[1][:, len(drops) // 2],
        thicker=_thicker(m[..., count], m[..., count + 1]),
        weights=solved_.weights,
        referee=_softened(m[..., count + 2 :], checked),
        cases=m.shape[-1] * len(travel),
        steps=touched.steps,
        unsettled=touched.unsettled,
        residual=touched.residual,
    )


def _thicker(thin: Array, thick: Array) -> Array:
    """By what share the load of each zone (2,) grows with a share of the thickness, from two walls, (2, 2, q) each."""
    less, more = thin[:, 0].sum(axis=1), thick[:, 0].sum(axis=1)
    mean = (less + more) / 2
    return np.where(mean > 0, (more - less) / np.where(mean > 0, mean, 1.0) / (2 * _THICKER), 1.0)


def solved(grip: Grip, sizes: Sizes, travel: Array) -> Loads:
    """Loads of these sheaths by solving each, at these travels: the referee of the table."""
    moments, _ = _solve(grip, travel, _one_by_one(grip, travel, sizes))
    return _softened(moments.moments, sizes)


@dataclass(frozen=True)
class _Cases:
    """m sheaths at q travels. gap, lean (n, q, m): girth that is inside less the rest girth, its slope / 2 pi;
    thickness (m,)."""

    gap: Array
    lean: Array
    thickness: Array


@dataclass(frozen=True)
class _Moments:
    """moments (2 zones, 2, q, m): load, load x slope. weights (2, knots): where each zone's load stands."""

    moments: Array
    weights: Array


def _solve(grip: Grip, travel: Array, *cases: _Cases) -> tuple[_Moments, Contact]:
    """All cases pressed at once."""
    gap = np.concatenate([one.gap for one in cases], axis=2)
    lean = np.concatenate([one.lean for one in cases], axis=2)
    thickness, variant = np.unique(np.concatenate([one.thickness for one in cases]), return_inverse=True)
    n, q, m = gap.shape
    touched = press(grip.wall(thickness), gap.reshape(n, q * m), np.tile(variant, q))
    load = touched.load.reshape(n, q, m) * grip.turning()[:, None, None]
    load = load * grip.carried(travel)[..., None]
    leaning = load * lean
    zones = np.stack([grip.upper, 1 - grip.upper])
    moments = np.stack([np.einsum("zn,nqm->zqm", zones, x) for x in (load, leaning)], axis=1)
    return _Moments(moments, _weights(grip, load, zones)), touched


def _at_nodes(
    grip: Grip, travel: Array, pattern: Array, tight: Array, drop: Array, thickness: Array
) -> _Cases:
    """Cases of the table: the usual pattern of tightness, more or less of it everywhere."""
    z = grip.heights[:, None] - travel
    base, slope = _handle(grip, travel)
    at_z = grip.lip_shape(z)
    shape = at_z - grip.lip_shape(grip.heights)[:, None]
    lip_slope = (grip.lip_shape(z + _STEP) - at_z) / _STEP / (2 * np.pi)
    own = (np.interp(grip.heights, grip.knots, pattern)[:, None] + tight) * grip.girth[:, None]
    gap = base[..., None] + own[:, None] - shape[..., None] * drop
    return _Cases(
        _only_inside(grip, travel, gap, own), slope[..., None] - lip_slope[..., None] * drop, thickness
    )


def _one_by_one(grip: Grip, travel: Array, sizes: Sizes) -> _Cases:
    """Cases of single sheaths, each reading wrong in its own way, tightness by height."""
    z = grip.heights[:, None] - travel
    base, slope = _handle(grip, travel)
    hats, at_rest = grip.hats(z), grip.hats(grip.heights)
    tilt = (grip.hats(z + _STEP) - hats) / _STEP / (2 * np.pi)
    gap = base[..., None] + np.einsum("rnq,rm->nqm", hats - at_rest[:, :, None], sizes.readings)
    lean = slope[..., None] + np.einsum("rnq,rm->nqm", tilt, sizes.readings)
    own = [np.interp(grip.heights, grip.knots, row) for row in sizes.tight]
    tight = np.stack(own, axis=1) * grip.girth[:, None]
    return _Cases(_only_inside(grip, travel, gap + tight[:, None], tight), lean, sizes.thickness)


_STEP: Mm = 1e-3


def _softened(moments: Array, sizes: Sizes) -> Loads:
    """(2, 2, q, m) moments as loads, each sheath's seam and flap in."""
    upper, lower = moments[0] * sizes.soft_upper, moments[1] * sizes.soft_lower
    return Loads(upper[0], upper[1], lower[0], lower[1])


def _handle(grip: Grip, travel: Array) -> tuple[Array, Array]:
    """Girth of what comes to lie at each height less the form's own there, mm, and its slope / 2 pi: (n, q)."""
    z = grip.heights[:, None] - travel
    return grip.curve(z) - grip.girth[:, None], grip.curve.slope(z) / (2 * np.pi)


def _only_inside(grip: Grip, travel: Array, gap: Array, resting: Array) -> Array:
    """Gaps (n, q, m) with the liner where it stays, and nothing between it and the handle."""
    gap = np.where(grip.inside(travel)[..., None], gap, NOTHING)
    return np.where(grip.on_liner()[:, None, None], resting[:, None], gap)


def _weights(grip: Grip, load: Array, zones: Array) -> Array:
    """How much of each zone's load stands at each knot, over the first part of the draw and all cases."""
    near = load[:, : load.shape[1] * 2 // 3].sum(axis=(1, 2))
    reach = np.stack([np.interp(grip.heights, grip.knots, row) for row in np.eye(len(grip.knots))])
    share = zones * near @ reach.T
    whole = share.sum(axis=1, keepdims=True)
    return np.where(whole > 0, share / np.where(whole > 0, whole, 1.0), 1 / len(grip.knots))


def _tight_nodes(beyond: Array, touches: float) -> Array:
    """Nodes over the range of the mean tightness beyond the pattern, close together where leather begins to touch."""
    mean = beyond.mean(axis=1)
    low, high = min(float(mean.min()), -_LEAST), max(float(mean.max()), _LEAST)
    start = float(np.clip(touches, low, high))
    nodes = np.r_[start + (low - start) * np.array(_LOOSE), start + (high - start) * np.array(_TIGHT)]
    return np.asarray(np.unique(np.round(np.clip(nodes, low, high), 9)))


def _around(values: Array, count: int) -> Array:
    """`count` nodes over the range of values, never all the same."""
    low, high = float(values.min()), float(values.max())
    spare = max(1e-6, 1e-6 * abs(high))
    return np.linspace(low - spare, high + spare, count)


def _looked_up(table: Array, weights: Array) -> Array:
    """(2 q, n): the table's rows, flattened, weighed for each of n sheaths.

    In pieces: a product of matrices that is small enough stays on one thread, and waits for no other.
    """
    rows = np.ascontiguousarray(table.reshape(len(weights), -1).T)
    out = np.empty((len(rows), weights.shape[1]))
    for i in range(0, weights.shape[1], _PIECE):
        np.matmul(rows, weights[:, i : i + _PIECE], out=out[:, i : i + _PIECE])
    return out


def hat(nodes: Array, x: Array) -> Array:
    """Weights (nodes, n) of straight interpolation at x (n,); the end value beyond the ends.

    >>> hat(np.array([0.0, 1.0, 3.0]), np.array([2.0])).T.tolist()
    [[0.0, 0.5, 0.5]]
    """
    if len(nodes) == 1:
        return np.ones((1, len(x)))
    i = np.clip(np.searchsorted(nodes, x, side="right") - 1, 0, len(nodes) - 2)
    f = np.clip((x - nodes[i]) / (nodes[i + 1] - nodes[i]), 0.0, 1.0)
    out = np.zeros((len(nodes), len(x)))
    column = np.arange(len(x))
    out[i, column] = 1 - f
    out[i + 1, column] = f
    return out
