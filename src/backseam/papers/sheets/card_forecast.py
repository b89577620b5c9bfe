"""The page of the bench card that says how it will come out: hold, timetable, hang, what it is taken on, moulding.

Nothing on it is cut from. Words come before newtons until something finished has been measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Protocol

from backseam.fit.draws import RECORDS
from backseam.fit.hang import Hang
from backseam.fit.hang_telling import sentences as hang_sentences
from backseam.fit.hold import Fit
from backseam.fit.telling import click, what_matters
from backseam.form.form import Form
from backseam.ground.findings import Finding
from backseam.ground.sources import Value, values
from backseam.ground.speech import Speech, words
from backseam.ground.units import Minute, Mm, Share
from backseam.leather.material import Material
from backseam.making.clock import Clock
from backseam.making.steps import Sheath
from backseam.papers.sheets.card_picture import as_picture, readable
from backseam.papers.sheets.drafting import TYPE
from backseam.papers.sheets.fit_plots import small_force_curve
from backseam.papers.sheets.hang_picture import hang_picture
from backseam.papers.sheets.hold_ladder import ladder
from backseam.papers.sheets.plots import when

if TYPE_CHECKING:
    from backseam.fit.moulding import Compared

LEFT: Mm = 120.0  # of the columns
FIELD: tuple[Mm, Mm] = (41.5, 44.0)  # of the force curve
HUNG: Mm = 62.0  # belt to foot, on a sheet as high as A4
A4_HIGH: Mm = 297.0  # iso-216
UNSHOWN = ("bench_dry", "draw_last")  # moments that a maker goes by the colour for
WEIGHINGS = 4
LEAST: Share = 0.005  # of the spread: less is not worth a word
HOURLY = 3600.0  # of what is told by the second
BESIDE = (
    "stiffness.across_over_along",
    "stiffness.poisson",
    "friction.waxed",
)  # used, and not drawn of themselves
FOLDED = "friction.grain_finished"
MOULDED = ("moulding.stiffness_across", "moulding.compression", "stiffness.damp_over_dry")
MAP: Mm = 74.0  # height of the pieces on the moulding map


class Formed(Sheath, Protocol):
    """A sheath with the form it is made on."""

    @property
    def form(self) -> Form: ...


class Foreseen(Protocol):
    """What the page needs of the forecasts."""

    @property
    def leather(self) -> Material: ...
    @property
    def fit(self) -> Fit: ...
    @property
    def clock(self) -> Clock: ...
    @property
    def hang(self) -> Hang: ...
    @property
    def start(self) -> Minute | None: ...
    @property
    def moulding(self) -> Compared | None: ...
    @property
    def findings(self) -> tuple[Finding, ...]: ...


def contents(
    sheath: Formed, foreseen: Foreseen, title: str, speech: Speech, high: Mm = A4_HIGH
) -> dict[str, Any]:
    """Everything on the page, as the template takes it. title: of the job; high: the sheet."""
    return {
        "hold": _hold(foreseen.fit, speech),
        "curve": _curve(foreseen.fit, speech),
        "when": _when(foreseen.clock, foreseen.start, speech),
        "hang": _hang(sheath, foreseen.hang, speech, HUNG + high - A4_HIGH),
        "trust": _trust(sheath, foreseen, speech),
        "moulding": _moulding(sheath, foreseen, title, speech),
    }


def _hold(fit: Fit, speech: Speech) -> dict[str, Any]:
    lines = [click(fit, speech), what_matters(fit, speech)]
    if not fit.calibrated:
        lines.append(speech.say("fit.say.not_yet"))
    return {
        "title": speech.say("foreseen.hold.title"),
        "aside": speech.say("foreseen.hold.newtons") if fit.calibrated else "",
        "ladder": as_picture("", ladder(fit, speech, LEFT)),
        "key": speech.say("foreseen.hold.key"),
        "lines": [line for line in lines if line],
    }


def _curve(fit: Fit, speech: Speech) -> dict[str, Any]:
    return as_picture(speech.say("foreseen.hold.curve"), small_force_curve(fit, speech, *FIELD, TYPE))


def _when(clock: Clock, start: Minute | None, speech: Speech) -> dict[str, Any]:
    def say(key: str, **numbers: Any) -> str:
        return speech.say(f"foreseen.when.{key}", **numbers)

    room = clock.room
    rows = [
        [say(at.name), *(when(minutes, speech, start) for minutes in (at.likely, at.low, at.high))]
        for at in clock.moments
        if at.name not in UNSHOWN
    ]
    begins = say("from_start") if start is None else say("begins", start=when(0.0, speech, start))
    air = say("moving" if room.moving else "still")
    return {
        "title": say("title"),
        "aside": say("room", temperature=room.temperature, humidity=room.humidity, air=air),
        "head": [begins, *(say(name) for name in ("likely", "soonest", "latest", "own"))],
        "rows": rows,
        "weigh": say("weigh"),
        "unit": say("weigh_unit"),
        "weighings": WEIGHINGS,
        "type_it": say("type_it"),
    }


def _hang(sheath: Formed, told: Hang, speech: Speech, high: Mm) -> dict[str, Any]:
    construction = sheath.inputs.construction
    drawing = hang_picture(told, sheath.form, construction, speech, high=high, titled=False)
    return {
        "title": speech.say("foreseen.hang.title"),
        "picture": as_picture("", readable(drawing)),
        "lines": list(hang_sentences(told, construction.hand, speech)),
    }


def _trust(sheath: Formed, foreseen: Foreseen, speech: Speech) -> dict[str, Any]:
    rows = [_trusted(record, moves, speech) for record, moves in trusted(sheath, foreseen)]
    return {
        "title": speech.say("foreseen.trust.title"),
        "intro": speech.say("foreseen.trust.intro"),
        "head": ["", *(speech.say(f"foreseen.trust.{name}") for name in ("used", "range", "moves"))],
        "rows": rows,
    }


def trusted(sheath: Formed, foreseen: Foreseen) -> Iterator[tuple[Value, Share]]:
    """Each weak value that hold and clock rest on, once, with its share of the spread: of the largest pull, or of the
    time to wax, whichever is more."""
    pull = {part.name: part.share for part in foreseen.fit.parts}
    wax = {one.name: one.share for one in foreseen.clock.moved}
    folded = (FOLDED,) if sheath.inputs.construction.collar.folded else ()
    for name in dict.fromkeys((*RECORDS, *folded, *BESIDE, *foreseen.clock.weak)):
        record = _in_force(name, foreseen.leather)
        if record.weak:
            yield record, max(pull.get(name, 0.0), wax.get(name, 0.0))


def _in_force(name: str, leather: Material) -> Value:
    return leather.record(name) if name in leather.values else values()[name]


def _trusted(record: Value, moves: Share, speech: Speech) -> list[str]:
    numbers = {
        "value": record.value,
        "low": record.low,
        "high": record.high,
        "low_pct": 100 * record.low,
        "high_pct": 100 * record.high,
        "hour": HOURLY * record.value,
        "low_hour": HOURLY * record.low,
        "high_hour": HOURLY * record.high,
    }
    row = words(speech.language, "foreseen")["trust"]["row"][record.name]
    said = speech.say("foreseen.trust.share", share=moves) if moves >= LEAST else ""
    return [*(speech.fill(part, numbers) for part in row), said]


def _moulding(sheath: Formed, foreseen: Foreseen, title: str, speech: Speech) -> dict[str, Any] | None:
    compared = foreseen.moulding
    if compared is None:
        return None
    from backseam.papers.sheets.moulding_map import moulding_map  # only where it has been moulded

    drawing = moulding_map(compared, sheath.form, title, speech, high=MAP)
    weak = [record for record in (_in_force(name, foreseen.leather) for name in MOULDED) if record.weak]
    rows = [
        speech.say(
            "foreseen.moulding.value",
            **dict(zip(("what", "value", "range"), _trusted(record, 0.0, speech), strict=False)),
        )
        for record in weak
    ]
    return {
        "picture": as_picture("", readable(drawing)),
        "found": [f"{item.text(speech)} {item.remedy(speech)}" for item in compared.findings],
        "trust": speech.say("foreseen.moulding.trust", values="; ".join(rows)) if rows else "",
    }
