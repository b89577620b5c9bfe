"""Words between the stitch lines and on the flap: what the piece is, what is done to each edge, which way is tight."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from backseam.ground.speech import Speech
from backseam.ground.units import Mm, Share
from backseam.leather.leather import Leather, Tight
from backseam.papers.model import ASCENT, Mark, Point, Role, Words, segment
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import APART, Labels, Row, nearest, size, spans
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL, TITLE
from backseam.papers.sheets.placing import CLEAR
from backseam.papers.sheets.title_block import Heading
from backseam.pattern.construction import Construction, HangerKind
from backseam.pattern.hanger import HangerPlan

SAME: Mm = 0.3  # less than the mark of an awl
TITLE_ROOM: Mm = 110.0
ARROWS: tuple[Mm, ...] = (46.0, 36.0, 28.0, 20.0)
ARROW_HEAD: tuple[Mm, Mm] = (2.0, 4.0)  # half width, length
ARROW_WORDS: Mm = 3.2  # from the shaft to the words


def _somewhere(made: Labels, rows: list[Row], start: Mm, first: int = 1, apart: Mm = CLEAR) -> None:
    """Rows of words in one half of the wall or the other."""
    made.put_block([made.areas.half(side) for side in (first, -first)], rows, start, made.areas.wall, apart)


def percent(speech: Speech, share: Share) -> str:
    """A share in per cent, bare.

    >>> percent(Speech(), 0.0), percent(Speech(), 0.015)
    ('0', '1.5')
    """
    return speech.fill("{v:f1}", {"v": 100 * share}).removesuffix(".0")


def title(made: Labels, leather: Leather, heading: Heading) -> None:
    """What this is, whose, and in which state of the leather its millimetres hold."""
    across, along = (percent(made.speech, v) for v in (leather.allowance_across, leather.allowance_along))
    rows: list[Row] = [(made.say("upper"), TITLE, True)]
    if heading.title:
        rows.append((lettering.shorten(heading.title, TITLE_ROOM, NOTE, True), NOTE, True))
    named = ", ".join(part for part in (heading.id, heading.date) if part)
    if named:
        rows.append((lettering.shorten(named, TITLE_ROOM, NOTE), NOTE, False))
    rows += [
        (made.say("grain"), MAIN, False),
        (made.say("mouth_up"), MAIN, False),
        (made.say("laid_on", state=made.say(f"state.{leather.state}")), MAIN, False),
        (
            made.say(
                "allowance" if across == along == "0" else "allowance_percent", across=across, along=along
            ),
            MAIN,
            False,
        ),
    ]
    _somewhere(made, rows, 0.45 * made.upper.height, -1, APART)


def flap(made: Labels, construction: Construction) -> None:
    """How much is turned in, and how thin it is skived."""
    area = made.areas.flap
    if area.is_empty:
        return
    collar = construction.collar
    under = made.say("fold_under", depth=size(made.speech, collar.depth))
    skive = made.say("skive_to", flap=made.speech.fill("{v:n}", {"v": collar.flap}))
    _, low, _, high = area.bounds
    for text, side in ((under, -1), (skive, 1)):
        half = area.intersection(made.areas.beside_centre(side))
        made.put_block([half], [(text, MAIN, False)], (low + high) / 2, half)


def hanger(made: Labels, plan: HangerPlan) -> None:
    """What the round holes or the slits are for."""
    text, heights, inner = _hanger_words(made, plan)
    if not text:
        return
    half = made.areas.half(1)
    beside = (
        lettering.block(lines, inner, y + lettering.height(lines) / 2, "end")
        for mm, y in product((MAIN, NOTE, SMALL), heights)
        for lines in [[(row, mm, False) for row in lettering.wrap(text, inner - 3, mm)]]
    )
    words = made.room.place(beside, half)
    made.placed.extend(words)
    if not words:
        made.put_block([half, made.areas.half(-1)], [(text, NOTE, False)], heights[0], made.areas.wall)


def _hanger_words(made: Labels, plan: HangerPlan) -> tuple[str, list[Mm], Mm]:
    """Text, heights to try it at, and the x it ends at."""
    if plan.kind is HangerKind.THONG and plan.holes:
        right = sorted((h for h in plan.holes if h.side > 0), key=lambda h: -h.y)
        text = made.say("punch", hole=size(made.speech, right[0].diameter), count=len(plan.holes))
        inner = min(h.x - h.diameter / 2 for h in right) - 2.2
        return text, [right[len(right) // 2].y, *(h.y for h in right)], inner
    if plan.kind is HangerKind.STRAP and plan.slits:
        slit = next(s for s in plan.slits if s.side > 0)
        text = made.say("slit", hole=size(made.speech, slit.end_diameter))
        inner = min(slit.x1, slit.x2) - slit.end_diameter / 2 - 2.2
        return text, [(slit.y1 + slit.y2) / 2, slit.y1, slit.y2], inner
    return "", [], 0.0


def bottom(made: Labels) -> None:
    """That the bottom edge is finished before it goes on, and how far a straight cut would be off."""
    first, second = made.say("bevel"), made.say("bevel_when")
    low = float(made.upper.bottom[:, 1].max())
    halves = [(made.areas.half(-1), first), (made.areas.half(1), second)]
    if all(lettering.width(text, MAIN) < _width(half, low + 6.0) - 8.0 for half, text in halves):
        for half, text in halves:
            made.put_block([half], [(text, MAIN, False)], low + 5.0, half)
    else:
        _somewhere(made, [(f"{first} {second}", MAIN, False)], low + 9.0, -1)
    if abs(made.upper.bottom_sag) >= SAME:
        off = made.speech.fill("{v:n}", {"v": abs(made.upper.bottom_sag)})
        _somewhere(made, [(made.say("bottom_curve", off=off), SMALL, False)], low + 11.0)


def _width(area: Polygon, y: Mm) -> Mm:
    rows = nearest(spans(area), y)
    return float(rows[0, 2] - rows[0, 1]) if len(rows) else 0.0


def mouth(made: Labels) -> None:
    """How far a straight fold or cut at the mouth would be off."""
    if abs(made.upper.mouth_sag) >= SAME:
        off = made.speech.fill("{v:n}", {"v": abs(made.upper.mouth_sag)})
        key = "fold_curve" if len(made.upper.flap) else "mouth_curve"
        _somewhere(made, [(made.say(key, off=off), SMALL, False)], made.upper.height - 4.0)


def press(made: Labels) -> None:
    """That the dashed lines are pressed into the grooves."""
    grooves = made.upper.press
    if grooves:
        text = made.say("press_many" if len(grooves) > 1 else "press_one")
        top = max(float(groove.line[:, 1].max()) for groove in grooves)
        _somewhere(made, [(text, MAIN, False)], top - 5.0 if len(grooves) > 1 else top + 4.0)


def centre(made: Labels) -> None:
    """Along the centre line: that it is the front."""
    text = made.say("centre")
    tries = (
        (Words((x, y), text, mm, "middle", 90.0),)
        for mm, x in product((MAIN, NOTE, SMALL), (4.0, -1.6))
        for y in nearest(spans(made.areas.wall), 0.35 * made.upper.height)[:, 0]
    )
    made.put(tries, made.areas.wall, text)


def hand_line(made: Labels, construction: Construction) -> None:
    """How far the maker's own way lies from the computed line, and what to make of it."""
    hand = made.upper.hand
    if not len(hand.dots):
        return
    rows = [
        made.say(
            "hand_near" if abs(hand.largest_below_collar) <= SAME else "hand_far",
            **_differs(made, hand.largest_below_collar, hand.below_collar_at),
        )
    ]
    if construction.collar.folded and abs(hand.largest_difference) > SAME and hand.at != hand.below_collar_at:
        rows.append(made.say("hand_collar", **_differs(made, hand.largest_difference, hand.at)))
    _somewhere(made, [(row, SMALL, False) for row in rows], 0.22 * made.upper.height, 1, APART)


def _differs(made: Labels, off: Mm, at: Mm) -> dict[str, str]:
    """Values of a sentence about the hand line; computed minus hand, so a positive one means the hand is inside."""
    return {
        "off": made.speech.fill("{v:n}", {"v": abs(off)}),
        "way": made.say("inside" if off > 0 else "outside"),
        "at": made.speech.fill("{v:n0}", {"v": at}),
    }


def tight(made: Labels, leather: Leather) -> None:
    """The double arrow of the tight way with its words; words alone where it has no room or is not known."""
    start = 0.3 * made.upper.height
    if leather.tight is Tight.UNKNOWN:
        _somewhere(made, [(made.say("tight_unknown"), MAIN, False)], start)
        return
    text, upright = made.say("tight"), leather.tight is Tight.ALONG
    for mm, length in product((MAIN, NOTE, SMALL), ARROWS):
        if lettering.width(text, mm) > length:
            continue
        middles = _middles(made, start)
        box = np.array(_arrow_box(length, upright, mm))
        boxes = np.hstack([middles, middles]) + box
        found = made.room.first_box(boxes, made.areas.wall)
        if found is not None:
            marks = arrow((float(middles[found, 0]), float(middles[found, 1])), length, upright, text, mm)
            made.room.take(marks)
            made.placed.extend(marks)
            return
    _somewhere(made, [(made.say("tight_words" if upright else "tight_across"), MAIN, False)], start)


def _middles(made: Labels, start: Mm) -> NDArray[np.float64]:
    """(n, 2) places for the middle of the arrow, the right half first."""
    found = []
    for side in (1, -1):
        rows = nearest(spans(made.areas.half(side)), start)
        xs = rows[:, 1:2] + np.array([0.4, 0.5, 0.6, 0.3, 0.7]) * (rows[:, 2:] - rows[:, 1:2])
        found.append(np.column_stack([xs.ravel(), np.repeat(rows[:, 0], xs.shape[1])]))
    return np.vstack(found)


def _arrow_box(length: Mm, upright: bool, mm: Mm) -> tuple[Mm, Mm, Mm, Mm]:
    """Left, bottom, right, top of an arrow with its words, from its middle, with clearance."""
    end, near, far = length / 2 + CLEAR, ARROW_HEAD[0] + CLEAR, ARROW_WORDS + ASCENT * mm + CLEAR
    return (-far, -end, near, end) if upright else (-end, -near, end, far)


def arrow(middle: Point, length: Mm, upright: bool, text: str, mm: Mm) -> tuple[Mark, ...]:
    """A double arrow with words along it, left of it or above it."""
    x, y = middle
    half, head = ARROW_HEAD

    def point(along: Mm, across: Mm) -> Point:
        return (x + across, y + along) if upright else (x + along, y + across)

    end = length / 2
    heads: Iterable[Mark] = (
        segment(point(way * end, 0.0), point(way * (end - head), side * half), Role.FRAME)
        for way in (1, -1)
        for side in (1, -1)
    )
    at = (x - ARROW_WORDS, y) if upright else (x, y + ARROW_WORDS)
    words = Words(at, text, mm, "middle", 90.0 if upright else 0.0)
    return segment(point(-end, 0.0), point(end, 0.0), Role.FRAME, "tight way"), *heads, words
