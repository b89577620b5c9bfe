"""The block at the sheet's foot: whose sheath, which leather in which state, scale, seam, blank, which sheet."""

from __future__ import annotations

from typing import Protocol

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.leather.leather import Leather
from backseam.papers.model import ASCENT, Box, Mark, Role, Words, segment, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import number
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL, TITLE
from backseam.papers.strip import corners
from backseam.pattern.blank import Blank
from backseam.pattern.seam import Seam

HEAD: Mm = 10.1  # height of the row with the title
SIDE: Mm = 1.5  # from the frame to the words
HEIGHT: Mm = 34.4


class Heading(Protocol):
    """Whose sheath it is, as the job document names it."""

    @property
    def title(self) -> str:
        """What the job is called."""
        ...

    @property
    def customer(self) -> str:
        """Who gets it."""
        ...

    @property
    def maker(self) -> str:
        """Who makes it."""
        ...

    @property
    def id(self) -> str:
        """The job's own number."""
        ...

    @property
    def date(self) -> str:
        """Day of the readings, as year-month-day, or empty."""
        ...


def title_block(
    box: Box, heading: Heading, leather: Leather, seam: Seam, blank: Blank, sheet: str, speech: Speech
) -> tuple[Mark, ...]:
    """The block drawn into a box, each text made to fit its cell. sheet: which sheet of how many, in words."""
    middle = (box.left + box.right) / 2
    under = box.top - HEAD
    row = (under - box.bottom) / 3
    marks: list[Mark] = [stroke(corners(box), Role.FRAME, closed=True)]
    for i in range(3):
        y = under - i * row
        marks.append(segment((box.left, y), (box.right, y), Role.LEADER))
    marks.append(segment((middle, box.bottom), (middle, under), Role.LEADER))
    marks += _head(box, heading, speech)
    for i, (name, value) in enumerate(_cells(heading, leather, seam, blank, sheet, speech)):
        left, right = ((box.left, middle), (middle, box.right))[i % 2]
        marks += _cell(Box(left, under - (i // 2 + 1) * row, right, under - i // 2 * row), name, value)
    return tuple(marks)


def _head(box: Box, heading: Heading, speech: Speech) -> tuple[Words, ...]:
    """Title and maker; under them customer and job."""
    room = box.width - 2 * SIDE
    maker, maker_size = lettering.fitting(heading.maker, 0.4 * room, NOTE)
    maker_width = lettering.width(maker, maker_size)
    title = heading.title or speech.say("sheets.title.untitled")
    title, title_size = lettering.fitting(title, room - maker_width - 2.0, TITLE, NOTE, True)
    who = [speech.say("sheets.title.customer", name=heading.customer)] if heading.customer else []
    who += [speech.say("sheets.title.job", id=heading.id)] if heading.id else []
    below, below_size = lettering.fitting(", ".join(who), room, MAIN)
    y = box.top - 1.0 - ASCENT * TITLE
    return (
        Words((box.left + SIDE, y), title, title_size, "start", 0.0, True),
        Words((box.right - SIDE, y), maker, maker_size, "end"),
        Words((box.left + SIDE, y - 4.1), below, below_size),
    )


def _cell(box: Box, name: str, value: str) -> tuple[Words, ...]:
    room = box.width - 2 * SIDE
    value, size = lettering.fitting(value, room, MAIN, SMALL, True)
    return (
        Words((box.left + SIDE, box.top - 0.6 - ASCENT * SMALL), lettering.shorten(name, room, SMALL), SMALL),
        Words((box.left + SIDE, box.bottom + 1.2), value, size, "start", 0.0, True),
    )


def _cells(
    heading: Heading, leather: Leather, seam: Seam, blank: Blank, sheet: str, speech: Speech
) -> tuple[tuple[str, str], ...]:
    """Name and value of the six cells, row by row."""

    def say(key: str, **values: object) -> str:
        return speech.say(f"sheets.title.{key}", **values)

    thick = speech.fill("{v:n}", {"v": leather.thickness})
    state = speech.say(f"sheets.piece.state.{leather.state}")
    part = leather.part or say("leather_only")
    wide, high = (number(speech, round(v)) for v in (blank.width, blank.height))
    return (
        (say("leather"), say("leather_value", part=part, thickness=thick, state=state)),
        (say("scale"), say("scale_value", units=say(f"units.{speech.units}"))),
        (say("seam"), say("seam_value", length=seam.length, count=seam.count, pitch=seam.pitch)),
        (say("blank"), say("blank_value", width=wide, height=high)),
        (say("sheet"), sheet),
        (say("drawn"), heading.date or say("no_date")),
    )
