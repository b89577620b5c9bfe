"""The rough blank as a small plan: what lies where on it, not to scale."""

from __future__ import annotations

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Box, Drawing, Mark, Role, Words, segment, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import Row, broken, number
from backseam.papers.sheets.lettering import NOTE, SMALL, TITLE
from backseam.papers.sheets.wall_labels import arrow
from backseam.papers.strip import corners
from backseam.pattern.blank import Blank, BlankPart

SIDE: Mm = 4.0  # from the plan to its dimensions
ARROW: Mm = 30.0
WORDS: Mm = 10.0  # from the plan to the words beside it


def blank_plan(blank: Blank, speech: Speech, width: Mm, most: Mm) -> Drawing:
    """The plan with its sizes, its longer side at most so long, and the list of parts; top left at (0, 0)."""
    scale = min(most / max(blank.width, blank.height), 0.45 * width / blank.width)
    wide, high = scale * blank.width, scale * blank.height
    head: list[Row] = [(speech.say("sheets.blank.title"), TITLE, True)]
    top = -lettering.height(head) - 1.0 - NOTE - 1.5
    marks: list[Mark] = [*lettering.block(head, 0.0, 0.0)]
    marks.append(stroke(corners(Box(0.0, top - high, wide, top)), Role.PIECE, closed=True))
    for letter, part in zip("ABCDEFGHIJ", blank.parts, strict=False):
        marks += _part(part, letter, scale, top - high)
    marks.append(Words((wide / 2, top + 1.0), number(speech, round(blank.width)), NOTE, "middle"))
    x = wide + 1.0 + NOTE
    marks.append(Words((x, top - high / 2), number(speech, round(blank.height)), NOTE, "middle", 90.0))
    left = wide + WORDS
    length = min(ARROW, high)
    marks += arrow((left + 5.0, top - length / 2), length, True, speech.say("sheets.blank.tight"), SMALL)
    marks += lettering.block(_rows(blank, speech, width - left - WORDS), left + WORDS, top)
    return Drawing("blank", tuple(marks))


def _part(part: BlankPart, letter: str, scale: float, low: Mm) -> tuple[Mark, ...]:
    box = Box(
        scale * part.x,
        low + scale * part.y,
        scale * (part.x + part.width),
        low + scale * (part.y + part.height),
    )
    middle = ((box.left + box.right) / 2, (box.bottom + box.top) / 2 - 0.34 * NOTE)
    frame = stroke(corners(box), Role.LEADER, closed=True)
    if min(box.width, box.height) < SMALL * 1.1:
        end = (box.right + 0.5, box.top)
        return frame, segment((box.left, box.bottom), end, Role.HIDDEN)
    return frame, Words(middle, letter, NOTE, "middle", 0.0, True)


def _rows(blank: Blank, speech: Speech, room: Mm) -> list[Row]:
    """What each letter is, and its size."""
    rows: list[Row] = []
    for letter, part in zip("ABCDEFGHIJ", blank.parts, strict=False):
        size = (number(speech, round(part.width)), number(speech, round(part.height)))
        name = speech.say(f"sheets.blank.part.{part.name.replace(' ', '_')}")
        line = speech.say("sheets.blank.row", letter=letter, name=name, width=size[0], height=size[1])
        rows += broken([(line, NOTE, False)], room)
    rows += broken([(speech.say("sheets.blank.note"), NOTE, False)], room)
    return rows
