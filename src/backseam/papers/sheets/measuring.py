"""A small picture of how a hole is set out: up the centre line from the bottom edge, then square to both sides."""

from __future__ import annotations

import numpy as np

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Drawing, Mark, Point, Role, segment, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.drafting import dimension, text
from backseam.papers.sheets.labelling import Row, broken
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL
from backseam.pattern.seam import Seam
from backseam.pattern.upper import Line, Upper

WIDE: Mm = 52.0
SQUARE: Mm = 2.2  # the mark of a right angle


def measuring(upper: Upper, seam: Seam, speech: Speech, width: Mm, high: Mm) -> Drawing:
    """The piece reduced to a height with one hole dimensioned, words beside it; top left at (0, 0)."""
    scale = min(high / float(np.ptp(upper.cut[:, 1])), WIDE / float(np.ptp(upper.cut[:, 0])))
    low = -float(upper.cut[:, 1].max()) * scale - 1.0
    middle = -float(upper.cut[:, 0].min()) * scale

    def at(line: Line) -> Line:
        moved: Line = line * scale + np.array([middle, low])
        return moved

    hole = seam.right[len(seam.right) // 3]
    height = low + scale * hole.y
    right, left = middle + scale * hole.x, middle - scale * hole.x
    bottom = float(at(upper.cut)[:, 1].min())
    each = speech.fill("{v:n}", {"v": hole.x})
    roomy = scale * hole.x > lettering.width(each, MAIN, True) + 2.0
    marks: list[Mark] = [
        stroke(at(upper.cut), Role.PIECE, closed=True),
        stroke(at(upper.stitch_left), Role.LEADER),
        stroke(at(upper.stitch_right), Role.LEADER),
        segment((middle, -1.0), (middle, bottom), Role.CENTRE),
        segment((0.0, low), (2 * middle, low), Role.HIDDEN),
        *dimension((middle, low), (middle, height), speech.fill("{v:n}", {"v": hole.y}), "start"),
        *dimension((middle, height), (left, height), each if roomy else ""),
        *dimension((middle, height), (right, height), each if roomy else ""),
        *_square((middle, low)),
    ]
    if not roomy:
        marks.append(text((2 * middle + 1.5, height), each, bold=True))
    rows: list[Row] = [(speech.say("sheets.measuring.title", hole=hole.number), NOTE, True)]
    beside = 2 * middle + 4.0 + (0.0 if roomy else lettering.width(each, MAIN, True))
    for key in ("one", "two", "three"):
        rows += broken([(speech.say(f"sheets.measuring.{key}"), SMALL, False)], width - beside)
    return Drawing("measuring", (*marks, *lettering.block(rows, beside, -1.0)))


def _square(corner: Point) -> tuple[Mark, ...]:
    x, y = corner
    return (
        segment((x - SQUARE, y), (x - SQUARE, y + SQUARE), Role.LEADER),
        segment((x - SQUARE, y + SQUARE), (x, y + SQUARE), Role.LEADER),
    )
