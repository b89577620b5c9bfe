"""Lines of the piece: parallels outside the stitch line, parts between the edges, mirror images, the outline.

Right half unless said: side lines run from mouth to bottom, edges from the centre line outward.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import Mm
from backseam.pattern.upper import Line

Array = NDArray[np.float64]

_SCALLOP: Mm = 0.01  # how far the envelope of discs may stay behind the parallel curve
FINE: Mm = 0.25  # spacing of points on drawn lines


def outward(stitch: Line, by: Mm) -> Line:
    """The parallel curve `by` outside the right stitch line, drawn on straight beyond both ends.

    Where it would cross itself (a hollow narrower than `by`) the upper envelope of discs round the line is taken: what
    remains of the parallel curve, exact to 0.01 mm at the spacing used.
    """
    line = np.concatenate(
        [_drawn_on(stitch[0], stitch[1], by), stitch, _drawn_on(stitch[-1], stitch[-2], by)[::-1]]
    )
    way = np.gradient(line, axis=0)
    side = line + by * np.stack([-way[:, 1], way[:, 0]], axis=-1) / np.hypot(way[:, 0], way[:, 1])[:, None]
    if np.all(np.diff(side[:, 1]) < 0):
        return np.asarray(side)
    line = line[:: max(1, int(np.sqrt(8 * by * _SCALLOP) / FINE))]
    y = np.arange(line[0, 1] - by, line[-1, 1] + by, -2 * FINE)
    return np.stack([_envelope(line, by, y), y], axis=-1)


def _envelope(line: Line, by: Mm, y: Array) -> Array:
    """The furthest that any disc of radius `by` round the line's points reaches at heights y, evenly spaced downwards;
    each disc looks only at the heights it covers."""
    step = y[0] - y[1]
    reach = np.arange(-int(by / step) - 1, int(by / step) + 2)
    at = np.rint((y[0] - line[:, 1]) / step).astype(np.intp)[:, None] + reach
    inside = by**2 - (y[0] - at * step - line[:, 1:]) ** 2
    covered = (inside >= 0) & (at >= 0) & (at < len(y))
    x = np.full(len(y), -np.inf)
    np.maximum.at(x, at[covered], (line[:, :1] + np.sqrt(np.maximum(inside, 0.0)))[covered])
    return x


def _drawn_on(end: Array, before: Array, by: Mm) -> Line:
    """Points that continue a line straight beyond its end, furthest first."""
    step = (end - before) / np.hypot(*(end - before))
    return np.asarray(end + np.linspace(2.5 * by + 5, FINE, 40)[:, None] * step)


def between(line: Line, top: Line, bottom: Line) -> Line:
    """The part of a side line between mouth edge and bottom edge, ends put exactly on them; mouth to bottom."""
    above = line[:, 1] - np.interp(line[:, 0], top[:, 0], top[:, 1])
    below = line[:, 1] - np.interp(line[:, 0], bottom[:, 0], bottom[:, 1])
    keep = (above < 0) & (below > 0)
    i, j = int(keep.argmax()), len(keep) - int(keep[::-1].argmax()) - 1
    start = line[i - 1] + above[i - 1] / (above[i - 1] - above[i]) * (line[i] - line[i - 1])
    end = line[j] + below[j] / (below[j] - below[j + 1]) * (line[j + 1] - line[j])
    return np.concatenate([start[None], line[i : j + 1], end[None]])


def until(edge: Line, x: Mm) -> Line:
    """The edge from the centre line to x."""
    inner = edge[edge[:, 0] < x]
    return np.concatenate([inner, [[x, np.interp(x, edge[:, 0], edge[:, 1])]]])


def both(right: Line) -> Line:
    """Left to right: the mirror image, then the right half."""
    return np.concatenate([(right * (-1, 1))[:0:-1], right])


def outline(mouth: Line, bottom: Line, cut: Line, turn_in: Mm, inside: Mm) -> tuple[Line, Line]:
    """The flap, and the whole outline with it, counter-clockwise. The flap is the piece mirrored at the fold, a little
    inside it; the fold itself is no part of the outline."""
    base = both(until(bottom, cut[-1, 0]))
    if turn_in == 0:
        return np.zeros((0, 2)), np.concatenate(
            [base, cut[-2::-1], both(until(mouth, cut[0, 0]))[-2::-1], (cut * (-1, 1))[1:-1]]
        )
    corner = cut[0]
    depth = corner[1] - cut[:, 1]
    side = cut[(depth > 0) & (depth < turn_in)]
    last = np.array([np.interp(turn_in, depth, cut[:, 0]), corner[1] - turn_in])
    mirrored = np.concatenate([corner[None], side, last[None]]) - (inside, 0)
    mirrored[:, 1] = 2 * np.interp(mirrored[:, 0], mouth[:, 0], mouth[:, 1]) - mirrored[:, 1]
    mirrored[-1, 1] = np.interp(mirrored[-1, 0], mouth[:, 0], mouth[:, 1]) + turn_in
    top = until(mouth, mirrored[-1, 0]) + np.array([0.0, turn_in])
    up = np.concatenate([mirrored[:-1], both(top)[::-1], (mirrored * (-1, 1))[-2::-1]])
    foot = np.concatenate([(mirrored[:1] * (-1, 1)), both(until(mouth, mirrored[0, 0]))[1:-1]])
    return np.concatenate([foot, up[:-1]]), np.concatenate([base, cut[-2::-1], up, (cut * (-1, 1))[:-1]])


def x_at(line: Line, y: Mm) -> Mm:
    """x of a line that runs downwards, at y; drawn on straight beyond its ends."""
    up = line[::-1]
    if y > up[-1, 1]:
        a, b = up[-2], up[-1]
    elif y < up[0, 1]:
        a, b = up[1], up[0]
    else:
        return float(np.interp(y, up[:, 1], up[:, 0]))
    return float(b[0] + (y - b[1]) * (b[0] - a[0]) / (b[1] - a[1]))
