"""Drawings of the fit: force against travel, and where the spread of the draw comes from. Ink only.

As long as nothing finished has been measured the force has no scale but the words: each word has a strip about as
high as the others, and the last one is open above. With girth and pull measured it is a scale of newtons, the words
beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, log10

import numpy as np
import shapely
from numpy.typing import NDArray

from backseam.fit.hold import LIMITS, Fit, Hold
from backseam.fit.telling import how_settled, name
from backseam.geom.curve import smooth_monotone
from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.ground.units import INCH, Mm, Newton, Share
from backseam.papers.model import Drawing, Mark, Role, Stroke, segment, stroke
from backseam.papers.sheets.drafting import text
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL, TITLE, wrap
from backseam.papers.sheets.lettering import width as text_width

Array = NDArray[np.float64]

WIDE: Mm = 118.0  # of the field
STRIP: Mm = 10.0  # height of a word, about
FIELD: Mm = 76.0  # height of the field
TICK: Mm = 1.6
HATCH: Mm = 1.7
BELOW: Share = 0.25  # of a strip: how far below nothing the field reaches
HARDEST = 5.0  # times the last limit at which the open strip ends
NAMES: Mm = 48.0  # room for the names of a bar
BAR: Mm = 4.2
BARS_APART: Mm = 7.4
LEAST_SHARE: Share = 0.005
GREY: Share = 0.3
_GUESSED, _KNOWN, _BOTH = "weak", "read", "together"
STEPS = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True)
class _Scale:
    """From travel and force to the field. whole: the longest travel, mm; most: force at the top, N, or None: words.

    wide, high: of the field, mm; small, main: sizes of type.
    """

    whole: Mm
    most: Newton | None
    wide: Mm = WIDE
    high: Mm = FIELD
    small: Mm = SMALL
    main: Mm = MAIN

    @property
    def floor(self) -> Share:
        """How far below nothing the field reaches, as a share of its height."""
        return BELOW * STRIP / FIELD

    @property
    def bottom(self) -> Mm:
        return -self.floor * self.high

    def x(self, travel: Mm) -> Mm:
        return travel / self.whole * self.wide

    def share(self, force: Newton) -> Share:
        """Where a force lies, 0 at nothing, 1 at the top."""
        if self.most is not None:
            return max(force / self.most, -self.floor)
        return on_ladder(force)

    def y(self, force: Newton) -> Mm:
        return self.high * self.share(force)

    def line(self, at: Array, force: Array) -> list[tuple[Mm, Mm]]:
        """Forces at some travels as they are drawn: through the points without swinging beyond them, on this scale."""
        travel = np.unique(np.concatenate([np.linspace(at[0], at[-1], 241), at]))
        height = smooth_monotone(at, np.array([self.share(float(f)) for f in force]))(travel)
        return [(self.x(float(q)), self.high * float(h)) for q, h in zip(travel, height, strict=True)]


def on_ladder(force: Newton) -> Share:
    """Where a force lies on the ladder of words, 0 at nothing, 1 at the hardest drawn: log(1 + f/f0) over that of the
    hardest, so that the strips of the words are about as high as one another and the last is open.

    >>> [round(on_ladder(f), 2) for f in (0.0, 5.0, 12.0, 40.0, 1000.0)]
    [0.0, 0.13, 0.26, 0.53, 1.0]
    """
    first, hardest = 2 * default(LIMITS[0]), default(LIMITS[-1]) * HARDEST
    if force < 0:
        return max(force / first, -BELOW * STRIP / FIELD)
    return float(min(np.log1p(force / first) / np.log1p(hardest / first), 1.0))


def force_curve(fit: Fit, speech: Speech) -> Drawing:
    """Force against travel: drawing out with its band, pushing in; the words or newtons; the seat and the thickest."""
    scale = _scale(fit)
    marks = [*_curves(fit, scale, speech), *_captions(fit, scale, speech)]
    return Drawing("force", tuple(marks))


def small_force_curve(fit: Fit, speech: Speech, wide: Mm, high: Mm, size: Mm) -> Drawing:
    """The same for a card: a field of that size, type of one size, the key under it, no more."""
    scale = replace(_scale(fit), wide=wide, high=high, small=size, main=size)
    marks = [*_curves(fit, scale, speech), *_key(scale.bottom - 4.4 * size, speech, size, left=-wide / 2)]
    return Drawing("force", tuple(marks))


def _scale(fit: Fit) -> _Scale:
    most = _round_up(1.1 * float(fit.curve.draw[2].max())) if fit.calibrated else None
    return _Scale(float(fit.curve.travel[-1]), most)


def _curves(fit: Fit, scale: _Scale, speech: Speech) -> Iterator[Mark]:
    at, draw = fit.curve.travel, fit.curve.draw
    low, out, high, back = (scale.line(at, row) for row in (*draw, fit.curve.push[1]))
    area = shapely.make_valid(shapely.Polygon([*low, *high[::-1]]))
    yield from _frame(scale)
    yield from hatch(area, Role.LEADER, spacing=HATCH)
    yield stroke(low, Role.LEADER)
    yield stroke(high, Role.LEADER)
    yield stroke(back, Role.HIDDEN)
    yield stroke(out, Role.CUT)
    yield from _travel_axis(scale, speech)
    yield from _force_axis(scale, speech)
    yield from _lip_mark(fit, scale, speech)


def _round_up(force: Newton) -> Newton:
    """The next round number: 1, 2 or 5 times a power of ten, in fifths.

    >>> _round_up(41.2), _round_up(7.0)
    (50.0, 8.0)
    """
    step = _step(force / 5)
    return step * ceil(force / step)


def _step(size: float) -> float:
    power = 10.0 ** np.floor(log10(max(size, 1e-6)))
    return float(next(s for s in STEPS if s * power >= size - 1e-12) * power)


def _frame(scale: _Scale) -> Iterator[Mark]:
    yield segment((0.0, scale.bottom), (0.0, scale.high), Role.CUT)
    yield segment((0.0, 0.0), (scale.wide, 0.0), Role.CUT)


def _travel_axis(scale: _Scale, speech: Speech) -> Iterator[Mark]:
    """Ticks of travel under the field, numbers in the speech's unit."""
    bottom, size = scale.bottom, scale.small
    unit_size = INCH if speech.units == "inch" else 1.0
    step = _step(scale.whole / unit_size / (6 if scale.wide > WIDE / 2 else 3))
    for k in range(int(scale.whole / unit_size / step + 1e-9) + 1):
        x = scale.x(k * step * unit_size)
        yield segment((x, 0.0), (x, -TICK), Role.LEADER)
        yield text((x, bottom - 0.85 * size), f"{k * step:g}", "middle", size=size)
    unit = speech.say(f"fit.plot.travel_{speech.units}")
    yield text((scale.wide, bottom - 2.4 * size), unit, "end", size=max(size, NOTE))


def _force_axis(scale: _Scale, speech: Speech) -> Iterator[Mark]:
    """Words of the hold at the left with their limits across the field, or newtons there and words at the right."""
    limits = [default(limit) for limit in LIMITS]
    top = scale.high
    edges = [0.0, *(scale.y(limit) for limit in limits if scale.y(limit) < top - 1), top]
    for y in edges[1:-1]:
        yield segment((0.0, y), (scale.wide, y), Role.PRESS)
    for hold, low, high in zip(Hold, edges, edges[1:], strict=False):
        if high - low < scale.small:
            continue
        said = speech.say(f"fit.hold.{hold.value}")
        if scale.most is None:
            yield text((-2.4, (low + high) / 2), said, "end", size=scale.main)
        else:
            yield text((scale.wide + 2.0, (low + high) / 2), said, "start", size=scale.small)
    if scale.most is None:
        return
    step = _step(scale.most / 6)
    for k in range(int(scale.most / step + 1e-9) + 1):
        y = scale.y(k * step)
        yield segment((0.0, y), (-TICK, y), Role.LEADER)
        yield text((-2.4, y), f"{k * step:g}", "end", size=scale.small)
    yield text((-2.4, top + 3.6), speech.say("fit.plot.newtons"), "end", size=max(scale.small, NOTE))


def _lip_mark(fit: Fit, scale: _Scale, speech: Speech) -> Iterator[Mark]:
    """Where the thickest comes to the mouth."""
    if not 0.5 < fit.lip < scale.whole:
        return
    x = scale.x(fit.lip)
    yield segment((x, 0.0), (x, scale.high + 1.5), Role.CENTRE)
    yield text((x + 1.0, scale.high + 3.4), speech.say("fit.plot.thickest_out"), "start", size=scale.small)


def _key(y: Mm, speech: Speech, size: Mm = SMALL, left: Mm | None = None) -> Iterator[Mark]:
    """What the lines are, in one row, or one under the other from `left` on."""
    x, long = left or 0.0, 9.0
    for which in ("draw", "most", "push"):
        box = [(x, y - 1.5), (x + long, y - 1.5), (x + long, y + 1.5), (x, y + 1.5)]
        if which == "most":
            yield from hatch(shapely.Polygon(box), Role.LEADER, spacing=HATCH)
            yield segment(box[0], box[1], Role.LEADER)
            yield segment(box[3], box[2], Role.LEADER)
        else:
            yield segment((x, y), (x + long, y), Role.CUT if which == "draw" else Role.HIDDEN)
        said = speech.say(f"fit.plot.{which}")
        yield text((x + long + 1.6, y), said, "start", size=size)
        if left is not None:
            y -= 1.4 * size
        else:
            x += long + 1.6 + text_width(said, size) + 5.0


def _captions(fit: Fit, scale: _Scale, speech: Speech) -> Iterator[Mark]:
    y = scale.bottom - 13.0
    yield text((0.0, scale.high + 9.5), speech.say("fit.plot.force_title"), "start", bold=True, size=TITLE)
    yield from _key(y, speech)
    lines = [how_settled(fit, speech)]
    if not fit.calibrated:
        lines.insert(0, speech.say("fit.plot.words_note"))
    y -= 5.0
    for line in (part for said in lines for part in wrap(said, WIDE, SMALL)):
        yield text((0.0, y), line, "start", size=SMALL)
        y -= 1.45 * SMALL


def shares(fit: Fit, speech: Speech) -> Drawing:
    """Where the spread of the draw comes from: a bar for each unknown, hatched where its value is an estimate."""
    bars = [part for part in fit.parts if part.share >= LEAST_SHARE]
    rows = [(name(part.name, fit, speech), part.share, _GUESSED if part.weak else _KNOWN) for part in bars]
    if fit.together >= LEAST_SHARE:
        rows.append((speech.say("fit.name.together"), fit.together, _BOTH))
    marks: list[Mark] = []
    longest = max((share for _, share, _ in rows), default=1.0)
    room = WIDE - NAMES - 12.0
    y = 0.0
    for said, share, kind in rows:
        marks += _bar(said, share, kind, y, room * share / longest)
        y -= BARS_APART
    foot = y + BARS_APART - BAR
    marks.append(segment((NAMES, BAR), (NAMES, foot), Role.CUT))
    marks.append(text((0.0, BAR + 6.0), speech.say("fit.plot.shares_title"), "start", bold=True, size=TITLE))
    marks += _weak_key(foot - 4.0, speech)
    note = speech.say("fit.plot.shares_note", samples=fit.samples)
    marks.append(text((NAMES, foot - 9.0), note, "start", size=SMALL))
    return Drawing("shares", tuple(marks))


def _bar(said: str, share: Share, kind: str, y: Mm, length: Mm) -> Iterator[Mark]:
    low, high = y - BAR / 2, y + BAR / 2
    corners = [(NAMES, low), (NAMES + length, low), (NAMES + length, high), (NAMES, high)]
    yield text((NAMES - 2.0, y), said, "end", size=NOTE)
    yield from _filled(corners, kind)
    yield text((NAMES + length + 2.0, y), f"{100 * share:.0f} %", "start", size=NOTE)


def _filled(corners: list[tuple[Mm, Mm]], kind: str) -> Iterator[Mark]:
    """A box: hatched for an estimate, grey for what was read, white for what unknowns do only together."""
    if kind == _GUESSED:
        yield from hatch(shapely.Polygon(corners), Role.LEADER, spacing=HATCH)
    elif kind == _KNOWN:
        yield Stroke(tuple(corners), Role.PIECE, closed=True, fill=GREY)
    yield stroke(corners, Role.PIECE, closed=True)


def _weak_key(y: Mm, speech: Speech) -> Iterator[Mark]:
    x = NAMES
    for kind in (_GUESSED, _KNOWN):
        yield from _filled([(x, y - 1.4), (x + 6.0, y - 1.4), (x + 6.0, y + 1.4), (x, y + 1.4)], kind)
        said = speech.say(f"fit.plot.{kind}")
        yield text((x + 7.5, y), said, "start", size=SMALL)
        x += 7.5 + text_width(said, SMALL) + 6.0
