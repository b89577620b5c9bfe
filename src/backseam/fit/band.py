"""The dried upper as an elastic band along the axis, pressed open by what is inside it.

Each height is a ring (hoop stiffness: the foundation), and heights pull on each other through bending along the axis
(the beam). What is inside only pushes: where it is smaller than the band at rest they part. Unknown: the girth
excess u over the rest girth.

    energy a millimetre = 1/2 (E_h t / L (1 + give)) u^2 + 1/2 (D L / 4 pi^2) u''^2,  D = E_a t^3 / 12 (1 - nu^2)
    u >= gap,  load >= 0,  load (u - gap) = 0;   load: hoop tension that the contact carries, summed over height

In one dimension: Hermite beams (girth excess and its slope at each height), contact at the heights, banded
elimination of 2 x 2 blocks for all cases at once. Which heights touch is found by turning all wrong ones at once;
the few cases where that goes in circles go on by steps that never raise the energy.
Source: timoshenko-shells (beam on an elastic foundation), hermite-beam (elements),
judice-pires-1994 (turning all wrong ones), nocedal-wright-2006 (line search).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import MPa, Share

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STIFF = 1e5  # contact against what a decay length of the band puts against a push
TURNS, MOST = 8, 400  # steps that turn all wrong heights at once; steps in all
_BALANCED = 1e-5  # of the whole load: a force that is left over
_HALVINGS = 20  # of a step that goes too far
_NEAR = 1e-6  # of the largest gap: too little to turn a height for


@dataclass(frozen=True)
class Wall:
    """n heights of the upper in v variants. heights (n,) ascending, mm; the last is the free mouth.

    thickness: all layers, mm; girth: neutral length L at rest, mm; give: of the seam fillet, share; (n, v) each.
    hoop, along: stiffness round and along the axis, MPa; poisson: in the plane.
    """

    heights: Array
    thickness: Array
    girth: Array
    give: Array
    hoop: MPa
    along: MPa
    poisson: Share

    def hoop_rate(self) -> Array:
        """Hoop tension for each millimetre of girth excess, N/mm2; (n, v)."""
        return np.asarray(self.hoop * self.thickness / (self.girth * (1 + self.give)))

    def bending(self) -> Array:
        """Stiffness against bending along the axis, in girth excess, N mm2; (n, v)."""
        plate = self.along * self.thickness**3 / (12 * (1 - self.poisson**2))
        return np.asarray(plate * self.girth / (4 * pi**2))

    def local(self) -> Array:
        """What a decay length of the band puts against a push at a height, N/mm; (n, v)."""
        rate = self.hoop_rate()
        return np.asarray(rate * (4 * self.bending() / rate) ** 0.25)

    def spans(self) -> Array:
        """Height that each of the n heights stands for, mm."""
        step = np.diff(self.heights)
        return np.asarray((np.r_[step, 0.0] + np.r_[0.0, step]) / 2)


@dataclass(frozen=True)
class Contact:
    """What presses, for m cases. load (n, m): hoop tension times height carried by the contact, N; excess (n, m): of
    the girth over the rest girth, mm. steps taken; unsettled: cases that did not settle; residual: the largest
    wrong pull or overlap among them, as a share of the case's whole load.
    """

    load: Array
    excess: Array
    steps: int
    unsettled: int
    residual: Share


@dataclass(frozen=True)
class _Blocks:
    """Stiffness by heights: own 2 x 2 blocks a b; b c, and those to the next height, row by row."""

    a: Array
    b: Array
    c: Array
    next: tuple[Array, Array, Array, Array]

    def of(self, which: Index) -> _Blocks:
        a, b, c = self.a[:, which], self.b[:, which], self.c[:, which]
        o = self.next
        return _Blocks(a, b, c, (o[0][:, which], o[1][:, which], o[2][:, which], o[3][:, which]))

    def times(self, u: Array, slope: Array) -> tuple[Array, Array]:
        """Forces and couples that hold this shape."""
        o11, o12, o21, o22 = self.next
        force, couple = self.a * u + self.b * slope, self.b * u + self.c * slope
        force[:-1] += o11 * u[1:] + o12 * slope[1:]
        couple[:-1] += o21 * u[1:] + o22 * slope[1:]
        force[1:] += o11 * u[:-1] + o21 * slope[:-1]
        couple[1:] += o12 * u[:-1] + o22 * slope[:-1]
        return force, couple


def press(wall: Wall, gap: Array, wall_of: Index | None = None, *, most: int = MOST) -> Contact:
    """The band over something that would need the girth excess `gap` at each height.

    gap (n, m) mm for m cases, very negative where nothing is inside; wall_of (m,): which variant of the wall.
    Never raises: a case that does not settle within `most` steps keeps its best state and is counted.
    Tested: shell with a force at its end and far from it, rings without bending, long lip within 3 % of rings,
    virtual work, random gaps against a quadratic programme.
    """
    which = np.zeros(gap.shape[1], dtype=np.intp) if wall_of is None else wall_of
    here, there = _stiffness(wall).of(which), gap
    stiff = STIFF * wall.local().max(axis=0)[which]
    near = _NEAR * np.maximum(gap.max(axis=0), 1e-6)
    touching, excess = gap > 0, np.zeros_like(gap)
    open_, steps = np.arange(gap.shape[1]), 0
    u = turned = np.zeros_like(gap)
    while len(open_) and steps < min(TURNS, most):
        steps += 1
        u, turned = _settled(here, there, stiff[open_], touching[:, open_])
        excess[:, open_] = u
        on = touching[:, open_]
        wrong = ((u < there - near[open_]) & ~on) | ((u > there) & on)
        rest = np.nonzero(wrong.any(axis=0))[0]
        touching[:, open_[rest]] ^= wrong[:, rest]
        if len(rest) < len(open_):
            open_ = open_[rest]
            here, there, u, turned = here.of(rest), there[:, rest], u[:, rest], turned[:, rest]
    unsettled, residual = 0, 0.0
    if len(open_):
        u, more, left, residual = _descend(here, there, stiff[open_], u, turned, most - steps)
        excess[:, open_], touching[:, open_] = u, u < there
        steps, unsettled = steps + more, left
    load = np.where(touching, stiff * np.maximum(gap - excess, 0.0), 0.0)
    return Contact(load, excess, steps, unsettled, residual)


def _descend(
    k: _Blocks, gap: Array, stiff: Array, u: Array, slope: Array, most: int
) -> tuple[Array, int, int, Share]:
    """Girth excess of the cases that went in circles, from a state u, slope on, by steps that never raise the energy.

    Contact as a stiff spring makes the energy convex and piecewise quadratic; each step goes towards the minimum of
    the piece at hand, as far as the energy falls. Gives excess, steps, cases left and the worst residual: out of
    balance force over the whole load.
    """
    u, slope = u.copy(), slope.copy()
    open_ = np.arange(gap.shape[1])
    steps, off = 0, np.ones(gap.shape[1])
    while len(open_) and steps < most:
        steps += 1
        here, there, firm = k.of(open_), gap[:, open_], stiff[open_]
        touching = u[:, open_] < there
        wanted, turned = _settled(here, there, firm, touching)
        du, dv = wanted - u[:, open_], turned - slope[:, open_]
        share = _furthest(here, there, firm, u[:, open_], slope[:, open_], du, dv)
        u[:, open_] += share * du
        slope[:, open_] += share * dv
        off = _out_of_balance(here, there, firm, u[:, open_], slope[:, open_])
        done = ((share == 1) & ((u[:, open_] < there) == touching).all(axis=0)) | (off < _BALANCED)
        open_, off = open_[~done], off[~done]
    return u, steps, len(open_), float(off.max(initial=0.0))


def _out_of_balance(k: _Blocks, gap: Array, stiff: Array, u: Array, slope: Array) -> Array:
    """Largest force that nothing carries, as a share of the whole load of each case."""
    force, _ = k.times(u, slope)
    load = stiff * np.maximum(gap - u, 0.0)
    return np.asarray(np.abs(force - load).max(axis=0) / np.maximum(load.sum(axis=0), 1e-9))


def _furthest(k: _Blocks, gap: Array, stiff: Array, u: Array, slope: Array, du: Array, dv: Array) -> Array:
    """Share of a step, 0 to 1, at which the energy along it is least: bisection of its derivative."""
    force, couple = k.times(u, slope)
    more, turn = k.times(du, dv)
    flat = (du * force + dv * couple).sum(axis=0)
    bend = (du * more + dv * turn).sum(axis=0)

    def rising(share: Array) -> NDArray[np.bool_]:
        spring = (stiff * du * np.maximum(gap - u - share * du, 0.0)).sum(axis=0)
        return np.asarray(flat + share * bend - spring > 0)

    low, high = np.zeros(len(stiff)), np.ones(len(stiff))
    whole = ~rising(high)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        up = rising(middle)
        high, low = np.where(up, middle, high), np.where(up, low, middle)
    return np.where(whole, 1.0, np.maximum(low, 1e-9))


def _stiffness(wall: Wall) -> _Blocks:
    """Hermite beams on a consistent elastic foundation, element values the mean of both ends'."""
    h = np.diff(wall.heights)[:, None]
    rate, bend = wall.hoop_rate(), wall.bending()
    f = (rate[1:] + rate[:-1]) / 2 * h / 420
    g = (bend[1:] + bend[:-1]) / 2 / h**3
    a, b, c = (np.zeros_like(rate) for _ in range(3))
    w, t, m = 12 * g + 156 * f, 6 * h * g + 22 * h * f, 4 * h**2 * g + 4 * h**2 * f
    a[:-1] += w
    a[1:] += w
    b[:-1] += t
    b[1:] -= t
    c[:-1] += m
    c[1:] += m
    cross = 6 * h * g - 13 * h * f
    return _Blocks(a, b, c, (-12 * g + 54 * f, cross, -cross, 2 * h**2 * g - 3 * h**2 * f))


def _settled(k: _Blocks, gap: Array, stiff: Array, touching: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Girth excess and its slope, (n, m) each, the touching heights held at their gaps: block elimination."""
    hold = stiff * touching
    own, pull = k.a + hold, hold * gap
    x11, x12, x21, x22 = (np.empty_like(o) for o in k.next)
    force, couple = np.empty_like(gap), np.zeros_like(gap)
    n = len(gap)
    inv: list[tuple[Array, Array, Array]] = []
    for i in range(n):
        a, b, c = own[i], k.b[i], k.c[i]
        force[i] = pull[i]
        if i:
            o11, o12, o21, o22 = (o[i - 1] for o in k.next)
            p, q, r = inv[-1]
            s11, s12 = p * o11 + q * o21, p * o12 + q * o22
            s21, s22 = q * o11 + r * o21, q * o12 + r * o22
            a = a - o11 * s11 - o21 * s21
            b = b - o11 * s12 - o21 * s22
            c = c - o12 * s12 - o22 * s22
            force[i] -= s11 * force[i - 1] + s21 * couple[i - 1]
            couple[i] -= s12 * force[i - 1] + s22 * couple[i - 1]
            x11[i - 1], x12[i - 1], x21[i - 1], x22[i - 1] = s11, s12, s21, s22
        d = 1 / (a * c - b * b)
        inv.append((c * d, -b * d, a * d))
    u, slope = np.empty_like(gap), np.empty_like(gap)
    p, q, r = inv[-1]
    u[-1], slope[-1] = p * force[-1] + q * couple[-1], q * force[-1] + r * couple[-1]
    for i in range(n - 2, -1, -1):
        p, q, r = inv[i]
        w, t = u[i + 1], slope[i + 1]
        u[i] = p * force[i] + q * couple[i] - x11[i] * w - x12[i] * t
        slope[i] = q * force[i] + r * couple[i] - x21[i] * w - x22[i] * t
    return u, slope
