"""What learning a hide changed, in sentences: foreseen and made, before and after, and what to do next time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from backseam.fit.doubts import few
from backseam.fit.hold import Fit, Hold, word
from backseam.fit.inverse import Aim, Way, aim
from backseam.fit.telling import band_words
from backseam.fit.tested import Measured
from backseam.ground.sources import Value
from backseam.ground.speech import Speech, words
from backseam.ground.units import Mm, Share
from backseam.job.forecast import hold, leather_of
from backseam.job.recipe import Worked
from backseam.leather.evidence import learning
from backseam.leather.learning import Learnt
from backseam.leather.records import Hide
from backseam.leather.together import SLOPE

HIDDEN = (
    SLOPE,
    "gate.pull_in",
    "scale.pace",
    "diffusion.drying",
)  # told by others, or by nothing a maker would read
SHARES = ("share", "strain")
SAME: Mm = 0.2  # of a cut: less is not cut
BETTER: Share = 0.05  # chance: less is not worth another cut


@dataclass(frozen=True)
class Compared:
    """One made sheath beside its forecasts: with what the card knew before it, and with it. aimed: what next time."""

    before: Fit
    after: Fit
    aimed: Aim
    girth: Mm | None
    pull: float | None
    mouth: Mm


def compared(worked: Worked, before: Hide, after: Hide, made: Measured) -> Compared:
    """Forecasts of the same sheath as if it had not been made yet, and what to change for an everyday hold.

    made: its girth and its pull as far as they could be used.
    """
    unmade = Measured()
    given = worked.inputs
    return Compared(
        before=hold(worked, hide=before, tested=unmade),
        after=hold(worked, hide=after, tested=unmade),
        aimed=aim(
            worked.form,
            worked.layout,
            given.leather,
            given.construction,
            leather_of(worked, after),
            Hold.EVERYDAY,
            tested=unmade,
        ),
        girth=made.finished_girth,
        pull=made.pull,
        mouth=float(worked.form.girth(worked.form.marks.mouth)),
    )


def told(one: Compared, speech: Speech) -> Iterator[str]:
    """Foreseen and made, one line each; then next time."""
    if one.girth is not None:
        rest = one.before.rest
        off = one.girth / rest.middle - 1
        key = (
            "girth_same"
            if abs(off) < learning("learn.moved") / 10
            else "girth_more"
            if off > 0
            else "girth_less"
        )
        numbers = {
            "low": rest.low,
            "middle": rest.middle,
            "high": rest.high,
            "made": one.girth,
            "off": abs(off),
        }
        yield speech.say(f"learn.say.{key}", **numbers)
    if one.pull is not None:
        made = speech.say(f"fit.hold.{word(one.pull).value}")
        yield speech.say(
            "learn.say.draw", band=band_words(one.before.draw, one.before, speech), pull=one.pull, made=made
        )
    yield speech.say("learn.say.such", band=band_words(one.after.draw, one.after, speech))
    yield next_time(one.aimed, one.mouth, speech)


def next_time(aimed: Aim, mouth: Mm, speech: Speech) -> str:
    """How to cut the next one of this handle and hide, for an everyday hold."""
    way: Way = next(one for one in aimed.ways if one.kind == "tighter")
    if abs(way.value) < SAME or way.chance < aimed.now + BETTER:
        return speech.say("learn.say.same_cut", few=few(aimed.now))
    key = "less" if way.value > 0 else "more"
    share = abs(way.value) / mouth
    return speech.say(
        f"learn.say.{key}", share=share, length=abs(way.value), few=few(way.chance), now=few(aimed.now)
    )


def changes(before: Mapping[str, Value], learnt: Learnt, speech: Speech) -> Iterator[str]:
    """What moved, one line each: name, value and band before and now. before: what was believed of it, by name."""
    for name, now in _in_order(learnt, speech):
        old, new = (banded(one, speech) for one in (before.get(name, learnt.before[name]), now))
        if old != new:
            yield speech.say("learn.say.value", name=named(name, speech), old=old, now=new)


def everything(learnt: Learnt, speech: Speech) -> Iterator[str]:
    """All that is known of the hide, one line each, with the tests it came from."""
    for name, now in _in_order(learnt, speech):
        tests = ", ".join(learnt.tests[name])
        yield speech.say("learn.say.known", name=named(name, speech), now=banded(now, speech), tests=tests)
    if SLOPE in learnt.values:
        low, middle, high = learnt.together.factor
        yield speech.say("learn.say.factor", low=low, middle=middle, high=high)


def _in_order(learnt: Learnt, speech: Speech) -> list[tuple[str, Value]]:
    """What a maker would read, in the order of the book: pull-in first."""
    order = list(words(speech.language, "learn")["name"])
    shown = [(name, value) for name, value in learnt.values.items() if name not in HIDDEN]
    return sorted(shown, key=lambda one: order.index(one[0]) if one[0] in order else len(order))


def named(name: str, speech: Speech) -> str:
    """What a record is called; its own name if the book has none."""
    return str(words(speech.language, "learn")["name"].get(name, name))


def banded(value: Value, speech: Speech) -> str:
    """A value with its band, in the unit a maker would say."""
    if value.unit in SHARES and value.name.split(".")[0] not in ("friction", "water") and value.name != LAYER:
        return speech.say("learn.band.pct", low=value.low, value=value.value, high=value.high)
    key = "learn.band.two" if abs(value.value) < 10 else "learn.band.none"
    unit = "" if value.unit in SHARES else f" {value.unit}"
    return speech.say(key, low=value.low, value=value.value, high=value.high, unit=unit)


LAYER = "leather.neutral_layer"
