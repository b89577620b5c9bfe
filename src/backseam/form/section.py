"""Convex sections by support function, a whole batch at once.

A section is the hull of the form at a station, in its own frame: a across (side to side), b from the front (-) to the
seam (+). phi is the angle of the outward normal from the seam direction: n = (sin phi, cos phi). Sections are the same
left and right, so only phi in [0, pi] is kept. Mixtures of bodies add their support functions with weights: perimeters
add with the same weights, and convexity is kept (Minkowski sum).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import Mm

Array = NDArray[np.float64]

NORMALS = 181  # over [0, pi]; arcs between them are taken to fourth order (see fillet), so girths stay exact
FLAT = 1e-9  # rad: a flat shows as two normals this far apart


class Body(Protocol):
    """A batch of n convex bodies, mirror-symmetric in a."""

    def points(self, phi: Array) -> Array:
        """Boundary points (n, m, 2) whose outward normals have the angles phi (n, m)."""
        ...

    def perimeter(self) -> Array:
        """(n,) mm, exact."""
        ...

    def flats(self) -> Array:
        """(n, k): normals in [0, pi] of flat sides."""
        ...


@dataclass(frozen=True)
class Oval:
    """Two half ellipses of one half width a; back: half depth towards the seam, front: towards the front. (n,) each.

    The box is centred: b runs from -(back + front)/2 to +(back + front)/2. back = front is an ellipse.
    """

    a: Array
    back: Array
    front: Array

    def points(self, phi: Array) -> Array:
        """Normal-angle parametrisation p = (a^2 sin, B^2 cos)/sqrt(a^2 sin^2 + B^2 cos^2), exact."""
        s, c = np.sin(phi), np.cos(phi)
        a2 = self.a[:, None] ** 2
        b2 = np.where(c >= 0, self.back[:, None], self.front[:, None]) ** 2
        root = np.sqrt(a2 * s**2 + b2 * c**2)
        middle = (self.front - self.back)[:, None] / 2
        return np.stack([a2 * s / root, middle + b2 * c / root], axis=-1)

    def perimeter(self) -> Array:
        """Half of each ellipse's perimeter, by the complete elliptic integral."""
        return (ellipse_perimeter(self.a, self.back) + ellipse_perimeter(self.a, self.front)) / 2

    def flats(self) -> Array:
        """None."""
        return np.zeros((len(self.a), 0))


@dataclass(frozen=True)
class Polygon:
    """Convex polygons, vertices (n, m, 2) clockwise seen with b up, the first `right` of them those with a >= 0."""

    vertices: Array
    right: int

    def points(self, phi: Array) -> Array:
        """The vertex that lies furthest along the normal: from one to the next where a side's normal is passed."""
        corner = np.zeros(phi.shape, dtype=np.intp)
        for normal in self.sides.T:
            corner += phi > normal[:, None]
        return self.vertices[np.arange(len(phi))[:, None], corner]

    def perimeter(self) -> Array:
        """Sum of the sides (vertices in order)."""
        side = self.vertices - np.roll(self.vertices, 1, axis=1)
        return np.asarray(np.hypot(side[..., 0], side[..., 1]).sum(axis=1))

    def flats(self) -> Array:
        """Normals of the sides between the right-hand corners."""
        return self.sides

    @cached_property
    def sides(self) -> Array:
        """Those normals, ascending (corners that are one share a normal); asked for many times, so kept."""
        side = np.diff(self.vertices[:, : self.right], axis=1)
        normal = np.arctan2(-side[..., 1], side[..., 0])
        normal = np.where(np.hypot(side[..., 0], side[..., 1]) > 1e-9, normal, 0.0)
        return np.asarray(np.maximum.accumulate(normal, axis=1))


@dataclass(frozen=True)
class Grown:
    """A body grown by a radius (n,) all round: a polygon with rounded arrises."""

    core: Body
    radius: Array

    def points(self, phi: Array) -> Array:
        """Core point plus radius along the normal."""
        normal = np.stack([np.sin(phi), np.cos(phi)], axis=-1)
        return np.asarray(self.core.points(phi) + self.radius[:, None, None] * normal)

    def perimeter(self) -> Array:
        """Steiner: plus 2 pi radius."""
        return np.asarray(self.core.perimeter() + 2 * np.pi * self.radius)

    def flats(self) -> Array:
        """Those of the core."""
        return self.core.flats()


@dataclass(frozen=True)
class Sections:
    """A batch of n sections: weighted bodies. weights sum to 1 in each section."""

    parts: tuple[tuple[Array, Body], ...]

    def points(self, phi: Array) -> Array:
        """Boundary points (n, m, 2) at normals phi (n, m)."""
        return np.asarray(sum(w[:, None, None] * body.points(phi) for w, body in self.parts))

    @property
    def girth(self) -> Array:
        """(n,) mm, exact."""
        return np.asarray(sum(w * body.perimeter() for w, body in self.parts))

    def normals(self) -> Array:
        """(n, m) ascending grid of normals over [0, pi], each flat met from both sides."""
        n = len(self.parts[0][0])
        grid = np.broadcast_to(np.linspace(0.0, np.pi, NORMALS), (n, NORMALS))
        flats = [body.flats() for _, body in self.parts]
        pairs = [np.clip(f + shift, 0.0, np.pi) for f in flats for shift in (-FLAT, FLAT)]
        return np.sort(np.concatenate([grid, *pairs], axis=1), axis=1)

    def areas(self) -> Array:
        """(n,) mm2 of the polygon through the points at the normals: twice the right half's, strip by strip."""
        x, y = np.moveaxis(self.points(self.normals()), -1, 0)
        return np.asarray(np.abs(((x[:, 1:] + x[:, :-1]) * np.diff(y, axis=1)).sum(axis=1)))

    def outline(self, i: int) -> Array:
        """(m, 2) closed outline of section i, counter-clockwise seen with b up, not repeated."""
        right = self.points(self.normals())[i]
        left = right[::-1] * (-1, 1)
        return np.concatenate([right[::-1], left[::-1]])


def ellipse_perimeter(a: Array, b: Array) -> Array:
    """Perimeter of an ellipse with half axes a, b: the complete elliptic integral 4 A E(k), by the arithmetic-geometric
    mean: 2 pi (A^2 - sum of 2^(n-1) c_n^2) / M(a, b), c_0^2 = A^2 - B^2.

    Exact: six steps reach rounding for any a/b up to 1e3. Source: dlmf-19. Tested against scipy's integral.

    >>> float(round(ellipse_perimeter(np.array([15.0]), np.array([11.0]))[0], 2))
    82.17
    """
    mean, other = np.maximum(a, b).astype(float), np.minimum(a, b).astype(float)
    total = mean**2 - (mean**2 - other**2) / 2
    weight = 1.0
    for _ in range(6):
        half_gap = (mean - other) / 2
        mean, other = (mean + other) / 2, np.sqrt(mean * other)
        total = total - weight * half_gap**2
        weight *= 2
    return np.asarray(2 * np.pi * total / mean)


def box(width: Array, depth: Array) -> Polygon:
    """Rectangles, the largest convex body of that width and depth."""
    return _polygon(width, depth, [(1, 1), (1, -1), (-1, -1), (-1, 1)], 2)


def rhombus(width: Array, depth: Array) -> Polygon:
    """Rhombi, the smallest convex body of that width and depth."""
    return _polygon(width, depth, [(0, 1), (1, 0), (0, -1), (-1, 0)], 3)


def octagon(width: Array, depth: Array, corner: Array, arris: Array) -> Grown:
    """Rectangles with 45-degree corners of leg `corner`, arrises rounded with radius `arris` (all (n,), mm).

    Perimeter without rounding: 2 (width + depth) - (4 - 2 sqrt 2) corner. Rounding keeps width, depth and the
    facets where they are: the core is the octagon drawn in by the radius.
    """
    w, d = width / 2 - arris, depth / 2 - arris
    leg = np.clip(corner - (2 - np.sqrt(2)) * arris, 0.0, np.minimum(w, d) * (1 - 1e-9))
    right = [(w - leg, d), (w, d - leg), (w, leg - d), (w - leg, -d)]
    left = [(-x, y) for x, y in reversed(right)]
    return Grown(Polygon(np.stack([np.stack(p, axis=-1) for p in right + left], axis=1), 4), arris)


def polygon(points: Array, width: Array, depth: Array) -> Polygon:
    """The hull of one outline (m, 2), made the same left and right, stretched to each width and depth."""
    from shapely import MultiPoint  # loaded only for a free section: most jobs need none

    both = np.concatenate([points, points * (-1, 1)])
    centred = both - (both.max(axis=0) + both.min(axis=0)) / 2
    unit = centred / np.abs(centred).max(axis=0)
    hull = np.array(MultiPoint(unit).convex_hull.exterior.coords)[:-1]
    right = hull[hull[:, 0] >= -1e-12]
    right = right[np.argsort(np.arctan2(right[:, 0], right[:, 1]))]  # from the seam side round to the front
    left = (right[right[:, 0] > 1e-12] * (-1, 1))[::-1]
    return _polygon(width, depth, np.concatenate([right, left]).tolist(), len(right))


def _polygon(width: Array, depth: Array, corners: list[tuple[float, float]], right: int) -> Polygon:
    at = np.array(corners, dtype=float)
    size = np.stack([width, depth], axis=-1) / 2
    return Polygon(at[None] * size[:, None], right)


def fitted(
    base: tuple[tuple[Array, Body], ...], width: Array, depth: Array, girth: Array
) -> tuple[Sections, Array]:
    """Sections of that width, depth and girth at once: the base shape mixed with the box or the rhombus.

    Support functions mix linearly and so do girths, so the weight is a quotient. Returns the sections and the signed
    weight (n,): towards the box positive, towards the rhombus negative, within -1..1; a girth out of reach is cut to
    the nearest that a convex section can have.
    """
    own = np.asarray(sum(w * body.perimeter() for w, body in base))
    least, most = possible_girths(width, depth)
    up = np.clip((girth - own) / np.maximum(most - own, 1e-12), 0.0, 1.0)
    down = np.clip((own - girth) / np.maximum(own - least, 1e-12), 0.0, 1.0)
    keep = 1 - up - down
    parts = (
        *((w * keep, body) for w, body in base),
        (up, box(width, depth)),
        (down, rhombus(width, depth)),
    )
    return Sections(tuple((w, b) for w, b in parts if np.any(w > 0))), up - down


def possible_girths(width: Array, depth: Array) -> tuple[Array, Array]:
    """Least and most girth that a convex section of that width and depth can have: of the rhombus and of the box.

    >>> [float(x) for x in possible_girths(np.array(4.0), np.array(3.0))]
    [10.0, 14.0]
    """
    return 2 * np.hypot(width, depth), 2 * (width + depth)


def own_girth(base: tuple[tuple[Array, Body], ...]) -> Array:
    """Girth of the base shape alone, (n,) mm."""
    return np.asarray(sum(w * body.perimeter() for w, body in base))


def round_girth(width: Mm, depth: Mm) -> Mm:
    """Girth of the ellipse of that width and depth."""
    return float(ellipse_perimeter(np.array([width / 2]), np.array([depth / 2]))[0])
