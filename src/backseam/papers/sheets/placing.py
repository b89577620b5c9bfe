"""Which room on a drawing is taken, and where words still fit.

Words are tried at one place after another, best first; the first where they touch no line, no other words and stay
inside what they belong to is theirs.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import islice

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from backseam.ground.units import Mm
from backseam.papers.model import Mark, Ring, Stroke, Words
from backseam.papers.sheets.lettering import outline, outlines

CLEAR: Mm = 0.7  # between words and anything else
CHUNK = 128  # places tried at once


def shape(mark: Mark) -> BaseGeometry:
    """What one mark covers: a line, a disc, or the rectangle of its words."""
    match mark:
        case Stroke():
            if len(mark.points) == 1:
                return shapely.Point(mark.points[0])
            points = (*mark.points, mark.points[0]) if mark.closed else mark.points
            if mark.fill is not None and len(points) > 3:
                return shapely.Polygon(points)
            line: BaseGeometry = shapely.linestrings(points)
            return line
        case Ring():
            return shapely.Point(mark.centre).buffer(mark.radius)
        case Words():
            return outline(mark)


class Room:
    """A drawing being filled: its shapes so far, and the search for free places."""

    def __init__(self, marks: Iterable[Mark] = ()) -> None:
        self._shapes: list[BaseGeometry] = []
        self._tree: shapely.STRtree | None = None
        self.take(marks)

    def take(self, marks: Iterable[Mark]) -> None:
        """From now on nothing may touch these marks."""
        self.take_shapes([piece for mark in marks for piece in _pieces(mark)])

    def take_shapes(self, shapes: Iterable[BaseGeometry]) -> None:
        """From now on nothing may touch these shapes."""
        self._shapes.extend(item for item in shapes if not item.is_empty)
        self._tree = None

    def first(self, shapes: NDArray[np.object_], within: BaseGeometry | None = None) -> int | None:
        """Number of the first of the shapes that touches nothing and lies inside `within`."""
        for start in range(0, len(shapes), CHUNK):
            some = shapes[start : start + CHUNK]
            good = np.ones(len(some), dtype=bool)
            if within is not None:
                shapely.prepare(within)
                good = shapely.contains_properly(within, some)
            if good.any() and self._shapes:
                good[self._touching(some, good)] = False
            if good.any():
                return start + int(np.argmax(good))
        return None

    def first_box(self, boxes: NDArray[np.float64], within: BaseGeometry) -> int | None:
        """The same for (n, 4) boxes: left, bottom, right, top."""
        for start in range(0, len(boxes), CHUNK):
            found = self.first(shapely.box(*boxes[start : start + CHUNK].T), within)
            if found is not None:
                return start + found
        return None

    def _touching(self, shapes: NDArray[np.object_], which: NDArray[np.bool_]) -> NDArray[np.intp]:
        if self._tree is None:
            self._tree = shapely.STRtree(self._shapes)
        numbers = np.flatnonzero(which)
        hits = self._tree.query(shapes[numbers], predicate="intersects")[0]
        touching: NDArray[np.intp] = numbers[np.unique(hits)]
        return touching

    def free(self, wanted: BaseGeometry, within: BaseGeometry | None = None) -> bool:
        """True if the shape touches nothing and lies inside `within`."""
        return self.first(np.array([wanted], dtype=object), within) is not None

    def place(
        self, tries: Iterable[tuple[Words, ...]], within: BaseGeometry | None = None
    ) -> tuple[Words, ...]:
        """The first of the tries that is free with its clearance, and taken from now on; nothing if none is."""
        left = iter(tries)
        some = 1  # the first place is mostly free: look at one, then at more at a time
        while listed := list(islice(left, some)):
            shapes = np.array([outlines(words, CLEAR) for words in listed], dtype=object)
            found = self.first(shapes, within)
            if found is not None:
                self.take(listed[found])
                return listed[found]
            some = min(2 * some, CHUNK)
        return ()


def _pieces(mark: Mark) -> list[BaseGeometry]:
    """A mark's shape, long lines cut into short ones so that their boxes say something."""
    if not isinstance(mark, Stroke) or mark.fill is not None or len(mark.points) < 8:
        return [shape(mark)]
    points = (*mark.points, mark.points[0]) if mark.closed else mark.points
    return [shapely.linestrings(points[i : i + 7]) for i in range(0, len(points) - 1, 6)]
