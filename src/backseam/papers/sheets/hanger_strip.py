"""The thong or the strap: how much to cut, drawn broken, its width at full size."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Drawing, Mark, Point, Role, segment, stroke
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import Row, broken, size
from backseam.papers.sheets.lettering import NOTE, TITLE
from backseam.pattern.construction import Construction, HangerKind
from backseam.pattern.hanger import HangerPlan

GAP: Mm = 9.0  # between the two ends drawn
SHOWN: Mm = 152.0  # length drawn over all
BREAK: tuple[Point, ...] = (
    (0.0, -0.25),
    (1.8, 0.25),
    (-1.8, 0.75),
    (0.0, 1.25),
)  # of the zigzag, y in widths


def hanger_strip(plan: HangerPlan, construction: Construction, speech: Speech, width: Mm) -> Drawing | None:
    """Words and a broken strip, top left at (0, 0), at most `width` wide; None without a hanger."""
    if plan.kind is HangerKind.NONE or plan.cut <= 0:
        return None
    values = {
        "width": speech.fill("{v:n}", {"v": plan.width}).removesuffix(".0"),
        "thickness": plan.thickness,
        "cut": size(speech, round(plan.cut)),
        "creep": construction.hanger.creep,
        "loop": size(speech, round(plan.loop)),
    }
    rows: list[Row] = [(speech.say(f"sheets.hanger.{plan.kind}"), TITLE, True)]
    rows += broken([(speech.say(f"sheets.hanger.{plan.kind}_cut", **values), NOTE, False)], width)
    top = -lettering.height(rows) - 1.0 - 0.25 * plan.width
    marks = [*lettering.block(rows, 0.0, 0.0), *_broken(min(SHOWN, width), plan.width, top)]
    return Drawing("hanger", tuple(marks))


def _broken(length: Mm, width: Mm, top: Mm) -> Iterator[Mark]:
    """A long strip with its middle left out."""
    left, right = (length - GAP) / 2, (length + GAP) / 2
    for end, cut in ((0.0, left), (length, right)):
        outline = ((cut, top), (end, top), (end, top - width), (cut, top - width))
        yield stroke(outline, Role.CUT, why="hanger")
        zigzag = [(cut + x, top - y * width) for x, y in BREAK]
        yield from (segment(a, b, Role.LEADER) for a, b in pairwise(zigzag))
