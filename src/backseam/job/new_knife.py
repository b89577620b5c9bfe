"""Another knife, known by a few strap readings, on the form of a stored job scaled smoothly to them.

    ratio at each reading = girth read / girth of the stored form there; between readings monotone, beyond them as there

So the knife keeps the stored one's way of tapering, its sections, its bend and its landmarks; what lies away from a
reading is a guess, and the guess gets worse with the distance.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import pi
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from backseam.form.build import build
from backseam.form.form import Form
from backseam.form.girth import Instrument, butted, girth_under_strap, usual_spread
from backseam.geom.curve import smooth_monotone
from backseam.ground.errors import InDoubt, InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.numbers import Unit, read_length
from backseam.ground.sources import default, values
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, Share
from backseam.job.document import Job
from backseam.job.inputs import Inputs, inputs
from backseam.job.paths import put_all
from backseam.job.piece import on_axis

Array = NDArray[np.float64]

MOST = 12  # readings
_GIRTHS = (20.0, 400.0)  # mm, that a strap can read round a knife
_HEIGHTS = (-500.0, 1000.0)
_PAIR = re.compile(r"[:=]")


@dataclass(frozen=True)
class Strap:
    """One reading: a height as the stored jobs count them, and what a butted strap read there, mm."""

    height: Mm
    girth: Mm


@dataclass(frozen=True)
class NewKnife:
    """What is known of another knife. straps: by height; strap: thickness of the strap, mm (None: of each job's own
    leather); junction, thickest: heights, mm, if somebody looked. findings: of the readings themselves.
    """

    straps: tuple[Strap, ...]
    strap: Mm | None = None
    junction: Mm | None = None
    thickest: Mm | None = None
    findings: tuple[Finding, ...] = ()


class Formed(Protocol):
    """A job as far as its form: all that the scaling needs."""

    @property
    def job(self) -> Job:
        """The document."""

    @property
    def inputs(self) -> Inputs:
        """What the core takes of it."""

    @property
    def form(self) -> Form:
        """The solid."""


@dataclass(frozen=True)
class Shaped:
    """A job worked no further than its form; quick."""

    job: Job
    inputs: Inputs
    form: Form


def shaped(job: Job) -> Shaped:
    """The form of a job. Raises InputRefused if it cannot be worked from."""
    given = inputs(job)
    return Shaped(job, given, build(given.form))


@dataclass(frozen=True)
class Scaled:
    """A stored job turned to the new knife. at, ratio, more: heights on the axis, how much larger the knife is there,
    and by how many mm of girth; job: None where no reading lies on the upper.
    """

    job: Job | None
    at: Array
    ratio: Array
    more: Array
    findings: tuple[Finding, ...]

    def doubt(self, u: Array) -> Array:
        """By how much the girth there may be off, mm, half width: of a strap, and more with the distance."""
        away = np.abs(u[:, None] - self.at).min(axis=1)
        return np.asarray(np.hypot(usual_spread(Instrument.STRAP_BUTTED), default("match.doubt") * away))


# --- reading what was typed ----------------------------------------------------------------------------------------


def read(
    text: str,
    *,
    unit: Unit = "mm",
    strap: str | None = None,
    junction: str | None = None,
    thickest: str | None = None,
) -> NewKnife:
    """A knife from "12:84 55:93 98:101", heights and girths; inches and decimal commas as everywhere.

    Raises InputRefused with what to type.
    """
    straps = [_strap(height, girth, unit) for height, girth in _pairs(text)]
    if not 1 <= len(straps) <= MOST:
        raise _no("count", count=len(straps), most=MOST)
    merged, found = _merged(sorted(straps, key=lambda one: one.height))
    if len(merged) == 1:
        found = (*found, finding("MATCH-001", (), height=merged[0].height))
    return NewKnife(
        merged,
        None
        if strap is None
        else _within("strap", read_length(strap, unit=unit, thickness=True).mm, 0.05, 10.0),
        None if junction is None else read_length(junction, unit=unit, signed=True).mm,
        None if thickest is None else read_length(thickest, unit=unit, signed=True).mm,
        found,
    )


def _pairs(text: str) -> Iterator[tuple[str, str]]:
    """Height and girth of each reading, as typed; blanks may stand inside a number ("3 1/2 in")."""
    if ";" in text:
        for part in filter(None, (one.strip() for one in text.split(";"))):
            sides = _PAIR.split(part)
            if len(sides) != 2:
                raise _no("pair", typed=part[:40])
            yield sides[0], sides[1]
        return
    chunks = _PAIR.split(text.strip())
    if len(chunks) < 2:
        raise _no("pair", typed=text[:40])
    height = chunks[0]
    for chunk in chunks[1:-1]:
        girth, after = _halved(chunk)
        yield height, girth
        height = after
    yield height, chunks[-1].strip().rstrip(",")


def _halved(chunk: str) -> tuple[str, str]:
    """A girth and the next height, parted where both can be read."""
    words = chunk.split()
    for i in range(1, len(words)):
        girth, height = " ".join(words[:i]).rstrip(","), " ".join(words[i:])
        if _readable(girth) and _readable(height):
            return girth, height
    if len(words) == 2:
        return words[0], words[1]
    raise _no("pair", typed=chunk.strip()[:40])


def _readable(text: str) -> bool:
    try:
        read_length(text, signed=True)
    except InDoubt:
        return True
    except InputRefused:
        return False
    return True


def _strap(height: str, girth: str, unit: Unit) -> Strap:
    return Strap(
        _within("height", read_length(height, unit=unit, signed=True).mm, *_HEIGHTS),
        _within("girth", read_length(girth, unit=unit).mm, *_GIRTHS),
    )


def _within(what: str, value: Mm, low: Mm, high: Mm) -> Mm:
    if not low <= value <= high:
        raise _no(what, value=f"{value:g}", low=f"{low:g}", high=f"{high:g}")
    return value


def _merged(straps: list[Strap]) -> tuple[tuple[Strap, ...], tuple[Finding, ...]]:
    """Readings at one height as their mean; said where they do not agree."""
    groups: list[list[Strap]] = []
    for one in straps:
        if groups and one.height - groups[-1][0].height <= default("match.same_height"):
            groups[-1].append(one)
        else:
            groups.append([one])
    found: list[Finding] = []
    merged = []
    for group in groups:
        girths = [one.girth for one in group]
        apart = max(girths) - min(girths)
        if apart > default("match.agree"):
            found.append(finding("MATCH-002", (), height=group[0].height, apart=apart))
        merged.append(Strap(sum(one.height for one in group) / len(group), sum(girths) / len(girths)))
    return tuple(merged), tuple(found)


def _no(why: str, **values: object) -> InputRefused:
    return InputRefused(PLAIN.say(f"match.refuse.{why}", **values))


# --- the stored form, scaled ---------------------------------------------------------------------------------------


def scaled(stored: Formed, knife: NewKnife) -> Scaled:
    """The stored job with the girths of the new knife; readings off the upper are left out, and said.

    ratio_i = (girth read - pi strap) / girth of the stored form at its height, both without film. Source: derived.
    Tested: a knife that reads as the stored one has ratio 1 everywhere.
    """
    form, film = stored.form, stored.inputs.construction.film
    strap = stored.inputs.leather.thickness if knife.strap is None else knife.strap
    lift = lift_of(stored.job)
    top = max(form.marks.mouth, form.rows[-1].station)
    beyond = default("match.beyond")
    found: list[Finding] = []
    at: list[float] = []
    ratio: list[float] = []
    more: list[float] = []
    for one in knife.straps:
        u = on_axis(form, one.height + lift)
        bare = girth_under_strap(one.girth, strap)
        if not -beyond <= u <= top + beyond or bare <= 0:
            found.append(
                finding("MATCH-003", (), height=one.height, low=-lift, high=form.as_read(top) - lift)
            )
            continue
        own = float(form.girth(np.array([min(max(u, 0.0), top)]))[0]) - 2 * pi * film
        at.append(u)
        ratio.append(bare / own)
        more.append(bare - own)
    if not at:
        return Scaled(None, np.zeros(0), np.zeros(0), np.zeros(0), tuple(found))
    part = Scaled(None, np.array(at), np.array(ratio), np.array(more), tuple(found))
    return replace(part, job=_job(stored, knife, part, strap))


def share(part: Scaled, u: Array) -> Array:
    """How much larger the knife is at heights u (n,); beyond the readings as at the last of them."""
    inside = np.clip(u, part.at[0], part.at[-1])
    return np.asarray(smooth_monotone(part.at, part.ratio)(inside))


def lift_of(job: Job) -> Mm:
    """What a height as noted in a job lacks to count from the bottom edge."""
    return (job.form.reach_mm or 0.0) if job.form.heights_from == "junction" else 0.0


def _job(stored: Formed, knife: NewKnife, part: Scaled, strap: Mm) -> Job:
    """The document of the new knife: every stored row scaled, and a row at every reading."""
    form, film, lift = stored.form, stored.inputs.construction.film, lift_of(stored.job)
    heights = {row.station: row for row in form.rows}
    near = default("match.same_height")
    extra = [u for u in part.at if all(abs(u - one) > near for one in heights)]
    top = max(form.marks.mouth, form.rows[-1].station)
    u = np.array(sorted({*heights, *(min(max(one, 0.0), top) for one in extra)}))
    bare = (form.girth(u) - 2 * pi * film) * share(part, u)
    most = values()["plausible.spread"].high  # what a document takes; the whole of it is said beside
    doubts, times = np.minimum(part.doubt(u), most), share(part, u)
    rows: list[dict[str, Any]] = []
    for i, height in enumerate(u):
        row = heights.get(float(height))
        rows.append(
            {
                "station_mm": (form.as_read(float(height)) if row is None else row.read_at) - lift,
                "reading_mm": butted(float(bare[i]), strap),
                "instrument": Instrument.STRAP_BUTTED.value,
                "instrument_mm": strap,
                "spread_mm": float(doubts[i]),
                "width_mm": float(form.width(np.array([height]))[0] * times[i]),
                "depth_mm": float(form.depth(np.array([height]))[0] * times[i]),
                "name": "" if row is None else row.name,
            }
        )
    return put_all(stored.job, [("form.girths", rows), *_landmarks(stored, knife, lift)])


def _landmarks(stored: Formed, knife: NewKnife, lift: Mm) -> list[tuple[str, Any]]:
    """As in the stored job, but for what was looked at on the knife; nothing of the finished sheath."""
    marks, form = stored.form.marks, stored.form

    def read_at(u: Mm | None) -> Mm | None:
        return None if u is None else form.as_read(u) - lift

    junction = read_at(marks.junction) if knife.junction is None else knife.junction
    end = read_at(marks.liner_end)
    if end is not None and knife.junction is not None and marks.junction is not None:
        end += knife.junction - (read_at(marks.junction) or 0.0)
    told = {
        "mouth_mm": read_at(marks.mouth),
        "thickest_mm": read_at(marks.thickest) if knife.thickest is None else knife.thickest,
        "junction_mm": junction,
        "liner_end_mm": end,
    }
    return [
        *((f"form.landmarks.{key}", value) for key, value in told.items() if value is not None),
        ("form.strap_correction", None),
        ("construction.mouth_read", "bare"),
        ("made", {}),
    ]


def ratio_span(part: Scaled) -> Share:
    """How differently large the knife is at its readings: largest over smallest ratio, less 1."""
    return float(part.ratio.max() / part.ratio.min() - 1)
