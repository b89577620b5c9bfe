"""Small drawings of how each leather test is done, each in a frame WIDE x HIGH, lower left at (0, 0). Not to scale."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import cos, pi, radians, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Mark, Point, Ring, Role, Stroke, segment, stroke
from backseam.papers.sheets.drafting import arc, arrow, arrow_head, dimension, section, text
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.lettering import NOTE

Line = NDArray[np.float64]

WIDE: Mm = 60.0
HIGH: Mm = 40.0
LEATHER: Mm = 2.2  # thickness of leather in these pictures
GROUND: Mm = 2.0  # depth of the hatching under a table
MARKS: dict[str, Mm] = {"mm": 100.0, "inch": 101.6}  # between two marks of a real strip
ROD: dict[str, Mm] = {"mm": 30.0, "inch": 31.75}  # a real one


def ring(speech: Speech) -> tuple[Mark, ...]:
    """The handle with the sewn ring on it; beside it the ring from above with a rolled strip of paper inside."""
    left, right = _handle(12.0)
    low, high = 17.0, 25.0
    marks: list[Mark] = [*_both(left, right)]
    band = [(_at(left, low) - 1.4, low), (_at(right, low) + 1.4, low), (_at(right, high) + 1.4, high)]
    band.append((_at(left, high) - 1.4, high))
    marks += [Stroke(tuple(band), Role.PIECE, True, 0.0), Stroke(tuple(band), Role.CUT, True)]
    flange = ((_at(right, low) + 1.4, low), (24.0, low), (24.0, high), (_at(right, high) + 1.4, high))
    marks += [Stroke(flange, Role.CUT), *(_cross((22.0, low + 1.2 + 1.4 * i)) for i in range(5))]
    centre, radius = (40.5, 21.0), 10.0
    wall = _teardrop(centre, radius + LEATHER / 2)
    marks += [*section(_tube(wall, LEATHER))]
    roll = arc(centre, radius - 1.6, -0.35 * pi, 1.95 * pi, 60)
    roll = roll + np.linspace(0.9, 0.0, len(roll))[:, None] * (np.array(centre) - roll) / radius
    marks += [stroke(roll, Role.TICK), *arrow((centre[0], centre[1]), tuple(roll[30]))]
    marks.append(text((centre[0] + 3.5, 3.0), _say(speech, "paper"), "middle", size=NOTE))
    marks.append(text((13.4, 3.0), _say(speech, "ring_on"), "middle", size=NOTE))
    return tuple(marks)


def pull(speech: Speech) -> tuple[Mark, ...]:
    """The sheath between the jaws of a vice, mouth up; a cord round the butt, the scale above it, pulled straight."""
    x = 20.0
    marks: list[Mark] = []
    for side in (-1, 1):
        jaw = ((x + side * 4.6, 1.0), (x + side * 14.0, 1.0), (x + side * 14.0, 9.0), (x + side * 4.6, 9.0))
        marks += section(np.array(jaw), left=side < 0, role=Role.PIECE)
    sheath = (
        (x - 3.4, 2.0),
        (x + 3.4, 2.0),
        (x + 4.4, 17.0),
        (x + 3.9, 20.0),
        (x - 3.9, 20.0),
        (x - 4.4, 17.0),
    )
    marks += [Stroke(sheath, Role.PIECE, True, 0.0), Stroke(sheath, Role.CUT, True)]
    handle = [
        (x - 3.7, 20.0),
        (x - 3.1, 26.0),
        (x - 3.6, 30.0),
        (x + 3.6, 30.0),
        (x + 3.1, 26.0),
        (x + 3.7, 20.0),
    ]
    marks.append(Stroke(tuple(handle), Role.PIECE))
    marks += [
        segment((x - 3.3, 27.6), (x + 3.3, 27.6), Role.CUT),
        segment((x - 3.2, 27.0), (x + 3.2, 27.0), Role.CUT),
    ]
    marks += [Stroke(((x - 3.3, 27.3), (x, 32.5), (x + 3.3, 27.3)), Role.PIECE)]
    scale = ((x - 2.6, 33.6), (x + 2.6, 33.6), (x + 2.6, 39.0), (x - 2.6, 39.0))
    marks += [segment((x, 32.5), (x, 33.6), Role.PIECE), Stroke(scale, Role.CUT, True)]
    marks += [text((x, 36.3), "N", "middle", size=NOTE)]
    marks += arrow((x + 9.0, 29.0), (x + 9.0, 38.5))
    for y, key in ((36.0, "straight"), (27.3, "cord"), (19.0, "mouth_up"), (5.0, "jaws")):
        marks.append(text((x + 17.0, y), _say(speech, key), size=NOTE))
    marks += [segment((x + 11.0, 36.0), (x + 16.0, 36.0), Role.LEADER), _dot((x + 3.3, 27.3))]
    marks += [Stroke(((x + 3.3, 27.3), (x + 16.0, 27.3)), Role.LEADER)]
    marks += [Stroke(((x + 3.9, 19.0), (x + 16.0, 19.0)), Role.LEADER), _dot((x + 3.9, 19.0))]
    return (*marks, Stroke(((x + 12.0, 5.0), (x + 16.0, 5.0)), Role.LEADER), _dot((x + 12.0, 5.0)))


def strip(speech: Speech) -> tuple[Mark, ...]:
    """A strip hung from the edge of a table between two battens, marks on it, a bag of weights below."""
    x = 20.0
    marks: list[Mark] = [*_table(2.0, 39.0, 34.0)]
    for side in (-1, 1):
        batten = (
            (x + side * 1.1, 32.0),
            (x + side * 5.0, 32.0),
            (x + side * 5.0, 36.5),
            (x + side * 1.1, 36.5),
        )
        marks += [
            Stroke(batten, Role.PIECE, True, 0.0),
            *section(np.array(batten), left=side < 0, role=Role.PIECE),
        ]
    band = ((x - 1.1, 12.0), (x + 1.1, 12.0), (x + 1.1, 37.5), (x - 1.1, 37.5))
    marks += [Stroke(band, Role.PIECE, True, 0.0), Stroke(band, Role.CUT, True)]
    for y in (15.0, 28.0):
        marks += [
            segment((x - 1.1, y), (x + 1.1, y), Role.TICK),
            segment((x + 1.1, y), (x + 11.0, y), Role.LEADER),
        ]
    marks += dimension((x + 9.0, 15.0), (x + 9.0, 28.0), "")
    marks.append(text((x + 10.6, 21.5), _say(speech, "marks"), size=NOTE))
    marks += [segment((x, 12.0), (x, 9.0), Role.PIECE), Ring((x, 12.4), 0.6, Role.PIECE)]
    bag = ((x - 5.0, 1.0), (x + 5.0, 1.0), (x + 3.2, 8.0), (x - 3.2, 8.0))
    marks += [Stroke(bag, Role.CUT, True), text((x, 4.2), "kg", "middle", size=NOTE)]
    return (*marks, *_named((x + 4.0, 3.0), (x + 10.0, 6.0), _say(speech, "weights")))


def tilt(speech: Speech) -> tuple[Mark, ...]:
    """The finished wood tilted on the table, a piece of leather under a small weight just about to slip."""
    angle, foot = radians(20.0), (5.0, 6.0)
    along, up = np.array([cos(angle), sin(angle)]), np.array([-sin(angle), cos(angle)])
    at = np.array(foot)

    def placed(*points: Point) -> Line:
        return np.array([at + a * along + b * up for a, b in points])

    marks: list[Mark] = [*_table(1.0, 50.0, 6.0)]
    marks += [*section(placed((0, 0), (48, 0), (48, 3), (0, 3)), role=Role.PIECE)]
    marks += [*section(placed((22, 3), (36, 3), (36, 5), (22, 5)), left=True)]
    weight = placed((25, 5), (33, 5), (33, 10), (25, 10))
    marks += [stroke(weight, Role.CUT, closed=True)]
    marks += arrow(tuple(placed((20, 7.5))[0]), tuple(placed((13, 7.5))[0]))
    marks += [
        stroke(arc(foot, 17.0, 0.0, angle), Role.LEADER),
        arrow_head(_turned(foot, 17.0, angle), angle + pi / 2),
    ]
    marks.append(text((24.5, 9.2), _say(speech, "angle"), size=NOTE))
    marks += _named(tuple(placed((34.5, 4))[0]), (44.0, 34.0), _say(speech, "leather"))
    return tuple(marks)


def rods(speech: Speech) -> tuple[Mark, ...]:
    """Leather bent over a thick, a middling and a thin rod; over the thin one the grain cracks."""
    marks: list[Mark] = []
    for x, radius, key in ((10.0, 6.0, "whole"), (30.0, 3.6, "whole"), (48.0, 1.8, "cracked")):
        centre = (x, 24.0)
        marks += [
            *hatch(shapely.Point(centre).buffer(radius), Role.LEADER, spacing=1.5),
            Ring(centre, radius, Role.PIECE),
        ]
        middle = radius + LEATHER / 2
        over = arc(centre, middle, 0.0, pi, 41)
        legs = np.vstack([[(x + middle, 11.0)], over, [(x - middle, 11.0)]])
        marks += section(_tube(legs, LEATHER))
        if key == "cracked":
            marks += [*_cracks(centre, radius + LEATHER)]
        marks.append(text((x, 4.5), _say(speech, key), "middle", size=NOTE))
    marks.append(text((30.0, 38.0), _say(speech, "grain_out"), "middle", size=NOTE))
    return tuple(marks)


def strap(speech: Speech) -> tuple[Mark, ...]:
    """A strap round a rod, its ends butted; the rod's diameter beside it."""
    centre, radius = (19.0, 20.0), 11.0
    marks: list[Mark] = [
        *hatch(shapely.Point(centre).buffer(radius), Role.LEADER, spacing=3.0),
        Ring(centre, radius, Role.PIECE),
    ]
    wall = arc(centre, radius + LEATHER / 2, pi / 2 - 0.02, -1.5 * pi + 0.02, 81)
    marks += section(_tube(wall, LEATHER, flat=True), left=True)
    marks.append(segment((centre[0], 31.0), (centre[0], 34.6), Role.CUT))
    marks += _named((centre[0] + 0.4, 32.8), (36.0, 36.0), _say(speech, "butted"))
    for side in (-1, 1):
        marks.append(
            segment((centre[0] + side * radius, 20.0), (centre[0] + side * radius, 3.0), Role.LEADER)
        )
    marks += dimension((centre[0] - radius, 4.5), (centre[0] + radius, 4.5), "")
    marks += [text((36.0, 4.5), _say(speech, "rod"), size=NOTE)]
    return (*marks, *_named((centre[0] + 12.0, 20.0), (36.0, 20.0), _say(speech, "strap")))


def dried(speech: Speech) -> tuple[Mark, ...]:
    """Two soaked strips with ink marks: one lies free, one is pinned on a board."""
    marks: list[Mark] = []
    for y, key in ((27.0, "free"), (8.0, "pinned")):
        if key == "pinned":
            board = ((2.0, y - 5.0), (43.0, y - 5.0), (43.0, y + 6.5), (2.0, y + 6.5))
            marks.append(Stroke(board, Role.PIECE, True))
        band = ((5.0, y - 2.6), (40.0, y - 2.6), (40.0, y + 2.6), (5.0, y + 2.6))
        marks += [Stroke(band, Role.PIECE, True, 0.0), Stroke(band, Role.CUT, True)]
        marks += [segment((x, y - 2.6), (x, y + 2.6), Role.TICK) for x in (10.0, 35.0)]
        if key == "pinned":
            marks += [Ring((x, y + dy), 0.7, Role.PIECE, 1.0) for x in (6.6, 38.4) for dy in (-1.5, 1.5)]
        marks.append(text((45.5, y), _say(speech, key), size=NOTE))
    marks += [segment((x, 29.6), (x, 37.0), Role.LEADER) for x in (10.0, 35.0)]
    marks.append(text((22.5, 37.6), _say(speech, "wet"), "middle", size=NOTE))
    return (*marks, *dimension((10.0, 35.0), (35.0, 35.0), ""))


def squares(speech: Speech) -> tuple[Mark, ...]:
    """A grid inked on the damp piece, with the row across and the row along that are measured."""
    left, low, step = 16.0, 3.5, 4.8
    outline = ((4.0, 1.0), (56.0, 1.0), (59.0, 39.0), (1.0, 39.0))
    marks: list[Mark] = [stroke(outline, Role.CUT, closed=True)]
    for i in range(6):
        marks.append(segment((left + i * step, low), (left + i * step, low + 5 * step), Role.LEADER))
        marks.append(segment((left, low + i * step), (left + 5 * step, low + i * step), Role.LEADER))
    high, right = low + 5 * step, left + 5 * step
    marks += [segment((x, high), (x, high + 4.0), Role.LEADER) for x in (left, right)]
    marks += [segment((right, y), (right + 4.0, y), Role.LEADER) for y in (low, high)]
    marks += [*dimension((left, high + 2.8), (right, high + 2.8), "")]
    marks.append(text(((left + right) / 2, high + 5.6), _say(speech, "across"), "middle", size=NOTE))
    marks += [*dimension((right + 2.8, low), (right + 2.8, high), "")]
    return (*marks, text((right + 4.4, (low + high) / 2), _say(speech, "along"), size=NOTE))


def scrap(speech: Speech) -> tuple[Mark, ...]:
    """A scrap on a small scale, three times: as it lay, soaked, cased."""
    marks: list[Mark] = []
    for x, key, ink in ((10.0, "lay", 0.0), (30.0, "soaked", 0.45), (50.0, "cased", 0.2)):
        marks += [*_scale(x, 10.0)]
        piece = ((x - 4.5, 20.2), (x + 4.0, 20.2), (x + 5.0, 22.4), (x - 3.8, 22.4))
        marks += [Stroke(piece, Role.PIECE, True, ink), Stroke(piece, Role.CUT, True)]
        marks.append(text((x, 4.0), _say(speech, key), "middle", size=NOTE))
    return tuple(marks)


def drying(speech: Speech) -> tuple[Mark, ...]:
    """The sheath with its knife on the kitchen scale, and how its weight falls."""
    marks: list[Mark] = [*_scale(14.0, 10.0, wide=20.0)]
    lying = ((5.0, 20.2), (19.0, 20.2), (20.5, 24.5), (19.0, 25.8), (5.0, 25.0))
    marks += [Stroke(lying, Role.PIECE, True, 0.3), Stroke(lying, Role.CUT, True)]
    marks.append(Stroke(((20.0, 21.0), (26.0, 21.4), (26.0, 24.4), (20.4, 24.8)), Role.PIECE))
    marks += [*arrow((33.0, 8.0), (33.0, 36.0)), *arrow((33.0, 8.0), (59.0, 8.0))]
    time = np.linspace(0.0, 22.0, 40)
    fall = np.column_stack([34.0 + time, 14.0 + 18.0 * np.exp(-time / 7.0)])
    marks.append(stroke(fall, Role.CUT))
    for i in (2, 10, 20, 34):
        marks.append(Ring((float(fall[i, 0]), float(fall[i, 1])), 0.9, Role.CUT, 1.0))
    marks.append(text((34.5, 36.0), "g", size=NOTE))
    return (*marks, text((59.0, 4.5), _say(speech, "minutes"), "end", size=NOTE))


PICTURES = {
    "ring": ring,
    "pull": pull,
    "strip": strip,
    "tilt": tilt,
    "rods": rods,
    "strap": strap,
    "dried": dried,
    "squares": squares,
    "scrap": scrap,
    "drying": drying,
}


# --- parts ------------------------------------------------------------------------------------------------------


def _say(speech: Speech, key: str) -> str:
    return speech.say(f"learn.picture.{key}", marks=MARKS[speech.units], rod=ROD[speech.units])


def _named(point: Point, to: Point, words: str) -> tuple[Mark, ...]:
    """A line from the thing to its name, which stands to the right."""
    return segment(point, to, Role.LEADER), _dot(point), text((to[0] + 0.9, to[1]), words, size=NOTE)


def _handle(x: Mm) -> tuple[Line, Line]:
    """Left and right edge of a barrel handle that stands, (n, 2) from below to above."""
    y = np.linspace(8.0, 38.0, 31)
    half = 6.0 + 2.4 * np.sin(pi * np.clip((y - 6.0) / 32.0, 0.0, 1.0))
    return np.column_stack([x - half, y]), np.column_stack([x + half, y])


def _both(left: Line, right: Line) -> Iterator[Mark]:
    yield stroke(left, Role.PIECE)
    yield stroke(right, Role.PIECE)
    yield stroke(np.vstack([left[-1:], right[-1:]]), Role.PIECE)
    yield stroke(np.vstack([left[:1], right[:1]]), Role.HIDDEN)


def _at(edge: Line, y: Mm) -> float:
    return float(np.interp(y, edge[:, 1], edge[:, 0]))


def _cross(at: Point) -> Mark:
    return segment((at[0] - 0.5, at[1] - 0.5), (at[0] + 0.5, at[1] + 0.5), Role.SLIT)


def _teardrop(centre: Point, radius: Mm) -> Line:
    """A ring of leather seen from above, its two ends side by side to the right as a flange."""
    x, y = centre
    open_ = 0.28
    round_ = arc(centre, radius, open_, 2 * pi - open_, 81)
    top = [(x + radius + 2.2, y + 1.2), (x + radius + 7.0, y + 1.2)]
    low = [(x + radius + 7.0, y - 1.2), (x + radius + 2.2, y - 1.2)]
    return np.vstack([top[::-1], round_, low[::-1]])


def _tube(line: Line, thickness: Mm, *, flat: bool = False) -> Line:
    """Outline of leather along its middle line, with square ends (or ends that just meet)."""
    style = "flat"
    shape = shapely.LineString(line).buffer(thickness / 2, cap_style=style, join_style="round")
    outline = (
        shape if shape.geom_type == "Polygon" else max(shapely.get_parts(shape), key=lambda one: one.area)
    )
    if flat and len(outline.interiors):
        outline = outline.difference(shapely.LineString([line[0], line[0] + [0, 9]]).buffer(0.05))
    return np.asarray(outline.exterior.coords)[:-1]


def _table(left: Mm, right: Mm, top: Mm) -> Iterable[Mark]:
    yield segment((left, top), (right, top), Role.PIECE)
    yield from hatch(shapely.box(left, top - GROUND, right, top), Role.LEADER, spacing=2.4)


def _cracks(centre: Point, radius: Mm) -> Iterator[Mark]:
    for angle in np.radians([60.0, 78.0, 98.0, 118.0]):
        outer, inner = _turned(centre, radius + 0.7, angle), _turned(centre, radius - 1.3, angle + 0.1)
        yield segment(outer, inner, Role.CUT)


def _turned(centre: Point, radius: Mm, angle: float) -> Point:
    return centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)


def _dot(at: Point) -> Mark:
    return Ring(at, 0.45, Role.LEADER, 1.0)


def _scale(x: Mm, y: Mm, wide: Mm = 15.0) -> Iterator[Mark]:
    """A flat kitchen scale with its pan."""
    half = wide / 2
    body = ((x - half, y), (x + half, y), (x + half - 1.5, y + 7.0), (x - half + 1.5, y + 7.0))
    yield Stroke(body, Role.PIECE, True)
    yield Stroke(((x - half - 0.6, y + 9.6), (x + half + 0.6, y + 9.6)), Role.CUT)
    yield segment((x, y + 7.0), (x, y + 9.6), Role.PIECE)
    shown = ((x - 4.0, y + 1.6), (x + 4.0, y + 1.6), (x + 4.0, y + 5.2), (x - 4.0, y + 5.2))
    yield Stroke(shown, Role.LEADER, True)
    yield text((x + 3.2, y + 3.4), "g", "end", size=NOTE)
