"""The bench card: the paper beside the work. Steps in working order with this job's numbers, gates and
cautions, room to write, pictures, what to have to hand, and what the job takes on trust.

The page is set by typst from one template; everything a person typed goes in as data, never as markup. Same
job, same bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Protocol

from backseam.form.form import Form
from backseam.ground.findings import Finding, Severity, ordered, stops
from backseam.ground.sources import values
from backseam.ground.speech import PLAIN, Speech, words
from backseam.ground.units import METRE, Mm
from backseam.making.assumptions import Assumption, assumptions
from backseam.making.gates import Gate, Measure
from backseam.making.steps import Sheath, Step, work_order
from backseam.papers.letters import clean
from backseam.papers.model import Drawing
from backseam.papers.page import SHEETS
from backseam.papers.sheets import card_forecast, cuts, pictures
from backseam.papers.sheets.card_forecast import Foreseen
from backseam.papers.sheets.card_picture import as_picture
from backseam.papers.sheets.typeset import typeset
from backseam.pattern.construction import HangerKind, Tool
from backseam.pattern.hanger import HangerPlan

CARD_SHEET = {"A4": "A4", "A3": "A4", "Letter": "Letter", "Tabloid": "Letter"}
PICTURE_WIDTH: Mm = 65.0
NOTE_LETTERS = 300
UNBROKEN = 12  # letters in a row after which a long word may be broken


class Heading(Protocol):
    """What the head of the card asks of the job document."""

    @property
    def title(self) -> str: ...
    @property
    def customer(self) -> str: ...
    @property
    def maker(self) -> str: ...
    @property
    def id(self) -> str: ...
    @property
    def date(self) -> str: ...
    @property
    def promised(self) -> str: ...
    @property
    def note(self) -> str: ...


class Card(Sheath, Protocol):
    """What the card needs of a worked job."""

    @property
    def job(self) -> Heading: ...
    @property
    def form(self) -> Form: ...
    @property
    def findings(self) -> tuple[Finding, ...]: ...


def write(
    worked: Card,
    speech: Speech = PLAIN,
    sheet: str = "A4",
    foreseen: Foreseen | None = None,
    findings: tuple[Finding, ...] | None = None,
    reason: Callable[[Finding], str] = lambda _: "",
) -> bytes:
    """The PDF of the card on A4 or Letter; jobs printed on A3 or Tabloid have their card on the half of
    it.

    foreseen: how it will come out, for a page of its own, and one more once it has been moulded. findings: what to
    show first, in their order; the job's own unless given. reason: why the maker accepted a check, "" if nobody did.
    """
    return typeset("bench_card", contents(worked, speech, sheet, foreseen, findings, reason))


def contents(
    worked: Card,
    speech: Speech = PLAIN,
    sheet: str = "A4",
    foreseen: Foreseen | None = None,
    findings: tuple[Finding, ...] | None = None,
    reason: Callable[[Finding], str] = lambda _: "",
) -> dict[str, Any]:
    """Everything that stands on the card, as the template takes it: plain words and pictures."""
    paper = SHEETS[CARD_SHEET[sheet]]
    found = ordered(worked.findings) if findings is None else findings
    title = typed(worked.job.title) or speech.say("card.head.untitled")
    return {
        "sheet": {"width": paper.width, "height": paper.height},
        "language": speech.language,
        "picture_width": PICTURE_WIDTH,
        "head": _head(worked, speech),
        "findings": _findings(found, speech, reason),
        "steps": list(_steps(worked, speech)),
        "pictures": list(_pictures(worked, speech)),
        "to_hand": {"title": speech.say("card.hand.title"), "rows": list(_to_hand(worked, speech))},
        "mind": {
            "title": speech.say("card.mind.title"),
            "rows": [speech.say(f"card.mind.{key}") for key in ("bar", "sheets", "children")],
        },
        "trust": _trust(worked, speech),
        "next": {"title": speech.say("card.next.title")},
        "foreseen": None
        if foreseen is None
        else card_forecast.contents(worked, foreseen, title, speech, paper.height),
        "words": _words(worked, speech),
    }


def typed(text: str, most: int | None = None) -> str:
    """What a person typed, fit for the page: on one line, long words breakable, cut off with three dots at
    `most`.

    >>> typed("a  b\\nc"), typed("x" * 20).count("\\u200b"), typed("four words and more", 10)
    ('a b c', 1, 'four words…')
    """
    line = " ".join(clean(text).split())
    if most is not None and len(line) > most:
        line = line[:most].rstrip() + "…"
    return " ".join(
        "\u200b".join(word[i : i + UNBROKEN] for i in range(0, len(word), UNBROKEN))
        for word in line.split(" ")
    )


def _head(worked: Card, speech: Speech) -> dict[str, Any]:
    job, construction, leather = worked.job, worked.inputs.construction, worked.inputs.leather
    hanger = construction.hanger
    if worked.hanger.kind is HangerKind.NONE:
        belt = speech.say("card.head.no_belt")
    else:
        belt = speech.say("card.head.belt", width=hanger.belt_width, thickness=hanger.belt_thickness)
    parts = [
        job.customer and speech.say("card.head.customer", name=typed(job.customer)),
        job.id and speech.say("card.head.job", id=typed(job.id)),
        job.promised and speech.say("card.head.promised", date=job.promised),
        speech.say(f"card.head.{construction.hand.value}"),
        belt,
    ]
    range_ = "leather_range" if leather.thickness_spread > 0 else "leather"
    aside = [
        speech.say(
            f"card.head.{range_}",
            part=speech.say(f"card.head.part.{leather.part or 'other'}"),
            thickness=leather.thickness,
            low=min(leather.thicknesses),
            high=max(leather.thicknesses),
        ),
        job.date and speech.say("card.head.drawn", date=job.date),
        typed(job.maker),
    ]
    return {
        "title": typed(job.title) or speech.say("card.head.untitled"),
        "line": ", ".join(part for part in parts if part),
        "name": speech.say("card.head.name"),
        "aside": [line for line in aside if line],
        "note": typed(job.note, NOTE_LETTERS),
    }


def _findings(found: tuple[Finding, ...], speech: Speech, reason: Callable[[Finding], str]) -> dict[str, Any]:
    """What to look at before cutting; what was accepted comes last, with its reason instead of its remedy."""
    weighty = [(item, reason(item)) for item in found if item.severity is not Severity.NOTE]
    shown = sorted(weighty, key=lambda pair: pair[1] != "")
    return {
        "title": speech.say("card.findings.stopped" if stops(found) else "card.findings.title"),
        "items": [
            {
                "severity": item.severity.value,
                "word": speech.say(f"card.findings.{item.severity.value}"),
                "text": typed(item.text(speech)),
                "remedy": speech.say("card.findings.accepted", why=typed(why, NOTE_LETTERS))
                if why
                else typed(item.remedy(speech)),
            }
            for item, why in shown
        ],
    }


def _steps(worked: Card, speech: Speech) -> Iterator[dict[str, Any]]:
    phase = None
    for number, step in enumerate(work_order(worked), 1):
        if step.phase is not phase:
            phase = step.phase
            yield {"phase": speech.say(f"card.phase.{phase.value}")}
        yield _step(number, step, speech)


def _step(number: int, step: Step, speech: Speech) -> dict[str, Any]:
    numbers = _spoken(step.numbers, speech)
    return {
        "number": str(number),
        "title": speech.say(_in_units(step.words, speech), **numbers),
        "details": " ".join(speech.say(f"card.detail.{key}", **numbers) for key in step.details),
        "gate": _gate(step.gate, numbers, speech) if step.gate else None,
        "caution": speech.say(f"card.caution.{step.caution}", **numbers) if step.caution else "",
        "room": step.room.value if step.room else "",
        "once": step.once,
    }


def _in_units(key: str, speech: Speech) -> str:
    """The key's own words for inches, where there are some."""
    _, group, name = key.split(".")
    inch = f"{name}_inch"
    return (
        f"card.{group}.{inch}"
        if speech.units == "inch" and inch in words(speech.language, "card")[group]
        else key
    )


def _spoken(numbers: Mapping[str, Any], speech: Speech) -> dict[str, Any]:
    """Lists of lengths as words, typed names made fit; the rest as it is."""
    out: dict[str, Any] = {}
    for key, value in numbers.items():
        if isinstance(value, tuple):
            out[key] = _list(value, speech)
        elif isinstance(value, str):
            out[key] = typed(value)
        else:
            out[key] = value
    return out


def _list(lengths: Iterable[Mm], speech: Speech) -> str:
    each = [speech.fill("{v:n}", {"v": value}) for value in lengths]
    if len(each) < 2:
        return "".join(each)
    return speech.say("card.room.and", first=", ".join(each[:-1]), last=each[-1])


def _gate(gate: Gate, numbers: dict[str, Any], speech: Speech) -> dict[str, Any]:
    target = int(gate.target) if gate.measure is Measure.COUNT else gate.target
    limits = {"target": target, "low": gate.low, "high": gate.high, "tolerance": gate.tolerance}
    return {
        "limit": speech.say(f"card.limit.{gate.words}", **limits),
        "boxes": 0 if gate.measure is Measure.TICK else gate.boxes,
        "out": speech.say(f"card.gate.{gate.id}", **{**numbers, **limits}),
    }


_PICTURES: tuple[tuple[str, Callable[[Card, Speech, Mm], Drawing]], ...] = (
    ("form", lambda s, speech, room: pictures.form(s, speech, room, _axis(s))),
    ("piece", pictures.piece),
    ("seam", cuts.seam),
    ("collar", cuts.collar),
    ("stitch", pictures.stitch),
    ("slant", pictures.slant),
)


def _axis(worked: Card) -> pictures.Axis | None:
    return worked.form.axis


def _pictures(worked: Card, speech: Speech) -> Iterator[dict[str, Any]]:
    book = words(speech.language, "card")
    asides, hows = book["aside"], book["how"]
    for name, draw in _PICTURES:
        if name == "collar" and not worked.inputs.construction.collar.folded:
            continue
        drawing = draw(worked, speech, PICTURE_WIDTH)
        state = speech.say(f"card.state.{worked.inputs.leather.state.value}")
        yield as_picture(
            speech.say(f"card.title.{name}"),
            drawing,
            speech.say(f"card.aside.{name}", state=state) if name in asides else "",
            [speech.say(f"card.how.{name}.{key}") for key in hows.get(name, ())],
        )


def _to_hand(worked: Card, speech: Speech) -> Iterator[tuple[str, str]]:
    construction, thread = worked.inputs.construction, worked.thread
    stitching = construction.stitching

    def row(key: str, **numbers: Any) -> tuple[str, str]:
        text = speech.say(_in_units(f"card.hand.{key}", speech), **numbers)
        return speech.say(f"card.hand.name.{key}"), text

    size = linen(thread.diameter)
    named = speech.say("card.hand.linen", size=size) if size else ""
    metres = thread.length / METRE
    yield row("thread", diameter=thread.diameter, linen=named, length=thread.length, metres=metres)
    yield row("needles", shank=thread.needle)
    yield row("awl", width=stitching.awl, low=thread.awl_low, high=thread.awl_high)
    if stitching.tool is not Tool.FREE:
        yield row(stitching.tool.value, pitch=worked.seam.tool_pitch, teeth=stitching.teeth)
    yield from _hanger_to_hand(worked.hanger, row)
    yield row("film") if construction.film else row("tape")
    yield row("bone")
    yield row("cement", clamp=construction.flange.clamp)


def _hanger_to_hand(plan: HangerPlan, row: Callable[..., tuple[str, str]]) -> Iterator[tuple[str, str]]:
    if plan.kind is HangerKind.NONE:
        return
    if plan.holes:
        yield row("punch", diameter=plan.holes[0].diameter, count=len(plan.holes))
    elif plan.slits:
        yield row("punch", diameter=plan.slits[0].end_diameter, count=2 * len(plan.slits))
    yield row(plan.kind.value, width=plan.width, thickness=plan.thickness, cut=plan.cut)


def linen(diameter: Mm) -> str:
    """Size of the linen thread nearest to that thickness, or nothing if none is as thick.

    >>> linen(0.8), linen(1.4)
    ('18/3', '')
    """
    near = [r for r in values().values() if r.name.startswith("linen.") and r.low <= diameter <= r.high]
    best = min(near, key=lambda r: abs(r.value - diameter), default=None)
    return best.name.removeprefix("linen.") if best else ""


def _trust(worked: Card, speech: Speech) -> dict[str, Any]:
    return {
        "title": speech.say("card.trust.title"),
        "intro": speech.say("card.trust.intro"),
        "head": ["", *(speech.say(f"card.trust.{name}") for name in ("used", "range", "moves"))],
        "rows": [_trusted(item, speech) for item in assumptions(worked)],
    }


def _trusted(item: Assumption, speech: Speech) -> list[str]:
    """What is assumed, the value used, its range, what it moves."""
    numbers = {
        "value": item.value,
        "low": item.low,
        "high": item.high,
        "low_pct": 100 * item.low,
        "high_pct": 100 * item.high,
        "moves": item.moves or 0.0,
    }

    def say(part: str) -> str:
        return speech.say(f"card.assume.{item.name}.{part}", **numbers)

    moves = speech.say("card.trust.own") if item.own else say("moves")
    return [say("what"), say("value"), say("range"), moves]


def _words(worked: Card, speech: Speech) -> dict[str, str]:
    return {
        "from": speech.say("card.room.from"),
        "till": speech.say("card.room.till"),
        "pull": speech.say(_in_units("card.room.pull", speech)),
        "out": speech.say("card.room.out"),
        "note": speech.say("card.head.note"),
        "numbers": speech.say("card.head.numbers", unit=speech.say(f"card.unit.{speech.units}")),
        "page": speech.say("card.head.page", page="{page}", pages="{pages}"),
    }
