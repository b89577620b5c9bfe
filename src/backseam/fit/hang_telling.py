"""How a sheath hangs, in sentences."""

from __future__ import annotations

from math import degrees, isfinite

from backseam.fit.hang import Hang, Loop, Stand
from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.pattern.construction import Hand

MINUTE = 60.0
NAMED = 3
SEEN = 0.5  # degrees of lean that are worth naming a side for


def sentences(told: Hang, hand: Hand, speech: Speech) -> tuple[str, ...]:
    """Weight, balance, upright or not, lean, swing, what would narrow it: a sentence a line."""

    def say(key: str, **numbers: object) -> str:
        return speech.say(f"hang.say.{key}", **numbers)

    lines = [say("mass", mass=told.mass, empty=told.empty)]
    wide = told.height_high - told.height_low
    lines.append(
        say(
            "centre_band" if wide > 1 else "centre",
            height=told.height,
            low=told.height_low,
            high=told.height_high,
        )
    )
    if told.loop is None:
        lines.append(say("no_hanger"))
    else:
        lines += _hung(told.loop, hand, speech)
    if told.unknown:
        names = [speech.say(f"hang.unknown.{one.name}") for one in told.unknown[:NAMED]]
        lines.append(say("narrow", names=", ".join(names)))
    return tuple(lines)


def foot(loop: Loop, hand: Hand) -> str:
    """Where the foot swings on the hip of that hand, `forward` or `backward`; empty if nowhere.

    Seen from the front the sheath's right half lies forward on the right hip, backward on the left one; the foot goes
    to the side that is not heavy.
    """
    if degrees(loop.sliding) < SEEN:
        return ""
    return "backward" if (loop.offset > 0) == (hand is Hand.RIGHT) else "forward"


def _hung(loop: Loop, hand: Hand, speech: Speech) -> list[str]:
    def say(key: str, **numbers: object) -> str:
        return speech.say(f"hang.say.{key}", **numbers)

    if loop.stands is Stand.TIPS:
        return [say("tips", over=-loop.margin)]
    lines = [say(loop.stands.value, margin=loop.margin, empty=loop.empty)]
    if loop.steady <= 1:
        lines.append(say("tips_by_itself", lean=degrees(loop.sliding)))
    else:
        lines.append(_lean(loop, hand, speech))
    if round(degrees(loop.away)):
        lines.append(say("leg" if loop.away > 0 else "off_leg", away=abs(degrees(loop.away))))
    if isfinite(loop.period) and loop.swings:
        gaits = {"strides": MINUTE * default("hang.stride"), "steps": MINUTE * default("hang.steps")}
        lines.append(say("swings", swings=MINUTE / loop.period, **gaits))
    lines.append(say(f"worn_{hand.value}"))
    return lines


def _lean(loop: Loop, hand: Hand, speech: Speech) -> str:
    way = foot(loop, hand)
    numbers = {
        "off": default("hang.off_centre"),
        "off_gripped": degrees(loop.off_gripped),
        "off_sliding": degrees(loop.off_sliding),
    }
    if not way:
        held, slides = numbers["off_gripped"], numbers["off_sliding"]
        return speech.say("hang.say.plumb", off=numbers["off"], gripped=held, sliding=slides)
    return speech.say(
        "hang.say.leans",
        gripped=degrees(loop.gripped),
        sliding=degrees(loop.sliding),
        way=speech.say(f"hang.way.{way}"),
        **numbers,
    )
