"""Drawing kernels of the small pictures: arcs, arrow heads, dimensions, leaders, sections hatched, threads
laid.

All in mm on paper, y up. Nothing here knows a sheath.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, sin
from typing import Literal

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from backseam.ground.units import Mm, Radian
from backseam.papers.model import Mark, Point, Ring, Role, Stroke, Words, segment, stroke
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.lettering import width

Line = NDArray[np.float64]
Anchor = Literal["start", "middle", "end"]

TYPE: Mm = 3.4  # the smallest type on the card
HEAD: Mm = 2.2  # length of an arrow head
SECTION: Mm = 1.5  # hatching of cut leather, line to line along x
EDGE: Mm = 0.3  # black edge of a white thread
MIDDLE = 0.34  # half a figure's height, as a share of the type's size


@dataclass(frozen=True)
class Placing:
    """From the thing's own mm to the picture's: scaled, then moved to (x, y)."""

    scale: float
    x: Mm = 0.0
    y: Mm = 0.0

    def line(self, line: ArrayLike) -> Line:
        """Points (n, 2) in the picture."""
        return np.asarray(line, dtype=float).reshape(-1, 2) * self.scale + [self.x, self.y]

    def point(self, x: Mm, y: Mm) -> Point:
        """One point in the picture."""
        return (x * self.scale + self.x, y * self.scale + self.y)


def arc(centre: Point, radius: Mm, start: Radian, end: Radian, points: int = 33) -> Line:
    """Points (n, 2) along a circle, angles from +x."""
    angle = np.linspace(start, end, points)
    return np.column_stack([centre[0] + radius * np.cos(angle), centre[1] + radius * np.sin(angle)])


def arrow_head(tip: Point, direction: Radian, size: Mm = HEAD) -> Stroke:
    """A solid head, its tip at `tip`, pointing along `direction`."""
    back = [direction + np.pi - 0.26, direction + np.pi + 0.26]
    corners = [(tip[0] + size * cos(a), tip[1] + size * sin(a)) for a in back]
    return Stroke((tip, corners[0], corners[1]), Role.LEADER, closed=True, fill=1.0)


def arrow(tail: Point, tip: Point, role: Role = Role.LEADER) -> tuple[Mark, ...]:
    """A line with a head at its tip."""
    return segment(tail, tip, role), arrow_head(tip, atan2(tip[1] - tail[1], tip[0] - tail[0]))


def text(
    at: Point,
    words: str,
    anchor: Anchor = "start",
    *,
    bold: bool = False,
    angle: float = 0.0,
    size: Mm = TYPE,
) -> Words:
    """One line, its middle at the height of `at` (turned with the angle)."""
    drop = MIDDLE * size
    turn = np.radians(angle)
    place = (at[0] + drop * sin(turn), at[1] - drop * cos(turn))
    return Words((float(place[0]), float(place[1])), words, size, anchor, angle, bold)


def leader(point: Point, to: Point, words: str, anchor: Anchor = "start") -> tuple[Mark, ...]:
    """A line from the thing to its name; it ends in a dot on the thing."""
    gap = 0.9 if anchor == "start" else -0.9
    return (
        segment(point, to, Role.LEADER),
        Ring(point, 0.45, Role.LEADER, fill=1.0),
        text((to[0] + gap, to[1]), words, anchor),
    )


def dimension(
    a: Point, b: Point, words: str, beside: Anchor = "middle", *, out: Mm = 0.0
) -> tuple[Mark, ...]:
    """A dimension from a to b: heads outward if there is room, else from outside; words at its middle or
    beside it.

    Level or upright only. beside: "end" puts the words left of an upright dimension, "start" right of it;
    "middle" above a level one. out: how far the words stand off.
    """
    length = hypot(b[0] - a[0], b[1] - a[1])
    way = atan2(b[1] - a[1], b[0] - a[0])
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    marks: list[Mark] = []
    if length > 2.4 * HEAD:
        marks += [segment(a, b, Role.LEADER), arrow_head(a, way + np.pi), arrow_head(b, way)]
    else:
        reach = 1.6 * HEAD
        before = (a[0] - reach * cos(way), a[1] - reach * sin(way))
        after = (b[0] + reach * cos(way), b[1] + reach * sin(way))
        marks += [segment(before, after, Role.LEADER), arrow_head(a, way), arrow_head(b, way + np.pi)]
    if not words:
        return tuple(marks)
    if beside == "middle":
        return (*marks, text((middle[0], middle[1] + 2.2 + out), words, "middle", bold=True))
    away = 1.2 + out if beside == "start" else -1.2 - out
    return (*marks, text((middle[0] + away, middle[1]), words, beside, bold=True))


def section(outline: Line, *, left: bool = False, role: Role = Role.CUT) -> tuple[Mark, ...]:
    """Cut leather: outline and hatching; `left` hatches the other way, as parts that meet are told apart."""
    area = shapely.make_valid(shapely.Polygon(outline))
    turned = shapely.transform(area, lambda p: p * np.array([-1.0, 1.0])) if left else area
    lines = hatch(turned, Role.LEADER, spacing=SECTION)
    if left:
        lines = tuple(Stroke(tuple((-x, y) for x, y in line.points), Role.LEADER) for line in lines)
    return (*lines, stroke(outline, role, closed=True))


def band(line: Line, thickness: Mm) -> Line:
    """Outline of a strip of that thickness whose middle is `line`: round ends and corners."""
    return _ring(shapely.LineString(line).buffer(thickness / 2))


def thread(line: Iterable[Point], diameter: Mm, *, white: bool = False) -> tuple[Mark, ...]:
    """A thread along a path: solid, or white with a black edge."""
    points = np.asarray(list(line))
    black = Stroke(stroke(band(points, diameter), Role.PIECE).points, Role.PIECE, closed=True, fill=1.0)
    if not white:
        return (black,)
    core = stroke(band(points, max(diameter - 2 * EDGE, 0.3 * diameter)), Role.PIECE)
    return black, Stroke(core.points, Role.PIECE, closed=True, fill=0.0)


def _ring(shape: BaseGeometry) -> Line:
    return np.asarray(shape.exterior.coords)[:-1]


def spread(wanted: Sequence[Mm], apart: Mm, low: Mm, high: Mm) -> list[Mm]:
    """Heights as near as may be to those wanted, in the same order from low to high, at least `apart` from
    each other.

    >>> spread([0.0, 1.0, 20.0], 5.0, 0.0, 22.0)
    [0.0, 5.0, 20.0]
    """
    if not wanted:
        return []
    step = min(apart, (high - low) / max(1, len(wanted) - 1))
    up: list[Mm] = []
    for value in wanted:
        up.append(max(value, low, up[-1] + step if up else low))
    ceiling = high
    for i in range(len(up) - 1, -1, -1):
        up[i] = min(up[i], ceiling)
        ceiling = up[i] - step
    return up


def fits(words: str, room: Mm, size: Mm = TYPE, *, bold: bool = False) -> bool:
    """True if one line of that text is no longer than `room`."""
    return width(words, size, bold) <= room
