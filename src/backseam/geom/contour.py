"""Lines of one height over a grid of nodes, in the plane or in space."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def contours(points: Array, values: Array, level: float) -> list[Array]:
    """The lines on which `values` (rows, columns), given at `points` (rows, columns, d), reach a level; each (n, d).

    Straight between two sides of a triangle, two triangles a cell; closed lines end where they begin, open ones on
    the grid's edge. Exact for values that are linear over a cell. Source: textbook (marching triangles). Tested: a
    plane, circles, every line level along its length.

    >>> x, y = np.meshgrid(np.arange(3.0), np.arange(2.0))
    >>> line, = contours(np.stack([x, y], axis=-1), x, 0.5)
    >>> sorted(line[:, 0].tolist())
    [0.5, 0.5, 0.5]
    """
    rows, columns = values.shape
    flat = np.where(values == level, np.nextafter(level, np.inf), values).ravel() - level
    node = np.arange(rows * columns).reshape(rows, columns)
    a, b, c, d = (v.ravel() for v in (node[:-1, :-1], node[:-1, 1:], node[1:, 1:], node[1:, :-1]))
    triangles = np.concatenate([np.stack([a, b, c], axis=-1), np.stack([a, c, d], axis=-1)])
    above = flat[triangles] > 0
    triangles = triangles[above.any(axis=1) & ~above.all(axis=1)]
    sides = np.sort(triangles[:, [[0, 1], [1, 2], [2, 0]]], axis=2)
    crossed = (flat[sides[..., 0]] > 0) != (flat[sides[..., 1]] > 0)
    pairs = sides[crossed].reshape(-1, 2, 2)
    at = points.reshape(rows * columns, -1)
    return [_placed(chain, flat, at) for chain in _chains(pairs)]


def _chains(pairs: NDArray[np.intp]) -> list[list[tuple[int, int]]]:
    """Pieces (crossed side to crossed side) joined end to end; open ones first, from an end."""
    joined: dict[tuple[int, int], list[tuple[int, int]]] = defaultdict(list)
    for one, other in pairs.tolist():
        joined[tuple(one)].append(tuple(other))
        joined[tuple(other)].append(tuple(one))
    ends = [side for side, others in joined.items() if len(others) == 1]
    chains, used = [], set()
    for start in [*ends, *joined]:
        if start in used:
            continue
        chain, here = [start], start
        used.add(start)
        while following := [side for side in joined[here] if side not in used]:
            here = following[0]
            used.add(here)
            chain.append(here)
        if len(joined[start]) == 2 and len(chain) > 2:
            chain.append(start)
        chains.append(chain)
    return [chain for chain in chains if len(chain) > 1]


def _placed(chain: list[tuple[int, int]], value: Array, at: Array) -> Array:
    low, high = np.array(chain).T
    share = value[low] / (value[low] - value[high])
    return np.asarray(at[low] + share[:, None] * (at[high] - at[low]))
