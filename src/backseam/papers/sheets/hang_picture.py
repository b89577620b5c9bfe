"""The picture of how it hangs: from the side as it comes to rest, from the back with the plumb lines of both limits.

The side is turned about the belt until the centre of gravity hangs plumb. On the back, which is drawn along the sheath,
two lines through the centre of gravity show where plumb would be: with the thong held, and with one that slides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, pi, sin

import numpy as np
from numpy.typing import NDArray

from backseam.fit.hang import Hang, Loop
from backseam.form.form import Form
from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.ground.units import Mm, Radian
from backseam.papers.model import Drawing, Mark, Point, Ring, Role, Stroke, segment, stroke
from backseam.papers.sheets.drafting import Placing, arc, arrow_head, dimension, leader, text
from backseam.papers.sheets.lettering import MAIN, NOTE, TITLE, width
from backseam.pattern.construction import Construction

Array = NDArray[np.float64]

HIGH: Mm = 120.0  # belt to foot
POINTS = 81
VIEWS_APART: Mm = 46.0  # from the side view's right edge to the middle of the back view
BEYOND: Mm = 14.0  # plumb lines below the foot
DOT: Mm = 2.0  # radius of the mark of the centre of gravity
CLEAR: Mm = 4.0


@dataclass(frozen=True)
class _Outlines:
    """Left and right edges from below to above, (n, 2): handle, liner and the upper laid on them."""

    handle: tuple[Array, Array]
    liner: tuple[Array, Array]
    upper: tuple[Array, Array]
    guessed: tuple[Array, Array]


def hang_picture(
    told: Hang,
    form: Form,
    construction: Construction,
    speech: Speech,
    *,
    high: Mm = HIGH,
    titled: bool = True,
) -> Drawing:
    """Both views of a sheath that hangs; only its outlines and weights if it has no hanger.

    high: belt to foot on paper.
    """
    loop = told.loop
    above = max(told.butt, form.marks.mouth if loop is None else loop.height + loop.peg)
    scale = high / (above - told.foot)
    side, back = (_outlines(told, form, construction, view) for view in ("side", "back"))
    turn = 0.0 if loop is None else loop.away
    peg = np.array([told.centre[1], above]) if loop is None else _peg(told, loop)
    at = Placing(scale, 0.0, -scale * above)
    turned = _turned(side, peg, turn)
    marks: list[Mark] = [*_body(turned, at)]
    right = max(
        float(at.line(edge)[:, 0].max()) for pair in vars(turned).values() for edge in pair if len(edge)
    )
    middle = right + VIEWS_APART
    there = Placing(scale, middle, -scale * above)
    marks += _body(back, there)
    if loop is not None:
        marks += _side_marks(told, loop, at, peg, turn, construction, speech)
        marks += _back_marks(told, loop, there, construction, speech)
    marks += _weights(told, at, peg, turn, there, speech)
    marks += _heads(told, at, there, right, speech, titled=titled)
    return Drawing("hang", tuple(marks))


# --- outlines ------------------------------------------------------------------------------------------------------


def _outlines(told: Hang, form: Form, construction: Construction, view: str) -> _Outlines:
    marks = form.marks
    read = max(form.rows[-1].station, marks.mouth)
    top = marks.mouth if marks.liner_end is None else marks.liner_end
    wall = form.laid.thickness

    def edges(low: Mm, high: Mm, more: Mm = 0.0, flange: Mm = 0.0) -> tuple[Array, Array]:
        if high - low < 0.5:
            return np.zeros((0, 2)), np.zeros((0, 2))
        u = np.linspace(low, high, POINTS)
        inside = np.clip(u, form.rows[0].station, read)
        half = (form.depth(inside) if view == "side" else form.width(inside)) / 2 + more
        origin, a, b, _ = form.axis.frame(u)
        way, pick = (b, [1, 2]) if view == "side" else (a, [0, 2])
        sign = 1 if view == "side" else -1  # seen from the back, right and left change
        lines = [(origin + s * (half + (flange if s > 0 else 0.0))[:, None] * way)[:, pick] for s in (-1, 1)]
        left, right = (line * (sign, 1) for line in lines[::sign])
        return left, right

    out = construction.flange.trimmed if view == "side" else 0.0
    return _Outlines(
        handle=edges(top, min(read, told.butt)),
        liner=edges(told.foot, min(top, marks.mouth)),
        upper=edges(0.0, marks.mouth, wall, out),
        guessed=edges(read, told.butt),
    )


def _peg(told: Hang, loop: Loop) -> Array:
    """The belt's upper edge seen from the side: (y, z), plumb above the holes as drawn."""
    return np.array([told.centre[1] + loop.behind, loop.height + loop.peg])


def _turned(view: _Outlines, peg: Array, turn: Radian) -> _Outlines:
    """Turned about the peg so that the foot comes in to the body by that angle."""
    return _Outlines(*(tuple(_about(edge, peg, turn) for edge in pair) for pair in vars(view).values()))  # type: ignore[arg-type]


def _about(points: Array, peg: Array, turn: Radian) -> Array:
    c, s = cos(turn), sin(turn)
    return np.asarray((points - peg) @ np.array([[c, s], [-s, c]]) + peg)


def _body(view: _Outlines, at: Placing) -> Iterator[Mark]:
    """Handle and liner behind, the upper over them on white; what nobody measured dashed."""
    for pair, role in ((view.guessed, Role.HIDDEN), (view.handle, Role.PIECE), (view.liner, Role.PIECE)):
        if len(pair[0]):
            yield stroke(at.line(np.vstack([pair[0], pair[1][::-1]])), role, closed=True)
    ring = at.line(np.vstack([view.upper[0], view.upper[1][::-1]]))
    yield Stroke(tuple(map(tuple, ring.tolist())), Role.CUT, closed=True, fill=0.0)
    yield stroke(ring, Role.CUT, closed=True)


# --- what hangs it -------------------------------------------------------------------------------------------------


def _side_marks(
    told: Hang,
    loop: Loop,
    at: Placing,
    peg: Array,
    turn: Radian,
    construction: Construction,
    speech: Speech,
) -> Iterator[Mark]:
    """Belt, thong, plumb line through the centre of gravity, how far it hangs below the holes."""
    hanger = construction.hanger
    x, y = at.point(*peg)
    thick, high = at.scale * max(hanger.belt_thickness, 2.0), at.scale * hanger.belt_width
    yield Stroke(((x, y), (x + thick, y), (x + thick, y - high), (x, y - high)), Role.PIECE, True, 0.3)
    yield text((x + thick + 1.5, y - high / 2), speech.say("hang.plot.belt"), size=NOTE)
    pinned = at.point(*_about(peg - (0.0, loop.peg), peg, turn))
    yield segment((x, y), pinned, Role.CUT)
    yield Ring(pinned, 0.7, Role.CUT, fill=1.0)
    heavy = at.point(*_about(np.array([told.centre[1:]]), peg, turn)[0])
    yield segment((x, y + 3.0), (heavy[0], at.point(0.0, told.foot)[1] - BEYOND / 2), Role.CENTRE)
    left = min(heavy[0], pinned[0]) - at.scale * 40.0
    yield segment((left - 2.0, pinned[1]), (pinned[0] - 1.5, pinned[1]), Role.LEADER)
    yield segment((left - 2.0, heavy[1]), (heavy[0] - DOT - 0.8, heavy[1]), Role.LEADER)
    said = speech.say("hang.plot.margin", margin=abs(loop.margin))
    yield from dimension((left, heavy[1]), (left, pinned[1]), said, "end")


def _back_marks(
    told: Hang, loop: Loop, at: Placing, construction: Construction, speech: Speech
) -> Iterator[Mark]:
    """Belt, legs of the thong, and the plumb line of either limit."""
    hanger = construction.hanger
    belt = at.point(0.0, loop.height + loop.peg)
    low = belt[1] - at.scale * hanger.belt_width
    reach = at.scale * 34.0
    corners = [
        (belt[0] - reach, belt[1]),
        (belt[0] + reach, belt[1]),
        (belt[0] + reach, low),
        (belt[0] - reach, low),
    ]
    yield segment(corners[0], corners[1], Role.PIECE)
    yield segment(corners[3], corners[2], Role.PIECE)
    middle = -(told.centre[0] - loop.offset)
    for side in (-1, 1):
        pinned = at.point(middle + side * loop.apart / 2, loop.height)
        yield segment(belt, pinned, Role.CUT)
        yield Ring(pinned, 0.7, Role.CUT, fill=1.0)
    heavy = at.point(-told.centre[0], told.centre[2])
    own = degrees(loop.sliding) >= 0.5
    way = -1.0 if own and loop.offset > 0 else 1.0
    foot = heavy[1] - at.point(0.0, told.foot)[1] + BEYOND
    limits = (("held", loop.gripped, loop.off_gripped, 0), ("slides", loop.sliding, loop.off_sliding, 1))
    for name, drawn, off, row in limits:
        angle = drawn if own else off
        tip = (heavy[0] + way * foot * np.tan(angle), heavy[1] - foot - row * 2.0)
        yield segment(heavy, tip, Role.HIDDEN if row else Role.LEADER)
        yield arrow_head(tip, atan2(tip[1] - heavy[1], tip[0] - heavy[0]), 1.8)
        said = f"{speech.say(f'hang.plot.{name}')} {degrees(angle):.1f}°"
        yield from _beside(tip, said, way, row)
    if not own:
        said = speech.say("hang.plot.lean_off", off=default("hang.off_centre"))
        yield text((heavy[0], heavy[1] - foot - 8.0), said, "middle", size=NOTE)


def _beside(tip: Point, said: str, way: float, row: int) -> Iterator[Mark]:
    """The name of a limit: the steeper one on the outer side, the other on the inner."""
    outward = way if row else -way
    x = tip[0] + outward * 2.0
    yield text((x, tip[1] + 0.5), said, "start" if outward > 0 else "end", size=NOTE)


def _weights(
    told: Hang, at: Placing, peg: Array, turn: Radian, there: Placing, speech: Speech
) -> Iterator[Mark]:
    """The centre of gravity with and without the knife, in both views."""
    for index, (x, y, z) in enumerate((told.centre, told.centre_empty)):
        side = at.point(*_about(np.array([[y, z]]), peg, turn)[0])
        back = there.point(-x, z)
        for spot in (side, back):
            yield from _centre(spot, DOT if index == 0 else 0.6 * DOT)
        name = speech.say("hang.plot.centre" if index == 0 else "hang.plot.empty")
        yield from leader(back, (back[0] + there.scale * 40.0, back[1]), name)


def _centre(spot: Point, radius: Mm) -> Iterator[Mark]:
    """The usual mark of a centre of gravity: a circle with two quarters filled."""
    yield Ring(spot, radius, Role.PIECE, fill=0.0)
    for start in (0.0, pi):
        wedge = np.vstack([[spot], arc(spot, radius, start, start + pi / 2, 9)])
        yield Stroke(tuple(map(tuple, wedge.tolist())), Role.PIECE, closed=True, fill=1.0)
    yield Ring(spot, radius, Role.PIECE)


def _heads(
    told: Hang, at: Placing, there: Placing, right: Mm, speech: Speech, *, titled: bool
) -> Iterator[Mark]:
    """Titles over the two views, and what the dashes mean."""
    head = CLEAR + 6.0
    low = at.point(0.0, told.foot)[1] - BEYOND - 8.0
    left = -max(width(speech.say("hang.plot.side"), MAIN) / 2, 20.0)
    if titled:
        yield text((left, head + 7.0), speech.say("hang.plot.title"), bold=True, size=TITLE)
    yield text((0.0, head), speech.say("hang.plot.side"), "middle", size=MAIN)
    yield text((there.x, head), speech.say("hang.plot.back"), "middle", size=MAIN)
    if any(one.name in ("handle_length", "blade_length") for one in told.unknown):
        yield text((left, low), speech.say("hang.plot.estimated"), size=NOTE)
