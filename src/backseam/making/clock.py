"""The clock of wet leather: when it may be moulded, when clamps come off, when it is drawn, dry and ready for wax.

Minutes from the start of the soak; a door turns them into the time of day (`time_of_day`). Every moment is a band:
the 5 %, 50 % and 95 % points of samples drawn from the records' ranges (`leather.wet`), or narrower once the maker
has weighed the sheath (`making.weighing`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import inf, isfinite

import numpy as np
from numpy.typing import NDArray

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, ordered
from backseam.ground.sources import Value, records
from backseam.ground.speech import PLAIN, Speech
from backseam.ground.units import Celsius, Gram, Minute, Mm, Share
from backseam.leather.material import THICKEST, Material
from backseam.leather.records import TAIL, weak_names
from backseam.leather.wet import (
    COLLAR,
    DRAWN,
    FLANGE,
    HOUR,
    SAMPLES,
    WALL,
    Draws,
    History,
    Room,
    Work,
    draws,
    history,
    points,
)
from backseam.making.caution import heat_caution, room_caution, wet_caution
from backseam.making.weighing import Drying, Weighed, Weighing, weigh

Array = NDArray[np.float64]

FROST: Celsius = 1.0
DAMPEST: Share = 0.95  # of air in which drying is reckoned
QUANTILES = (TAIL, 0.5, 1 - TAIL)
CURVE_POINTS = 145
TINY = 1e-300
BY_HAND = ("soaked", "ready", "clamps_on", "clamps_off", "first_draw")  # not moved by how fast it dries


@dataclass(frozen=True)
class Moment:
    """A moment or a length of time, minutes: 5 % of cases are earlier than low, half than likely, 95 % than high.

    inf where this room never brings it about.
    """

    name: str
    low: Minute
    likely: Minute
    high: Minute


@dataclass(frozen=True)
class Curve:
    """Water on dry leather against minutes, arrays of one length: 5 %, 50 % and 95 % of the cases."""

    place: str
    minutes: Array
    low: Array
    likely: Array
    high: Array


@dataclass(frozen=True)
class Influence:
    """Share of a moment's spread that comes from one value, and whether the value is weak."""

    name: str
    share: Share
    weak: bool


@dataclass(frozen=True)
class Limits:
    """Likely water at which leather is too wet to mould, cased, too dry to mould, and feels dry; and what the room
    leaves in it."""

    too_wet: Share
    cased: Share
    too_dry: Share
    feels_dry: Share
    room: Share


@dataclass(frozen=True)
class Clock:
    """The timetable of one wet sheath.

    moments, in the order of their likely time; windows: how long leather stays fit to mould, left open on the bench
    and on the form. wall, slowest: water of the wall and of the place that dries last. moved: what spreads the
    readiness for wax, most first. drying: what the weighings taught, if any.
    """

    room: Room
    thickness: Mm
    kind: str
    work: Work
    moments: tuple[Moment, ...]
    windows: tuple[Moment, ...]
    wall: Curve
    slowest: Curve
    limits: Limits
    weak: tuple[str, ...]
    moved: tuple[Influence, ...]
    drying: Drying | None
    findings: tuple[Finding, ...]

    def moment(self, name: str) -> Moment:
        """The moment of that name."""
        return next(each for each in (*self.moments, *self.windows) if each.name == name)


def work_minutes(stitches: int | None = None, *, decorated: bool = False, pace: float = 1.0) -> Work:
    """Minutes of handwork while the leather is damp, from the records.

    The flat piece: fold, pierce, edge, decoration. On the form: try on, sew, mould, cement:

        sewing = setup + stitches / rate

    pace: own minutes over a practised maker's. Source: common practice. Tested: 45 stitches about 40 min.

    >>> round(work_minutes(45).form)                         # 10 + 8 + 45/1.4 + 25
    75
    """
    own = records("backseam.making", "clock.toml")
    minutes = {name: record.value for name, record in own.items()}
    flat = minutes["work.fold"] + minutes["work.pierce"] + minutes["work.edge"]
    flat += minutes["work.decorate"] if decorated else 0.0
    count = minutes["work.stitches"] if stitches is None else stitches
    sewing = minutes["work.setup"] + count / minutes["work.rate"]
    form = minutes["work.try_on"] + sewing + minutes["work.mould"]
    return Work(pace * flat, pace * form, pace * minutes["work.again"])


def clock(
    leather: Material,
    room: Room | None = None,
    work: Work | None = None,
    *,
    flap: Mm = 0.0,
    weighings: tuple[Weighing, ...] = (),
    piece: Gram | None = None,
    form: Gram | None = None,
    samples: int = SAMPLES,
) -> Clock:
    """The timetable of a sheath of that leather in that room.

    flap: thickness of a folded collar's inner layer, 0 for a plain mouth. weighings: minutes and grams of the whole
    while it dries; piece, form: grams before the soak of the leather and of what it is moulded on.
    Raises InputRefused, with one sentence, for a room in which nothing can be reckoned.
    """
    room, work = room or Room(), work or work_minutes()
    _refuse(leather, room, work, flap)
    drawn = draws(leather, _of_the_work(leather), room.moving, samples)
    past = history(leather, room, work, drawn, flap)
    times = _times(past, drawn, flap)
    weighed = weigh(leather, past, flap, weighings, piece, form) if weighings else None
    moments = tuple(sorted(_moments(times, past, weighed), key=lambda each: each.likely))
    wall, slowest = (_curve(past, drawn, place, moments, weighed) for place in (WALL, _slowest(flap)))
    windows = tuple(
        Moment(name, *_band(times[last] - past.ready, None))
        for name, last in (("open_bench", "bench_dry"), ("open_form", "window_closes"))
    )
    findings = (
        *leather.findings,
        *heat_caution(leather, room.temperature),
        *room_caution(leather, room),
        *wet_caution(leather, past, drawn),
        *(weighed.findings if weighed else ()),
    )
    return Clock(
        room,
        leather.thickness,
        leather.kind,
        work,
        moments,
        windows,
        wall,
        slowest,
        _limits(drawn, past),
        weak_names(drawn.records),
        _moved(times["wax"], drawn),
        weighed.drying if weighed else None,
        ordered(findings),
    )


def time_of_day(start: Minute, minutes: Minute) -> tuple[int, int, int]:
    """Days after the start's day, hour and minute, of so many minutes after `start` (minutes after midnight).

    >>> time_of_day(14 * 60, 700)                            # 14:00 and 11 h 40 min
    (1, 1, 40)
    """
    days, rest = divmod(round(start + minutes), round(24 * HOUR))
    hours, rest = divmod(rest, round(HOUR))
    return days, hours, rest


def spoken(minutes: Minute, speech: Speech = PLAIN) -> str:
    """A length of time in words, no finer than it is known.

    >>> spoken(11.8), spoken(171.0), spoken(2520.0)
    ('12 min', '2 h 50 min', '1 day 18 h')
    """
    if not isfinite(minutes):
        return speech.say("wet.duration.never")
    if minutes < 0.4 * HOUR:
        return speech.say("wet.duration.minutes", minutes=round(minutes))
    if minutes < 10 * HOUR:
        hours, rest = divmod(10 * round(minutes / 10), round(HOUR))
        words = [speech.say("wet.duration.hours", hours=hours)] if hours else []
        return " ".join([*words, speech.say("wet.duration.minutes", minutes=rest)] if rest else words)
    days, hours = divmod(round(minutes / HOUR), 24)
    if not days:
        return speech.say("wet.duration.hours", hours=hours)
    day = speech.say("wet.duration.day" if days == 1 else "wet.duration.days", days=days)
    return f"{day} {speech.say('wet.duration.hours', hours=hours)}" if hours else day


def _refuse(leather: Material, room: Room, work: Work, flap: Mm) -> None:
    """One sentence for what cannot be reckoned."""
    for name, value in (("temperature", room.temperature), ("humidity", room.humidity)):
        if not isfinite(value):
            name = PLAIN.say(f"wet.name.{name}")
            raise InputRefused(PLAIN.say("wet.refuse.number", name=name))
    if not 0 <= room.humidity <= 1:
        raise InputRefused(PLAIN.say("wet.refuse.humidity", humidity=room.humidity))
    if room.temperature < FROST:
        raise InputRefused(PLAIN.say("wet.refuse.frost", temperature=room.temperature, least=FROST))
    if room.temperature > leather.value("heat.refuse"):
        first, normal = leather.value("heat.first_move"), leather.value("wet.heat_limit")
        said = PLAIN.say("wet.refuse.heat", temperature=room.temperature, first=first, normal=normal)
        raise InputRefused(said)
    if room.humidity > DAMPEST:
        raise InputRefused(PLAIN.say("wet.refuse.saturated", humidity=room.humidity, most=DAMPEST))
    minutes = (work.flat, work.form, work.again, work.clamps or 0.0)
    if not all(isfinite(each) and each >= 0 for each in minutes):
        raise InputRefused(PLAIN.say("wet.refuse.minutes"))
    if not (isfinite(flap) and 0 <= flap <= THICKEST):
        raise InputRefused(PLAIN.say("wet.refuse.thickness", thickness=flap, most=THICKEST))


def _of_the_work(leather: Material) -> tuple[Value, ...]:
    """The records of the rest and of the pace of the hands."""
    least, most = leather.record("wet.rest_low"), leather.record("wet.rest_high")
    low, high = least.value * HOUR, most.value * HOUR
    rest = Value("wet.rest", (low + high) / 2, low, high, "min", least.kind, least.source, least.condition)
    return rest, records("backseam.making", "clock.toml")["work.pace"]


def _slowest(flap: Mm) -> str:
    return COLLAR if flap else FLANGE


def _times(past: History, drawn: Draws, flap: Mm) -> dict[str, Array]:
    """Each moment of each sample, minutes."""
    slowest = _slowest(flap)
    room = past.equilibrium
    ready, done = past.ready, past.done
    wall = _Falling(past.minutes, past.mean[WALL], room)
    lying = _Falling(past.lying_minutes, past.lying, room)
    slow = _Falling(past.minutes, past.mean[slowest], room)
    heart = _Falling(past.minutes, past.heart[slowest], room)
    return {
        "soaked": past.soaked,
        "ready": ready,
        "tool": lying.below(drawn["water.cased"], ready),
        "bench_dry": lying.below(drawn["water.too_dry"], ready),
        "clamps_on": past.glued,
        "clamps_off": past.freed,
        "first_draw": past.freed + (done - past.freed) / 2,
        "window_closes": np.minimum(past.first_damped, wall.below(drawn["water.too_dry"], ready)),
        "draw_last": wall.below(drawn["water.feels_dry"], past.freed),
        "second_draw": slow.below(room + drawn["ready.second_draw"], done),
        "wax": heart.below(room + drawn["ready.wax"], done),
    }


@dataclass(frozen=True)
class _Falling:
    """Water that falls to that of the room: minutes and water of each sample, (samples, times)."""

    minutes: Array
    water: Array
    room: Array

    def below(self, limit: Array, start: Array) -> Array:
        """Minutes, of each sample, at which the water falls below `limit`, from `start` on; inf if never.

        Between two times the water above that of the room falls as a power:

            t = t1 + (t2 - t1) ln((x1 - X_e)/(limit - X_e)) / ln((x1 - X_e)/(x2 - X_e))
        """
        rows = np.arange(len(self.water))
        below = (self.minutes >= start[:, None]) & (self.water <= limit[:, None])
        at = below.argmax(axis=1)
        before = np.maximum(at - 1, 0)
        x1, x2 = (np.log(np.maximum(self.water[rows, i] - self.room, TINY)) for i in (before, at))
        wanted = np.log(np.maximum(limit - self.room, TINY))
        share = np.clip((x1 - wanted) / np.where(x1 > x2, x1 - x2, 1.0), 0.0, 1.0)
        t1, t2 = self.minutes[rows, before], self.minutes[rows, at]
        return np.where(below.any(axis=1), np.maximum(t1 + share * (t2 - t1), start), inf)


def _moments(times: Mapping[str, Array], past: History, weighed: Weighed | None) -> Iterator[Moment]:
    for name, each in times.items():
        yield Moment(name, *_band(each, None if name in BY_HAND else weighed))
    again = past.first_damped
    if np.isfinite(again).mean() >= QUANTILES[1]:
        yield Moment("damp_again", *_band(again[np.isfinite(again)], None))


def _band(each: Array, weighed: Weighed | None) -> tuple[Minute, Minute, Minute]:
    """Low, likely, high of the samples, or of what the weighings left of them."""
    order = np.sort(weighed.moments(each) if weighed else each)
    at = [share * (len(order) - 1) for share in QUANTILES]
    with np.errstate(invalid="ignore"):
        found = [
            order[int(i)] + (i % 1) * (order[min(int(i) + 1, len(order) - 1)] - order[int(i)]) for i in at
        ]
    low, likely, high = (float(x) if not np.isnan(x) else inf for x in found)
    return low, likely, high


def _curve(
    past: History, drawn: Draws, place: str, moments: tuple[Moment, ...], weighed: Weighed | None
) -> Curve:
    """Bands of the water of a place, up to when it is ready for wax in all but a few cases."""
    end = next(each.high for each in moments if each.name == "wax")
    minutes = end * np.linspace(0.0, 1.0, CURVE_POINTS) ** 2
    water = past.mean[place]
    if weighed:
        each = weighed.water(minutes, past, water)
    else:
        each = np.array([np.interp(minutes, t, x) for t, x in zip(past.minutes, water, strict=True)])
    low, likely, high = np.quantile(each, QUANTILES, axis=0)
    for array in (minutes, low, likely, high):
        array.setflags(write=False)
    return Curve(place, minutes, low, likely, high)


def _limits(drawn: Draws, past: History) -> Limits:
    def middle(each: Array) -> Share:
        return float(np.median(each))

    return Limits(
        too_wet=middle(drawn["water.feels_wet"]),
        cased=middle(drawn["water.cased"]),
        too_dry=middle(drawn["water.too_dry"]),
        feels_dry=middle(drawn["water.feels_dry"]),
        room=middle(past.equilibrium),
    )


def _moved(moment: Array, drawn: Draws) -> tuple[Influence, ...]:
    """What spreads a moment: a straight line through its logarithm over all that was drawn, most first.

        ln t = c + sum b_r z_r;   share_r = b_r^2 var(z_r) / var(ln t)

    First order only: what two values do together is not counted, so the shares need not sum to 1.
    Source: textbook (standardised regression). Tested: a moment that hangs on one value alone.
    """
    known = np.isfinite(moment)
    if known.sum() < 3 * len(DRAWN):
        return ()
    log = np.log(moment[known])
    z = points(drawn.count)[:, known]
    slopes = np.linalg.lstsq(np.vstack([np.ones_like(log), z]).T, log, rcond=None)[0][1:]
    shares = slopes**2 * z.var(axis=1) / max(float(log.var()), np.finfo(float).tiny)
    weak = {record.name for record in drawn.records if record.weak}
    each = [
        Influence(names[0], float(share), any(name in weak for name in names))
        for names, share in zip(DRAWN, shares, strict=True)
    ]
    return tuple(sorted(each, key=lambda one: -one.share))
