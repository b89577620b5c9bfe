"""The way of the work: eight legs from asking to the papers, what is still missing, and what comes next.

Any leg may be opened at any time; the way tells, it does not forbid. `next_act` is the one thing to do now, `going_on`
what goes on by itself (a bath, clamps, drying) with the time it has left. No clock here: minutes are given.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from backseam.ground.findings import Severity
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.ground.units import Minute
from backseam.job.accepted import open_checks
from backseam.job.document import Job
from backseam.job.recipe import Worked
from backseam.leather.leather import State
from backseam.making.clock import Clock
from backseam.making.steps import Step, work_order

WAITS = ("soak", "rest", "clamp", "dry")  # acts that go on by themselves


class Standing(StrEnum):
    """Of a leg: sewn, where the needle is, or pricked and to come."""

    DONE = "done"
    HERE = "here"
    TO_COME = "to_come"


@dataclass(frozen=True)
class Leg:
    """One leg of the way. text: what stands under its name; missing: what it still wants, in words."""

    key: str
    name: str
    standing: Standing
    text: str
    missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class Act:
    """The one thing to do now. act: its name in the order of work, or "" before the paper; place: leg it belongs to."""

    act: str
    text: str
    place: str


@dataclass(frozen=True)
class Going:
    """What goes on by itself. left: minutes to go, minus when late; whole: minutes in all; then: what to do after."""

    act: str
    text: str
    then: str
    left: Minute
    whole: Minute

    @property
    def wet(self) -> bool:
        """True while the leather is in the bath or resting: it gets wetter, or stays wet."""
        return self.act in ("soak", "rest")


def way(job: Job, worked: Worked | None, speech: Speech = PLAIN) -> tuple[Leg, ...]:
    """The eight legs. worked: None if the document cannot be worked from yet."""
    told: tuple[
        tuple[str, Callable[[Job, Worked | None, Speech], tuple[bool, str, tuple[str, ...]]]], ...
    ] = (
        ("ask", _ask),
        ("measure", _measure),
        ("form", _form),
        ("leather", _leather),
        ("upper", _upper),
        ("sew", _sew),
        ("fit", _fit),
        ("papers", _papers),
    )
    legs, here = [], True
    for key, tell in told:
        done, text, missing = tell(job, worked, speech)
        standing = Standing.DONE if done else Standing.HERE if here else Standing.TO_COME
        here = here and done
        legs.append(Leg(key, speech.say(f"way.leg.{key}"), standing, text, missing))
    return tuple(legs)


def next_act(job: Job, worked: Worked | None, speech: Speech = PLAIN) -> Act:
    """What to do next: what is missing, then what stops the paper, then the next act of the order of work."""
    if worked is None:
        wanted = _measure(job, worked, speech)[2]
        return Act("", wanted[0] if wanted else speech.say("way.next.mend"), "measure")
    if worked.stopped:
        return Act("", speech.say("way.next.mend"), "upper")
    if "printed" not in _done(job):
        return Act("printed", speech.say("way.next.print"), "papers")
    for step in acts(worked):
        if step.id not in _done(job):
            return Act(step.id, title(step, speech), "sew")
    return Act("", speech.say("way.next.over"), "fit")


def acts(worked: Worked) -> tuple[Step, ...]:
    """The order of work of this job."""
    return work_order(worked)


def title(step: Step, speech: Speech = PLAIN) -> str:
    """A step as it stands on the bench card."""
    key = step.words
    numbers = {
        name: ", ".join(speech.fill("{v:n0}", {"v": one}) for one in value)
        if isinstance(value, tuple)
        else value
        for name, value in step.numbers.items()
    }
    return speech.say(key, **numbers)


def going_on(job: Job, worked: Worked, times: Clock, passed: Minute, speech: Speech = PLAIN) -> Going | None:
    """What goes on by itself, `passed` minutes after it began; None if nothing does."""
    if job.making.now is None or job.making.now.act not in WAITS:
        return None
    act = job.making.now.act
    whole = waiting(times, act)
    return Going(
        act,
        speech.say(f"way.going.{act}.what"),
        speech.say(f"way.going.{act}.then"),
        whole - passed,
        whole,
    )


def waiting(times: Clock, act: str) -> Minute:
    """How long an act goes on by itself, likely, from when it began.

    >>> from backseam.leather.material import material
    >>> from backseam.making.clock import clock
    >>> times = clock(material("shoulder", 2.0))
    >>> 5 < waiting(times, "soak") < 30 < waiting(times, "clamp") < waiting(times, "dry")
    True
    """
    match act:
        case "soak":
            return max(times.moment("soaked").likely, default("wet.soak"))
        case "rest":
            return times.moment("ready").likely - times.moment("soaked").likely
        case "clamp":
            return times.moment("clamps_off").likely - times.moment("clamps_on").likely
        case _:
            return times.moment("wax").likely - times.moment("first_draw").likely


def damp(job: Job) -> bool:
    """True while the leather of this job is wet: from the soak until it is dry on the form."""
    done = _done(job)
    now = job.making.now.act if job.making.now else ""
    return now in ("soak", "rest", "clamp", "dry") or ("soak" in done and "dry" not in done)


def _done(job: Job) -> frozenset[str]:
    return frozenset(one.act for one in job.making.done)


def _ask(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    parts = [speech.say(f"card.head.{job.construction.hand or 'right'}")]
    if belt := job.construction.hanger.belt_width_mm:
        parts.append(speech.say("way.belt", width=belt))
    missing = () if job.title else (speech.say("way.missing.title"),)
    return bool(job.title), ", ".join(parts), missing


def _measure(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    count = sum(1 for one in job.form.girths if one.reading_mm or (one.width_mm and one.depth_mm))
    text = speech.say("way.readings.one" if count == 1 else "way.readings.many", count=count)
    if worked is not None:
        return True, text, ()
    return False, text, (speech.say("way.missing.first" if count == 0 else "way.missing.readings"),)


def _form(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    kinds = list(dict.fromkeys(one.kind for one in reversed(job.form.sections))) or ["oval"]
    names = [speech.say(f"way.section.{kind}") for kind in kinds[:2]]
    text = speech.say("way.on", upper=names[0], lower=names[1]) if len(names) == 2 else names[0]
    if job.form.axis.kind != "straight":
        text = speech.say("way.bent", kind=text)
    stopped = worked is not None and any(
        f.severity is Severity.STOP and f.code.startswith(("FORM", "GIRTH", "AXIS")) for f in worked.findings
    )
    return worked is not None and not stopped, text, ()


def _leather(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    several = job.leather.thickness_mm
    part = speech.say(f"way.part.{job.leather.part or 'leather'}")
    if not several:
        return False, part, (speech.say("way.missing.thickness"),)
    return True, speech.say("way.thick", thickness=sum(several) / len(several), part=part), ()


def _upper(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    if worked is None:
        return False, speech.say("way.later"), ()
    stop = sum(1 for one in worked.findings if one.severity is Severity.STOP)
    check = open_checks(job, job.accepted, worked.findings)
    text = (
        speech.say("way.stop", count=stop)
        if stop
        else speech.say("way.check", count=check)
        if check
        else speech.say("way.clear")
    )
    return "cut" in _done(job) and not stop, text, ()


def _sew(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    text = speech.say("way.holes", count=worked.seam.count) if worked else speech.say("way.later")
    return "sew" in _done(job), text, ()


def _fit(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    pulls = job.made.pull_n
    text = speech.say("way.pulls", count=len(pulls)) if pulls else speech.say("way.no_pull")
    return bool(pulls), text, ()


def _papers(job: Job, worked: Worked | None, speech: Speech) -> tuple[bool, str, tuple[str, ...]]:
    printed = "printed" in _done(job)
    return printed, speech.say("way.printed" if printed else "way.not_printed"), ()


def state_of(job: Job) -> State:
    """In which state the leather is now, by what is done."""
    if damp(job):
        return State.DAMP
    return State.FINISHED if "dry" in _done(job) else State.DRY
