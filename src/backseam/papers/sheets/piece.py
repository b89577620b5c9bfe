"""The lines of the flat piece, each in its role, and the areas that words may stand in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import cos, sin

import numpy as np
import shapely
from shapely import Polygon

from backseam.ground.units import Mm, Radian
from backseam.papers.model import Mark, Point, Ring, Role, Stroke, segment, stroke
from backseam.pattern.construction import Construction
from backseam.pattern.hanger import HangerPlan
from backseam.pattern.seam import Hole, Seam
from backseam.pattern.upper import Line, Upper

# How marks are drawn, mm on paper.
CENTRE_BEYOND: Mm = 4.0  # the centre line past the edges
TICK: Mm = 3.0
TICK_GAP: Mm = 0.8  # from the glue band
CROSS_BEYOND: Mm = 1.0  # arms of a punch's cross past its circle
HAND_DOT: Mm = 0.5  # radius
SIMPLER: Mm = 0.02  # corners left out of the areas for words
HAND_APART: Mm = 0.4  # nearer than this two lines are one on paper


@dataclass(frozen=True)
class Areas:
    """The piece's regions as polygons; `wall` is what lies between the stitch lines, below the mouth."""

    upper: Upper

    @cached_property
    def piece(self) -> Polygon:
        """All that is cut out."""
        return _area(self.upper.cut)

    @cached_property
    def wall(self) -> Polygon:
        """Stitch line to stitch line, mouth to bottom."""
        return _area(self.upper.stitch_right, self.upper.bottom[::-1], self.upper.stitch_left[::-1])

    def half(self, side: int) -> Polygon:
        """The wall on one side of the centre line, -1 left, +1 right."""
        return self._right if side > 0 else self._left

    @cached_property
    def _left(self) -> Polygon:
        return self.wall.intersection(self.beside_centre(-1))

    @cached_property
    def _right(self) -> Polygon:
        return self.wall.intersection(self.beside_centre(1))

    def beside_centre(self, side: int) -> Polygon:
        """Everything on one side of the centre line."""
        left, bottom, right, top = self.piece.bounds
        return shapely.box(0.0, bottom, right, top) if side > 0 else shapely.box(left, bottom, 0.0, top)

    @cached_property
    def flap(self) -> Polygon:
        """The part turned in, above the mouth; empty if plain."""
        left, _, right, top = self.piece.bounds
        fold = self.upper.fold[np.argsort(self.upper.fold[:, 0])]
        above = np.vstack([(left, fold[0, 1]), fold, (right, fold[-1, 1]), (right, top + 1), (left, top + 1)])
        return self.piece.intersection(Polygon(above).buffer(0)) if len(self.upper.flap) else Polygon()

    def glue(self, side: int) -> Polygon:
        """The glue band of one side."""
        inner, outer = self.seam_lines(side)
        return _area(inner, outer[::-1]).intersection(self.piece)

    def clamp(self, side: int) -> Polygon:
        """What lies outside the glue band, down from the mouth."""
        _, outer = self.seam_lines(side)
        left, _, right, _ = self.piece.bounds
        far = (right if side > 0 else left) + side
        ends = np.array([(far, outer[-1, 1]), (far, outer[0, 1])])
        beyond = _area(outer, ends)
        return self.piece.intersection(beyond).difference(self.flap)

    def seam_lines(self, side: int) -> tuple[Line, Line]:
        """Stitch line and outer border of the glue band, mouth to bottom."""
        u = self.upper
        return (u.stitch_right, u.glue_right) if side > 0 else (u.stitch_left, u.glue_left)


def _area(*lines: Line) -> Polygon:
    """The polygon round some lines, without corners that no eye sees: words are placed by it, nothing is cut by it."""
    return Polygon(np.vstack(lines)).simplify(SIMPLER).buffer(0)


def along(line: Line, point: Point) -> Mm:
    """How far along a line, from its start, the foot of a point lies."""
    return float(shapely.line_locate_point(shapely.LineString(line), shapely.Point(point)))


def normal(line: Line, at: Mm, side: int) -> tuple[Point, Point]:
    """The point of a line at a distance from its start, and the unit vector outward there (away from the centre)."""
    curve = shapely.LineString(line)
    reach = min(2.0, curve.length / 4)
    a, b = (curve.interpolate(min(max(at + d, 0.0), curve.length)) for d in (-reach, reach))
    here = curve.interpolate(at)
    dx, dy = b.x - a.x, b.y - a.y
    size = float(np.hypot(dx, dy))
    n = (-dy / size, dx / size)
    if n[0] * side < 0:
        n = (-n[0], -n[1])
    return (here.x, here.y), n


def lines(upper: Upper, seam: Seam, hanger: HangerPlan, construction: Construction) -> tuple[Mark, ...]:
    """Every line of the piece without its hatching and words, the cut first."""
    return (
        stroke(upper.cut, Role.CUT, closed=True, why="cut"),
        *_long_lines(upper),
        *hand_lines(upper),
        *_edge_lines(upper),
        *slits(seam.left, construction.stitching.awl, "left"),
        *slits(seam.right, construction.stitching.awl, "right"),
        *punches(hanger),
        *_ticks(upper),
        *_snips(upper, construction),
    )


def _long_lines(upper: Upper) -> Iterator[Mark]:
    yield stroke(upper.stitch_left, Role.STITCH, why="stitch line, left")
    yield stroke(upper.stitch_right, Role.STITCH, why="stitch line, right")
    yield stroke(upper.trim_left, Role.TRIM, why="trim, left")
    yield stroke(upper.trim_right, Role.TRIM, why="trim, right")
    yield stroke(upper.glue_left, Role.GLUE, why="glue band, left")
    yield stroke(upper.glue_right, Role.GLUE, why="glue band, right")
    bottom, top = float(upper.cut[:, 1].min()), float(upper.cut[:, 1].max())
    yield segment((0.0, top + CENTRE_BEYOND), (0.0, bottom - CENTRE_BEYOND), Role.CENTRE, "centre line")


def hand_lines(upper: Upper) -> Iterator[Mark]:
    """The maker's own line and its dots, both sides, where the eye can tell them from the stitch line."""
    for side, stitch in ((-1.0, upper.stitch_left), (1.0, upper.stitch_right)):
        near = shapely.LineString(stitch).buffer(HAND_APART)
        dots = upper.hand.dots * (side, 1.0)
        joined = shapely.LineString(dots) if len(dots) > 1 else shapely.LineString()
        for part in shapely.get_parts(joined.difference(near)):
            if not part.is_empty:
                yield stroke(part.coords, Role.HAND, why="hand line")
        for x, y in dots:
            if not near.contains(shapely.Point(x, y)):
                yield Ring((float(x), float(y)), HAND_DOT, Role.HAND, 1.0, "hand line, dot")


def _edge_lines(upper: Upper) -> Iterator[Mark]:
    if len(upper.flap):
        yield stroke(upper.fold, Role.FOLD, why="fold")
    if len(upper.flap_end):
        yield stroke(upper.flap_end, Role.HIDDEN, why="flap's end, inside")
    if len(upper.skive):
        yield stroke(upper.skive, Role.SKIVE, why="skive")
    for press in upper.press:
        yield stroke(press.line, Role.PRESS, why=press.name)


def slits(holes: tuple[Hole, ...], awl: Mm, side: str) -> Iterator[Stroke]:
    """Each hole as the slit of the awl: as long as its blade is wide, in its slant."""
    for hole in holes:
        a, b = ends((hole.x, hole.y), hole.slit, awl)
        yield segment(a, b, Role.SLIT, f"hole {hole.number} {side}")


def ends(middle: Point, direction: Radian, length: Mm) -> tuple[Point, Point]:
    """Lower and upper end of a slit.

    >>> [tuple(round(v, 1) for v in end) for end in ends((10.0, 5.0), 0.0, 2.0)]
    [(9.0, 5.0), (11.0, 5.0)]
    """
    x, y = middle
    dx, dy = length / 2 * cos(direction), length / 2 * sin(direction)
    return (x - dx, y - dy), (x + dx, y + dy)


def punches(hanger: HangerPlan) -> Iterator[Mark]:
    """Round holes with their centre crosses; slits with a round hole at each end."""
    for hole in hanger.holes:
        where = f"hanger hole {hole.row} {'left' if hole.side < 0 else 'right'}"
        yield Ring((hole.x, hole.y), hole.diameter / 2, Role.PUNCH, why=where)
        yield from cross((hole.x, hole.y), hole.diameter / 2 + CROSS_BEYOND)
    for slit in hanger.slits:
        where = f"hanger slit {'left' if slit.side < 0 else 'right'}"
        yield segment((slit.x1, slit.y1), (slit.x2, slit.y2), Role.CUT, where)
        for x, y in ((slit.x1, slit.y1), (slit.x2, slit.y2)):
            yield Ring((x, y), slit.end_diameter / 2, Role.PUNCH, why=where)
            yield from cross((x, y), slit.end_diameter / 2 + CROSS_BEYOND)


def cross(at: Point, arm: Mm) -> Iterator[Stroke]:
    """Two narrow lines through a centre."""
    x, y = at
    yield segment((x - arm, y), (x + arm, y), Role.LEADER)
    yield segment((x, y - arm), (x, y + arm), Role.LEADER)


def tick_ends(upper: Upper, point: Point, side: int) -> tuple[Point, Point]:
    """A station's tick: square to the stitch line, just outside the glue band."""
    line, glue = (upper.stitch_right, upper.glue_right) if side > 0 else (upper.stitch_left, upper.glue_left)
    _, n = normal(line, along(line, point), side)
    out = float(shapely.distance(shapely.LineString(glue), shapely.Point(point))) + TICK_GAP
    return (
        (point[0] + out * n[0], point[1] + out * n[1]),
        (point[0] + (out + TICK) * n[0], point[1] + (out + TICK) * n[1]),
    )


def _ticks(upper: Upper) -> Iterator[Stroke]:
    for tick in upper.ticks:
        for side, point in ((-1, tick.left), (1, tick.right)):
            a, b = tick_ends(upper, point, side)
            yield segment(a, b, Role.TICK, f"station {tick.station:.1f} {tick.name}".strip())


def snip_points(upper: Upper) -> tuple[tuple[Point, int], ...]:
    """Where to snip, on both flanges: the piece is mirrored, whichever side was listed."""
    heights = sorted({(round(abs(x), 3), round(y, 3)) for x, y in upper.snips}, key=lambda p: -p[1])
    return tuple(((side * x, y), side) for x, y in heights for side in (-1, 1))


def _snips(upper: Upper, construction: Construction) -> Iterator[Stroke]:
    """Each snip from the cut edge inward, ending a little outside the glue band."""
    for point, side in snip_points(upper):
        line = upper.stitch_right if side > 0 else upper.stitch_left
        at, n = normal(line, along(line, point), side)
        inner, outer = construction.flange.glue + TICK_GAP, construction.flange.clamp
        yield segment(
            (at[0] + outer * n[0], at[1] + outer * n[1]),
            (at[0] + inner * n[0], at[1] + inner * n[1]),
            Role.SNIP,
            "snip",
        )
