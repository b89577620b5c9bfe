"""Laying out words on the flat piece: every label has a list of places, best first, and takes the first that is free.

What finds no room on the piece is kept in `unplaced` and printed under it, so nothing is ever printed across a hole.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product
from math import inf

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Mark, Words
from backseam.papers.sheets import lettering
from backseam.papers.sheets.lettering import SMALL
from backseam.papers.sheets.piece import Areas
from backseam.papers.sheets.placing import CLEAR, Room
from backseam.pattern.upper import Upper

Row = tuple[str, Mm, bool]  # text, size, bold
LOOK: Mm = 2.0  # step of the search for a place
MOST_ROWS = 64  # heights looked at
STEP: Mm = 10.0  # as bad as one notch of the costs below
SHRINK = ((1.0, 0.0), (0.88, 1.0), (0.0, 2.5))  # share of the type's size, cost
SHARES = (
    (1.0, 0.0),
    (0.8, 0.8),
    (0.6, 1.6),
    (0.45, 2.4),
)  # share of the width that lines are broken to, cost
PLACES = (
    (0.5, 0.0),
    (0.3, 0.1),
    (0.7, 0.1),
    (0.1, 0.2),
    (0.9, 0.2),
)  # share of the spare width at the left, cost
APART: Mm = 2.2  # between blocks of words under one another, if there is room
BESIDE: Mm = 1.0  # kept free at both ends of a row


@dataclass(frozen=True)
class Spots:
    """Places for one way of setting a block of words, best first: what each costs, and its (n, 4) box.

    base: less than this none of them costs.
    """

    base: float
    costs: NDArray[np.float64]
    boxes: NDArray[np.float64]
    lines: list[Row]

    def words(self, nth: int) -> tuple[Words, ...]:
        """The words at one of the places, middle to middle."""
        left, _, right, top = self.boxes[nth]
        return lettering.block(self.lines, float(left + right) / 2, float(top), "middle")


@dataclass
class Labels:
    """The labels of one piece being laid out: what is placed, and what found no room."""

    upper: Upper
    areas: Areas
    room: Room
    speech: Speech
    placed: list[Mark] = field(default_factory=list)
    unplaced: list[str] = field(default_factory=list)

    def say(self, key: str, **values: object) -> str:
        """A text of the sheets' book, about the piece."""
        return self.speech.say(f"sheets.piece.{key}", **values)

    def put(self, tries: Iterable[tuple[Words, ...]], within: Polygon, text: str) -> bool:
        """Place the words at the first free of the tries; remember the text if there is none."""
        words = self.room.place(tries, within)
        self._keep(words, text)
        return bool(words)

    def put_block(
        self, areas: Iterable[Polygon], rows: Iterable[Row], start: Mm, within: Polygon, apart: Mm = CLEAR
    ) -> bool:
        """Place rows of words, broken and shrunk as need be, at the best free place of the areas.

        apart: what should stay free above and below, as long as there is room for it.
        """
        areas, rows = tuple(areas), tuple(rows)
        words: tuple[Words, ...] = ()
        for above in dict.fromkeys((apart, CLEAR)):
            words = words or self._cheapest(blocks(areas, rows, start), within, above)
        self.room.take(words)
        self._keep(words, " ".join(text for text, _, _ in rows))
        return bool(words)

    def _cheapest(self, ways: Iterable[Spots], within: Polygon, above: Mm) -> tuple[Words, ...]:
        """The words at the cheapest free place of all ways of setting them; ways come with rising base costs."""
        words: tuple[Words, ...] = ()
        least = inf
        for spots in ways:
            if spots.base >= least:
                break
            grown = spots.boxes[spots.costs < least] + np.array([-CLEAR, -above, CLEAR, above])
            found = self.room.first_box(grown, within)
            if found is not None:
                words, least = spots.words(found), float(spots.costs[found])
        return words

    def _keep(self, words: tuple[Words, ...], text: str) -> None:
        self.placed.extend(words)
        if not words:
            self.unplaced.append(text)


def number(speech: Speech, length: Mm) -> str:
    """A height or length without its unit, and without a decimal that says nothing.

    >>> number(Speech(), 95.0), number(Speech(), 95.25), number(Speech("inch"), 95.25)
    ('95', '95.2', '3.750')
    """
    if abs(length) < 5e-4:
        return "0"
    return speech.fill("{v:n0}" if abs(length - round(length)) < 0.05 else "{v:n}", {"v": length})


def size(speech: Speech, length: Mm) -> str:
    """A size as the maker's rule shows it: bare millimetres, or inches with their mark.

    >>> size(Speech(), 15.0), size(Speech("inch"), 15.0)
    ('15', '19/32"')
    """
    return speech.length(length) if speech.units == "inch" else number(speech, length)


def spans(area: Polygon) -> NDArray[np.float64]:
    """Rows of height, left end, right end of an area, from its lowest point up.

    >>> spans(shapely.box(2, 0, 9, 5)).tolist()
    [[1.0, 2.0, 9.0], [3.0, 2.0, 9.0]]
    """
    if area.is_empty:
        return np.zeros((0, 3))
    left, low, right, high = area.bounds
    heights = np.arange(low + LOOK / 2, high, max(LOOK, (high - low) / MOST_ROWS))
    rows = shapely.linestrings([[(left - 1, y), (right + 1, y)] for y in heights])
    bounds = shapely.bounds(shapely.intersection(rows, area))
    found = np.column_stack([heights, bounds[:, 0], bounds[:, 2]])
    whole: NDArray[np.float64] = found[np.isfinite(found).all(axis=1)]
    return whole


def nearest(rows: NDArray[np.float64], start: Mm) -> NDArray[np.float64]:
    """The rows of `spans`, nearest to the height `start` first."""
    sorted_rows: NDArray[np.float64] = rows[np.argsort(np.abs(rows[:, 0] - start), kind="stable")]
    return sorted_rows


def blocks(areas: Sequence[Polygon], rows: Sequence[Row], start: Mm) -> Iterator[Spots]:
    """Ways to set rows of words and places for each over some areas, the first area first, rising base costs.

    A place costs more the further it lies from the height `start`, the smaller its type, the more its lines are
    broken.
    """
    rooms = [spans(area) for area in areas]
    ways = [
        (nth + dear + dearer, nth, shrink, share)
        for nth, (shrink, dear), (share, dearer) in product(range(len(rooms)), SHRINK, SHARES)
    ]
    for base, nth, shrink, share in sorted(ways):
        free = rooms[nth]
        widths = free[:, 2] - free[:, 1] - 2 * BESIDE
        lines = broken(rows, share * float(widths.max(initial=0.0)), shrink)
        width = max(lettering.width(*line) for line in lines)
        yield _spots(base, free[widths >= width], widths[widths >= width] - width, width, lines, start)


def _spots(
    base: float,
    rooms: NDArray[np.float64],
    spare: NDArray[np.float64],
    width: Mm,
    lines: list[Row],
    start: Mm,
) -> Spots:
    """Places of lines of a width over rows of room, cheapest first."""
    height = lettering.height(lines)
    shares, dear = (np.array(column) for column in zip(*PLACES, strict=True))
    costs = base + np.abs(rooms[:, :1] - start) / STEP + dear
    middles = rooms[:, 1:2] + BESIDE + width / 2 + spare[:, None] * shares
    low = np.broadcast_to(rooms[:, :1] - height / 2, middles.shape)
    boxes = np.stack([middles - width / 2, low, middles + width / 2, low + height], axis=-1).reshape(-1, 4)
    order = np.argsort(costs.ravel(), kind="stable")
    return Spots(base, costs.ravel()[order], boxes[order], lines)


def broken(rows: Iterable[Row], room: Mm, shrink: float = 1.0) -> list[Row]:
    """Rows broken into lines no longer than `room`, their sizes shrunk but never below the smallest."""
    return [
        (line, max(SMALL, shrink * mm), bold)
        for text, mm, bold in rows
        for line in lettering.wrap(text, room, max(SMALL, shrink * mm), bold)
    ]
