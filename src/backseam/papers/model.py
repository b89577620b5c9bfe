"""The one drawing model: frozen marks in millimetres, y up. It knows roles of lines, not what a seam is.

SVG, PDF and DXF are three small writers of it (`svg`, `pdf`, `dxf`). There is no scale parameter: a mark at
x = 10 lies ten millimetres from the origin on paper, or the paper is wrong.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from math import cos, dist, pi, sin, sqrt
from typing import Literal, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from backseam.ground.units import Mm
from backseam.papers.letters import text_width

Point: TypeAlias = tuple[Mm, Mm]

SIGHT: Mm = 0.0005  # a twentieth of the finest dot of a printer
_MANY = 12  # lines with fewer points are taken as they are

ASCENT, DESCENT = 0.88, -0.25  # of the type size: top of an accented capital, foot of a g, from the base line


class Role(StrEnum):
    """What a line is for. The line type of each follows ISO 128-20 (numbers in `papers/styles`)."""

    CUT = "cut"  # continuous wide
    TRIM = "trim"  # long-dash double-dot narrow, after drying
    STITCH = "stitch"  # continuous narrow, with slits
    SLIT = "slit"  # continuous wide, short
    CENTRE = "centre"  # long-dash dot narrow
    FOLD = "fold"  # dashed narrow, fold under
    SKIVE = "skive"  # dotted
    PRESS = "press"  # dashed spaced narrow
    GLUE = "glue"  # continuous narrow, hatching
    TICK = "tick"  # continuous wide, short
    PUNCH = "punch"  # circle, continuous wide
    SNIP = "snip"  # continuous wide
    BAR = "bar"  # measuring bar
    JOIN = "join"  # dashed narrow, where sheets meet
    CROSS = "cross"  # registration
    FRAME = "frame"  # title block, boxes
    LEADER = "leader"  # continuous narrow
    PIECE = "piece"  # outlines in pictures
    HIDDEN = "hidden"  # dashed narrow in pictures
    LABEL = "label"  # text
    HAND = "hand"  # the hand line, dotted with dashes
    PREVIEW = "preview"  # the mark across a sheet that must not be cut from


@dataclass(frozen=True)
class Stroke:
    """A polyline. fill: None, or a share of black 0-1 (1 solid), for arrow heads, tints and (0) white ground.

    A filled stroke has no line round it, so that nothing grows by a line width; who wants both draws both.
    """

    points: tuple[Point, ...]
    role: Role
    closed: bool = False
    fill: float | None = None
    why: str = ""


@dataclass(frozen=True)
class Ring:
    """A circle. fill as for a stroke: filled, and no line round it."""

    centre: Point
    radius: Mm
    role: Role
    fill: float | None = None
    why: str = ""


@dataclass(frozen=True)
class Words:
    """One line of text, its capitals 0.668 of the size high. angle in degrees, counter-clockwise, about `at`.

    Line ends and tabs become blanks, control characters go (`letters.clean`): what was typed stays text.
    """

    at: Point
    text: str
    size: Mm = 3.0
    anchor: Literal["start", "middle", "end"] = "start"
    angle: float = 0.0
    bold: bool = False
    role: Role = Role.LABEL
    why: str = ""


Mark: TypeAlias = Stroke | Ring | Words


@dataclass(frozen=True)
class Box:
    """An axis-parallel rectangle."""

    left: Mm
    bottom: Mm
    right: Mm
    top: Mm

    @property
    def width(self) -> Mm:
        """Right minus left."""
        return self.right - self.left

    @property
    def height(self) -> Mm:
        """Top minus bottom."""
        return self.top - self.bottom

    def grown(self, by: Mm) -> Box:
        """The same with `by` added on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def union(self, other: Box) -> Box:
        """The smallest box that holds both."""
        return Box(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def meets(self, other: Box) -> bool:
        """True if they share a point."""
        return (
            self.left <= other.right
            and other.left <= self.right
            and self.bottom <= other.top
            and other.bottom <= self.top
        )


@dataclass(frozen=True)
class Drawing:
    """A named, frozen set of marks in mm, y up."""

    name: str
    marks: tuple[Mark, ...] = ()

    def __add__(self, more: Iterable[Mark] | Drawing) -> Drawing:
        extra = more.marks if isinstance(more, Drawing) else tuple(more)
        return replace(self, marks=self.marks + extra)

    def moved(self, dx: Mm, dy: Mm) -> Drawing:
        """Shifted by (dx, dy)."""
        return replace(self, marks=tuple(_moved(mark, dx, dy) for mark in self.marks))

    def mapped(self, sx: float, sy: float) -> Drawing:
        """Each coordinate times sx, sy: only for pictures (`sheets.pictures`) and `calibrate`."""
        return replace(self, marks=tuple(_mapped(mark, sx, sy) for mark in self.marks))

    def turned(self) -> Drawing:
        """A quarter turn counter-clockwise about the origin: (x, y) to (-y, x)."""
        return replace(self, marks=tuple(_turned(mark) for mark in self.marks))

    def only(self, *roles: Role) -> Drawing:
        """The marks of these roles."""
        return replace(self, marks=tuple(mark for mark in self.marks if mark.role in roles))

    @property
    def box(self) -> Box:
        """Bounding box of all marks, without line widths (text: as wide as set, accents included)."""
        boxes = [mark_box(mark) for mark in self.marks]
        if not boxes:
            return Box(0, 0, 0, 0)
        return Box(
            min(b.left for b in boxes),
            min(b.bottom for b in boxes),
            max(b.right for b in boxes),
            max(b.top for b in boxes),
        )


def mark_box(mark: Mark) -> Box:
    """Bounding box of one mark."""
    match mark:
        case Stroke():
            xs = [p[0] for p in mark.points]
            ys = [p[1] for p in mark.points]
            return Box(min(xs), min(ys), max(xs), max(ys))
        case Ring():
            (x, y), r = mark.centre, mark.radius
            return Box(x - r, y - r, x + r, y + r)
        case Words():
            return _text_box(mark)


def stroke(
    line: NDArray[np.float64] | Iterable[Point], role: Role, *, closed: bool = False, why: str = ""
) -> Stroke:
    """A stroke from an (n, 2) array or points. Points that lie on the straight between their neighbours, to
    `SIGHT`, are left out: no printer and no cutter could tell."""
    points = np.asarray(line if isinstance(line, np.ndarray) else list(line), dtype=float)
    if len(points) > _MANY:
        thinned = shapely.simplify(shapely.linestrings(points), SIGHT, preserve_topology=False)
        points = shapely.get_coordinates(thinned)
    return Stroke(tuple(map(tuple, points.tolist())), role, closed, None, why)


def segment(a: Point, b: Point, role: Role, why: str = "") -> Stroke:
    """A straight stroke."""
    return Stroke((a, b), role, False, None, why)


def line_length(points: tuple[Point, ...], *, closed: bool = False) -> Mm:
    """Length of a polyline in mm.

    >>> line_length(((0, 0), (3, 4)))
    5.0
    """
    ring = points + points[:1] if closed else points
    return sum(dist(a, b) for a, b in pairwise(ring))


def text_corners(mark: Words, pad: Mm = 0.0) -> tuple[Point, Point, Point, Point]:
    """Corners of the frame round a line of text, `pad` mm wider, counter-clockwise from its lower left."""
    width = text_width(mark.text, mark.size, mark.bold)
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
    left, right = start - pad, start + width + pad
    low, high = DESCENT * mark.size - pad, ASCENT * mark.size + pad
    c, s = cos(mark.angle * pi / 180), sin(mark.angle * pi / 180)
    x0, y0 = mark.at

    def placed(x: Mm, y: Mm) -> Point:
        return x0 + c * x - s * y, y0 + s * x + c * y

    return placed(left, low), placed(right, low), placed(right, high), placed(left, high)


def plate(mark: Words, pad: Mm = 0.4) -> Stroke:
    """White ground for a line of text, to be drawn just before it where it stands on hatching or lines."""
    return Stroke(text_corners(mark, pad), mark.role, closed=True, fill=0.0)


def _text_box(mark: Words) -> Box:
    corners = text_corners(mark)
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _moved(mark: Mark, dx: Mm, dy: Mm) -> Mark:
    match mark:
        case Stroke():
            return replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points))
        case Ring():
            return replace(mark, centre=(mark.centre[0] + dx, mark.centre[1] + dy))
        case Words():
            return replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy))


def _mapped(mark: Mark, sx: float, sy: float) -> Mark:
    match mark:
        case Stroke():
            return replace(mark, points=tuple((x * sx, y * sy) for x, y in mark.points))
        case Ring():
            centre = (mark.centre[0] * sx, mark.centre[1] * sy)
            return replace(mark, centre=centre, radius=mark.radius * sqrt(abs(sx * sy)))
        case Words():
            return replace(mark, at=(mark.at[0] * sx, mark.at[1] * sy))


def _turned(mark: Mark) -> Mark:
    match mark:
        case Stroke():
            return replace(mark, points=tuple((-y, x) for x, y in mark.points))
        case Ring():
            return replace(mark, centre=(-mark.centre[1], mark.centre[0]))
        case Words():
            return replace(mark, at=(-mark.at[1], mark.at[0]), angle=mark.angle + 90)
