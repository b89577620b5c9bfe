"""Laying out words on the flat piece: every label has a list of places, best first, and takes the first that is free.

What finds no room on the piece is kept in `unplaced` and printed beside it, so nothing is ever printed across a hole.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import product

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
BESIDE: Mm = 1.0  # kept free at both ends of a row


@dataclass(frozen=True)
class Spots:
    """Places for blocks of words, best first: (n, 4) boxes, and the lines that each would hold."""

    boxes: NDArray[np.float64]
    lines: list[list[Row]]

    def words(self, nth: int) -> tuple[Words, ...]:
        """The words at one of the places, middle to middle."""
        left, _, right, top = self.boxes[nth]
        return lettering.block(self.lines[nth], float(left + right) / 2, float(top), "middle")


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

    def put_block(self, areas: Iterable[Polygon], rows: Iterable[Row], start: Mm, within: Polygon) -> bool:
        """Place rows of words, broken and shrunk as need be, at the best free place of the areas."""
        rows = tuple(rows)
        spots = blocks(areas, rows, start)
        grown = spots.boxes + np.array([-CLEAR, -CLEAR, CLEAR, CLEAR])
        found = self.room.first_box(grown, within)
        words = () if found is None else spots.words(found)
        self.room.take(words)
        self._keep(words, " ".join(text for text, _, _ in rows))
        return bool(words)

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


def blocks(areas: Iterable[Polygon], rows: Iterable[Row], start: Mm) -> Spots:
    """Places for rows of words over some areas, the first area first.

    A place costs more the further it lies from the height `start`, the smaller its type, the more its lines are
    broken; best first.
    """
    rows = tuple(rows)
    costs, boxes, made = [], [], []
    for nth, area in enumerate(areas):
        rooms = spans(area)
        widths = rooms[:, 2] - rooms[:, 1] - 2 * BESIDE
        widest = float(widths.max(initial=0.0))
        for (shrink, dear), (share, dearer) in product(SHRINK, SHARES):
            lines = broken(rows, share * widest, shrink)
            width = max(lettering.width(*line) for line in lines)
            height = lettering.height(lines)
            fits, spare = rooms[widths >= width], widths[widths >= width] - width
            for place, off in PLACES:
                middle = fits[:, 1] + BESIDE + width / 2 + place * spare
                costs.append(np.abs(fits[:, 0] - start) / STEP + nth + dear + dearer + off)
                low = fits[:, 0] - height / 2
                boxes.append(np.column_stack([middle - width / 2, low, middle + width / 2, low + height]))
                made.extend([lines] * len(fits))
    order = np.argsort(np.concatenate(costs), kind="stable")
    return Spots(np.concatenate(boxes)[order], [made[i] for i in order])


def broken(rows: Iterable[Row], room: Mm, shrink: float = 1.0) -> list[Row]:
    """Rows broken into lines no longer than `room`, their sizes shrunk but never below the smallest."""
    return [
        (line, max(SMALL, shrink * mm), bold)
        for text, mm, bold in rows
        for line in lettering.wrap(text, room, max(SMALL, shrink * mm), bold)
    ]
