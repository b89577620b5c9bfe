"""Sheets that show how each leather test is done, with boxes to write in: the trial ring first.

Under each box stands the name its number has in the file that is learnt from. Nothing on these sheets is to scale.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers import pdf, strip
from backseam.papers.model import ASCENT, Box, Drawing, Mark, Role, Stroke, Words, segment
from backseam.papers.page import Page
from backseam.papers.sheet import CAPTION, SHEETS, Sheet, area
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import Row, broken
from backseam.papers.sheets.leather_test_pictures import HIGH, MARKS, PICTURES, ROD, WIDE
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL, TITLE
from backseam.papers.sheets.warning import framed

PICTURE = 0.88  # of the size the pictures are drawn at
LEFT: Mm = PICTURE * WIDE  # width of the picture's column
BETWEEN: Mm = 4.0  # picture and words
APART: Mm = 2.6  # a test and the next
MOST_APART: Mm = 7.0
BOX: tuple[Mm, Mm] = (17.0, 7.0)
BOXES_APART: Mm = 4.0
LABEL: Mm = 4.0  # above a box
KEY: Mm = 3.6  # below it
ROW: Mm = 8.4  # of boxes that belong together
ROW_LABEL: Mm = 37.0  # left of them
BLANK: Mm = 8.2  # a row of blanks under the picture
NUMBER: Mm = 6.0
FOOT: Mm = CAPTION + 3.0
EVENER: Mm = 2.0  # step by which sheets are made shorter until a test more would need another one
INCH: Mm = 25.4
SIZES: dict[str, dict[str, Mm]] = {  # to cut and to mark by, round in each unit
    "mm": {"wide": 15.0, "long": 150.0, "broad": 20.0, "square": 10.0, "least": 2.0, "most": 10.0},
    "inch": {
        "wide": 5 / 8 * INCH,
        "long": 6 * INCH,
        "broad": 3 / 4 * INCH,
        "square": 3 / 8 * INCH,
        "least": INCH / 16,
        "most": 3 / 8 * INCH,
    },
}

Block = tuple[tuple[Mark, ...], Mm]  # what is drawn and how high it is, top left at (0, 0)
Boxes = tuple[str, str, int]  # label, name in the file, how many side by side


@dataclass(frozen=True)
class Sketch:
    """One test on the sheet. listed: where it stands in the file; boxes: side by side; rows: one over the other, for
    readings that belong together; blanks: label and name in the file, under the picture."""

    name: str
    listed: str
    boxes: tuple[Boxes, ...] = ()
    rows: tuple[Boxes, ...] = ()
    blanks: tuple[tuple[str, str], ...] = ()
    cautioned: bool = False


SKETCHES = (
    Sketch(
        "ring",
        "tests.rings",
        (("handle", "handle_mm", 1), ("inside", "inside_mm", 1), ("pulls", "pull_n", 3)),
        blanks=(("thick", "thickness_mm"), ("cut", "cut_percent")),
        cautioned=True,
    ),
    Sketch(
        "pull",
        "made, in the job",
        (("girth", "finished_girth_mm", 1), ("pulls", "pull_n", 3), ("gap", "hole_gap_mm", 1)),
        cautioned=True,
    ),
    Sketch(
        "strip",
        "tests.strips",
        rows=(("weight", "loads: mass_g", 5), ("length", "loads: length_mm", 5)),
        blanks=(("way", "direction"), ("thick", "thickness_mm"), ("wide", "width_mm"), ("apart", "marks_mm")),
        cautioned=True,
    ),
    Sketch(
        "tilt", "tests.tilts", (("angles", "angles_deg", 4),), blanks=(("side", "side"), ("waxed", "waxed"))
    ),
    Sketch(
        "rods",
        "tests.rods",
        rows=(("rod", "rods: rod_mm", 5), ("tick", "rods: cracked", 5)),
        blanks=(("state", "state"), ("thick", "thickness_mm")),
    ),
    Sketch(
        "strap",
        "tests.straps",
        (("rod", "rod_mm", 1), ("thick", "thickness_mm", 1), ("readings", "readings_mm", 3)),
    ),
    Sketch(
        "dried",
        "tests.dried",
        (
            ("drawn", "wet_mm", 1),
            ("free_along", "dry_mm", 1),
            ("free_across", "dry_mm", 1),
            ("let_go", "dry_mm, pinned", 1),
        ),
    ),
    Sketch(
        "squares",
        "tests.squares",
        (("drawn", "drawn_mm", 1), ("row_across", "across_mm", 1), ("row_along", "along_mm", 1)),
    ),
    Sketch(
        "scrap",
        "tests.scraps",
        (
            ("lay", "room_g", 1),
            ("soaked", "soaked_g", 1),
            ("cased", "cased_g", 1),
            ("damp", "humidity_percent", 1),
        ),
    ),
    Sketch(
        "drying",
        "tests.dryings",
        rows=(("minutes", "weights: minutes", 5), ("grams", "weights: mass_g", 5)),
        blanks=(
            ("piece", "piece_g"),
            ("form", "form_g"),
            ("warm", "temperature_c"),
            ("damp", "humidity_percent"),
        ),
        cautioned=True,
    ),
)


def write(hide: str, speech: Speech, sheet: str = "A4") -> bytes:
    """The PDF of the sheets. hide: what the hide is called, or empty for a line to write on."""
    return pdf.write(pages(hide, speech, sheet), title=speech.say("learn.sheet.title"))


def pages(hide: str, speech: Speech, sheet: str = "A4") -> tuple[Page, ...]:
    """The sheets, as many tests on each as go whole."""
    paper = SHEETS[sheet]
    box = area(paper)
    head, used = _head(hide, box.width, speech)
    blocks = [_block(i + 1, one, box.width, speech) for i, one in enumerate(SKETCHES)]
    foot = _foot(box.width, speech)
    room = box.height - FOOT
    sheets, left = _shared(blocks, room, used, 0.0)
    for spare in np.arange(EVENER, room / 2, EVENER):
        evener = _shared(blocks, room, used, float(spare))
        if len(evener[0]) > len(sheets):
            break
        sheets, left = evener
    sheets[next((i for i, spare in enumerate(left) if spare > foot[1]), -1)].append(foot)
    return tuple(
        _page(
            i, sheet_blocks, head if i == 0 else (), used if i == 0 else 0.0, len(sheets), paper, hide, speech
        )
        for i, sheet_blocks in enumerate(sheets)
    )


def _shared(blocks: Sequence[Block], room: Mm, used: Mm, spare: Mm) -> tuple[list[list[Block]], list[Mm]]:
    """Tests on sheets in their order, each sheet left so much shorter, and the room each has left."""
    sheets: list[list[Block]] = [[]]
    left = [room - used]
    for block in blocks:
        if sheets[-1] and block[1] > left[-1] - spare:
            sheets.append([])
            left.append(room)
        sheets[-1].append(block)
        left[-1] -= block[1] + APART
    return sheets, left


def _page(
    i: int,
    blocks: Sequence[Block],
    head: tuple[Mark, ...],
    used: Mm,
    count: int,
    paper: Sheet,
    hide: str,
    speech: Speech,
) -> Page:
    box = area(paper)
    marks: list[Mark] = [*Drawing("", head).moved(box.left, box.top).marks]
    y = box.top - used
    spare = y - box.bottom - FOOT - sum(height for _, height in blocks)
    gap = min(max(spare / max(len(blocks) - 1, 1), APART), MOST_APART)
    for drawn, height in blocks:
        marks += Drawing("", drawn).moved(box.left, y).marks
        y -= height + gap
    caption = speech.say("learn.sheet.caption", hide=hide) if hide else speech.say("learn.sheet.title")
    marks += strip.caption(box, caption, speech.say("learn.sheet.page", page=i + 1, pages=count))
    return Page("AB"[i] if i < 2 else str(i + 1), paper, Drawing("leather tests", tuple(marks)))


def _head(hide: str, width: Mm, speech: Speech) -> tuple[tuple[Mark, ...], Mm]:
    """Title, whose hide, what these sheets are for; top left at (0, 0)."""
    y = -ASCENT * TITLE
    marks: list[Mark] = [Words((0.0, y), speech.say("learn.sheet.title"), TITLE, bold=True)]
    named = speech.say("learn.sheet.hide")
    x = 0.42 * width
    marks.append(Words((x, y), named, MAIN))
    start = x + lettering.width(named, MAIN) + 2.0
    if hide:
        text, size = lettering.fitting(hide, width - start, MAIN, SMALL, True)
        marks.append(Words((start, y), text, size, bold=True))
    else:
        marks.append(segment((start, y - 0.8), (width, y - 0.8), Role.LEADER))
    rows = broken([(speech.say("learn.sheet.about"), NOTE, False)], width)
    marks += lettering.block(rows, 0.0, -lettering.LEADING * TITLE - 1.0)
    return tuple(marks), lettering.LEADING * TITLE + 1.0 + lettering.height(rows) + 3.0


def _block(number: int, test: Sketch, width: Mm, speech: Speech) -> tuple[tuple[Mark, ...], Mm]:
    """One test: picture and blanks at the left, how it is done and its boxes at the right; top left at (0, 0)."""
    left = LEFT + BETWEEN
    room = width - left
    marks: list[Mark] = [segment((0.0, 0.0), (width, 0.0), Role.LEADER)]
    picture = Drawing("", PICTURES[test.name](speech)).mapped(PICTURE, PICTURE)
    marks += picture.moved(0.0, -PICTURE * HIGH - 2.0).marks
    low = PICTURE * HIGH + 2.6
    marks += _blanks(test, -low, speech)
    low += BLANK * ((len(test.blanks) + 1) // 2)
    words, y = _steps(number, test, room, speech)
    marks += Drawing("", words).moved(left, 0.0).marks
    if test.cautioned:
        warned, high = framed(_say(test, "caution", speech), room - NUMBER)
        marks += Drawing("", warned).moved(left + NUMBER, y - 0.8).marks
        y -= high + 1.4
    if test.boxes:
        marks += _boxes(test, left + NUMBER, y - 0.8, speech)
        y -= LABEL + BOX[1] + KEY + 1.0
    for row in test.rows:
        marks += _row(test, row, left + NUMBER, y - 1.2, speech)
        y -= ROW
    return tuple(marks), max(-y + (2.0 if test.rows else 0.0), low)


def _say(test: Sketch, key: str, speech: Speech) -> str:
    return told(test.name, key, speech)


def told(name: str, key: str, speech: Speech) -> str:
    """A word of the test with this name, its lengths round in the units spoken: title, one, two, three, caution."""
    unit = speech.say(f"learn.unit.{speech.units}")
    rods = speech.say(f"learn.rods.{speech.units}")
    return speech.say(
        f"learn.test.{name}.{key}",
        unit=unit,
        rods=rods,
        marks=MARKS[speech.units],
        rod=ROD[speech.units],
        **SIZES[speech.units],
    )


def _steps(number: int, test: Sketch, room: Mm, speech: Speech) -> tuple[tuple[Mark, ...], Mm]:
    """Number, title, where it stands in the file, and three steps; and how far down they reach."""
    y = -2.0
    base = y - ASCENT * MAIN
    marks: list[Mark] = [
        Words((0.0, base), str(number), MAIN, bold=True),
        Words((NUMBER, base), _say(test, "title", speech), MAIN, bold=True),
        Words((room, base), test.listed, SMALL, "end"),
    ]
    y -= lettering.LEADING * MAIN + 0.4
    for step in ("one", "two", "three"):
        rows: list[Row] = broken([(_say(test, step, speech), NOTE, False)], room - NUMBER)
        marks += lettering.block(rows, NUMBER, y)
        y -= lettering.height(rows) + 0.4
    return tuple(marks), y


def _boxes(test: Sketch, x: Mm, top: Mm, speech: Speech) -> Iterator[Mark]:
    """Boxes side by side, with what is written above each, and its name in the file below."""
    wide, high = BOX
    for label, key, times in test.boxes:
        words = _say(test, label, speech)
        yield Words((x, top - ASCENT * NOTE), words, NOTE)
        yield from _cells(x, top - LABEL - high, wide, times)
        yield Words((x, top - LABEL - high - ASCENT * SMALL - 0.5), key, SMALL)
        x += max(times * wide, lettering.width(words, NOTE), lettering.width(key, SMALL)) + BOXES_APART


def _row(test: Sketch, row: Boxes, x: Mm, top: Mm, speech: Speech) -> Iterator[Mark]:
    """A row of boxes with its label and its name in the file at the left."""
    label, key, times = row
    _, high = BOX
    yield Words((x, top - 0.4 - ASCENT * NOTE), _say(test, label, speech), NOTE)
    yield Words((x, top - high + 0.6), key, SMALL)
    yield from _cells(x + ROW_LABEL, top - high, BOX[0] - 0.8, times)


def _cells(x: Mm, low: Mm, wide: Mm, times: int) -> Iterator[Mark]:
    high = low + BOX[1]
    yield Stroke(strip.corners(Box(x, low, x + times * wide, high)), Role.FRAME, True)
    for i in range(1, times):
        yield segment((x + i * wide, low), (x + i * wide, high), Role.LEADER)


def _blanks(test: Sketch, top: Mm, speech: Speech) -> Iterator[Mark]:
    """Lines to write on under the picture, two in a row, the name in the file under each."""
    wide = LEFT / 2
    for i, (label, key) in enumerate(test.blanks):
        x, y = (i % 2) * wide, top - (i // 2) * BLANK - 4.4
        words = _say(test, label, speech)
        yield Words((x, y), words, NOTE)
        start = x + lettering.width(words, NOTE) + 1.0
        yield segment((start, y - 0.6), (x + wide - 2.0, y - 0.6), Role.LEADER)
        yield Words((x, y - ASCENT * SMALL - 0.9), key, SMALL)


def _foot(width: Mm, speech: Speech) -> tuple[tuple[Mark, ...], Mm]:
    """How the numbers get onto the card; top left at (0, 0)."""
    inches = speech.say("learn.sheet.inches") + " " if speech.units == "inch" else ""
    rows = broken([(speech.say("learn.sheet.then", inches=inches), NOTE, False)], width)
    line = segment((0.0, 0.0), (width, 0.0), Role.LEADER)
    return (line, *lettering.block(rows, 0.0, -2.0)), lettering.height(rows) + 2.0
