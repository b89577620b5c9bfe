"""Check strips: paper to wrap round the real form before any leather is cut. The cheapest test there is."""

from __future__ import annotations

from collections.abc import Sequence

from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Box, Drawing, Mark, Point, Role, Stroke, Words, segment, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import Row, broken, number, size
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL, TITLE
from backseam.papers.strip import corners
from backseam.pattern.strips import CheckStrip

HEIGHT: Mm = 9.0
BEYOND: Mm = 7.0  # paper past each mark
APART: Mm = 2.4
PITCH: Mm = HEIGHT + APART
HEAD: tuple[Mm, Mm] = (1.0, 2.4)  # half width and length of an arrow head
INSIDE: Mm = 2.2  # from a mark to the words
BOX: Mm = 50.0  # width of the box beside the strips
PAD: Mm = 3.0


def strip(one: CheckStrip, speech: Speech) -> Drawing:
    """One strip at full size: the left mark at x = 0, the right one at its length, y from 0 to 9."""
    length = one.length
    marks: list[Mark] = [
        stroke(corners(Box(-BEYOND, 0.0, length + BEYOND, HEIGHT)), Role.CUT, closed=True, why="check strip"),
        *_mark(0.0),
        *_mark(length),
    ]
    name = f"{number(speech, one.station)} {one.name}".strip()
    on = speech.say("sheets.strips.over_film" if one.over_film else "sheets.strips.bare")
    spread = speech.say("sheets.strips.spread", spread=one.spread)
    reading = speech.say("sheets.strips.length", length=one.length)
    upper, lower = HEIGHT - 4.0, 1.7
    return Drawing(
        "check strip",
        (
            *marks,
            *_row(length, upper, (name, MAIN, True), (reading, MAIN, False)),
            *_row(length, lower, (on, SMALL, False), (spread, SMALL, False)),
        ),
    )


def _mark(x: Mm) -> tuple[Mark, ...]:
    """A line across the strip with an arrow head standing on its lower edge."""
    half, high = HEAD
    head: tuple[Point, ...] = ((x, 0.0), (x + half, high), (x - half, high))
    return segment((x, 0.0), (x, HEIGHT), Role.LEADER, "mark to meet"), Stroke(head, Role.LEADER, True, 1.0)


def _row(length: Mm, y: Mm, left: Row, right: Row) -> tuple[Words, ...]:
    """Two texts at the ends of one row, both made smaller, then the left one shortened, until they do not meet."""
    room = length - 2 * INSIDE
    gap = 2.0
    for shrink in (1.0, 0.9, 0.8, 0.0):
        sizes = [max(SMALL, shrink * size) for _, size, _ in (left, right)]
        widths = [
            lettering.width(text, mm, bold) for (text, _, bold), mm in zip((left, right), sizes, strict=True)
        ]
        if sum(widths) + gap <= room:
            break
    name = lettering.shorten(left[0], room - widths[1] - gap, sizes[0], left[2])
    return (
        Words((INSIDE, y), name, sizes[0], "start", 0.0, left[2]),
        Words((length - INSIDE, y), right[0], sizes[1], "end", 0.0, right[2]),
    )


def strips(some: Sequence[CheckStrip], speech: Speech, width: Mm) -> Drawing:
    """Strips under one another with their heading and the box that says what to do; top left at (0, 0).

    width: how wide the heading and the whole may be, mm.
    """
    title = speech.say("sheets.strips.title")
    how = _how(some, speech)
    marks: list[Mark] = list(lettering.block([(title, TITLE, True)], 0.0, 0.0))
    lines = broken([(how, NOTE, False)], width)
    top = -lettering.height([(title, TITLE, True)]) - 0.5
    marks += lettering.block(lines, 0.0, top)
    top -= lettering.height(lines) + 1.5
    for i, one in enumerate(some):
        marks += strip(one, speech).moved(BEYOND, top - HEIGHT - i * (HEIGHT + APART)).marks
    right = max((one.length for one in some), default=0.0) + 2 * BEYOND
    if right + 4.0 + BOX <= width:
        marks += do_not_meet(speech).moved(width - BOX, top).marks
    else:
        bottom = top - len(some) * (HEIGHT + APART)
        marks += do_not_meet(speech).moved(0.0, bottom - 2.0).marks
    return Drawing("check strips", tuple(marks))


def _how(some: Sequence[CheckStrip], speech: Speech) -> str:
    films = {one.over_film for one in some}
    key = "how_mixed" if len(films) > 1 else "how_film" if True in films else "how_bare"
    return speech.say(f"sheets.strips.{key}")


def do_not_meet(speech: Speech) -> Drawing:
    """The box that says what a gap or an overlap means; top left at (0, 0)."""
    limit = size(speech, default("papers.strip_gap"))
    rows: list[Row] = [(speech.say("sheets.strips.not_meet"), MAIN, True)]
    for key in ("under", "one", "all"):
        rows += [
            (speech.say(f"sheets.strips.{key}", limit=limit), NOTE, False),
            (speech.say(f"sheets.strips.{key}_do"), NOTE, True),
        ]
    lines = broken(rows, BOX - 2 * PAD)
    height = lettering.height(lines) + 2 * PAD - 1.0
    frame = stroke(corners(Box(0.0, -height, BOX, 0.0)), Role.LEADER, closed=True)
    return Drawing("they do not meet", (frame, *lettering.block(lines, PAD, -PAD)))
