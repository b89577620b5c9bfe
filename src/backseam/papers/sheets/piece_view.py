"""The flat piece on the screen, grain side up, mouth up: what the pattern sheet has, to be pointed at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.screen import Group, Item, Line, Picture, Spot, Text, line
from backseam.papers.sheets.piece import ends, normal, snip_points, tick_ends
from backseam.papers.sheets.seam_labels import numbered
from backseam.papers.sheets.work import Drawn
from backseam.pattern.hanger import HangerHole, Slit
from backseam.pattern.seam import Hole

Array = NDArray[np.float64]

BEYOND: Mm = 4.0  # the centre line past the edges
NUMBER_OUT: Mm = 10.0  # hole numbers from the stitch line
TOUCH: Mm = 3.4  # a hole is met from so far
GAP_SCALE = 10.0  # the gap between hand line and stitch line is shown so many times as wide
GAP_BESIDE: Mm = 26.0  # its axis left of the piece
LETTER: Mm = 1.6  # half the height of a digit
DIGITS: Mm = 3.0  # half the width of two digits
SIGN: Mm = 1.95  # width of a letter, on the average
HALF_A_MM: Mm = 0.5


def piece_view(
    work: Drawn, speech: Speech, title: str, *, over: Iterable[Item] = (), gap: bool = True
) -> Picture:
    """The piece in its own millimetres (x = 0 on the centre line, height 0 at the bottom edge).

    over: laid on the leather, under the lines; gap: with the curve of the gap to the hand line, at the left.
    """
    items = [
        *_areas(work),
        *over,
        *_edges(work),
        Group("ghost", tuple(_hand(work))),
        *_seams(work),
        *_marks(work),
        Group("words", tuple(_words(work, speech))),
    ]
    if gap:
        items.append(Group("gapcurve", tuple(_gap(work, speech))))
    return Picture("piece", title, tuple(items), 3.0, "view piece")


def _areas(work: Drawn) -> Iterator[Item]:
    upper = work.upper
    yield line(upper.cut, "hide", closed=True, body="piece")
    bands = [
        np.concatenate([upper.glue_right, upper.stitch_right[::-1]]),
        np.concatenate([upper.glue_left, upper.stitch_left[::-1]]),
    ]
    yield line(bands, "glue", closed=True)
    if len(upper.flap):
        yield line(upper.flap, "flap", closed=True)


def _edges(work: Drawn) -> Iterator[Item]:
    upper = work.upper
    if len(upper.flap_end):
        yield line(upper.flap_end, "hidden", place="collar")
    if len(upper.skive):
        yield line(upper.skive, "skive")
    if len(upper.flap):
        yield line(upper.fold, "under", place="mouth")
    for press in upper.press:
        yield line(press.line, "press", place=press.name.replace(" ", "_"))
    low, high = float(upper.cut[:, 1].min()), float(upper.cut[:, 1].max())
    yield line(np.array([(0.0, low), (0.0, high)]), "centre")
    stubs = [np.array([(0.0, low - BEYOND), (0.0, low)]), np.array([(0.0, high), (0.0, high + BEYOND)])]
    yield line(stubs, "centre beyond")
    yield line([upper.trim_left, upper.trim_right], "trim")
    yield line([upper.stitch_left, upper.stitch_right], "seam", place="seam")
    yield line(upper.cut, "cut", closed=True, why="blank")


def _hand(work: Drawn) -> Iterator[Item]:
    dots = work.upper.hand.dots
    if len(dots) > 1:
        yield line([dots, dots * (-1, 1)], "ghostline")
    for x, y in np.concatenate([dots, dots * (-1, 1)]):
        yield Spot((float(x), float(y)), (0.6, 0.6), "dot")


# --- seam ------------------------------------------------------------------------------------------------------------


def _seams(work: Drawn) -> Iterator[Item]:
    awl = work.inputs.construction.stitching.awl
    for side, holes in (("left", work.seam.left), ("right", work.seam.right)):
        for hole in holes:
            a, b = ends((hole.x, hole.y), hole.slit, awl)
            why = {"why": f"hole:{hole.number}:{side}"}
            yield Line((np.array([a, b]),), "hole", data=why)
        for hole in holes:
            reach = np.array([(hole.x - 0.01, hole.y), (hole.x + 0.01, hole.y)])
            yield Line((reach,), "touch", data={"why": f"hole:{hole.number}:{side}"})
    yield from _numbers(work, work.seam.left, -1)
    yield from _numbers(work, work.seam.right, 1)


def _numbers(work: Drawn, holes: tuple[Hole, ...], side: int) -> Iterator[Item]:
    """Every fifth, beside its hole; moved along the seam by its own height where a tick would cross it."""
    wanted = set(numbered(len(holes)))
    if len(holes) - 1 in wanted or len(holes) - 2 in wanted:
        wanted.discard(len(holes))
    for hole in holes:
        if hole.number in wanted:
            x, y = hole.x + side * NUMBER_OUT, _beside_ticks(work, hole, side)
            yield Text((x, y - LETTER), str(hole.number), "num", "middle")


def _beside_ticks(work: Drawn, hole: Hole, side: int) -> Mm:
    """The height of a hole's number: the hole's own, unless a tick lies there."""
    for tick in work.upper.ticks:
        inner, outer = tick_ends(work.upper, tick.left if side < 0 else tick.right, side)
        reaches = abs(inner[0]) < abs(hole.x) + NUMBER_OUT + DIGITS < abs(outer[0]) + 2 * DIGITS
        if reaches and abs(inner[1] - hole.y) < 2 * LETTER:
            return inner[1] + (2.2 * LETTER if hole.y >= inner[1] else -2.2 * LETTER)
    return hole.y


# --- marks -----------------------------------------------------------------------------------------------------------


def _marks(work: Drawn) -> Iterator[Item]:
    upper, flange = work.upper, work.inputs.construction.flange
    ticks = [
        np.array(tick_ends(upper, point, side))
        for tick in upper.ticks
        for side, point in ((-1, tick.left), (1, tick.right))
    ]
    yield Line(tuple(ticks), "tick")
    snips = []
    for point, side in snip_points(upper):
        stitch = upper.stitch_right if side > 0 else upper.stitch_left
        at, n = normal(
            stitch, float(np.hypot(*np.diff(stitch[stitch[:, 1] >= point[1]], axis=0).T).sum()), side
        )
        snips.append(
            np.array([(at[0] + d * n[0], at[1] + d * n[1]) for d in (flange.glue + 0.8, flange.clamp)])
        )
    yield Line(tuple(snips), "snip")
    for number, hole in enumerate(work.hanger.holes, start=1):
        yield _punched(hole, number)
    for number, slit in enumerate(work.hanger.slits, start=1):
        yield from _slit(slit, number)


def _punched(hole: HangerHole, number: int) -> Item:
    r = hole.diameter / 2
    return Spot((hole.x, hole.y), (r, r), "hang", {"why": f"hanger:{number}", "place": "hanger"})


def _slit(slit: Slit, number: int) -> Iterator[Item]:
    a, b = (slit.x1, slit.y1), (slit.x2, slit.y2)
    yield Line((np.array([a, b]),), "mouthslit", data={"place": "hanger"})
    for at in (a, b):
        yield Spot(at, (slit.end_diameter / 2, slit.end_diameter / 2), "hang", {"place": "hanger"})


# --- words -----------------------------------------------------------------------------------------------------------


def _words(work: Drawn, speech: Speech) -> Iterator[Item]:
    upper, made = work.upper, work.inputs.construction
    top = float(upper.fold[:, 1].max()) if len(upper.fold) else upper.height
    if len(upper.flap):
        middle = upper.height + upper.turn_in / 2 - LETTER
        yield Text((-3.0, middle), speech.say("views.piece.fold", v=made.collar.depth), "said", "end")
        if made.collar.flap < work.inputs.leather.thickness - 1e-6:
            yield Text((3.0, middle), speech.say("views.piece.skive", v=made.collar.flap), "said")
    yield Text((-1.6, 0.1 * top), speech.say("views.piece.centre"), "said", "start", 90.0)
    if upper.press:
        heights = [press.line[len(press.line) // 2, 1] for press in upper.press]
        yield Text((-2.6, float(np.mean(heights)) - LETTER), speech.say("views.piece.press"), "said", "end")
    if work.hanger.holes:
        left = [hole for hole in work.hanger.holes if hole.side < 0]
        hole = left[len(left) // 2]
        said = speech.say("views.piece.thong", v=hole.diameter)
        yield Text((hole.x + hole.diameter / 2 + 1.6, hole.y - LETTER), said, "said")
    elif work.hanger.slits:
        slit = next(one for one in work.hanger.slits if one.side < 0)
        at = (slit.x1 + 4.0, (slit.y1 + slit.y2) / 2 - LETTER)
        yield Text(at, speech.say("views.piece.strap", v=made.hanger.width), "said")
    yield _trim(work, speech, top)


def _trim(work: Drawn, speech: Speech, top: Mm) -> Text:
    """Along the right flange, in the middle of the longest stretch that no tick and no snip crosses."""
    upper, flange = work.upper, work.inputs.construction.flange
    crossed = [tick.right[1] for tick in upper.ticks]
    crossed += [point[1] for point, side in snip_points(upper) if side > 0]
    low, high = float(upper.stitch_right[:, 1].min()), min(top, float(upper.stitch_right[:, 1].max()))
    heights = sorted({low, high, *(float(y) for y in crossed if low < y < high)})
    below, above = max(pairwise(heights), key=lambda pair: pair[1] - pair[0])
    line = upper.stitch_right[np.argsort(upper.stitch_right[:, 1])]
    middle, reach = (below + above) / 2, (above - below) / 4
    x, foot, head = np.interp([middle, middle - reach, middle + reach], line[:, 1], line[:, 0])
    angle = float(np.degrees(np.arctan2(2 * reach, head - foot)))
    out = max((flange.glue + flange.clamp) / 2 + LETTER, NUMBER_OUT + DIGITS + 2 * LETTER)
    said = speech.say("views.piece.trim")
    if len(said) * SIGN > above - below - 3.0:
        said = speech.say("views.piece.trim_short")
    return Text((float(x) + min(out, flange.clamp - HALF_A_MM), middle), said, "said", "middle", angle)


def _gap(work: Drawn, speech: Speech) -> Iterator[Item]:
    """How far the computed line lies outside (+) or inside the hand line, ten times as wide, height by height."""
    upper = work.upper
    hand, stitch = upper.hand, upper.stitch_right
    if len(hand.dots) < 2:
        return
    axis = float(upper.cut[:, 0].min()) - GAP_BESIDE
    dots = hand.dots[np.argsort(hand.dots[:, 1])]
    keep = (stitch[:, 1] >= dots[0, 1]) & (stitch[:, 1] <= dots[-1, 1])
    y = stitch[keep, 1][::4]
    if len(y) < 2:
        return
    apart = GAP_SCALE * (stitch[keep, 0][::4] - np.interp(y, dots[:, 1], dots[:, 0]))
    apart = np.clip(apart, -0.8 * GAP_BESIDE, 0.8 * GAP_BESIDE)
    curve = np.stack([axis + apart, y], axis=-1)
    yield line(np.concatenate([[(axis, y[0])], curve, [(axis, y[-1])]]), "gaparea", closed=True)
    yield line(np.array([(axis, float(y.min())), (axis, float(y.max()) + 4.0)]), "gapaxis")
    top = float(y.max())
    most = speech.say("views.piece.gap", v=abs(hand.largest_difference))
    sign = "\u2212" if hand.largest_difference < 0 else "+"
    yield Text((axis, top + 14.0), sign + most, "gapmost", "start")
    yield Text((axis, top + 7.4), speech.say("views.piece.gap_at", v=hand.at), "gapsaid", "start")
    yield Text((axis, float(y.min()) - 8.0), speech.say("views.piece.gap_scale"), "gapsaid", "middle")
