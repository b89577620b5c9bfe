"""What of a drawing lies inside a rectangle: exact, mark by mark, nothing moved.

Points inside keep their coordinates bit by bit; only where a line crosses an edge is a new point set on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from math import acos, ceil, cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import Mm
from backseam.papers.model import Box, Mark, Point, Ring, Stroke, Words, mark_box

FLATNESS: Mm = 0.0005  # a cut circle becomes a polyline that leaves it by no more than this


def holds(box: Box, inner: Box) -> bool:
    """True if the inner box lies wholly in the box, edges included."""
    return (
        box.left <= inner.left
        and box.bottom <= inner.bottom
        and inner.right <= box.right
        and inner.top <= box.top
    )


def clip(mark: Stroke | Ring, box: Box) -> Iterator[Mark]:
    """The parts of a stroke or circle inside the box. A filled one stays an area; a line may fall apart."""
    around = mark_box(mark)
    if holds(box, around):
        yield mark
    elif around.meets(box):
        line = mark if isinstance(mark, Stroke) else _as_stroke(mark)
        yield from _area(line, box) if line.fill is not None else _line(line, box)


def inside(box: Box, mark: Mark) -> bool:
    """True if some of the mark lies in the box; of text, its anchor."""
    if isinstance(mark, Words):
        return box.left <= mark.at[0] < box.right and box.bottom <= mark.at[1] < box.top
    return next(clip(mark, box), None) is not None


def _as_stroke(ring: Ring) -> Stroke:
    """A circle as a closed polyline; with n sides it leaves the circle by r (1 - cos(pi / n))."""
    count = max(12, ceil(pi / acos(1 - min(FLATNESS / ring.radius, 1.0))))
    (x, y), r = ring.centre, ring.radius
    turns = [2 * pi * i / count for i in range(count)]
    return Stroke(
        tuple((x + r * cos(t), y + r * sin(t)) for t in turns), ring.role, True, ring.fill, ring.why
    )


def _line(mark: Stroke, box: Box) -> Iterator[Stroke]:
    points = mark.points + mark.points[:1] if mark.closed else mark.points
    pieces = list(_pieces(points, box))
    if mark.closed and len(pieces) > 1 and pieces[-1][-1] == pieces[0][0]:
        pieces[0] = pieces.pop()[:-1] + pieces[0]  # the start of a closed line is no end of it
    for piece in pieces:
        yield replace(mark, points=tuple(piece), closed=False)


def _pieces(points: tuple[Point, ...], box: Box) -> Iterator[list[Point]]:
    """The runs of a polyline inside the box."""
    run: list[Point] = []
    for a, b in pairwise(points):
        part = _segment(a, b, box)
        if part is None:
            continue
        start, end = part
        if run and run[-1] == start:
            run.append(end)
        else:
            if run:
                yield run
            run = [start, end]
        if end != b:
            yield run
            run = []
    if run:
        yield run


def _segment(a: Point, b: Point, box: Box) -> tuple[Point, Point] | None:
    """The part of a straight line inside the box, by the parameters at which it crosses the four edges.

    Source: liang-barsky-1984. None if it stays outside or only touches in a point.
    """
    (x, y), dx, dy = a, b[0] - a[0], b[1] - a[1]
    enter, leave = 0.0, 1.0
    for step, gap in ((-dx, x - box.left), (dx, box.right - x), (-dy, y - box.bottom), (dy, box.top - y)):
        if step == 0:
            if gap < 0:
                return None
        elif step < 0:
            enter = max(enter, gap / step)
        else:
            leave = min(leave, gap / step)
    if enter >= leave:
        return None
    start = a if enter == 0 else _onto((x + enter * dx, y + enter * dy), box)
    end = b if leave == 1 else _onto((x + leave * dx, y + leave * dy), box)
    return start, end


def lengths_inside(lines: NDArray[np.float64], box: Box) -> NDArray[np.float64]:
    """How many mm of each of many straight lines, (n, 2, 2) from and to, lie inside the box; as `clip` cuts them."""
    start, way = lines[:, 0], lines[:, 1] - lines[:, 0]
    gaps = np.column_stack([start - (box.left, box.bottom), (box.right, box.top) - start])
    steps = np.column_stack([-way, way])
    with np.errstate(divide="ignore", invalid="ignore"):
        at = gaps / steps
    enter = np.where(steps < 0, at, 0.0).max(1, initial=0.0)
    leave = np.where(steps > 0, at, 1.0).min(1, initial=1.0)
    outside = ((steps == 0) & (gaps < 0)).any(1)
    share = np.where(outside, 0.0, np.maximum(leave - enter, 0.0))
    lengths: NDArray[np.float64] = share * np.hypot(way[:, 0], way[:, 1])
    return lengths


def _onto(point: Point, box: Box) -> Point:
    """Rounding must not leave a crossing outside the box."""
    return min(max(point[0], box.left), box.right), min(max(point[1], box.bottom), box.top)


def _area(mark: Stroke, box: Box) -> Iterator[Stroke]:
    """A filled outline cut by one edge after the other. Source: sutherland-hodgman-1974."""
    points = list(mark.points)
    for axis, limit, keep_low in (
        (0, box.left, False),
        (0, box.right, True),
        (1, box.bottom, False),
        (1, box.top, True),
    ):
        points = _half_plane(points, axis, limit, keep_low)
        if len(points) < 3:
            return
    yield replace(mark, points=tuple(points), closed=True)


def _half_plane(points: list[Point], axis: int, limit: Mm, keep_low: bool) -> list[Point]:
    out: list[Point] = []
    for a, b in zip(points, points[1:] + points[:1], strict=True):
        a_in, b_in = (p[axis] <= limit if keep_low else p[axis] >= limit for p in (a, b))
        if a_in:
            out.append(a)
        if a_in != b_in:
            share = (limit - a[axis]) / (b[axis] - a[axis])
            cross = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
            cross[axis] = limit
            out.append((cross[0], cross[1]))
    return out
