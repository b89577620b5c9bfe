"""Two cuts through the leather for the bench card: across the seam, and along the collar at the front."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import asin, cos, pi, sin, sqrt

import numpy as np

from backseam.ground.speech import Speech
from backseam.ground.units import Mm, Radian
from backseam.making.steps import Sheath
from backseam.papers.model import Drawing, Mark, Point, Ring, Role, segment, stroke
from backseam.papers.sheets.drafting import (
    TYPE,
    Line,
    Placing,
    arc,
    dimension,
    leader,
    section,
    text,
    thread,
)
from backseam.papers.sheets.lettering import width
from backseam.pattern.upper import StationRow

WALL: Mm = 6.4  # thickness of leather in the seam's picture, on paper
MOST: float = 4.5  # no larger than so many times
ROUND: Mm = 80.0  # a back flatter than this radius is drawn as this
WIDER: float = 1.5  # the collar is drawn so much thicker than long, so that its layers can be told apart


@dataclass(frozen=True)
class Teardrop:
    """Leather of thickness t leaving a round of radius R through a fillet of inside radius r, at the top of
    the round.

    All mm, origin where the seam plane meets the form, y up the seam plane. stitch: height of the stitch
    line; lift: angle from the seam plane where the leather leaves the form.
    """

    radius: Mm
    thickness: Mm
    inside: Mm
    stitch: Mm
    lift: Radian

    @property
    def centre(self) -> Point:
        """Centre of the form."""
        return (0.0, -self.radius)

    @property
    def fillet(self) -> Point:
        """Centre of the right fillet: its flesh side, r + t away, touches the seam plane at the stitch
        line.
        """
        return (self.inside + self.thickness, self.stitch)

    def wall(self, reach: Radian) -> Line:
        """Right half of the leather, from `reach` round the form to the stitch line: outline (n, 2)."""
        flesh, grain = self.inside + self.thickness, max(self.inside, 1e-3)
        return np.vstack(
            [
                arc(self.centre, self.radius, pi / 2 - reach, pi / 2 - self.lift),
                arc(self.fillet, flesh, -pi / 2 - self.lift, -pi),
                arc(self.fillet, grain, -pi, -pi / 2 - self.lift),
                arc(self.centre, self.radius + self.thickness, pi / 2 - self.lift, pi / 2 - reach),
            ]
        )


def teardrop(stitch: Mm, thickness: Mm, inside: Mm) -> Teardrop:
    """The round on which this leather has its stitch line at that distance from the form.

    On a round of radius R the stitch line lies d = sqrt(R^2 + 2 R (r + t)) - R from the form; solved for R:

        R = d^2 / (2 (r + t - d)),   sin(lift) = (r + t)/(R + r + t)

    Valid for 0 < d < r + t; a flat back has d = r + t and R without bound, drawn as 80 mm. Source: derived
    (the teardrop of a circle). Tested: R 15, t 2, r 1 with d 2.748239 and lift 9.594068 degrees.

    >>> round(teardrop(2.748239, 2.0, 1.0).radius, 3)      # 2.748239^2 / (2 x 0.251761)
    15.0
    """
    flesh = inside + thickness
    gap = flesh - stitch
    radius = min(ROUND, stitch**2 / (2 * gap)) if gap > 1e-6 else ROUND
    radius = max(radius, 1.5 * thickness)
    height = sqrt(radius**2 + 2 * radius * flesh) - radius
    return Teardrop(radius, thickness, inside, height, asin(flesh / (radius + flesh)))


def seam_row(sheath: Sheath) -> StationRow:
    """The station the cut is drawn at: the widest below the collar, or the widest of all."""
    plain = [row for row in sheath.upper.stations if row.layers == 1] or list(sheath.upper.stations)
    return max(plain, key=lambda row: row.stitch_to_stitch)


def seam(sheath: Sheath, speech: Speech, room: Mm) -> Drawing:
    """The seam cut across, below the collar, with this job's thickness, fillet and flange."""
    construction, t = sheath.inputs.construction, sheath.inputs.leather.thickness
    row = seam_row(sheath)
    drop = teardrop(row.stitch_from_form, t, construction.seam_inside_radius)
    scale = min(MOST, WALL / t)
    names = _flange_names(sheath, speech, drop)
    beside = room - 1.5 - max(width(words, TYPE) for _, words in names)
    place = Placing(scale, min(0.40 * room, beside - 5.5 - scale * t))
    reach = min(0.95, 0.9 * min(place.x, room - place.x) / (scale * (drop.radius + t)))
    top = drop.stitch + min(construction.flange.trimmed, 3.2 * t)
    marks: list[Mark] = []
    for side in (1, -1):
        mirror = np.array([side, 1.0])
        flange = np.array([(0.0, drop.stitch), (t, drop.stitch), (t, top), (0.0, top)])
        marks += section(place.line(drop.wall(reach) * mirror), left=side < 0)
        marks += section(place.line(flange * mirror), left=side < 0)
        marks.append(stroke(place.line(np.array([(t, top), (t, top + t)]) * mirror), Role.HIDDEN))
    film = arc(drop.centre, drop.radius - 0.12 * t, pi / 2 - reach, pi / 2 + reach)
    marks.append(stroke(place.line(film), Role.PIECE))
    marks.append(segment((place.x, -5.0), place.point(0.0, top + 1.3 * t), Role.CENTRE))
    ends = [place.point(side * (t + 0.1), drop.stitch) for side in (-1, 1)]
    marks += thread(ends, min(construction.stitching.thread * scale, 2.0))
    marks += [Ring(end, 1.3, Role.PIECE, fill=1.0) for end in ends]
    marks += _flange(names, place, top, t)
    marks += _seam_distance(speech, place, drop, row)
    marks += _sides(speech, place, drop, reach)
    return Drawing("seam", tuple(marks))


def _flange_names(sheath: Sheath, speech: Speech, drop: Teardrop) -> tuple[tuple[Point, str], ...]:
    """Names of the flange's parts from top to bottom, with the places they point at; y of the first three
    counts from the top of the trimmed flange.
    """
    flange, t = sheath.inputs.construction.flange, drop.thickness
    bend = (drop.fillet[0] - drop.inside * cos(pi / 4), drop.stitch - drop.inside * sin(pi / 4))
    return (
        ((t, 0.75 * t), speech.say("card.picture.flange", width=flange.clamp)),
        ((0.0, 0.3 * t), speech.say("card.picture.glue", width=flange.glue)),
        ((0.6 * t, -0.3 * t), speech.say("card.picture.trim", width=flange.trimmed)),
        ((t + 0.35, drop.stitch), speech.say("card.picture.stitch_line")),
        (bend, speech.say("card.picture.fillet", radius=drop.inside)),
    )


def _flange(names: tuple[tuple[Point, str], ...], place: Placing, top: Mm, t: Mm) -> Iterable[Mark]:
    """The names, one under another at the right."""
    x, high = place.point(t, 0.0)[0] + 5.5, place.point(0.0, top)[1]
    for i, ((along, up), words) in enumerate(names):
        point = place.point(along, up + top if i < 3 else up)
        yield from leader(point, (x, high + 6.2 - 5.6 * i), words)


def _seam_distance(speech: Speech, place: Placing, drop: Teardrop, row: StationRow) -> Iterable[Mark]:
    """How far the stitch line lies from the form."""
    left, stitch = place.point(-drop.thickness, drop.stitch)
    x = left - 5.0
    yield segment((x - 1.5, stitch), (left - 1.5, stitch), Role.LEADER)
    yield segment((x - 1.5, 0.0), (place.x, 0.0), Role.LEADER)
    yield from dimension((x, 0.0), (x, stitch), "", "end")
    yield text((x + 2.0, stitch + 2.4), speech.fill("{v:n}", {"v": row.stitch_from_form}), "end", bold=True)


def _sides(speech: Speech, place: Placing, drop: Teardrop, reach: Radian) -> Iterable[Mark]:
    """Which side is which."""
    yield text((place.x + 2.0, -6.0), speech.say("card.picture.form_here"))
    named: tuple[tuple[float, float, str, Mm, Mm], ...] = (
        (0.92, 1.0, "grain", 3.0, -1.8),
        (-0.74, 0.0, "flesh", 5.0, -6.0),
    )
    for share, depth, key, dx, dy in named:
        radius = drop.radius + depth * drop.thickness
        x, y = place.point(radius * sin(share * reach), radius * cos(share * reach) - drop.radius)
        yield from leader((x, y), (x + dx, y + dy), speech.say(f"card.picture.{key}"))


def collar(sheath: Sheath, speech: Speech, room: Mm) -> Drawing:
    """The folded mouth cut along the front, mouth up: the fold, the flap with its skive, and what is sewn
    there.
    """
    t, fold = sheath.inputs.leather.thickness, sheath.inputs.construction.collar
    below = 6.0
    depth = speech.fill("{v:r0}", {"v": fold.depth})
    scale = min(1.7, 27.0 / fold.depth)
    place = Placing(scale, 5.5 + width(depth, TYPE, bold=True), (fold.depth + below) * scale)
    wide = max(t, 1.2) * WIDER
    thin = wide * fold.flap / t
    taper = max(fold.skive - fold.depth, thin + 0.5)
    joint = [(thin, -thin), (wide, -taper), (wide, -fold.depth)]
    contour = np.vstack(
        [
            [(wide, -fold.depth - below), (0.0, -fold.depth - below)],
            arc((thin, -thin), thin, pi, 0.0),
            [(wide + thin, -taper), (wide + thin, -fold.depth), (wide, -fold.depth)],
        ]
    )
    marks: list[Mark] = [*section(place.line(contour)), stroke(place.line(joint), Role.LEADER)]
    left, top = place.point(0.0, 0.0)
    end = place.point(0.0, -fold.depth)[1]
    marks += [segment((left - 4.5, y), (left - 0.8, y), Role.LEADER) for y in (top, end)]
    marks += dimension((left - 3.0, end), (left - 3.0, top), depth, "end")
    handle = place.point(wide + thin, 0.0)[0] + 1.0
    marks.append(segment((handle, 0.0), (handle, top + 3.0), Role.PIECE))
    marks.append(text((handle + 1.5, 2.0), speech.say("card.picture.handle")))
    marks += _collar_names(sheath, speech, place, (wide, thin, taper), room)
    return Drawing("collar", tuple(marks))


def _collar_names(
    sheath: Sheath, speech: Speech, place: Placing, sizes: tuple[Mm, Mm, Mm], room: Mm
) -> Iterable[Mark]:
    wide, thin, taper = sizes
    fold, seam_ = sheath.inputs.construction.collar, sheath.seam
    named = (
        ((thin, -0.5 * thin), speech.say("card.picture.fold")),
        ((wide + 0.5 * thin, -taper - 1.5), speech.say("card.picture.flap", flap=fold.flap)),
        ((wide, -0.75 * fold.depth), speech.say("card.picture.caught", sewn=seam_.left[0].sewn)),
        ((0.5 * wide, -fold.depth - 2.5), speech.say("card.picture.below", sewn=seam_.left[-1].sewn)),
    )
    top = place.point(0.0, 0.0)[1]
    longest = max(width(words, TYPE) for _, words in named)
    x = min(place.point(wide + thin, 0.0)[0] + 6.0, room - longest - 0.9)
    for i, (point, words) in enumerate(named):
        level = top + 1.5 - (top - 7.0) * i / (len(named) - 1)
        yield from leader(place.point(*point), (x, level), words)


__all__ = ["Teardrop", "collar", "seam", "seam_row", "teardrop"]
