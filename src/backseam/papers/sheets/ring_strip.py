"""The trial ring as a strip to cut from the same hide, at full size."""

from __future__ import annotations

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Box, Drawing, Mark, Role, Words, segment, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import Row, broken, number
from backseam.papers.sheets.lettering import MAIN, SMALL, TITLE
from backseam.papers.sheets.piece import slits
from backseam.papers.strip import corners
from backseam.pattern.construction import Construction
from backseam.pattern.ring import TrialRing

CENTRE_IN: Mm = 1.4  # the centre line's marks reach so far into the strip and out of it
INSIDE: Mm = 2.6  # words stay this far from the slits
SIZES = (
    (1.0, 1.3),
    (0.94, 1.3),
    (0.88, 1.3),
    (0.82, 1.25),
    (0.0, 1.2),
)  # share of the type's size, line to line


def trial_ring(ring: TrialRing, construction: Construction, speech: Speech) -> Drawing:
    """The strip with its stitch lines, slits and words; x = 0 on its centre line, y = 0 at its lower edge."""
    half, height = ring.length / 2, ring.height
    marks: list[Mark] = [
        stroke(
            corners(Box(-ring.width / 2, 0.0, ring.width / 2, height)),
            Role.CUT,
            closed=True,
            why="trial ring",
        ),
        segment((-half, height), (-half, 0.0), Role.STITCH, "stitch line, left"),
        segment((half, height), (half, 0.0), Role.STITCH, "stitch line, right"),
        *slits(ring.left, construction.stitching.awl, "left, trial ring"),
        *slits(ring.right, construction.stitching.awl, "right, trial ring"),
    ]
    for y in (0.0, height):
        marks.append(segment((0.0, y - CENTRE_IN), (0.0, y + CENTRE_IN), Role.CENTRE, "centre line"))
    room = Box(-half + INSIDE, CENTRE_IN + 0.2, half - INSIDE, height - CENTRE_IN - 0.2)
    return Drawing("trial ring", (*marks, *_words(ring, room, speech)))


def _words(ring: TrialRing, room: Box, speech: Speech) -> tuple[Mark, ...]:
    """The words, as large as they go into the room; what does not go in stands under the strip."""

    def say(key: str) -> str:
        spread = speech.fill("{v:n}", {"v": ring.inside_spread})
        return speech.say(
            f"sheets.ring.{key}",
            at=number(speech, ring.station),
            name=ring.name,
            length=ring.length,
            inside=ring.inside,
            spread=spread.removesuffix(".0"),
        )

    rows: list[Row] = [
        (say("title"), TITLE, True),
        (say("what"), MAIN, False),
        (say("how"), MAIN, False),
        (say("inside"), MAIN, False),
    ]
    for shrink, leading in SIZES:
        whole = [broken([row], room.width, shrink) for row in rows]
        if lettering.height((line for row in whole for line in row), leading) <= room.height:
            break
    inside: list[Row] = []
    while whole and lettering.height([*inside, *whole[0]], leading) <= room.height:
        inside += whole.pop(0)
        rows.pop(0)
    top = (room.top + room.bottom + lettering.height(inside, leading)) / 2
    under = broken([(text, SMALL, bold) for text, _, bold in rows], ring.width)
    placed = lettering.block(inside, room.left, top, leading=leading)
    line = () if rows else (_write_here(placed[-1], room),)
    return (*placed, *line, *lettering.block(under, -ring.width / 2, -CENTRE_IN - 1.0))


def _write_here(last: Words, room: Box) -> Mark:
    """A line to write on, after the last words."""
    start = last.at[0] + lettering.width(last.text, last.size, last.bold) + 2.0
    y = last.at[1] - 0.6
    return segment((min(start, room.right - 4.0), y), (room.right, y), Role.LEADER)
