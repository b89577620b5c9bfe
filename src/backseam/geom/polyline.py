"""Lines of points: running length, points at a length, directions, bends, and the exact parallel line.

A line is an (n, 2) array in mm, n >= 2, open unless `closed` says otherwise (then the first point is not
repeated). "Left" is the left hand of somebody who walks along the line. For the right stitch line, which
runs from the mouth down to the bottom edge, left is outward.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from backseam.geom.spline import spline
from backseam.ground.units import Mm, Radian

Array = NDArray[np.float64]
Line = NDArray[np.float64]

_BOW: Mm = 0.001  # an arc of a parallel line is drawn with chords that leave it by less than this
_ON: Mm = 1e-6  # two points nearer than this are one
_GAUSS = np.polynomial.legendre.leggauss(4)


def running_length(line: Line) -> Array:
    """Length along the line at each of its points, (n,), 0 at the first.

    >>> running_length(np.array([[0.0, 0.0], [3.0, 4.0], [3.0, 6.0]])).tolist()
    [0.0, 5.0, 7.0]
    """
    side = np.diff(line, axis=0)
    return np.concatenate([[0.0], np.cumsum(np.hypot(side[:, 0], side[:, 1]))])


def length(line: Line, *, closed: bool = False) -> Mm:
    """Length of the line; with `closed`, of the outline back to its first point."""
    whole = float(running_length(line)[-1])
    return whole + float(np.hypot(*(line[0] - line[-1]))) if closed else whole


def at_length(line: Line, distances: ArrayLike) -> Array:
    """Points (m, 2) that lie `distances` (m,) along the line from its first point; held at the ends beyond
    them.

    >>> at_length(np.array([[0.0, 0.0], [3.0, 4.0]]), [0.0, 2.5]).tolist()
    [[0.0, 0.0], [1.5, 2.0]]
    """
    along = running_length(line)
    s = np.atleast_1d(np.asarray(distances, dtype=float))
    return np.stack([np.interp(s, along, line[:, 0]), np.interp(s, along, line[:, 1])], axis=-1)


def headings(line: Line) -> Array:
    """Direction of the line at each of its points, (n,) radians from +x, continuous along it.

    At an inner point it is halfway between the two sides that meet there.
    """
    side = np.diff(line, axis=0)
    way = np.unwrap(np.arctan2(side[:, 1], side[:, 0]))
    return np.concatenate([way[:1], (way[:-1] + way[1:]) / 2, way[-1:]])


def heading_at(line: Line, distances: ArrayLike) -> Array:
    """Direction (m,), radians from +x, at `distances` (m,) along the line."""
    return np.asarray(np.interp(np.asarray(distances, dtype=float), running_length(line), headings(line)))


def normals(line: Line) -> Array:
    """Unit normals (n, 2) to the left of the line at each of its points.

    >>> normals(np.array([[10.0, 20.0], [10.0, 0.0]])).round(6).tolist()       # downward: left is +x
    [[1.0, 0.0], [1.0, 0.0]]
    """
    way = headings(line)
    return np.stack([-np.sin(way), np.cos(way)], axis=-1)


def turning(line: Line, *, closed: bool = False) -> Radian:
    """How far the line turns in all, counter-clockwise positive; 2 pi for a counter-clockwise outline."""
    points = np.concatenate([line, line[:2]]) if closed else line
    return float(np.sum(_turns(_sides(points)[1])))


def tightest_bend(line: Line, window: Mm) -> tuple[Mm, Mm]:
    """Smallest radius that the line keeps up over `window` of its length, and how far along that is (its
    middle).

    The radius is window / (turn over the window), so a small step aside, which turns back at once, does not
    count as a bend. A straight line gives infinity; a line shorter than the window is taken whole.

    >>> s = np.linspace(0.0, 1.5, 400)
    >>> radius, _ = tightest_bend(np.stack([20 * np.cos(s), 20 * np.sin(s)], axis=-1), 12.0)
    >>> round(radius, 2)
    20.0
    """
    along, way = running_length(line), headings(line)
    span = min(window, float(along[-1]))
    start = along[along <= along[-1] - span + _ON]
    turn = np.abs(np.interp(start + span, along, way) - np.interp(start, along, way))
    i = int(turn.argmax())
    radius = span / float(turn[i]) if turn[i] > 0 else float("inf")
    return radius, float(start[i]) + span / 2


def through(nodes: Line, step: Mm) -> Line:
    """A smooth dense line through nodes: cubic spline on the running chord, points at most `step` apart.

    Length of the spline by Gauss quadrature, so that its points are evenly spaced along the curve. Points
    are on the spline itself; the nodes need not be among them, the two ends are. Source: textbook. Tested:
    an arc of a circle.
    """
    chord = running_length(nodes)
    if len(nodes) == 2:
        return at_length(nodes, np.linspace(0.0, chord[-1], max(2, int(np.ceil(chord[-1] / step)) + 1)))
    curve = spline(chord, nodes)
    knots = np.linspace(chord[:-1], chord[1:], 4, endpoint=False, axis=-1).ravel()
    knots = np.append(knots, chord[-1])
    half = np.diff(knots)[:, None] / 2
    speed = np.linalg.norm(curve(knots[:-1, None] + half * (1 + _GAUSS[0]), 1), axis=-1)
    along = np.concatenate([[0.0], np.cumsum((speed * _GAUSS[1] * half).sum(axis=-1))])
    even = np.linspace(0.0, along[-1], int(np.ceil(along[-1] / step)) + 1)
    return np.asarray(curve(np.interp(even, along, knots)))


def mirrored(line: Line) -> Line:
    """The line mirrored at x = 0, in the same order."""
    return np.asarray(line * np.array([-1.0, 1.0]))


def distances_to(line: Line, points: ArrayLike) -> Array:
    """Shortest distance (m,) from each of the points (m, 2) to the open line."""
    return np.asarray(
        shapely.distance(shapely.points(np.asarray(points, dtype=float)), shapely.LineString(line))
    )


def without_repeats(line: Line, *, closed: bool = False) -> Line:
    """The line without points that lie on the one before; a closed one without its first point repeated."""
    keep = np.concatenate([[True], np.hypot(*np.diff(line, axis=0).T) > _ON])
    points = line[keep]
    if closed and len(points) > 1 and np.hypot(*(points[0] - points[-1])) <= _ON:
        points = points[:-1]
    return np.asarray(points)


def offset(line: Line, by: Mm, *, closed: bool = False) -> Line:
    """The parallel line at distance `by` to the left of the line (negative: to the right).

    Built point by point, not by a general buffer: on the hollow side neighbouring sides are shifted and met
    exactly, round the outside of a corner runs an arc about it. Where the line bends tighter than `by` on
    the hollow side the shifted line crosses itself; the loop is cut off at the crossing, so that no point
    is nearer than `by`.

        length = length of the line - by * turning            (as long as no loop had to be cut off)

    which for a convex outline is P + 2 pi d. Source: steiner-1840 (parallel curves). Tested: circle,
    rectangle, ellipse, an S-shaped step; distances measured with shapely.

    >>> square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
    >>> round(length(offset(square, -3.0, closed=True), closed=True), 2)       # 40 + 2 pi 3 = 58.85
    58.85
    """
    points = without_repeats(line, closed=closed)
    if by == 0 or len(points) < 2:
        return points
    chain = np.concatenate([points[-1:], points, points[:1]]) if closed else points
    size, way = _sides(chain)
    left = np.stack([-way[:, 1], way[:, 0]], axis=-1)
    turn = _turns(way)
    shifted = _corners(points if closed else points[1:-1], left, turn, by)
    if not closed:
        shifted = np.concatenate([points[:1] + by * left[:1], shifted, points[-1:] + by * left[-1:]])
    reach = by * np.tan(np.clip(turn, -3.0, 3.0) / 2)
    shrunk = size - np.append(np.maximum(reach, 0), 0.0) - np.insert(np.maximum(reach, 0), 0, 0.0)
    return _without_loops(shifted, points, abs(by), closed) if np.any(shrunk < 0) else shifted


def offset_length(line: Line, by: Mm, *, closed: bool = False) -> Mm:
    """Length that the parallel line must have if nothing was cut off: length - by * turning.

    For a convex counter-clockwise outline shifted outward by d (by = -d): P + 2 pi d. Source: steiner-1840.

    >>> square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
    >>> round(offset_length(square, -3.0, closed=True), 4)
    58.8496
    """
    return length(line, closed=closed) - by * turning(line, closed=closed)


def _sides(points: Line) -> tuple[Array, Array]:
    """Lengths (n - 1,) and unit directions (n - 1, 2) of the sides."""
    side = np.diff(points, axis=0)
    size = np.hypot(side[:, 0], side[:, 1])
    return size, side / np.where(size > 0, size, 1.0)[:, None]


def _turns(way: Array) -> Array:
    """Turn (n - 2,) at each inner point, radians, counter-clockwise positive."""
    cross = way[:-1, 0] * way[1:, 1] - way[:-1, 1] * way[1:, 0]
    return np.asarray(np.arctan2(cross, np.sum(way[:-1] * way[1:], axis=-1)))


def _corners(points: Line, left: Array, turn: Array, by: Mm) -> Line:
    """The shifted corners in order, an arc where the corner points to the side of the shift."""
    widest = 2 * np.arccos(max(0.0, 1 - _BOW / abs(by)))
    outside = -turn * np.sign(by)
    count = np.where(outside > widest, np.ceil(outside / widest).astype(int) + 1, 1)
    owner = np.repeat(np.arange(len(points)), count)
    rank = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = np.where(count[owner] > 1, rank / np.maximum(count[owner] - 1, 1), 0.0)
    start = np.arctan2(left[:-1, 1], left[:-1, 0])[owner]
    angle = start + share * turn[owner]
    arc = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    middle = left[:-1] + left[1:]
    mitre = middle / np.maximum(1 + np.sum(left[:-1] * left[1:], axis=-1), _ON)[:, None]
    return np.asarray(points[owner] + by * np.where((count[owner] > 1)[:, None], arc, mitre[owner]))


def _without_loops(shifted: Line, line: Line, by: Mm, closed: bool) -> Line:
    """Drop the points that came too near, and meet the two branches where they cross."""
    bare = shapely.LinearRing(line) if closed else shapely.LineString(line)
    shapely.prepare(bare)  # with the line first, each point is looked up in its index: eight times as fast
    near = np.asarray(shapely.dwithin(bare, shapely.points(shifted), by - 2 * _BOW))
    if near.all():
        return shifted
    if closed:
        first = int((~near).argmax())
        shifted, near = np.roll(shifted, -first, axis=0), np.roll(near, -first)
        shifted, near = np.concatenate([shifted, shifted[:1]]), np.append(near, False)
    kept = np.flatnonzero(~near)
    out = [shifted[kept[0]]]
    for a, b in pairwise(kept):
        if b > a + 1:
            out.append(_crossing(shifted[a], shifted[a + 1], shifted[b - 1], shifted[b]))
        out.append(shifted[b])
    return np.array(out[:-1] if closed else out)


def _crossing(a: Array, a_next: Array, b_before: Array, b: Array) -> Array:
    """Where the sides a to a_next and b_before to b cross; halfway between a and b if they are parallel."""
    p, q = a_next - a, b - b_before
    cross = p[0] * q[1] - p[1] * q[0]
    if abs(cross) < _ON**2:
        return np.asarray((a + b) / 2)
    gap = b_before - a
    share = (gap[0] * q[1] - gap[1] * q[0]) / cross
    return np.asarray(a + min(max(share, 0.0), 1.0) * p)
