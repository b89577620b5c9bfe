"""Drawing of the clock of wet leather: water against time, and under it what is done when. Ink only.

Time runs as its square root, so that the first hour and the third day can both be read; water in thick leather
also falls by the square root of time at first. Curve and bars stand on one axis: look down from the curve to see
what is to be done.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite, sqrt

import numpy as np
import shapely
from numpy.typing import NDArray

from backseam.ground.speech import Speech
from backseam.ground.units import Minute, Mm, Share
from backseam.making.clock import Clock, Moment, spoken, time_of_day
from backseam.papers.model import Drawing, Mark, Point, Role, Stroke, plate, segment, stroke
from backseam.papers.sheets.drafting import spread, text
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL, TITLE, fitting, shorten

Array = NDArray[np.float64]

HOUR: Minute = 60.0
DAY: Minute = 24 * HOUR

WIDE: Mm = 104.0  # of the field
HIGH: Mm = 58.0
NAMES: Mm = 36.0  # left of it
SAYS: Mm = 49.0  # right of it
HATCH: Mm = 1.7
TICK: Mm = 1.4
RIBBON: Mm = 4.0
WASHES = 6  # of the ribbon
DARKEST: Share = 0.62
PALEST: Share = 0.04
LANES_APART: Mm = 7.4
BAR: Mm = 4.2
BAR_INK: Share = 0.22
DOT: Mm = 0.95  # half the width of a moment's mark
ASIDE: Mm = 1.0  # of the bar's middle, where begin and end have a mark each
END: Mm = 0.7  # half the stroke at a line's end
CLOCK_ROW: Mm = 3.2
GRID: Share = 0.1  # of water, step of the axis
TICKS: tuple[Minute, ...] = (
    10,
    HOUR,
    3 * HOUR,
    6 * HOUR,
    12 * HOUR,
    *(d * DAY for d in (1, 2, 3, 4, 6, 8, 12, 16, 24)),
)
TICKS_APART: Mm = 8.0
NAMES_APART: Mm = 3.8

# What is done: its name, the moment at which it begins (none: at the start), the one at which it is over (none: it
# may be done from the first on).
LANES: tuple[tuple[str, str | None, str | None], ...] = (
    ("soak", None, "soaked"),
    ("rest", "soaked", "ready"),
    ("mould", "ready", "window_closes"),
    ("tool", "tool", "bench_dry"),
    ("clamps", "clamps_on", "clamps_off"),
    ("first_draw", "first_draw", "draw_last"),
    ("damp_again", "damp_again", None),
    ("second_draw", "second_draw", None),
    ("wax", "wax", None),
)


@dataclass(frozen=True)
class _Scale:
    """From minutes and water to the field, mm. end: the last minute, top: the most water."""

    end: Minute
    top: Share

    def x(self, minutes: Minute) -> Mm:
        return WIDE * sqrt(min(max(minutes, 0.0), self.end) / self.end)

    def y(self, water: Share) -> Mm:
        return HIGH * water / self.top

    def line(self, minutes: Array, water: Array) -> list[Point]:
        return [(self.x(float(t)), self.y(float(w))) for t, w in zip(minutes, water, strict=True)]


def water_curve(clock: Clock, speech: Speech, start: Minute | None = None) -> Drawing:
    """Water of the wall with its band and of the place that dries last, and a bar for each thing to be done.

    start: minutes after midnight at which the soak begins; with it, times are times of day.
    """
    scale = _Scale(_end(clock), _top(clock))
    lanes = [lane for lane in LANES if _known(clock, lane[1]) and _known(clock, lane[2])]
    marks: list[Mark] = [
        *_field(clock, scale, speech),
        *_curves(clock, scale, speech),
        *_ribbon(clock, scale),
        *_time_axis(scale, speech, start, len(lanes)),
    ]
    y = -RIBBON - 3.0 - (CLOCK_ROW if start is not None else 0.0)
    for name, begins, ends in lanes:
        y -= LANES_APART
        marks += _lane(clock, scale, speech, y, (name, begins, ends), start)
    marks += _captions(clock, speech, y - LANES_APART)
    return Drawing("water", tuple(marks))


def _known(clock: Clock, name: str | None) -> bool:
    return name is None or any(each.name == name for each in clock.moments)


def _end(clock: Clock) -> Minute:
    """The last minute shown: a little after the latest moment that comes at all."""
    return 1.04 * max(each.high for each in clock.moments if isfinite(each.high))


def _top(clock: Clock) -> Share:
    most = max(float(clock.wall.high.max()), clock.limits.too_wet)
    return GRID * float(np.ceil(most / GRID + 0.3))


def _field(clock: Clock, scale: _Scale, speech: Speech) -> Iterator[Mark]:
    """Axes, the limits with their names, the tinted strip between too wet and too dry."""
    limits = clock.limits
    low, high = scale.y(limits.too_dry), scale.y(min(limits.too_wet, scale.top))
    yield Stroke(((0.0, low), (WIDE, low), (WIDE, high), (0.0, high)), Role.LEADER, closed=True, fill=0.07)
    names = ("too_wet", "cased", "too_dry", "room")
    waters = (limits.too_wet, limits.cased, limits.too_dry, limits.room)
    rising = sorted(zip(waters, names, strict=True))
    levels = spread([scale.y(water) for water, _ in rising], NAMES_APART, 0.0, HIGH)
    for (water, name), level in zip(rising, levels, strict=True):
        y = scale.y(water)
        yield segment((0.0, y), (WIDE, y), Role.PRESS)
        yield text((WIDE + 2.0, level), speech.say(f"plots.water.limit.{name}"), size=NOTE)
    yield segment((0.0, 0.0), (0.0, HIGH), Role.CUT)
    yield segment((0.0, 0.0), (WIDE, 0.0), Role.CUT)
    for k in range(int(scale.top / GRID + 1e-9) + 1):
        y = scale.y(k * GRID)
        yield segment((-TICK, y), (0.0, y), Role.LEADER)
        yield text((-TICK - 1.0, y), speech.fill("{v:pct0}", {"v": k * GRID}), "end", size=SMALL)
    yield text((-TICK - 12.0, HIGH / 2), speech.say("plots.water.axis"), "middle", angle=90.0, size=NOTE)


def _curves(clock: Clock, scale: _Scale, speech: Speech) -> Iterator[Mark]:
    """The wall's band hatched, its likely curve wide; the slowest place dashed."""
    wall, slow = clock.wall, clock.slowest
    low, high = (scale.line(wall.minutes, row) for row in (wall.low, wall.high))
    area = shapely.make_valid(shapely.Polygon([*low, *high[::-1]]))
    yield from hatch(area, Role.LEADER, spacing=HATCH)
    yield stroke(low, Role.LEADER)
    yield stroke(high, Role.LEADER)
    yield stroke(scale.line(slow.minutes, slow.likely), Role.HIDDEN)
    yield stroke(scale.line(wall.minutes, wall.likely), Role.CUT)
    yield from _named(clock, scale, speech)


def _named(clock: Clock, scale: _Scale, speech: Speech) -> Iterator[Mark]:
    """Names of the two curves on white, above the band, with a line to each."""
    wall, slow = clock.wall, clock.slowest
    for curve, share, lift in ((slow, 0.72, 17.0), (wall, 0.58, 22.0)):
        minutes = scale.end * share**2
        on = (scale.x(minutes), scale.y(float(np.interp(minutes, curve.minutes, curve.likely))))
        above = scale.y(float(np.interp(minutes, wall.minutes, wall.high)))
        at = (on[0] + 3.0, max(above + 4.0, on[1] + lift))
        words = text(at, speech.say(f"plots.water.place.{curve.place}"), size=NOTE)
        yield segment(on, (at[0] - 0.6, at[1]), Role.LEADER)
        yield plate(words)
        yield words


def _ribbon(clock: Clock, scale: _Scale) -> Iterator[Mark]:
    """The leather's own colour under the axis: dark when wet, pale when dry, in a few washes."""
    top, bottom = -0.6, -0.6 - RIBBON
    minutes = scale.end * np.linspace(0.0, 1.0, 400) ** 2
    water = np.interp(minutes, clock.wall.minutes, clock.wall.likely)
    wet = np.clip((water - clock.limits.room) / max(float(water.max()) - clock.limits.room, 1e-9), 0.0, 1.0)
    wash = np.minimum((wet * WASHES).astype(int), WASHES - 1)
    edges = [0, *(np.flatnonzero(np.diff(wash)) + 1), len(wash) - 1]
    for first, last in pairwise(edges):
        left, right = scale.x(float(minutes[first])), scale.x(float(minutes[last]))
        ink = PALEST + (DARKEST - PALEST) * float(wash[first]) / (WASHES - 1)
        yield Stroke(
            ((left, bottom), (right, bottom), (right, top), (left, top)), Role.PIECE, closed=True, fill=ink
        )
    yield stroke([(0.0, bottom), (WIDE, bottom), (WIDE, top), (0.0, top)], Role.LEADER, closed=True)


def _time_axis(scale: _Scale, speech: Speech, start: Minute | None, lanes: int) -> Iterator[Mark]:
    """Hours and days under the ribbon, and a thin line of each down through the bars."""
    y, last = -RIBBON - 0.6, -TICKS_APART
    head = y - 6.9 - (CLOCK_ROW if start is not None else 0.0)
    foot = head - LANES_APART * lanes
    for minutes in (0.0, *TICKS):
        x = scale.x(minutes)
        if minutes > scale.end or x - last < TICKS_APART:
            continue
        last = x
        yield segment((x, y), (x, y - TICK), Role.LEADER)
        yield segment((x, head), (x, foot), Role.PRESS)
        yield text((x, y - 3.4), _tick(minutes, speech), "middle", size=SMALL)
        if start is not None:
            yield text((x, y - 6.6), _hour(start, minutes, speech), "middle", size=SMALL)
    yield text((-5.0, y - 3.4), speech.say("plots.water.time"), "end", size=SMALL)
    yield text((-5.0, -0.6 - RIBBON / 2), speech.say("plots.water.colour"), "end", size=SMALL)
    if start is not None:
        yield text((-5.0, y - 6.6), speech.say("plots.water.clock"), "end", size=SMALL)


def _tick(minutes: Minute, speech: Speech) -> str:
    if minutes < HOUR:
        return speech.say("plots.water.minute", m=round(minutes)) if minutes else "0"
    if minutes < DAY:
        return speech.say("plots.water.hour", h=round(minutes / HOUR))
    return speech.say("plots.water.day", d=round(minutes / DAY))


def _hour(start: Minute, minutes: Minute, speech: Speech) -> str:
    _, hour, minute = time_of_day(start, minutes)
    return speech.say("plots.water.at", hour=hour, minute=minute)


def _lane(
    clock: Clock,
    scale: _Scale,
    speech: Speech,
    y: Mm,
    lane: tuple[str, str | None, str | None],
    start: Minute | None,
) -> Iterator[Mark]:
    """One thing to be done: name, bar from likely begin to likely end, whiskers, and in words when."""
    name, begins, ends = lane
    yield text((-5.0, y), speech.say(f"plots.water.lane.{name}"), "end", size=MAIN)
    first = clock.moment(begins) if begins else None
    last = clock.moment(ends) if ends else None
    left = scale.x(first.likely) if first else 0.0
    if last or name != "damp_again":
        right = scale.x(last.likely) if last and isfinite(last.likely) else WIDE
        yield from _bar(left, max(right, left + 0.4), y, open_end=last is None)
    apart = ASIDE if first and last and name != "rest" else 0.0
    for moment, side in ((first if name != "rest" else None, apart), (last, -apart)):
        if moment is not None:
            yield from _whisker(scale, moment, y + side)
    if first and last and name != "rest":
        yield from _told_window(name, first, last, y, speech, start)
    elif told := last or first:
        yield from _told(told, y, speech, start)


def _bar(left: Mm, right: Mm, y: Mm, *, open_end: bool) -> Iterator[Mark]:
    half = BAR / 2
    box = ((left, y - half), (right, y - half), (right, y + half), (left, y + half))
    yield Stroke(box, Role.PIECE, closed=True, fill=BAR_INK)
    if open_end:
        yield stroke([box[1], box[0], box[3], box[2]], Role.LEADER)
    else:
        yield stroke(box, Role.LEADER, closed=True)


def _whisker(scale: _Scale, moment: Moment, y: Mm) -> Iterator[Mark]:
    """From low to high, a solid mark at likely."""
    low, likely, high = (scale.x(each) for each in (moment.low, moment.likely, moment.high))
    yield segment((low, y), (high, y), Role.LEADER)
    for x in (low, high):
        yield segment((x, y - END), (x, y + END), Role.LEADER)
    if isfinite(moment.likely):
        diamond = ((likely - DOT, y), (likely, y - DOT), (likely + DOT, y), (likely, y + DOT))
        yield Stroke(diamond, Role.LEADER, closed=True, fill=1.0)


def _told(moment: Moment, y: Mm, speech: Speech, start: Minute | None) -> Iterator[Mark]:
    """When, likely, in bold, and its band, at the right of the field."""
    low, likely, high = (when(each, speech, start) for each in (moment.low, moment.likely, moment.high))
    yield from _two_lines(y, likely, speech.say("plots.water.between", low=low, high=high))


def _two_lines(y: Mm, bold: str, plain: str) -> Iterator[Mark]:
    """Two lines at the right of the field, smaller if they would run off the sheet."""
    for words, size, heavy, lift in ((bold, NOTE, True, 1.4), (plain, SMALL, False, -1.7)):
        said, fits = fitting(words, SAYS - 2.0, size, SMALL, heavy)
        yield text((WIDE + 2.0, y + lift), said, bold=heavy, size=fits)


def _told_window(
    name: str, first: Moment, last: Moment, y: Mm, speech: Speech, start: Minute | None
) -> Iterator[Mark]:
    """From when to when, likely, in bold; below it from when to when in nearly all cases, if at all."""

    def between(key: str, low: Minute, high: Minute) -> str:
        return speech.say(f"plots.water.{key}", low=when(low, speech, start), high=when(high, speech, start))

    if name == "clamps":
        words = speech.say("plots.water.clamped")
    elif first.high < last.low:
        words = between("sure", first.high, last.low)
    else:
        words = speech.say("plots.water.unsure")
    yield from _two_lines(y, between("between", first.likely, last.likely), words)


def when(minutes: Minute, speech: Speech, start: Minute | None) -> str:
    """A moment in words: so long after the start, or the day and time, to the quarter of an hour."""
    if start is None or not isfinite(minutes):
        return spoken(minutes, speech)
    rounded = 15 * round((start + minutes) / 15) if minutes > HOUR else round(start + minutes)
    day, hour, minute = time_of_day(0.0, rounded)
    time = speech.say("plots.water.at", hour=hour, minute=minute)
    key = "same_day" if not day else "next_day" if day == 1 else "later"
    return speech.say(f"plots.water.{key}", day=day + 1, time=time)


def _captions(clock: Clock, speech: Speech, y: Mm) -> Iterator[Mark]:
    """What leather in what room above the field; below the bars what would narrow them."""
    left = -NAMES
    yield text((left, HIGH + 12.0), speech.say("plots.water.title"), bold=True, size=TITLE)
    air = speech.say("plots.water.moving" if clock.room.moving else "plots.water.still")
    of = speech.say(
        "plots.water.of",
        kind=speech.say(f"plots.water.kind.{clock.kind}"),
        thickness=clock.thickness,
        temperature=clock.room.temperature,
        humidity=clock.room.humidity,
        air=air,
    )
    yield text((left, HIGH + 6.6), of, size=NOTE)
    key = speech.say("plots.water.weighed" if clock.drying else "plots.water.band")
    yield text((WIDE + SAYS, HIGH + 6.6), key, "end", size=NOTE)
    room = NAMES + WIDE + SAYS
    for line in _below(clock, speech):
        yield text((left, y), shorten(line, room, NOTE), size=NOTE)
        y -= 4.6


def _below(clock: Clock, speech: Speech) -> Iterator[str]:
    if len(clock.moved) > 1:
        first, second = (speech.say(f"plots.water.cause.{each.name}") for each in clock.moved[:2])
        yield speech.say("plots.water.moved", first=first, second=second, share=clock.moved[0].share)
    if clock.drying is None:
        yield speech.say("plots.water.narrow")
    else:
        yield speech.say("plots.water.learnt", dry=clock.drying.dry[1], left=clock.drying.left[1])
