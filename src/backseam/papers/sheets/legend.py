"""The legend: each kind of line on the sheet once, drawn as it is drawn there, with its name."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import ceil

import shapely

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Box, Mark, Ring, Role, Stroke, Words, segment, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.labelling import broken, size
from backseam.papers.sheets.lettering import NOTE
from backseam.papers.sheets.piece import HAND_DOT, cross
from backseam.papers.strip import corners
from backseam.pattern.construction import Construction

SAMPLE: Mm = 14.0  # length of the line shown
SIDE: Mm = 2.6
ROW_MOST: Mm = 6.2
ROW_LEAST: Mm = 3.9
COLUMN_LEAST: Mm = 44.0
ORDER = (
    Role.CUT,
    Role.TRIM,
    Role.STITCH,
    Role.CENTRE,
    Role.FOLD,
    Role.HIDDEN,
    Role.SKIVE,
    Role.PRESS,
    Role.GLUE,
    Role.TICK,
    Role.PUNCH,
    Role.SNIP,
    Role.HAND,
)


def legend(
    roles: Collection[Role], box: Box, construction: Construction, speech: Speech, notes: Sequence[str] = ()
) -> tuple[Mark, ...]:
    """The roles that are in use, in columns within the box, then notes; roles that explain themselves are left out."""
    used = [role for role in ORDER if role in roles]
    lines = broken([(note, NOTE, False) for note in notes], box.width - 2 * SIDE)
    room = box.height - 2.0 - lettering.height(lines) - (1.0 if lines else 0.0)
    columns = _columns(len(used), box.width, room)
    rows = ceil(len(used) / columns)
    pitch = min(ROW_MOST, room / max(rows, 1))
    width = (box.width - 2 * SIDE) / columns
    taken = rows * pitch + lettering.height(lines)
    top = box.top - max(1.0, (box.height - taken) / 2) if not lines else box.top - 1.5
    marks: list[Mark] = [stroke(corners(box), Role.FRAME, closed=True)]
    for i, role in enumerate(used):
        x = box.left + SIDE + i // rows * width
        y = top - (i % rows + 0.5) * pitch
        marks += _sample(role, x, y, construction)
        text, mm = lettering.fitting(_name(role, construction, speech), width - SAMPLE - 4.0, NOTE)
        marks.append(Words((x + SAMPLE + 2.5, y - 0.34 * mm), text, mm))
    return (*marks, *lettering.block(lines, box.left + SIDE, top - rows * pitch - 1.0))


def _columns(count: int, width: Mm, room: Mm) -> int:
    """As few columns as leave the rows room, but no more than the width allows."""
    most = max(1, int((width - 2 * SIDE) / COLUMN_LEAST))
    comfortable = ceil(count * NOTE * 1.7 / room)
    return max(1, min(most, max(comfortable, ceil(count * ROW_LEAST / room))))


def _name(role: Role, construction: Construction, speech: Speech) -> str:
    return speech.say(
        f"sheets.legend.{role}",
        glue=size(speech, construction.flange.glue),
        trimmed=size(speech, construction.flange.trimmed),
    )


def _sample(role: Role, x: Mm, y: Mm, construction: Construction) -> tuple[Mark, ...]:
    """The line as it is drawn, or the sign."""
    line = segment((x, y), (x + SAMPLE, y), role)
    middle = x + SAMPLE / 2
    match role:
        case Role.STITCH:
            at = (0.2, 0.5, 0.8)
            slits = (
                segment((x + s * SAMPLE - 0.8, y - 0.8), (x + s * SAMPLE + 0.8, y + 0.8), Role.SLIT)
                for s in at
            )
            return (line, *slits)
        case Role.GLUE:
            return hatch(shapely.box(x, y - 1.4, x + SAMPLE, y + 1.4))
        case Role.TICK | Role.SNIP:
            return (segment((middle - 1.5, y), (middle + 1.5, y), role),)
        case Role.PUNCH:
            return (Ring((middle, y), 1.4, Role.PUNCH), *cross((middle, y), 2.2))
        case Role.HAND:
            dots = (Ring((x + s * SAMPLE, y), HAND_DOT, Role.HAND, 1.0) for s in (0.0, 0.5, 1.0))
            return (Stroke(line.points, role), *dots)
    return (line,)
