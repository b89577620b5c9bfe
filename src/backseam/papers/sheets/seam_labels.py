"""Words along the seam: hole numbers, stations with their heights, what the clamp width is for, snips."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, product
from math import atan2, degrees

import numpy as np
import shapely

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Mark, Role, Words, segment
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import Labels, number
from backseam.papers.sheets.lettering import NOTE, SMALL
from backseam.papers.sheets.piece import along, normal, snip_points, tick_ends
from backseam.pattern.construction import Construction
from backseam.pattern.seam import Hole, Seam
from backseam.pattern.upper import Tick, Upper

NUMBER_EVERY = 5
COLUMN: Mm = 4.5  # from the widest point of the cut to the station labels
APART: Mm = 3.5  # station label to station label
LEAD: Mm = 2.8  # slanted end of a station's leader
NAME_ROOM: Mm = 24.0
MIDDLE = 0.36  # of the type's size: from the line it stands on to the middle of its digits


def numbered(count: int) -> tuple[int, ...]:
    """Which holes get their number: the first, every fifth from the mouth, the last.

    >>> numbered(12)
    (1, 5, 10, 12)
    """
    every = range(NUMBER_EVERY, count + 1, NUMBER_EVERY)
    return tuple(sorted({1, *every, count})) if count else ()


def hole_numbers(made: Labels, seam: Seam, construction: Construction) -> None:
    """A number beside every fifth hole, both sides."""
    wanted = set(numbered(seam.count))
    for side, holes in ((-1, seam.left), (1, seam.right)):
        for hole in holes:
            if hole.number in wanted:
                made.put(_beside(made.upper, hole, side, construction), made.areas.piece, str(hole.number))


def _beside(upper: Upper, hole: Hole, side: int, construction: Construction) -> Iterator[tuple[Words, ...]]:
    """Places for a hole's number: in the glue band past the trim line, then further out, then inside."""
    line = upper.stitch_right if side > 0 else upper.stitch_left
    at, n = normal(line, along(line, (hole.x, hole.y)), side)
    flange = construction.flange
    shifts = (0.0, 0.8, -0.8, 1.6, -1.6, 2.4, -2.4, 3.4, -3.4)
    first = (flange.trimmed + flange.glue) / 2
    outward = (
        first,
        first + 1.0,
        first - 1.0,
        flange.glue + 4.0,
        flange.glue + 6.0,
        flange.trimmed / 2,
        -5.0,
        -7.0,
    )
    for out, shift in product(outward, shifts):
        x, y = at[0] + out * n[0] - shift * n[1], at[1] + out * n[1] + shift * n[0] * side
        yield (Words((x, y - MIDDLE * NOTE), str(hole.number), NOTE, "middle"),)


def stations(made: Labels) -> None:
    """Heights with their names in a column at the right, each led to its tick."""
    ticks = shown(made.upper.ticks, made.upper.height)
    starts = [tick_ends(made.upper, tick.right, 1)[1] for tick in ticks]
    column = float(made.upper.cut[:, 0].max()) + COLUMN
    cut = shapely.LinearRing(made.upper.cut)
    heights = spread([y for _, y in starts], APART)
    for tick, (x, y), height in zip(ticks, starts, heights, strict=True):
        bend = max(_outside(cut, x, y), column - LEAD)
        marks: list[Mark] = [
            segment((min(_outside(cut, x, y), bend), y), (bend, y), Role.LEADER),
            segment((bend, y), (column - 0.8, height), Role.LEADER),
        ]
        words = _station_words(made.speech, tick, column, height)
        made.room.take(words)
        made.placed.extend([*marks, *words])


def _station_words(speech: Speech, tick: Tick, x: Mm, y: Mm) -> tuple[Words, ...]:
    height = number(speech, tick.station)
    low = y - MIDDLE * SMALL
    bold = Words((x, low), height, SMALL, "start", 0.0, True)
    if not tick.name:
        return (bold,)
    after = x + lettering.width(height, SMALL, True) + 0.35 * SMALL
    return bold, Words((after, low), lettering.shorten(tick.name, NAME_ROOM, SMALL), SMALL)


def _outside(cut: shapely.LinearRing, x: Mm, y: Mm) -> Mm:
    """A little right of the cut edge at a height, seen from a point of the piece."""
    far = cut.bounds[2] + 1.0
    crossed = cut.intersection(shapely.LineString([(x, y), (far, y)]))
    return float(crossed.bounds[2] if not crossed.is_empty else x) + 0.8


def shown(ticks: tuple[Tick, ...], height: Mm) -> tuple[Tick, ...]:
    """All stations, or those with a name and an even choice of the rest where they stand too close to label."""
    room = max(2, int(height / APART))
    if len(ticks) <= room:
        return ticks
    named = [i for i, tick in enumerate(ticks) if tick.name][:room]
    rest = sorted(set(range(len(ticks))) - set(named))
    step = max(1, -(-len(rest) // max(1, room - len(named))))
    chosen = rest[::step] if len(named) < room else []
    return tuple(ticks[i] for i in sorted({*named, *chosen}))


def spread(wanted: list[Mm], apart: Mm) -> list[Mm]:
    """Heights at least `apart` from one another, in the same order, as near to the wanted ones as can be.

    Close ones are gathered into groups that stand evenly about their mean.

    >>> spread([10.0, 9.0, 0.0], 4.0)
    [11.5, 7.5, 0.0]
    """
    groups: list[list[int]] = []
    tops: list[Mm] = []
    for i in sorted(range(len(wanted)), key=lambda i: -wanted[i]):
        groups.append([i])
        tops.append(wanted[i])
        while len(groups) > 1 and tops[-2] - len(groups[-2]) * apart < tops[-1]:
            groups[-2:] = [groups[-2] + groups[-1]]
            mean = float(np.mean([wanted[j] for j in groups[-1]]))
            tops[-2:] = [mean + (len(groups[-1]) - 1) * apart / 2]
    result = [0.0] * len(wanted)
    for group, top in zip(groups, tops, strict=True):
        for place, i in enumerate(group):
            result[i] = top - place * apart
    return result


def clamps(made: Labels, construction: Construction) -> None:
    """What the strip outside the glue is for, along both cut edges."""
    flange = construction.flange
    if flange.clamp - flange.glue < 2 * SMALL:
        return
    out = (flange.glue + flange.clamp) / 2
    for side in (-1, 1):
        line, _ = made.areas.seam_lines(side)
        texts = (made.say("clamps"), made.say("clamps_short"))
        tries = chain(*(_along(line, out, side, text) for text in texts))
        made.placed.extend(made.room.place(tries, made.areas.clamp(side)))


def _along(line: np.ndarray, out: Mm, side: int, text: str) -> Iterator[tuple[Words, ...]]:
    """Places for words that run along the stitch line, `out` outside it, reading upwards."""
    length = shapely.LineString(line).length
    shares = (0.7, 0.6, 0.8, 0.5, 0.4, 0.85, 0.3, 0.2)
    for share, further in product(shares, (0.0, 1.0, -1.0, 2.0, 3.0)):
        at, n = normal(line, share * length, side)
        up = (n[1], -n[0]) if side < 0 else (-n[1], n[0])
        x, y = at[0] + (out + further) * n[0], at[1] + (out + further) * n[1]
        low = MIDDLE * SMALL
        angle = degrees(atan2(up[1], up[0]))
        yield (Words((x + low * up[1], y - low * up[0]), text, SMALL, "middle", angle),)


def snips(made: Labels) -> None:
    """One word beside the topmost snip of each side."""
    text = made.say("snip")
    for (x, y), side in snip_points(made.upper)[:2]:
        tries = (
            (Words((x + side * dx, y + dy), text, SMALL, "middle"),)
            for dx, dy in product((5.0, 4.0, 6.0, -4.0), (2.0, -3.6, 4.0, -5.6, 6.0, -8.0, 9.0, -11.0))
        )
        made.put(tries, made.areas.piece, text)
