"""The back of the sheath: flange as trimmed, every stitch from slit to slit, thong or strap in its holes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import Mm
from backseam.papers.screen import Item, Line, Spot, line
from backseam.papers.sheets.sheath_look import Band, Camera, washes
from backseam.papers.sheets.sheath_solid import SheathSolid
from backseam.pattern.construction import Hanger, HangerKind, Stitching
from backseam.pattern.seam import Hole

Array = NDArray[np.float64]

SHADE: Mm = 4.6  # how far the flange throws its shade on the far side
LIFT: Mm = 3.0  # of the near side, where the leather leaves the form
FORE = 0.86  # a thong lying on the round back, seen from where it is drawn


def flange(sheath: SheathSolid, camera: Camera, near: Band, far: Band) -> Iterator[Item]:
    """Shade on the far side, lifting of the near side, side and edge of the flange."""
    a, b, c, d = (camera.seen(edge) for edge in _corners(sheath, camera))
    lift = _away(near, LIFT, -1)
    yield line(np.concatenate([d, _away(far, SHADE, 0)[::-1]]), "shade deep", closed=True)
    yield line(np.concatenate([lift, a[::-1]]), "shade", closed=True)
    yield line(np.concatenate([a, b[::-1]]), "hide", closed=True)
    yield line(np.concatenate([a, b[::-1]]), "shade", closed=True)
    yield line(np.concatenate([b, c[::-1]]), "hide deep", closed=True)
    yield line(np.concatenate([b, c[::-1]]), "shade deep", closed=True)
    yield line((b + c) / 2, "fine")
    yield line([b, c, np.stack([a[-1], b[-1], c[-1]]), np.stack([a[0], b[0], c[0]])], "edge")
    yield line(a, "fine")


def _corners(sheath: SheathSolid, camera: Camera) -> tuple[Array, Array, Array, Array]:
    """Foot and tip of the near face, tip and foot of the far one."""
    f = sheath.flange
    if camera.turn >= 0:
        return f.foot, f.tip, f.tip_left, f.foot_left
    return f.foot_left, f.tip_left, f.tip, f.foot


def _away(band: Band, by: Mm, end: int) -> Array:
    """The line `by` mm from one end of a strip's rows, along them."""
    at = band.at if end == 0 else band.at[:, ::-1]
    step = np.hypot(*np.moveaxis(np.diff(at, axis=1), -1, 0))
    along = np.concatenate([np.zeros((len(at), 1)), np.cumsum(step, axis=1)], axis=1)
    j = np.minimum((along < by).sum(axis=1), at.shape[1] - 1)
    row = np.arange(len(at))
    before = along[row, j - 1]
    share = np.clip((by - before) / np.maximum(along[row, j] - before, 1e-9), 0.0, 1.0)
    return np.asarray(at[row, j - 1] + share[:, None] * (at[row, j] - at[row, j - 1]))


def far_side(far: Band) -> Iterator[Item]:
    """What lies beyond the flange."""
    yield from washes(far)


def stitches(
    sheath: SheathSolid, camera: Camera, holes: Sequence[Hole], heights: Array, stitching: Stitching
) -> Iterator[Item]:
    """Each from the lower end of one slit to the upper end of the next; heights: of the holes on the form."""
    if len(holes) < 2:
        return
    foot, tip, _, _ = _corners(sheath, camera)
    u = sheath.leather.u
    along, out = (
        stitching.awl / 2 * f(radians(stitching.slant)) for f in (cos, sin)
    )  # half a slit, along the seam and outward

    def on_face(at: Array, by: Mm) -> Array:
        base = np.stack([np.interp(at, u, foot[:, k]) for k in range(3)], axis=-1)
        way = np.stack([np.interp(at, u, (tip - foot)[:, k]) for k in range(3)], axis=-1)
        size = np.linalg.norm(way, axis=1, keepdims=True)
        return camera.seen(base + (1.0 + by) * way / np.maximum(size, 1e-9))

    lower, upper = on_face(heights[:-1] - along, out), on_face(heights[1:] + along, -out)
    parts = tuple(np.stack([a, b]) for a, b in zip(lower, upper, strict=True))
    yield Line(parts, "stitchdark")
    yield Line(parts, "stitch")
    for hole, part in zip(holes[:-1], parts, strict=True):
        yield Line((part,), "sew", data={"why": f"hole:{hole.number}"})


# --- what carries it ---------------------------------------------------------------------------------------------


def ribbon(points: Array, wide: Mm | tuple[Mm, Mm], look: str = "thong") -> Item:
    """A strip round a line, as wide at its start and its end as said."""
    first, last = wide if isinstance(wide, tuple) else (wide, wide)
    way = np.gradient(points, axis=0)
    size = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)
    across = np.stack([-way[:, 1], way[:, 0]], axis=-1) / size[:, None]
    half = np.linspace(first, last, len(points))[:, None] / 2
    return line(np.concatenate([points + half * across, (points - half * across)[::-1]]), look, closed=True)


def bow(*corners: Sequence[float] | Array, steps: int = 16) -> Array:
    """A cubic from the first corner to the fourth, drawn towards those between."""
    p = np.array(corners, dtype=float)
    t = np.linspace(0.0, 1.0, steps)[:, None]
    s = 1 - t
    return np.asarray(s**3 * p[0] + 3 * s**2 * t * p[1] + 3 * s * t**2 * p[2] + t**3 * p[3])


class Carried:
    """Thong or strap on the back: what lies behind the flange, then what lies before it."""

    def __init__(self, sheath: SheathSolid, camera: Camera, hanger: Hanger, heights: Sequence[Mm]) -> None:
        self.sheath, self.camera, self.hanger = sheath, camera, hanger
        self.heights = [u for u in heights if u > 0]
        self.near = 1 if camera.turn >= 0 else -1
        self.thick = 0.5 * hanger.thickness
        top = float(sheath.leather.u[-1])
        self.mouth = camera.seen(sheath.leather.points[-1, sheath.leather.middle][None])[0]
        self.seam = camera.seen(_corners(sheath, camera)[1][-1][None])[0]
        wide = float(np.ptp(camera.seen(sheath.leather.points[-1])[:, 0]))
        self.size = wide / 27.0
        self.knot = np.array([self.seam[0] + self.near * 0.24 * wide, self.mouth[1] + 18.0])
        self.top = top

    def spot(self, side: int, u: Mm, out: float = 0.0) -> Array:
        """Where a hole is seen; out: so far off the leather."""
        row = float(np.interp(u, self.sheath.leather.u, self.sheath.half))
        share = side * max(1 - self.hanger.from_stitch / row, 0.0)
        point, normal = self.sheath.at(u, share)
        return np.asarray(self.camera.seen(point + out * normal)[0])

    def behind(self) -> Iterator[Item]:
        """The far side's run and tail."""
        if not self.heights or self.hanger.kind is HangerKind.NONE:
            return
        if self.hanger.kind is HangerKind.STRAP:
            yield from self._leg(-self.near)
            return
        far = -self.near
        yield from self._bores(far, 0.55)
        if len(self.heights) > 1:
            run = np.array([self.spot(far, u, self.thick) for u in reversed(self.heights)])
            yield ribbon(run, 0.5 * self.hanger.width)
        start, k, s, n = self.spot(far, self.heights[0], self.thick), self.knot, self.size, self.near
        lift = k[1] - start[1]
        way = bow(
            start,
            (start[0] + n * 1.5 * s, start[1] + 0.45 * lift),
            (k[0] + n * 4 * s, k[1] - 13 * s),
            (k[0] + n * 1.6 * s, k[1] - 2 * s),
        )
        yield ribbon(way, (0.5 * self.hanger.width, 0.84 * self.hanger.width))

    def before(self) -> Iterator[Item]:
        """The near side, the knot, the loop."""
        if not self.heights or self.hanger.kind is HangerKind.NONE:
            return
        if self.hanger.kind is HangerKind.STRAP:
            yield from self._leg(self.near)
            yield from self._strap_loop()
            return
        wide = FORE * self.hanger.width
        yield from self._bores(self.near, 0.95)
        if len(self.heights) > 1:
            yield ribbon(
                np.array([self.spot(self.near, u, self.thick) for u in reversed(self.heights)]), wide
            )
            for u in self.heights[1:-1]:
                x, y = self.spot(self.near, u, self.thick)
                yield line(np.array([(x - wide / 2, y), (x + wide / 2, y)]), "fine")
        start, k, s, n = self.spot(self.near, self.heights[0], self.thick), self.knot, self.size, self.near
        lift = k[1] - start[1]
        yield ribbon(
            bow(
                start,
                (start[0] + n * 1 * s, start[1] + 0.4 * lift),
                (k[0] - n * 10 * s, k[1] - 15 * s),
                (k[0] - n * 1.6 * s, k[1] - 2 * s),
            ),
            wide,
        )
        yield from self._knot(wide)

    def _bores(self, side: int, share: float) -> Iterator[Item]:
        for row, u in enumerate(self.heights, start=1):
            x, y = self.spot(side, u)
            r = self.hanger.hole / 2
            number = row if side < 0 else row + len(self.heights)
            yield Spot((float(x), float(y)), (share * r, r), "bore", {"why": f"hanger:{number}"})

    def _knot(self, wide: Mm) -> Iterator[Item]:
        """Loop for the belt, tails, and the knot: each end through a slit in the other."""
        k, s, n = self.knot, self.size, self.near

        def at(dx: float, dy: float) -> tuple[float, float]:
            return k[0] + n * dx * s, k[1] + dy * s

        up = 0.5 * (self.hanger.belt_width + self.hanger.play) / 27.5
        loop = np.concatenate(
            [
                bow(at(-1.5, 0), at(-7, 18 * up), at(1, 41 * up), at(9, 40 * up)),
                bow(at(9, 40 * up), at(17, 39 * up), at(10, 16 * up), at(2, 0))[1:],
            ]
        )
        yield ribbon(loop, wide)
        yield ribbon(bow(at(-1, -1), at(-8, -3), at(-9, -12), at(-8, -21)), (wide, 0.82 * wide))
        yield ribbon(bow(at(1, -1), at(8, -2), at(10, -10), at(9, -18)), (wide, 0.82 * wide))
        yield ribbon(np.array([at(-4.2, -3.4), at(0, -0.6), at(4.2, 2.8)]), 1.18 * wide)
        yield ribbon(np.array([at(3.4, -3.6), at(1, -1.6)]), 1.04 * wide)
        yield line(np.array([at(-2.6, -2.4), at(2.8, 1.8)]), "slit")

    def _leg(self, side: int) -> Iterator[Item]:
        """A strap comes out of its slit, turns up and goes to the loop."""
        high, low = (self.spot(side, u, 0.3) for u in (self.heights[0], self.heights[-1]))
        near = side == self.near
        way = -self.near if near else self.near  # away from the seam
        wide = self._strap_wide()
        foot = self._loop_foot()
        inner, outer = (foot + np.array([way * k * wide / 2, 0.0]) for k in (-1, 1))
        out = np.array([way * (0.55 if near else 0.3) * wide, 0.0])
        edge = bow(low, low + out * 1.3, high + out + (0.0, 4.0 * self.size), outer, steps=22)
        back = bow(
            inner, inner - (0.0, 0.4 * (inner[1] - high[1])), high + (0.0, 6.0 * self.size), high, steps=14
        )
        yield line(np.stack([high + (0.0, 1.0), low - (0.0, 1.0)]), "mouthslit", why="hanger:1")
        yield line(np.concatenate([edge, back]), "thong strap", closed=True)
        turn = bow(high, high + 0.3 * out - (0.0, 2.0), edge[8] - 0.4 * out, edge[9])
        yield line(turn, "fine faint")

    def _strap_wide(self) -> Mm:
        return 0.72 * self.hanger.width

    def _loop_foot(self) -> Array:
        return np.array([self.seam[0] - self.near * 1.0, self.mouth[1] + 14.0])

    def _strap_loop(self) -> Iterator[Item]:
        """Both ends joined, and the loop for the belt above."""
        foot, wide = self._loop_foot(), self._strap_wide()
        high = 14.0 + 0.5 * (self.hanger.belt_width + self.hanger.play)
        x0, x1, y0, y1 = foot[0] - wide / 2, foot[0] + wide / 2, foot[1] - 9.0, foot[1] + high
        round_ = np.linspace(0.0, np.pi, 13)
        cap = np.stack([foot[0] - wide / 2 * np.cos(round_), y1 + 2.4 * np.sin(round_)], axis=-1)
        yield line(np.concatenate([[(x0, y0)], cap, [(x1, y0)]]), "thong strap", closed=True)
        yield line(np.array([(x0, y1), (foot[0], y1 - 1.8), (x1, y1)]), "fine")
        seam = [np.array([(x0 + 1.6, y0 + dy), (x1 - 1.6, y0 + dy)]) for dy in (2.0, 11.0)]
        yield line(seam, "joint")
