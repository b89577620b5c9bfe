"""The pictures of the bench card: the form, the piece, the saddle stitch, the slant. Small, never full scale.

Each takes the width it may use on paper, mm, and gives a drawing whose words are already at their size on
paper. Mouth is up in all of them. The two cuts through the leather stand in `cuts`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, pi, radians, sin
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from backseam.geom.curve import smooth_monotone
from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.making.steps import Sheath
from backseam.papers.model import Drawing, Mark, Point, Ring, Role, Stroke, segment, stroke
from backseam.papers.sheets.drafting import (
    HEAD,
    TYPE,
    Line,
    Placing,
    arc,
    arrow,
    arrow_head,
    dimension,
    fits,
    section,
    spread,
    text,
    thread,
)
from backseam.papers.sheets.lettering import shorten, width
from backseam.pattern.seam import Hole
from backseam.pattern.upper import StationRow

Array = NDArray[np.float64]

BOX: tuple[Mm, Mm] = (12.0, 6.0)  # to write in
ROWS_APART: Mm = 7.0  # box to box
FORM_HEIGHT: Mm = 52.0
PIECE_HEIGHT: Mm = 62.0
STITCHES = 4
STITCH_HEIGHT: Mm = 20.0


class Axis(Protocol):
    """What the picture of the form asks of an axis: origin and directions of a, b and the tangent, (n, 3)
    each.
    """

    def frame(self, u: Array) -> tuple[Array, Array, Array, Array]: ...


@dataclass(frozen=True)
class Silhouette:
    """The form seen from the front and from its side (seam to the right): left and right edges, (n, 2),
    mm.
    """

    front: tuple[Line, Line]
    side: tuple[Line, Line]


def silhouette(rows: Sequence[StationRow], axis: Axis | None, points: int = 61) -> Silhouette:
    """Outlines of the form from the widths and depths at its stations, along its axis (straight if None)."""
    ordered = sorted({row.station: row for row in rows}.values(), key=lambda row: row.station)
    at = np.array([row.station for row in ordered])
    u = np.linspace(at[0], at[-1], points)
    if len(at) > 1:
        half_width = smooth_monotone(at, np.array([row.width / 2 for row in ordered]))(u)
        half_depth = smooth_monotone(at, np.array([row.depth / 2 for row in ordered]))(u)
    else:
        half_width, half_depth = np.full(points, ordered[0].width / 2), np.full(points, ordered[0].depth / 2)
    if axis is None:
        zero, one = np.zeros(points), np.ones(points)
        origin = np.column_stack([zero, zero, u])
        a, b = np.column_stack([one, zero, zero]), np.column_stack([zero, one, zero])
    else:
        origin, a, b, _ = axis.frame(u)
    front = [(origin + s * half_width[:, None] * a)[:, [0, 2]] for s in (-1, 1)]
    side = [(origin + s * half_depth[:, None] * b)[:, [1, 2]] for s in (-1, 1)]
    return Silhouette((front[0], front[1]), (side[0], side[1]))


def chosen(rows: Sequence[StationRow], most: int, apart: Mm = 0.0) -> list[StationRow]:
    """At most so many stations, mouth to bottom, and none nearer than `apart` mm to another: both ends
    first, then the named ones, then the rest.
    """
    ordered = sorted(rows, key=lambda row: -row.station)
    named = [row for row in ordered if row.name]
    even = [ordered[round(i)] for i in np.linspace(0, len(ordered) - 1, min(most, len(ordered)))]
    kept: list[StationRow] = []
    for row in [ordered[0], ordered[-1], *named, *even]:
        if len(kept) < most and all(abs(row.station - other.station) > apart for other in kept):
            kept.append(row)
    return sorted(kept, key=lambda row: -row.station)


def form(sheath: Sheath, speech: Speech, room: Mm, axis: Axis | None = None) -> Drawing:
    """Front and side of the form with its stations; beside each the length of its check strip and a box."""
    rows = chosen(sheath.upper.stations, int(FORM_HEIGHT / ROWS_APART) + 1)
    shape = silhouette(sheath.upper.stations, axis)
    everything = np.vstack([*shape.front, *shape.side])
    low, high = float(everything[:, 1].min()), float(everything[:, 1].max())
    wide = float(np.ptp(np.vstack(shape.front)[:, 0]) + np.ptp(np.vstack(shape.side)[:, 0]))
    names = 0.41 * room
    scale = min(FORM_HEIGHT / (high - low), (room - names - BOX[0] - 15.0) / wide)
    front = _pair(shape.front, names + 1.5, scale, low)
    side = _pair(shape.side, _right(front) + 5.0, scale, low)
    marks: list[Mark] = [*_body(front), *_body(side, seam=True)]
    heights = {row.station: speech.fill("{v:n0}", {"v": row.station}) for row in rows}
    top = scale * (high - low)
    ceiling = max(top, ROWS_APART * (len(rows) - 1))
    levels = spread([scale * (row.station - low) for row in reversed(rows)], ROWS_APART, 0.0, ceiling)
    for row, y in zip(reversed(rows), levels, strict=True):
        marks += _station(
            row.name, heights[row.station], y, scale * (row.station - low) / top, names, front, side
        )
        if row.reading_index is not None:
            marks += _box_to_write(y, room)
    marks += _heads(speech, ceiling + 6.5, front, side, room)
    marks.append(
        text((_right(side) + 3.4, top / 2), speech.say("card.picture.seam_side"), "middle", angle=-90.0)
    )
    return Drawing("form", tuple(marks))


def _right(edges: tuple[Line, Line]) -> Mm:
    return float(np.vstack(edges)[:, 0].max())


def _pair(edges: tuple[Line, Line], left: Mm, scale: float, low: Mm) -> tuple[Line, Line]:
    shift = min(float(edges[0][:, 0].min()), float(edges[1][:, 0].min()))
    moved = [(edge - [shift, low]) * scale + [left, 0.0] for edge in edges]
    return moved[0], moved[1]


def _body(edges: tuple[Line, Line], *, seam: bool = False) -> Iterable[Mark]:
    yield stroke(np.vstack([edges[0], edges[1][::-1]]), Role.PIECE, closed=True)
    if seam:
        yield stroke(edges[1] + [0.7, 0.0], Role.CUT)


def _station(
    name: str, height: str, y: Mm, share: float, names: Mm, front: tuple[Line, Line], side: tuple[Line, Line]
) -> Iterable[Mark]:
    """Name and height on the left, a level line across both views; share: of the form's height."""
    yield text((names - 2.0, y), height, "end", bold=True)
    if name:
        yield text((0.0, y), shorten(name, names - 3.5 - width(height, TYPE, bold=True), TYPE))
    i = min(max(round(share * (len(front[0]) - 1)), 0), len(front[0]) - 1)
    ends = [(float(edge[i, 0]), float(edge[i, 1])) for edge in (*front, *side)]
    yield Stroke(((names - 1.5, y), (names - 0.2, y), ends[0], ends[1]), Role.LEADER)
    yield segment(ends[2], ends[3], Role.LEADER)


def _box_to_write(y: Mm, right: Mm) -> Iterable[Mark]:
    """A box to write what was found, flush right."""
    w, h = BOX
    corners = ((right - w, y - h / 2), (right, y - h / 2), (right, y + h / 2), (right - w, y + h / 2))
    yield Stroke(corners, Role.FRAME, closed=True)


def _heads(
    speech: Speech, y: Mm, front: tuple[Line, Line], side: tuple[Line, Line], room: Mm
) -> Iterable[Mark]:
    for edges, key in ((front, "front"), (side, "side")):
        middle = (float(edges[0][:, 0].min()) + float(edges[1][:, 0].max())) / 2
        yield text((middle, y), speech.say(f"card.picture.{key}"), "middle")
    yield text((room, y), speech.say("card.picture.strip"), "end")


def piece(sheath: Sheath, speech: Speech, room: Mm) -> Drawing:
    """The flat piece with its lines and holes; beside it the width row to row at the stations, and boxes."""
    upper = sheath.upper
    left, right = upper.cut[:, 0].min(), upper.cut[:, 0].max()
    low, high = upper.cut[:, 1].min(), upper.cut[:, 1].max()
    scale = min((room - 31.0) / (right - left), PIECE_HEIGHT / (high - low))
    place = Placing(scale, float(-left * scale), float(-low * scale))
    marks: list[Mark] = [
        stroke(place.line(upper.cut), Role.CUT, closed=True),
        stroke(place.line(upper.trim_left), Role.TRIM),
        stroke(place.line(upper.trim_right), Role.TRIM),
    ]
    middle = float(-left * scale)
    marks.append(segment((middle, -1.5), (middle, float(scale * (high - low)) + 1.5), Role.CENTRE))
    if len(upper.flap):
        marks.append(stroke(place.line(upper.fold), Role.FOLD))
    marks += [stroke(place.line(groove.line), Role.PRESS) for groove in upper.press]
    marks += _punched(sheath, place)
    marks += _rows(sheath, place)
    marks += _sew_this_way(speech, middle, place.point(0.0, upper.height)[1])
    marks += _widths(sheath, speech, place, room, float((right - left) * scale))
    return Drawing("piece", tuple(marks))


def _punched(sheath: Sheath, place: Placing) -> Iterable[Mark]:
    for hole in sheath.hanger.holes:
        yield Ring(place.point(hole.x, hole.y), max(0.6, place.scale * hole.diameter / 2), Role.LEADER)
    for slit in sheath.hanger.slits:
        yield stroke(place.line([(slit.x1, slit.y1), (slit.x2, slit.y2)]), Role.SLIT)


def _rows(sheath: Sheath, place: Placing) -> Iterable[Mark]:
    """Both rows as slits; on the left the first, every tenth and the last hole are numbered, clear of
    hanger holes.
    """
    seam, hanger = sheath.seam, sheath.hanger
    beside = 1.6
    if hanger.holes or hanger.slits:
        beside += sheath.inputs.construction.hanger.from_stitch * place.scale + 0.6
    reach = max(0.55, 0.35 * seam.pitch * place.scale)
    for holes, side in ((seam.left, -1), (seam.right, 1)):
        shown = _numbered(holes, place)
        for hole in holes:
            x, y = place.point(hole.x, hole.y)
            dx, dy = reach * cos(hole.slit), reach * sin(hole.slit)
            yield segment((x - dx, y - dy), (x + dx, y + dy), Role.LEADER)
            if side < 0 and hole.number in shown:
                off = (hole.number == len(holes)) - (hole.number == 1)  # clear of mouth and bottom edge
                yield text((x + beside, y + 1.1 * off), str(hole.number))


def _numbered(holes: tuple[Hole, ...], place: Placing) -> set[int]:
    """First, every tenth and last, as far as their words do not touch."""
    wanted = [1, *range(10, len(holes), 10), len(holes)]
    kept: list[int] = []
    heights = {hole.number: place.point(hole.x, hole.y)[1] for hole in holes}
    for number in [1, len(holes), *wanted]:
        if number not in kept and all(abs(heights[number] - heights[k]) > 1.15 * TYPE for k in kept):
            kept.append(number)
    return set(kept)


def _sew_this_way(speech: Speech, middle: Mm, mouth: Mm) -> Iterable[Mark]:
    """An arrow from the mouth down with its words along it."""
    words = speech.say("card.picture.sew")
    long = max(width(words, TYPE) + 4.0, 0.5 * mouth)
    top = mouth - 2.5
    yield from arrow((middle + 4.0, top), (middle + 4.0, max(2.0, top - long)))
    if fits(words, mouth - 4.0):
        yield text((middle + 6.8, top - 0.5), words, "start", angle=-90.0)


def _widths(sheath: Sheath, speech: Speech, place: Placing, room: Mm, edge: Mm) -> Iterable[Mark]:
    upper = sheath.upper
    top = place.point(0.0, float(upper.cut[:, 1].max()))[1]
    rows = list(reversed(chosen(upper.stations, int((top - 8) / ROWS_APART) + 1, 5.0)))
    at = [place.point(row.half_width, row.station) for row in rows]
    ys = spread([y for _, y in at], ROWS_APART, 0.0, top - 4.0)
    for row, (x, y), level in zip(rows, at, ys, strict=True):
        value = speech.fill("{v:n}", {"v": 2 * row.half_width})
        start = room - BOX[0] - 2.2 - width(value, TYPE, bold=True)
        yield Stroke(((x, y), (edge + 0.6, y), (start - 0.4, level)), Role.LEADER)
        yield from _box_to_write(level, room)
        yield text((room - BOX[0] - 1.2, level), value, "end", bold=True)
    yield text((room, max(top, ys[-1] + 6.5)), speech.say("card.picture.row_to_row"), "end")


def stitch(sheath: Sheath, speech: Speech, room: Mm) -> Drawing:
    """Two threads through the same holes, cut along the seam: at the left through the collar if there is
    one.
    """
    seam, t = sheath.seam, sheath.inputs.leather.thickness
    folded = sheath.inputs.construction.collar.folded and seam.four_layers > 0
    flap = sheath.inputs.construction.collar.flap
    thickest = t + flap if folded else t
    pitch = seam.pitch
    scale = min(room / ((STITCHES + 1) * pitch), STITCH_HEIGHT / (2 * thickest))
    wide = (STITCHES + 1) * pitch
    step = 2.5 * pitch if folded else 0.0
    place = Placing(scale)
    marks: list[Mark] = []
    for (low, high), (start, end) in _layers(t, flap, folded, step, wide):
        outline = place.line([(start, low), (end, low), (end, high), (start, high)])
        marks += section(outline, left=high <= 0, role=Role.LEADER)
    faces = [(thickest if i < 2.5 else t) * scale for i in range(STITCHES + 1)]
    diameter = min(sheath.inputs.construction.stitching.thread * scale, 0.2 * pitch * scale)
    one, two = saddle_paths(faces, pitch * scale, 0.55 * diameter, 0.6 * diameter)
    marks += [*thread(one, diameter), *thread(two, diameter, white=True)]
    marks += _stitch_words(sheath, speech, faces, pitch * scale, folded)
    return Drawing("stitch", tuple(marks))


def _layers(
    t: Mm, flap: Mm, folded: bool, step: Mm, wide: Mm
) -> Iterable[tuple[tuple[Mm, Mm], tuple[Mm, Mm]]]:
    """Height range and length range of each layer; the joint of the flesh sides lies at 0."""
    for side in (1, -1):
        if folded:
            low, high = sorted((0.0, side * flap))
            yield (low, high), (0.0, step)
            low, high = sorted((side * flap, side * (flap + t)))
            yield (low, high), (0.0, step)
        low, high = sorted((0.0, side * t))
        yield (low, high), (step, wide)


def saddle_paths(faces: Sequence[Mm], pitch: Mm, aside: Mm, off: Mm) -> tuple[list[Point], list[Point]]:
    """The two threads of a saddle stitch (ISO 4915, type 201) as lines on paper: both pass every hole, and
    between two holes they lie on opposite faces.

    faces: half the thickness at each hole; aside: how far each lies from the middle of the hole; off: how
    far a span stands off the face.
    """
    paths = []
    for face, shift in ((-1, aside), (1, -aside)):
        path: list[Point] = [(0.05 * pitch, face * (faces[0] + off))]
        for i, half in enumerate(faces):
            x = (i + 0.5) * pitch + shift
            path += [(x, face * (half + off)), (x, -face * (half + off))]
            face = -face
        path.append(((len(faces) - 0.05) * pitch, face * (faces[-1] + off)))
        paths.append(path)
    return paths[0], paths[1]


def _stitch_words(
    sheath: Sheath, speech: Speech, faces: Sequence[Mm], pitch: Mm, folded: bool
) -> Iterable[Mark]:
    """Which thread is which, the pitch over the last stitch, and how thick it is."""
    seam, top = sheath.seam, max(faces) + 5.0
    a, b = ((STITCHES - 0.5) * pitch, top), ((STITCHES + 0.5) * pitch, top)
    for x, _ in (a, b):
        yield segment((x, faces[-1] + 2.4), (x, top + 1.0), Role.LEADER)
    yield from dimension(a, b, speech.fill("{v:n2}", {"v": seam.pitch}))
    x = 0.6
    for key, white in (("thread_one", False), ("thread_two", True)):
        words = speech.say(f"card.picture.{key}")
        yield from thread([(x, top + 1.5), (x + 4.0, top + 1.5)], 1.5, white=white)
        yield text((x + 6.0, top + 1.5), words)
        x += 9.5 + width(words, TYPE)
    low = -max(faces) - 5.0
    if folded:
        yield text((0.0, low), speech.say("card.picture.layers_four", sewn=seam.left[0].sewn))
    words = speech.say("card.picture.layers_two", sewn=seam.left[-1].sewn)
    yield text(((STITCHES + 1) * pitch, low), words, "end")


def slant(sheath: Sheath, speech: Speech, room: Mm) -> Drawing:
    """The slits of both rows, mirrored, with the angle from the stitch line; beside it what the same figure
    measured from across would be, where that differs.
    """
    seam = sheath.seam
    angle = seam.slant
    other = abs(angle - 45.0) > 0.5
    height = 19.0
    left, right = (0.12 * room, 0.42 * room) if other else (0.25 * room, 0.75 * room)
    marks: list[Mark] = []
    for x, side, key in ((left, -1, "left_row"), (right, 1, "right_row")):
        marks += _slit_row(x, height, angle, side)
        marks.append(text((x, -3.5), speech.say(f"card.picture.{key}"), "middle"))
    marks += _angle(right, height, angle, speech.say("card.picture.angle", angle=angle))
    middle = (left + right) / 2
    marks.append(segment((middle, 0.0), (middle, height), Role.CENTRE))
    if other:
        x = 0.82 * room
        marks += _slit_row(x, height, 90.0 - angle, 1)
        marks += [
            segment((x - 6, 3.0), (x + 6, height - 3), Role.CUT),
            segment((x - 6, height - 3), (x + 6, 3), Role.CUT),
        ]
        marks.append(text((x, -3.5), speech.say("card.picture.from_across", angle=angle), "middle"))
    return Drawing("slant", tuple(marks))


def _slit_row(x: Mm, height: Mm, angle: float, side: int) -> Iterable[Mark]:
    """A stitch line with four slits, upper end towards the centre line (which lies on the other side of
    `side`).
    """
    yield segment((x, 0.0), (x, height), Role.STITCH)
    reach = 2.2
    dx, dy = -side * reach * sin(radians(angle)), reach * cos(radians(angle))
    for i in range(4):
        y = height * (i + 0.5) / 4
        yield segment((x - dx, y - dy), (x + dx, y + dy), Role.SLIT)


def _angle(x: Mm, height: Mm, angle: float, words: str) -> Iterable[Mark]:
    """The angle at the top slit of the right row, from the stitch line to the slit."""
    y = height * 3.5 / 4
    radius = 6.0
    line = arc((x, y), radius, pi / 2, pi / 2 + radians(angle))
    reach = radius + 1.5
    end = (x - reach * sin(radians(angle)), y + reach * cos(radians(angle)))
    yield segment((x, y), end, Role.LEADER)
    yield segment((x, y), (x, y + reach), Role.LEADER)
    yield stroke(line, Role.LEADER)
    yield arrow_head(tuple(map(float, line[-1])), pi + radians(angle), 0.8 * HEAD)  # type: ignore[arg-type]
    yield text((x + 1.6, y + radius), words)


__all__ = ["chosen", "form", "piece", "saddle_paths", "silhouette", "slant", "stitch"]
