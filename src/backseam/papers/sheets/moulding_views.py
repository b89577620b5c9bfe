"""A moulded piece drawn: flat, and on the form from the front or the back, with its contours of stretch.

Solid where leather is pulled, dashed where it gathers, each line with its millimetres in every twenty; hatched
where it folds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from backseam.fit.moulding import Moulding
from backseam.geom.contour import contours
from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.ground.units import Mm, Radian
from backseam.papers.model import Mark, Role, plate, stroke
from backseam.papers.sheets.drafting import Placing, text
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.lettering import SMALL

Array = NDArray[np.float64]

IN_EVERY: Mm = 20.0  # contours say mm in so many
STEPS = (0.1, 0.2, 0.5, 1.0, 2.0)  # between contours, mm in twenty
MOST_LINES = 7
SMOOTHED = 2
SHORTEST: Mm = 7.0  # a contour drawn at all
NAMED: Mm = 10.0  # and named
FOLDS: Mm = 1.4  # hatching where leather folds
TINY, GRAIN = 1e-3, 1e-4  # mm2 of a triangle seen edge on; mm that outlines are rounded to


@dataclass(frozen=True)
class Sheet:
    """A moulding from left flange to right: flat (rows, columns, 2), space (rows, columns, 3), and what is drawn on
    it."""

    flat: Array
    space: Array
    share: Array
    most: Array
    least: Array
    step: NDArray[np.bool_]

    @property
    def wall(self) -> slice:
        """Columns between the stitch lines."""
        inside = np.flatnonzero(np.abs(self.share) <= 1.0)
        return slice(int(inside[0]), int(inside[-1]) + 1)


def sheet(done: Moulding) -> Sheet:
    """The whole width of a moulding: a right half is mirrored. Stretches are smoothed a little, for the eye alone."""
    found, share = done.field, done.mesh.share
    if not done.mesh.mirrored:
        most, least = (_smoothed(x, np.abs(share) <= 1) for x in (found.most, found.least))
        return Sheet(done.mesh.rest, found.space, share, most, least, done.rows.step)

    def both(right: Array, sign: tuple[float, ...] | float = 1.0) -> Array:
        return np.concatenate([right[:, :0:-1] * sign, right], axis=1)

    whole = np.concatenate([-share[:0:-1], share])
    most, least = (_smoothed(both(x), np.abs(whole) <= 1) for x in (found.most, found.least))
    rest, space = both(done.mesh.rest, (-1.0, 1.0)), both(found.space, (-1.0, 1.0, 1.0))
    return Sheet(rest, space, whole, most, least, done.rows.step)


def _smoothed(field: Array, wall: NDArray[np.bool_]) -> Array:
    """Each node of the wall with its neighbours, 1 : 2 : 1 both ways, a few times over."""
    made = field.copy()
    inner = field[:, wall]
    for _ in range(SMOOTHED):
        for axis in (0, 1):
            wide = np.pad(inner, [(1, 1) if k == axis else (0, 0) for k in (0, 1)], mode="edge")
            before, after = (np.take(wide, np.arange(n, n + inner.shape[axis]), axis) for n in (0, 2))
            inner = inner / 2 + (before + after) / 4
    made[:, wall] = inner
    return made


def contour_step(sheets: tuple[Sheet, ...]) -> float:
    """mm in every twenty from line to line: the finest that leaves six lines or fewer."""
    most = max(float(np.quantile(np.maximum(s.most, -s.least)[:, s.wall][~s.step], 0.98)) for s in sheets)
    return next((step for step in STEPS if IN_EVERY * most / step <= MOST_LINES), STEPS[-1])


def _levels(sheet: Sheet, step: float) -> Iterator[tuple[float, Array, Role]]:
    """Level in mm in twenty, the field, and how its lines are drawn."""
    for field, sign, role in ((sheet.most, 1, Role.LEADER), (-sheet.least, -1, Role.HIDDEN)):
        wall = field[:, sheet.wall]
        count = int(IN_EVERY * float(wall.max()) / step + 1e-9)
        for k in range(1, min(count, 2 * MOST_LINES) + 1):
            yield sign * k * step, wall, role


def _lines(sheet: Sheet, points: Array, step: float) -> Iterator[tuple[float, Role, Array]]:
    for level, field, role in _levels(sheet, step):
        for line in contours(points[:, sheet.wall], field, abs(level) / IN_EVERY):
            yield level, role, line


def on_piece(sheet: Sheet, place: Placing, step: float, speech: Speech) -> Iterator[Mark]:
    """Outline, stitch lines, centre line, places that fold, contours with their numbers."""
    rest = sheet.flat
    folds = _folds(sheet, rest)
    yield from _hatched(folds, place)
    named: list[BaseGeometry] = []
    words: list[Mark] = []
    for level, role, line in _lines(sheet, rest, step):
        drawn = place.line(line)
        length = shapely.LineString(drawn).length
        if length < SHORTEST:
            continue
        yield stroke(drawn, role)
        if length >= NAMED:
            words += _number(drawn, level, named, speech)
    yield stroke(place.line(_outline(rest)), Role.PIECE, closed=True)
    for column in (sheet.wall.start, sheet.wall.stop - 1):
        yield stroke(place.line(rest[:, column]), Role.STITCH)
    yield stroke(place.line(rest[:, int(np.abs(sheet.share).argmin())]), Role.CENTRE)
    yield from words


def _outline(rest: Array) -> Array:
    return np.concatenate([rest[0], rest[1:, -1], rest[-1, -2::-1], rest[-2:0:-1, 0]])


def _number(line: Array, level: float, named: list[BaseGeometry], speech: Speech) -> Iterator[Mark]:
    """A contour's number, on white, where no other stands."""
    curve = shapely.LineString(line)
    inch = speech.units == "inch"
    says = (
        speech.say("moulding.level.pct", v=level / IN_EVERY)
        if inch
        else speech.say("moulding.level.mm", v=level)
    )
    for share in (0.5, 0.35, 0.65, 0.2, 0.8):
        at = curve.interpolate(share, normalized=True)
        words = text((at.x, at.y), says, "middle", size=SMALL)
        ground = plate(words, 0.15)
        room = shapely.Polygon(ground.points)
        if not any(room.intersects(other) for other in named):
            named.append(room.buffer(1.0))
            yield ground
            yield words
            return


def _folds(sheet: Sheet, points: Array) -> BaseGeometry:
    """Where the wall is squeezed beyond the wrinkle limit."""
    least = sheet.least[:, sheet.wall]
    mean = (least[1:, 1:] + least[1:, :-1] + least[:-1, 1:] + least[:-1, :-1]) / 4
    return _shadow(_cells(points[:, sheet.wall])[mean < default("leather.wrinkle")])


def _cells(points: Array) -> Array:
    """Corners of every cell, (rows, columns, 4, d)."""
    return np.stack([points[:-1, :-1], points[:-1, 1:], points[1:, 1:], points[1:, :-1]], axis=2)


class View:
    """A moulding seen level from one side: `turn` about the upright axis, 0 from the front."""

    def __init__(self, sheet: Sheet, turn: Radian) -> None:
        self.sheet = sheet
        c, s = np.cos(turn), np.sin(turn)
        self.across = np.array([c, s, 0.0])
        self.towards = np.array([s, -c, 0.0])  # towards the eye
        self.flat = self.seen(sheet.space)
        self.left, self.low = (float(self.flat[..., k].min()) for k in (0, 1))
        self.width = float(np.ptp(self.flat[..., 0]))
        self.normal = _outward(sheet.space)

    def seen(self, points: Array) -> Array:
        """Points of space on the picture."""
        return np.stack([points @ self.across, points[..., 2]], axis=-1)

    def marks(self, place: Placing, step: float, speech: Speech) -> Iterator[Mark]:
        """Outline, stitch line and flange where they show, contours on the side towards the eye."""
        sheet, wall = self.sheet, self.sheet.wall
        outline = _shadow(_cells(self.flat))
        flange = self._flange()
        folds = self._folds(flange)
        yield from _hatched(folds, place)
        facing = (self.normal @ self.towards)[:, wall]
        carried = np.concatenate([sheet.space[:, wall], facing[..., None]], axis=2)
        everything = np.zeros((*sheet.space.shape[:2], 4))
        everything[:, wall] = carried
        named: list[BaseGeometry] = []
        words: list[Mark] = []
        for level, role, line in _lines(sheet, everything, step):
            for part in _facing(line):
                for piece in _outside(self.seen(part[:, :3]), flange):
                    drawn = place.line(piece)
                    if shapely.LineString(drawn).length < SHORTEST:
                        continue
                    yield stroke(drawn, role)
                    if shapely.LineString(drawn).length >= NAMED:
                        words += _number(drawn, level, named, speech)
        for ring in shapely.get_parts(outline):
            yield stroke(place.line(np.array(ring.exterior.coords)[:-1]), Role.PIECE, closed=True)
        if flange is not None:
            for ring in shapely.get_parts(flange):
                yield stroke(place.line(np.array(ring.exterior.coords)[:-1]), Role.STITCH, closed=True)
        yield from words

    def _flange(self) -> BaseGeometry | None:
        """The flange as seen, or None if it stands behind the wall."""
        if self.towards[1] <= 0:
            return None
        stop = self.sheet.wall.stop
        return _shadow(_cells(self.flat[:, stop - 1 :]))

    def _folds(self, flange: BaseGeometry | None) -> BaseGeometry:
        wall = self.sheet.wall
        least = self.sheet.least[:, wall]
        facing = (self.normal @ self.towards)[:, wall]
        corners = _cells(np.stack([least, facing], axis=-1)).mean(axis=2)
        shown = (corners[..., 0] < default("leather.wrinkle")) & (corners[..., 1] > 0)
        area = _shadow(_cells(self.flat[:, wall])[shown])
        return area if flange is None else area.difference(flange)


def _hatched(folds: BaseGeometry, place: Placing) -> Iterator[Mark]:
    """Places that fold, but for those too small to be seen."""
    for part in shapely.get_parts(shapely.transform(folds, place.line)):
        if part.area > FOLDS**2:
            yield from hatch(part, Role.GLUE, spacing=FOLDS)


def _shadow(cells: Array) -> BaseGeometry:
    """What cells (..., 4, 2) cover, each taken as two triangles: seen edge on, a cell may cross itself."""
    halves = cells.reshape(-1, 4, 2)[:, [[0, 1, 2], [0, 2, 3]]].reshape(-1, 3, 2)
    shapes = shapely.polygons(halves)
    return shapely.union_all(shapes[shapely.area(shapes) > TINY], grid_size=GRAIN)


def _outward(space: Array) -> Array:
    """Unit normals at the nodes, away from the form."""
    along, round_ = np.gradient(space, axis=0), np.gradient(space, axis=1)
    normal = np.cross(round_, along)
    return np.asarray(normal / np.linalg.norm(normal, axis=2, keepdims=True))


def _facing(line: Array) -> Iterator[Array]:
    """The parts of a line whose last coordinate is above 0."""
    shown = line[:, -1] > 0
    turns = np.flatnonzero(np.diff(shown)) + 1
    for part, keep in zip(np.split(line, turns), shown[np.r_[0, turns]], strict=True):
        if keep and len(part) > 1:
            yield part


def _outside(line: Array, area: BaseGeometry | None) -> Iterator[Array]:
    """The parts of a line outside an area."""
    if area is None:
        yield line
        return
    for part in shapely.get_parts(shapely.LineString(line).difference(area)):
        if len(part.coords) > 1:
            yield np.array(part.coords)
