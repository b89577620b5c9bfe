"""The seam at the back: where leather leaves the form, turns through a small fillet and meets its other half.

The leather's flesh side lies on the hull. At normal angle phi from the seam it lifts off, turns outward through a
fillet of radius r on the grain side (r + t on the flesh side) and ends parallel to the seam plane, flesh to flesh.
The stitch line is the end of the fillet. Its centre lies at a = r + t, on the hull offset by r + t.

The neutral layer, k t from the flesh side, gives the distance from stitch line to stitch line:

    L = P + 2 pi k t + Delta,  Delta = pi (r + (1 - k) t) - (phi_L + phi_R)(r + t) - S_LR

with S_LR the arc of the bare hull between the two feet. Exact for any convex section; with k = 1/2 and a circle it is
the classical teardrop. Source: derived (parallel curves, Steiner). Tested: closed form for a circle, flat back,
outlines rebuilt by polygon booleans.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.form.section import FLAT, Sections
from backseam.ground.units import Mm

Array = NDArray[np.float64]

_ARC = 24  # points along the fillet


@dataclass(frozen=True)
class Wrap:
    """What is wrapped round n sections: thickness t, inside radius r of the fillet, (n,) each; neutral layer k."""

    thickness: Array
    radius: Array
    neutral: float


@dataclass(frozen=True)
class Path:
    """Right half of the neutral layer, from the middle of the front to the stitch line, for n sections.

    points (n, m, 2) in the section's frame; along (n, m): arc length; turn (n, m): direction of the path, radians from
    +a, so that the tangent is (cos, sin). half: L/2; lift: normal angle phi where the leather lifts off; stitch: b of
    the stitch line; distance: of the stitch line from the form, in the seam plane; fillet: share of half before the
    fillet begins. (n,) each.
    """

    points: Array
    along: Array
    turn: Array
    half: Array
    lift: Array
    stitch: Array
    distance: Array
    fillet: Array

    def at(self, share: Array) -> tuple[Array, Array]:
        """Points (n, q, 2) and unit tangents (n, q, 2) at shares (q,) of the half length."""
        s = share * self.half[:, None]
        row = np.arange(len(self.half))[:, None]
        i = np.stack([np.searchsorted(along, want) for along, want in zip(self.along, s, strict=True)])
        i = np.clip(i, 1, self.along.shape[1] - 1)
        low, high = self.along[row, i - 1], self.along[row, i]
        f = np.where(high > low, (s - low) / np.where(high > low, high - low, 1.0), 1.0)
        way = self.turn[row, i - 1] + f * (self.turn[row, i] - self.turn[row, i - 1])
        at = self.points[row, i - 1] + f[..., None] * (self.points[row, i] - self.points[row, i - 1])
        return at, np.stack([np.cos(way), np.sin(way)], axis=-1)


def neutral_path(sections: Sections, wrap: Wrap) -> Path:
    """The neutral layer of leather round each section, to the stitch line; see the module for the model."""
    phi = sections.normals()
    hull = sections.points(phi)
    phi, hull = _closed(phi, hull)
    flesh = wrap.radius + wrap.thickness
    lift, foot, first = _lift_off(sections, phi, hull, flesh)
    inner = wrap.neutral * wrap.thickness
    points, turn, along = _wall(phi, hull, lift, foot, first, inner)
    outer = flesh - inner
    centre = np.stack([flesh, foot[:, 1] + flesh * np.cos(lift)], axis=-1)
    sweep = np.linspace(0.0, 1.0, _ARC + 1)[None, 1:] * (np.pi / 2 - lift)[:, None]
    # from -n(lift) round to -a: the radius vector turns towards -a while the tangent turns towards +b
    angle = lift[:, None] + sweep
    arc = centre[:, None] - outer[:, None, None] * np.stack([np.sin(angle), np.cos(angle)], axis=-1)
    points = np.concatenate([points, arc], axis=1)
    turn = np.concatenate([turn, np.pi - angle], axis=1)
    along = np.concatenate([along, along[:, -1:] + outer[:, None] * sweep], axis=1)
    half = along[:, -1]
    return Path(
        points=points,
        along=along,
        turn=turn,
        half=half,
        lift=lift,
        stitch=centre[:, 1],
        distance=centre[:, 1] - hull[:, 0, 1],
        fillet=along[:, -_ARC - 1] / half,
    )


def _closed(phi: Array, hull: Array) -> tuple[Array, Array]:
    """Add the middle of the back and of the front, so that flats there are whole."""
    n = len(phi)
    back = np.stack([np.zeros(n), hull[:, 0, 1]], axis=-1)[:, None]
    front = np.stack([np.zeros(n), hull[:, -1, 1]], axis=-1)[:, None]
    return (
        np.concatenate([np.zeros((n, 1)), phi, np.full((n, 1), np.pi)], axis=1),
        np.concatenate([back, hull, front], axis=1),
    )


def _lift_off(
    sections: Sections, phi: Array, hull: Array, flesh: Array
) -> tuple[Array, Array, NDArray[np.intp]]:
    """Normal angle (n,) and hull point (n, 2) where a + flesh sin(phi) = flesh, on the seam side; node past it."""
    gap = hull[..., 0] + flesh[:, None] * (np.sin(phi) - 1)
    i = np.maximum((gap >= 0).argmax(axis=1), 1)
    row = np.arange(len(phi))
    low, high = phi[row, i - 1], phi[row, i]
    g_low, g_high = gap[row, i - 1], gap[row, i]
    share = np.clip(-g_low / np.where(g_high - g_low == 0, 1.0, g_high - g_low), 0.0, 1.0)
    on_flat = high - low < 3 * FLAT
    foot = hull[row, i - 1] + share[:, None] * (hull[row, i] - hull[row, i - 1])
    lift = low + share * (high - low)
    last = np.zeros(len(phi))
    for _ in range(
        4
    ):  # false position, Illinois: the bracket is below a degree wide, so this reaches rounding
        p = sections.points(lift[:, None])[:, 0]
        g = p[:, 0] + flesh * (np.sin(lift) - 1)
        below = g < 0
        g_high = np.where(below & (last < 0), g_high / 2, g_high)
        g_low = np.where(~below & (last > 0), g_low / 2, g_low)
        low, g_low = np.where(below, lift, low), np.where(below, g, g_low)
        high, g_high = np.where(below, high, lift), np.where(below, g_high, g)
        last = np.where(below, -1, 1)
        wide = np.where(g_high - g_low == 0, 1.0, g_high - g_low)
        lift = np.where(on_flat, lift, low - g_low * (high - low) / wide)
    exact = sections.points(lift[:, None])[:, 0]
    return lift, np.where(on_flat[:, None], foot, exact), i


def _wall(
    phi: Array, hull: Array, lift: Array, foot: Array, first: NDArray[np.intp], inner: Array
) -> tuple[Array, Array, Array]:
    """The part of the neutral layer that lies on the form, front to foot: points, directions, arc length."""
    n = len(phi)
    keep = np.arange(phi.shape[1])[::-1] >= first[:, None]
    angle = np.where(keep, phi[:, ::-1], lift[:, None])
    bare = np.where(keep[..., None], hull[:, ::-1], foot[:, None])
    angle = np.concatenate([angle, lift[:, None]], axis=1)
    bare = np.concatenate([bare, foot[:, None]], axis=1)
    points = bare + inner[:, None, None] * np.stack([np.sin(angle), np.cos(angle)], axis=-1)
    side = np.diff(points, axis=1)
    bow = 1 + np.diff(angle, axis=1) ** 2 / 24  # arc over chord, to fourth order
    length = np.hypot(side[..., 0], side[..., 1]) * bow
    along = np.concatenate([np.zeros((n, 1)), np.cumsum(length, axis=1)], axis=1)
    return points, np.pi - angle, along


def stitch_to_stitch(sections: Sections, wrap: Wrap) -> tuple[Array, Array]:
    """Length L of the neutral layer from stitch line to stitch line, and the stitch line's distance from the form.

    Both (n,) mm.
    """
    path = neutral_path(sections, wrap)
    return 2 * path.half, path.distance


def circle_stitch_to_stitch(radius: Mm, thickness: Mm, inside: Mm) -> Mm:
    """L for a circle, neutral layer in the middle: 2[(R + t/2)(pi - phi) + (r + t/2)(pi/2 - phi)].

    sin phi = (r + t)/(R + r + t). Exact. Source: derived; the truth test of `neutral_path`.

    >>> round(circle_stitch_to_stitch(15.0, 2.0, 1.0), 6)
    100.786019
    """
    phi = float(np.arcsin((inside + thickness) / (radius + inside + thickness)))
    wall = (radius + thickness / 2) * (np.pi - phi)
    return float(2 * (wall + (inside + thickness / 2) * (np.pi / 2 - phi)))
