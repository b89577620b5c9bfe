"""The finished sheath as it will be, from the front and from the back: the way into a job's numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import Mm
from backseam.papers.screen import Group, Item, Line, Picture, Spot, line
from backseam.papers.sheets.sheath_back import Carried, flange, stitches
from backseam.papers.sheets.sheath_look import (
    BACK,
    FRONT,
    TILT,
    Band,
    Camera,
    body,
    halves,
    hatching,
    washes,
    whole,
)
from backseam.papers.sheets.sheath_solid import SheathSolid, solid
from backseam.papers.sheets.work import Drawn
from backseam.pattern.construction import Hand, HangerKind
from backseam.pattern.hanger import hole_heights as rows_of

Array = NDArray[np.float64]
Side = Literal["front", "back"]


@dataclass(frozen=True)
class View:
    """One side of a sheath. Everything that is drawn or touched on it is asked from here."""

    work: Drawn
    sheath: SheathSolid
    side: Side

    @cached_property
    def camera(self) -> Camera:
        """A back for the left hand is turned the other way, so that its knot shows."""
        if self.side == "front":
            return Camera(False, FRONT)
        return Camera(True, -BACK if self.work.inputs.construction.hand is Hand.LEFT else BACK)

    @cached_property
    def bands(self) -> tuple[Band, ...]:
        """The leather: one strip from the front; from the back what is left and right of the seam, near one first."""
        if self.side == "front":
            return (whole(self.sheath.leather, self.camera),)
        left, right = halves(self.sheath.leather, self.camera)
        return (left, right) if self.camera.turn >= 0 else (right, left)

    @cached_property
    def edges(self) -> tuple[Array, Array]:
        """Left and right outline of the leather, upward."""
        lines = sorted(
            ((band.left, band.right) for band in self.bands), key=lambda pair: float(pair[0][:, 0].mean())
        )
        return lines[0][0], lines[-1][1]

    def edge(self, u: Mm, side: Literal["left", "right"]) -> tuple[Mm, Mm]:
        """The outline at a height, as far as the leather goes; above the mouth the handle's."""
        rings = self.sheath.leather if u <= self.sheath.leather.u[-1] + 0.01 else self.sheath.handle
        at = self.edges if rings is self.sheath.leather else self._handle_edges
        way = at[0 if side == "left" else 1]
        return float(np.interp(u, rings.u, way[:, 0])), float(np.interp(u, rings.u, way[:, 1]))

    @cached_property
    def _handle_edges(self) -> tuple[Array, Array]:
        band = self.handle
        return band.left, band.right

    @cached_property
    def handle(self) -> Band:
        """The handle above the mouth."""
        return whole(self.sheath.handle, self.camera)

    @cached_property
    def liner(self) -> Band:
        """The liner below the bottom edge."""
        return whole(self.sheath.liner, self.camera)

    @cached_property
    def hole_heights(self) -> Array:
        """Heights on the form of the stitch holes, mouth to bottom."""
        marks, layout = self.work.form.marks, self.work.layout
        u = np.linspace(0.0, marks.mouth, 160)
        y = layout.place(u, 1.0)[:, 1]
        order = np.argsort(y)
        return np.interp([hole.y for hole in self.work.seam.right], y[order], u[order])

    @cached_property
    def carried(self) -> Carried:
        """Thong or strap."""
        construction, marks = self.work.inputs.construction, self.work.form.marks
        top = marks.mouth - (construction.collar.depth if construction.collar.folded else 0.0)
        rows = [] if construction.hanger.kind is HangerKind.NONE else rows_of(construction.hanger, top)
        return Carried(self.sheath, self.camera, construction.hanger, rows)

    def level(self, u: Mm) -> tuple[Array, ...]:
        """The level line at a height on the leather."""
        return tuple(band.ring(u) for band in self.bands)

    # --- drawing -------------------------------------------------------------------------------------------------

    def items(self, over: Iterable[Item] = ()) -> Iterator[Item]:
        """Everything, from behind to before; over: laid on the leather, under the flange (contours of stretch)."""
        yield from _wood(self.liner, float(self.liner.u[0]), 0.0)
        yield from self._leather()
        yield from self._mouth()
        yield from self._lines()
        yield from over
        if self.side == "back":
            yield from self.carried.behind()
            yield from flange(self.sheath, self.camera, *self.bands)
            made = self.work.inputs.construction.stitching
            yield from stitches(self.sheath, self.camera, self.work.seam.right, self.hole_heights, made)
            yield from self.carried.before()

    def _leather(self) -> Iterator[Item]:
        left, right = self.edges
        near, far = self.bands[0], self.bands[-1]
        low = np.concatenate([band.at[0] for band in self._left_to_right()])
        high = np.concatenate([band.at[-1] for band in self._left_to_right()])
        yield line(np.concatenate([left, high, right[::-1], low[::-1]]), "hide", closed=True, body="leather")
        for band in self._left_to_right():
            yield from washes(band)
        mouth = float(near.u[-1])
        yield from hatching(far if self.camera.turn >= 0 or self.side == "front" else near, 2.0, mouth - 1.5)
        yield line([left, right], "edge")

    def _left_to_right(self) -> tuple[Band, ...]:
        return tuple(sorted(self.bands, key=lambda band: float(band.left[:, 0].mean())))

    def _mouth(self) -> Iterator[Item]:
        """The rim, the shade in it, the handle standing in it."""
        leather = self.sheath.leather
        yield line(self.camera.seen(leather.points[-1]), "hide rim", closed=True)
        yield line(self.camera.seen(self.sheath.rim), "gap", closed=True)
        yield from _wood(self.handle, float(leather.u[-1]) + 2.0, self.sheath.butt - 3.5)
        cap = self.camera.seen(self.sheath.handle.points[-1])
        yield line(cap, "wood", closed=True)
        yield line(cap, "edge", closed=True)
        middle = cap.mean(axis=0)
        wide = float(np.ptp(cap[:, 0]))
        yield Spot(
            (float(middle[0]), float(middle[1])), (0.17 * wide, 0.17 * wide * 9 * TILT / 2.6), "brassy"
        )

    def _lines(self) -> Iterator[Item]:
        """Fold, hidden end of the flap, grooves, bottom edge."""
        form, made = self.work.form, self.work.inputs.construction
        mouth = form.marks.mouth
        yield self._ring(mouth, "edge")
        if made.collar.folded:
            yield self._ring(mouth - 1.9, "fine")
            yield self._ring(mouth - 1.0, "gleam")
            yield self._ring(mouth - made.collar.depth, "hidden", place="collar")
        for name, groove in zip(_groove_names(len(form.marks.grooves)), form.marks.grooves, strict=True):
            if not 2.5 < groove.station < mouth - 2.5:
                continue
            yield self._ring(groove.station + 0.4, "groove", place=name)
            yield self._ring(groove.station - 1.7, "gleam")
            yield self._ring(groove.station + 2.0, "fine faint")
        yield self._ring(0.1, "bottom")
        yield self._ring(1.7, "gleam")

    def _ring(self, u: Mm, look: str, place: str = "") -> Line:
        return line(self.level(u), look, place=place) if place else line(self.level(u), look)


def _groove_names(count: int) -> tuple[str, ...]:
    if count == 2:
        return ("lower_groove", "upper_groove")
    return tuple(f"groove:{i + 1}" for i in range(count))


def _wood(band: Band, low: Mm, high: Mm) -> Iterator[Item]:
    yield from body(band, "wood")
    yield line(band.at[0], "edge")
    yield from hatching(band, low + 3.0, high)


def views(work: Drawn, blade: Mm | None = None, handle: Mm | None = None) -> dict[Side, View]:
    """Both sides of one sheath. blade, handle: lengths of the knife's parts where measured."""
    made = solid(work.form, work.inputs.construction, blade, handle)
    return {"front": View(work, made, "front"), "back": View(work, made, "back")}


def picture(
    seen: View, title: str, *, damp: bool = False, over: Iterable[Item] = (), beside: Mm = 3.0
) -> Picture:
    """The drawing of one side. damp: the leather is wet; over: laid on the leather."""
    look = "sheath damp" if damp else "sheath"
    return Picture(seen.side, title, (Group(look, tuple(seen.items(over))),), beside, f"view {seen.side}")
