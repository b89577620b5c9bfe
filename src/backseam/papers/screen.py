"""Drawings for the screen: SVG whose looks are classes, so that day, night and size are the page's own affair.

Millimetres, y up in the model and down in the file: what lies at height h stands at y = -h, so heights of two pictures
are the same height on the page. No style attribute, no script, no link; every text is escaped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias
from xml.sax.saxutils import escape, quoteattr

import numpy as np
import shapely
from numpy.typing import NDArray

from backseam.ground.units import Mm
from backseam.papers.letters import clean
from backseam.papers.model import Box

Array = NDArray[np.float64]
Data: TypeAlias = dict[str, str]  # data- attributes, by name without data-

FINE: Mm = 0.03  # corners that no screen shows are left out
_FEW = 8  # lines with fewer points are taken as they are
_LOOK = re.compile(r"[a-z][a-z0-9-]*( [a-z][a-z0-9-]*)*")
_NAME = re.compile(r"[a-z]+(-[a-z]+)*")


@dataclass(frozen=True)
class Line:
    """Polylines that look alike, each (n, 2) mm. look: its classes."""

    parts: tuple[Array, ...]
    look: str
    closed: bool = False
    data: Data = field(default_factory=dict)


@dataclass(frozen=True)
class Spot:
    """A circle, or an ellipse with upright axes. radii: across and up, mm."""

    at: tuple[Mm, Mm]
    radii: tuple[Mm, Mm]
    look: str
    data: Data = field(default_factory=dict)


@dataclass(frozen=True)
class Text:
    """A line of words; its size is a matter of its class. angle: degrees, counter-clockwise."""

    at: tuple[Mm, Mm]
    text: str
    look: str
    anchor: Literal["start", "middle", "end"] = "start"
    angle: float = 0.0
    data: Data = field(default_factory=dict)


@dataclass(frozen=True)
class Group:
    """Items under one class."""

    look: str
    items: tuple[Item, ...]
    data: Data = field(default_factory=dict)


Item: TypeAlias = Line | Spot | Text | Group


@dataclass(frozen=True)
class Picture:
    """A whole drawing. title: what a reader of the screen is told; beside: kept free round it, mm."""

    name: str
    title: str
    items: tuple[Item, ...]
    beside: Mm = 2.0
    look: str = ""

    @property
    def box(self) -> Box:
        """What the marks take up, with what is kept free."""
        points = np.vstack([np.zeros((0, 2)), *_reaches(self.items)])
        if not len(points):
            return Box(0, 0, 0, 0)
        low, high = points.min(axis=0), points.max(axis=0)
        return Box(float(low[0]), float(low[1]), float(high[0]), float(high[1])).grown(self.beside)


def moved(items: Iterable[Item], dx: Mm, dy: Mm = 0.0) -> tuple[Item, ...]:
    """Shifted by (dx, dy)."""
    by = np.array([dx, dy])

    def one(item: Item) -> Item:
        match item:
            case Line():
                return replace(item, parts=tuple(part + by for part in item.parts))
            case Group():
                return replace(item, items=moved(item.items, dx, dy))
        return replace(item, at=(item.at[0] + dx, item.at[1] + dy))

    return tuple(one(item) for item in items)


def thinned(parts: Sequence[Array], by: Mm = FINE) -> tuple[Array, ...]:
    """The lines without the corners that lie within `by` of the straight between their neighbours.

    >>> [part.tolist() for part in thinned([np.array([(x, 0.0) for x in range(9)])])]
    [[[0.0, 0.0], [8.0, 0.0]]]
    """
    if all(len(part) < _FEW for part in parts):
        return tuple(parts)
    owner = np.repeat(np.arange(len(parts)), [len(part) for part in parts])
    made = shapely.simplify(
        shapely.linestrings(np.concatenate(parts), indices=owner), by, preserve_topology=False
    )
    points, owner = shapely.get_coordinates(made, return_index=True)
    return tuple(np.split(points, np.flatnonzero(np.diff(owner)) + 1))


def line(points: Array | Iterable[Array], look: str, *, closed: bool = False, **data: str) -> Line:
    """A line, or several, thinned for the screen. data: what is said with it, by name."""
    parts = (points,) if isinstance(points, np.ndarray) else tuple(points)
    return Line(thinned([part for part in parts if len(part) > 1]), look, closed, data)


def write(picture: Picture, *, title: str = "") -> str:
    """The SVG text: role img, a title (the picture's own unless given), the view in mm. Strict XML; to 0.01 mm."""
    box = picture.box
    look = f' class="{_checked(picture.look)}"' if picture.look else ""
    view = " ".join(_number(v) for v in (box.left, -box.top, box.width, box.height))
    body = "".join(part for item in picture.items for part in _item(item))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view}" role="img"{look}>'
        f"<title>{escape(clean(title or picture.title))}</title>{body}</svg>"
    )


def _item(item: Item) -> Iterator[str]:
    head = f'class="{_checked(item.look)}"{_data(item.data)}'
    match item:
        case Line():
            way = "".join(_path(part, item.closed) for part in item.parts)
            if way:
                yield f'<path {head} d="{way}"/>'
        case Spot():
            x, y, rx, ry = (_number(v) for v in (item.at[0], -item.at[1], *item.radii))
            if rx == ry:
                yield f'<circle {head} cx="{x}" cy="{y}" r="{rx}"/>'
            else:
                yield f'<ellipse {head} cx="{x}" cy="{y}" rx="{rx}" ry="{ry}"/>'
        case Text():
            yield _text(item, head)
        case Group():
            yield f"<g {head}>"
            for inner in item.items:
                yield from _item(inner)
            yield "</g>"


def _text(item: Text, head: str) -> str:
    x, y = _number(item.at[0]), _number(-item.at[1])
    turn = f' transform="rotate({_number(-item.angle)} {x} {y})"' if item.angle else ""
    anchor = f' text-anchor="{item.anchor}"' if item.anchor != "start" else ""
    return f'<text {head} x="{x}" y="{y}"{anchor}{turn}>{escape(clean(item.text))}</text>'


def _path(part: Array, closed: bool) -> str:
    numbers = (part * (1, -1) + 0.0).round(2).ravel().tolist()
    steps = "M" + ("%g %gL" * len(part))[:-1] % tuple(numbers)
    return steps + "Z" if closed else steps


def _number(value: float) -> str:
    """Rounded to 0.01, as short as it can be written.

    >>> _number(12.504), _number(-0.001)
    ('12.5', '0')
    """
    return f"{round(value, 2) + 0.0:g}"


def _data(data: Data) -> str:
    return "".join(f" data-{_named(name)}={quoteattr(clean(value))}" for name, value in data.items())


def _named(name: str) -> str:
    name = name.replace("_", "-")
    if not _NAME.fullmatch(name):
        raise ValueError(f"no name for data: {name!r}")
    return name


def _checked(look: str) -> str:
    if not _LOOK.fullmatch(look):
        raise ValueError(f"no classes: {look!r}")
    return look


def _reaches(items: Iterable[Item]) -> Iterator[Array]:
    for item in items:
        match item:
            case Line():
                yield from item.parts
            case Spot():
                at, reach = np.array(item.at), np.array(item.radii)
                yield np.stack([at - reach, at + reach])
            case Text():
                yield np.array([item.at])
            case Group():
                yield from _reaches(item.items)
