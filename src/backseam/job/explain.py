"""Why is this here: which readings and values a hole, a station, the thread or the blank came from, and how far each
moves it. Each input is moved a little and the whole work done again; only what moves the answer is named.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from backseam.ground.errors import InputRefused
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import values
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm
from backseam.job.document import Job
from backseam.job.inputs import known_hide
from backseam.job.recipe import Worked, work

Measures = dict[str, Mm]  # what is asked for, by name, mm

_SEEN: Mm = 0.002  # an input that moves nothing by more than this over its spread is not named


@dataclass(frozen=True)
class Reason:
    """One input: its path in the document, what it is, its value and spread; moves: mm per unit, by measure;
    over_spread: the largest movement over its whole spread (half width), mm. assumed: not typed, a house default."""

    path: str
    label: str
    value: float
    unit: str
    spread: float
    moves: dict[str, float]
    over_spread: Mm
    assumed: bool


@dataclass(frozen=True)
class Why:
    """The answer: what was asked, its values, and its reasons, the strongest first."""

    what: str
    values: Measures
    reasons: tuple[Reason, ...]


@dataclass(frozen=True)
class _Knob:
    path: str
    label: str
    value: float
    unit: str
    spread: float
    step: float
    assumed: bool
    turned: Callable[[dict[str, Any], float], None]


Moved = dict[tuple[str, str], Worked | None]  # the job with one input moved, by its path and label


def why(job: Job, what: str, progress: Progress = SILENT, known: Moved | None = None) -> Why:
    """The reasons of one thing: hole:12, hole:12:left, station:3, thread, blank, pitch, ring, strip:2, hanger:1.

    known: filled with the job worked out for each input moved, so that the next thing asked of the same job is
    answered at once. Raises InputRefused if there is no such thing.
    """
    worked = work(job)
    known = {} if known is None else known
    read = _reader(what)
    now = read(worked)
    knobs = list(_knobs(job, worked))
    reasons = []
    for i, knob in enumerate(knobs):
        step(progress, i, len(knobs), knob.label)
        key = (knob.path, knob.label)
        if key not in known:
            known[key] = _turned(job, knob)
        other = known[key]
        if other is None:
            continue
        moved = read(other)
        moves = {name: (moved[name] - now[name]) / knob.step for name in now}
        most = max(abs(m) for m in moves.values()) * knob.spread
        if most > _SEEN:
            reasons.append(
                Reason(knob.path, knob.label, knob.value, knob.unit, knob.spread, moves, most, knob.assumed)
            )
    return Why(what, now, tuple(sorted(reasons, key=lambda r: -r.over_spread)))


def _turned(job: Job, knob: _Knob) -> Worked | None:
    """The job with one input a step away; None if it cannot be worked so."""
    document = job.model_dump(mode="json", exclude_unset=True)
    knob.turned(document, knob.value + knob.step)
    try:
        return work(Job.model_validate(document))
    except InputRefused:
        return None


def _reader(what: str) -> Callable[[Worked], Measures]:
    kind, _, rest = what.strip().lower().partition(":")
    number = re.match(r"\d+", rest)
    n = int(number.group()) if number else 0
    match kind:
        case "hole":
            return lambda w: _hole(w, n, rest.endswith("left"))
        case "station":
            return lambda w: _station(w, n)
        case "thread":
            return lambda w: {"length": w.thread.length}
        case "pitch":
            return lambda w: {"pitch": w.seam.pitch}
        case "blank":
            return lambda w: {"width": w.blank.upper_width, "height": w.blank.upper_height}
        case "ring":
            return lambda w: {"length": w.ring.length}
        case "strip":
            return lambda w: {"length": _nth(w.strips, n, "check strip").length}
        case "hanger":
            return lambda w: _hanger_hole(w, n)
    raise InputRefused(PLAIN.say("refusals.why.unknown", what=what[:40]))


def _nth(items: tuple[Any, ...], n: int, name: str) -> Any:
    if not 1 <= n <= len(items):
        key = "number" if items else "none"
        raise InputRefused(PLAIN.say(f"refusals.why.{key}", name=name, number=n, count=len(items)))
    return items[n - 1]


def _hole(worked: Worked, n: int, left: bool) -> Measures:
    hole = _nth(worked.seam.left if left else worked.seam.right, n, "hole")
    return {"x": hole.x, "y": hole.y}


def _station(worked: Worked, n: int) -> Measures:
    row = _nth(worked.upper.stations, n, "station")
    return {"half width": row.half_width, "stitch to stitch": row.stitch_to_stitch}


def _hanger_hole(worked: Worked, n: int) -> Measures:
    hole = _nth(worked.hanger.holes, n, "hanger hole")
    return {"x": hole.x, "y": hole.y}


# --- what can be moved ---------------------------------------------------------------------------------------------


def _knobs(job: Job, worked: Worked) -> Iterator[_Knob]:
    yield from _readings(job, worked)
    leather, made = worked.inputs.leather, worked.inputs.construction
    yield _Knob(
        "leather.thickness_mm",
        "leather thickness",
        leather.thickness,
        "mm",
        max(leather.thickness_spread, 0.1),
        0.05,
        job.leather.thickness_mm is None,
        lambda d, v: d.setdefault("leather", {}).update(
            thickness_mm=[t + v - leather.thickness for t in leather.thicknesses]
        ),
    )
    yield _plain(
        job,
        "leather.neutral_layer",
        "neutral layer",
        leather.neutral_layer,
        "share",
        "leather.neutral_layer",
        0.02,
    )
    radius = made.seam_inside_radius
    yield _plain(
        job, "construction.seam_inside_radius_mm", "inside radius of the seam", radius, "mm", None, 0.1, 0.5
    )
    yield _plain(job, "construction.film_mm", "film on the form", made.film, "mm", "reading.film", 0.02)
    yield from _decisions(job, worked)
    yield from _state(job, worked)


def _readings(job: Job, worked: Worked) -> Iterator[_Knob]:
    for reading in worked.inputs.form.readings:
        i = reading.index
        at = f"at {reading.station:.0f}" + (f" ({reading.name})" if reading.name else "")
        row = job.form.girths[i]
        for field, value, spread, name in (
            (
                "reading_mm",
                row.reading_mm,
                reading.spread,
                f"reading {at}, {reading.instrument.value.replace('_', ' ')}",
            ),
            ("width_mm", row.width_mm, 0.3, f"width {at}, caliper"),
            ("depth_mm", row.depth_mm, 0.3, f"depth {at}, caliper"),
            (
                "instrument_mm",
                row.instrument_mm,
                0.1,
                f"thickness of the {reading.instrument.value.replace('_', ' ')} {at}",
            ),
        ):
            if value is not None:
                yield _Knob(
                    f"form.girths.{i}.{field}",
                    name,
                    value,
                    "mm",
                    spread,
                    0.1,
                    False,
                    _turn(("form", "girths", i, field)),
                )


def _decisions(job: Job, worked: Worked) -> Iterator[_Knob]:
    made = worked.inputs.construction
    stitching, collar, flange = made.stitching, made.collar, made.flange
    yield _plain(job, "construction.pitch_mm", "pitch", stitching.pitch, "mm", None, 0.01, 0.1)
    yield _plain(
        job,
        "construction.first_hole_mm",
        "first hole below the mouth",
        stitching.first,
        "mm",
        None,
        0.05,
        0.5,
    )
    yield _plain(
        job,
        "construction.last_hole_mm",
        "last hole above the bottom edge",
        stitching.last,
        "mm",
        None,
        0.05,
        0.5,
    )
    yield _plain(job, "construction.thread_tail_mm", "thread tail", stitching.tail, "mm", "thread.tail", 5.0)
    if collar.folded:
        yield _plain(
            job, "construction.collar_flap_mm", "flap after skiving", collar.flap, "mm", None, 0.05, 0.2
        )
        yield _plain(
            job, "construction.collar_depth_mm", "depth of the collar", collar.depth, "mm", None, 0.2, 0.5
        )
    yield _plain(job, "construction.clamp_width_mm", "clamp width", flange.clamp, "mm", None, 0.5, 1.0)
    yield _plain(job, "construction.rough_margin_mm", "rough margin", made.rough_margin, "mm", None, 0.5, 1.0)
    yield _plain(
        job,
        "construction.hanger.from_stitch_mm",
        "hanger hole from the stitch line",
        made.hanger.from_stitch,
        "mm",
        None,
        0.2,
        0.5,
    )
    lift = (job.form.reach_mm or 0.0) if job.form.heights_from == "junction" else 0.0
    yield _plain(
        job,
        "form.landmarks.mouth_mm",
        "height of the mouth",
        (worked.inputs.form.marks.mouth or worked.form.marks.mouth) - lift,
        "mm",
        None,
        0.2,
        0.5,
    )


def _state(job: Job, worked: Worked) -> Iterator[_Knob]:
    leather = worked.inputs.leather
    for way, share in (("across", leather.allowance_across), ("along", leather.allowance_along)):
        known = worked.inputs.hide.values.get(f"leather.allowance_{way}")
        record = known or values()[f"leather.allowance_{way}"]
        yield _Knob(
            f"leather.allowance_{way}_percent",
            f"allowance {way} for {leather.state.value} leather",
            100 * share,
            "%",
            50 * (record.high - record.low),
            0.2,
            getattr(job.leather, f"allowance_{way}_percent") is None and known is None,
            _turn(("leather", f"allowance_{way}_percent")),
        )


def _plain(
    job: Job,
    path: str,
    label: str,
    value: float,
    unit: str,
    record: str | None,
    by: float,
    spread: float = 0.0,
) -> _Knob:
    """A field that can be set as it is. Its spread: the record's range, or the given one."""
    keys = tuple(path.split("."))
    known = None
    if record is not None:
        known = known_hide(job).values.get(record)
        found = known or values()[record]
        spread = (found.high - found.low) / 2
    typed: Any = job
    for key in keys:
        typed = getattr(typed, key, None)
    return _Knob(path, label, value, unit, spread, by, typed is None and known is None, _turn(keys))


def _turn(keys: tuple[str | int, ...]) -> Callable[[dict[str, Any], float], None]:
    def turned(document: dict[str, Any], value: float) -> None:
        at: Any = document
        for key in keys[:-1]:
            at = at.setdefault(key, {}) if isinstance(at, dict) else at[key]
        at[keys[-1]] = value

    return turned
