"""The forecast in sentences, words before newtons."""

from __future__ import annotations

from backseam.fit.doubts import few
from backseam.fit.hold import Band, Fit, Hold, Matter
from backseam.fit.inverse import Aim, Way
from backseam.ground.sources import default
from backseam.ground.speech import Speech, words

FELT = 0.01  # share of the draw: what nobody feels
TWICE, HALF, THIRD, NOTHING = 2.0, 0.5, 1 / 3, 0.1
NEAR = 0.12  # how near to a plain word a change must be to be called by it, as a share


def band_words(band: Band, fit: Fit, speech: Speech) -> str:
    """A band of forces: words, or newtons where they may be said.

    "light to firm, most likely everyday", "18 N (12 to 27)".
    """
    if fit.calibrated:
        low, middle, high = (max(force, 0.0) for force in (band.low, band.middle, band.high))
        return speech.say("fit.band.newtons", low=low, middle=middle, high=high)
    least, _, most = band.words
    said = {
        name: speech.say(f"fit.hold.{word.value}")
        for name, word in zip(("low", "middle", "high"), band.words, strict=True)
    }
    if least is most:
        return speech.say("fit.band.one", **said)
    neighbours = list(Hold).index(most) - list(Hold).index(least) == 1
    return speech.say("fit.band.two" if neighbours else "fit.band.three", **said)


def name(unknown: str, fit: Fit, speech: Speech) -> str:
    """What an unknown, a reading or a measurement is called."""
    kind, _, index = unknown.partition(":")
    if kind == "reading":
        row = next(row for row in fit.rows if row.index == int(index))
        if row.name:
            return speech.say("fit.name.row", name=row.name)
        return speech.say("fit.name.row_at", station=row.station)
    return str(words(speech.language, "fit")["name"][unknown])  # its keys hold dots


def moved(unknown: str, fit: Fit, speech: Speech) -> str:
    """What it is called where it is moved by a step."""
    return str(words(speech.language, "fit")["moved"].get(unknown) or name(unknown, fit, speech))


def what_matters(fit: Fit, speech: Speech) -> str:
    """The three readings and values that move the draw most, as one sentence. Empty if nothing moves it."""
    top = [matter for matter in fit.matters[:3] if matter.size > FELT]
    parts = [_step(matter, fit, speech) for matter in top]
    if not parts:
        return ""
    key = {1: "fit.say.matters_one", 2: "fit.say.matters_two", 3: "fit.say.matters"}[len(parts)]
    return speech.say(key, **dict(zip(("one", "two", "three"), parts, strict=False)))


def _step(matter: Matter, fit: Fit, speech: Speech) -> str:
    """What a step more does; a step less where that does clearly more."""
    step = speech.say("fit.say.tenth") if matter.tenth else speech.length(matter.step)
    down = abs(matter.less - 1) > 2 * abs(matter.more - 1)
    ratio = matter.less if down else matter.more
    return speech.say(
        "fit.say.less" if down else "fit.say.more",
        what=moved(matter.name, fit, speech),
        step=step,
        change=change(ratio, speech),
    )


def change(ratio: float, speech: Speech) -> str:
    """A draw against the usual one, as a maker would say it: half as strong, a third weaker."""
    for plain, key in ((TWICE, "twice"), (HALF, "half"), (THIRD, "third")):
        if abs(ratio / plain - 1) < NEAR:
            return speech.say(f"fit.say.{key}")
    if ratio < NOTHING:
        return speech.say("fit.say.nothing")
    if abs(ratio - 1) < FELT:
        return speech.say("fit.say.no_change")
    return speech.say("fit.say.stronger" if ratio > 1 else "fit.say.weaker", by=abs(ratio - 1))


def sentences(fit: Fit, speech: Speech) -> tuple[str, ...]:
    """The forecast, one sentence a line: draw, push, click, later, waxed, what matters."""
    lines = [speech.say("fit.say.draw", band=band_words(fit.draw, fit, speech))]
    lines.append(speech.say("fit.say.push", band=band_words(fit.push, fit, speech)))
    lines.append(click(fit, speech))
    for later in (*fit.later, fit.waxed):
        lines.append(speech.say(f"fit.say.{later.when}", band=band_words(later.draw, fit, speech)))
    lines.append(what_matters(fit, speech))
    if not fit.calibrated:
        lines.append(speech.say("fit.say.not_yet"))
    return tuple(line for line in lines if line)


def click(fit: Fit, speech: Speech) -> str:
    """Whether it clicks home, and where."""
    if fit.click.travel is not None and fit.click.share >= default("fit.click_share"):
        return speech.say("fit.say.click", travel=fit.click.travel, few=few(fit.click.share))
    return speech.say("fit.say.no_click")


def how_settled(fit: Fit, speech: Speech) -> str:
    """How the sums went, for the foot of a paper."""
    sums = fit.settled
    return speech.say(
        "fit.say.settled",
        samples=fit.samples,
        seed=fit.seed,
        cases=sums.cases,
        steps=sums.steps,
        error=sums.table_error,
    )


def ways(aimed: Aim, speech: Speech) -> tuple[str, ...]:
    """Each way to a wanted hold as a sentence, likeliest first."""
    return tuple(_way(way, speech) for way in aimed.ways)


def _way(way: Way, speech: Speech) -> str:
    middle = speech.say(f"fit.hold.{way.middle.value}")
    kind = "wider" if way.kind == "tighter" and way.value < 0 else way.kind
    return speech.say(
        f"fit.say.way_{kind}",
        value=abs(way.value) if kind == "wider" else way.value,
        change=_moved(way, speech),
        few=few(way.chance),
        middle=middle,
    )


def _moved(way: Way, speech: Speech) -> str:
    if abs(way.change) < 0.05:
        return speech.say("fit.say.as_is")
    if way.kind == "height":
        key = "higher" if way.change > 0 else "lower"
    else:
        key = "less_girth" if way.change > 0 else "more_girth"
    return speech.say(f"fit.say.{key}", by=abs(way.change))
