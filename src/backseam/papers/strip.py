"""What stands on a sheet beside the drawing: two bars, caption, letter, map, preview mark."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, degrees, floor, hypot, sin

from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.ground.units import Mm, Share
from backseam.papers.letters import cap_height, text_width
from backseam.papers.model import ASCENT, Box, Drawing, Mark, Point, Role, Stroke, Words, segment
from backseam.papers.room import Room
from backseam.papers.sheet import BAR, CAPTION, GAP

LINE: Mm = 0.5  # thickness of a bar's line and end marks, within the 150
TICK: Mm = 1.0  # of a bar, every 10 mm; every 50 longer
LEAST_CAPTION: Mm = 2.0  # a long job name is set smaller down to this, then shortened
MAP_CELL: Mm = 3.2  # width of a sheet on the map of the tiles, at least
PREVIEW_SIZE: Mm = 14.0  # type of the preview mark, at most
PREVIEW_SHARE = 0.4  # of the diagonal, its words at most
PREVIEW_APART = 3.0  # its rows, as a multiple of its size


def bars(box: Box, speech: Speech = PLAIN) -> tuple[Mark, ...]:
    """The two 150 mm bars of a page area: one above the caption, one at the left. Measured over all.

    "Across" is the short side of the sheet and "along" the long one, whichever way the drawing lies on it: so
    the readings belong to the printer, not to the drawing.
    """
    foot = box.bottom + CAPTION
    return (
        *level_bar((box.left + BAR + GAP, foot), box, speech),
        *upright_bar((box.left, foot + BAR + GAP), box, speech),
    )


def level_bar(at: Point, box: Box, speech: Speech = PLAIN) -> tuple[Mark, ...]:
    """A bar from left to right with its lower left corner here, on a page area `box`."""
    name = "across" if box.width <= box.height else "along"
    return Drawing("", _bar(speech.say(f"page.bar_{name}"))).moved(*at).marks


def upright_bar(at: Point, box: Box, speech: Speech = PLAIN) -> tuple[Mark, ...]:
    """A bar from bottom to top with its lower left corner here, on a page area `box`."""
    name = "along" if box.width <= box.height else "across"
    return Drawing("", _bar(speech.say(f"page.bar_{name}"))).turned().moved(at[0] + BAR, at[1]).marks


def _bar(label: str) -> tuple[Mark, ...]:
    """A bar from (0, 0) to (150, 4.5): solid, so that its outer edges are exact whatever the line width."""
    length = default("papers.bar")
    solid = (Box(0, 0, length, LINE), Box(0, 0, LINE, BAR), Box(length - LINE, 0, length, BAR))
    ticks = [(x, 1.6 * TICK if x % 50 == 0 else TICK) for x in range(10, int(length), 10)]
    size = default("papers.least_text")
    return (
        *(Stroke(corners(b), Role.BAR, closed=True, fill=1.0) for b in solid),
        *(segment((x, 0), (x, LINE + high), Role.BAR) for x, high in ticks),
        Words((length / 2, BAR - ASCENT * size), label, size, "middle", bold=True, role=Role.BAR),
    )


def corners(box: Box) -> tuple[Point, Point, Point, Point]:
    """The four corners, counter-clockwise from the lower left."""
    return (box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top)


def caption(box: Box, text: str, name: str) -> tuple[Mark, ...]:
    """The line at the foot of a page area: the caller's text at the left, the sheet's name at the right.

    A long text is set smaller, and at the last shortened with an ellipsis; it never runs into the name.
    """
    size = default("papers.least_text")
    y = box.bottom + CAPTION - ASCENT * size - 0.2
    right = Words((box.right, y), name, size, "end")
    width = box.width - text_width(name, size) - 2 * size
    own = max(LEAST_CAPTION, min(size, size * width / max(text_width(text, size), width)))
    if text_width(text, own) > width:
        text = _shortened(text, own, width)
    return (Words((box.left, y), text, own), right)


def _shortened(text: str, size: Mm, width: Mm) -> str:
    """The longest beginning of the text that is no wider than this with its ellipsis, found by halving."""
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if text_width(text[:middle] + "…", size) <= width else (low, middle - 1)
    return text[:low].rstrip() + "…"


def letter(name: str, room: Room) -> tuple[Mark, ...]:
    """The sheet's letter, 20 mm high, where nothing else stands; pale in the emptiest place if need be."""
    size = default("papers.tile_letter") / cap_height(1.0, bold=True)
    width, high = text_width(name, size, bold=True), default("papers.tile_letter")
    if place := room.place(width, high):
        return (Words(place, name, size, bold=True),)
    return (Words(room.emptiest(width, high), name, size, bold=True, role=Role.PREVIEW),)


def tile_map(
    box: Box, grid: tuple[int, int], names: dict[tuple[int, int], str], here: str, aspect: Share
) -> tuple[Mark, ...]:
    """The sheets as they lie together, in the lower right of a page area's foot, this one on a pale ground.

    grid: columns and rows; names: letter of each sheet in use, by column and row from the lower left; aspect:
    width of a sheet over its height.
    """
    columns, rows = grid
    high = (box.top - box.bottom) / rows
    wide = min(max(aspect * high, MAP_CELL), box.width / columns)
    size = min(default("papers.least_text"), high, wide)
    left = box.right - default("papers.line_narrow") / 2 - wide * columns
    out: list[Mark] = []
    for (column, row), name in names.items():
        x, y = left + column * wide, box.bottom + row * high
        frame = Stroke(corners(Box(x, y, x + wide, y + high)), Role.LEADER, closed=True)
        if name == here:
            out.append(replace(frame, fill=default("papers.preview_ink")))
        out.append(frame)
        middle = (x + wide / 2, y + (high - cap_height(size)) / 2)
        out.append(Words(middle, name, size, "middle", bold=name == here))
    return tuple(out)


def preview(box: Box, text: str) -> tuple[Mark, ...]:
    """Pale words in rows across the whole area, along its diagonal; nothing if there are none to say."""
    if not text:
        return ()
    long = hypot(box.width, box.height)
    size = min(PREVIEW_SIZE, PREVIEW_SHARE * long / text_width(text, 1.0, bold=True))
    slope = atan2(box.height, box.width)
    count = floor(long / 2 / (PREVIEW_APART * size))
    rows = (_preview_row(box, text, size, slope, i * PREVIEW_APART * size) for i in range(-count, count + 1))
    return tuple(mark for row in rows for mark in row)


def _preview_row(box: Box, text: str, size: Mm, slope: float, off: Mm) -> tuple[Mark, ...]:
    """One row, `off` mm from the diagonal: the words as often as they fit, spread evenly."""
    c, s = cos(slope), sin(slope)
    x, y = (box.left + box.right) / 2 - s * off, (box.bottom + box.top) / 2 + c * off
    first, last = _reach(box, (x, y), (c, s), size)
    wide = text_width(text, size, bold=True)
    count = floor((last - first + size) / (wide + size))
    if count < 1:
        return ()
    between = (last - first - count * wide) / count
    starts = (first + between / 2 + i * (wide + between) for i in range(count))
    return tuple(
        Words((x + c * t, y + s * t), text, size, angle=degrees(slope), bold=True, role=Role.PREVIEW)
        for t in starts
    )


def _reach(box: Box, at: Point, way: Point, size: Mm) -> tuple[Mm, Mm]:
    """From where to where, along the row, letters of this size stay in the box."""
    inner = box.grown(-size)
    low, high = -hypot(box.width, box.height), hypot(box.width, box.height)
    for axis, (near, far) in enumerate(((inner.left, inner.right), (inner.bottom, inner.top))):
        low = max(low, (near - at[axis]) / way[axis])
        high = min(high, (far - at[axis]) / way[axis])
    return low, high
