"""Where on a sheet nothing stands yet: a raster of 1 mm, fine enough to place a letter or a bar."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from backseam.ground.units import Mm
from backseam.papers.model import Box, Mark, Point, Stroke, mark_box

CLEAR: Mm = 2.0  # kept free round what is placed


class Room:
    """The taken and the free cells of a box."""

    def __init__(self, box: Box, marks: Iterable[Mark]) -> None:
        self.box = box
        shape = (max(1, ceil(box.height)), max(1, ceil(box.width)))
        taken = np.zeros(shape, dtype=np.int32)
        lines: list[Point] = []
        for mark in marks:
            if isinstance(mark, Stroke) and mark.fill is None:
                points = mark.points + mark.points[:1] if mark.closed else mark.points
                lines += (point for pair in pairwise(points) for point in pair)
            else:
                self._take_box(taken, mark_box(mark))
        if lines:
            self._take_lines(taken, np.array(lines, dtype=np.float64).reshape(-1, 2, 2))
        self._sums = np.zeros((shape[0] + 1, shape[1] + 1), dtype=np.int32)
        self._sums[1:, 1:] = taken.cumsum(0).cumsum(1)

    def place(self, width: Mm, height: Mm) -> Point | None:
        """Lower left corner of an empty place of this size, as near to a corner as can be, or None."""
        taken = self._taken(width, height)
        if taken is None or not (taken == 0).any():
            return None
        return self._nearest(taken == 0, width, height)

    def emptiest(self, width: Mm, height: Mm) -> Point:
        """The place of this size with the least in it; the lower left corner if the box is smaller."""
        taken = self._taken(width, height)
        if taken is None:
            return self.box.left, self.box.bottom
        return self._nearest(taken == taken.min(), width, height)

    def _taken(self, width: Mm, height: Mm) -> NDArray[np.int32] | None:
        """How much stands in each place of this size, by its lower left cell."""
        rows, columns = ceil(height + CLEAR), ceil(width + CLEAR)
        s = self._sums
        if rows >= s.shape[0] or columns >= s.shape[1]:
            return None
        counts: NDArray[np.int32] = (
            s[rows:, columns:] - s[:-rows, columns:] - s[rows:, :-columns] + s[:-rows, :-columns]
        )
        return counts

    def _nearest(self, good: NDArray[np.bool_], width: Mm, height: Mm) -> Point:
        """Of the good places the one nearest to a corner; of equals the lowest, then the leftmost."""
        y, x = np.nonzero(good)
        last_y, last_x = good.shape[0] - 1, good.shape[1] - 1
        far = np.minimum(x, last_x - x) + np.minimum(y, last_y - y)
        i = int(np.argmin(far))
        left = self.box.left if x[i] == 0 else self.box.left + x[i] + CLEAR / 2
        bottom = self.box.bottom if y[i] == 0 else self.box.bottom + y[i] + CLEAR / 2
        return min(float(left), self.box.right - width), min(float(bottom), self.box.top - height)

    def _take_box(self, taken: NDArray[np.int32], box: Box) -> None:
        left, bottom = floor(box.left - self.box.left), floor(box.bottom - self.box.bottom)
        right, top = ceil(box.right - self.box.left), ceil(box.top - self.box.bottom)
        taken[max(bottom, 0) : max(top, 0), max(left, 0) : max(right, 0)] = 1

    def _take_lines(self, taken: NDArray[np.int32], ends: NDArray[np.float64]) -> None:
        """Cells under points along straight lines, (n, 2, 2) from and to, every half millimetre at most."""
        start = ends[:, 0] - (self.box.left, self.box.bottom)
        steps = ends[:, 1] - ends[:, 0]
        counts = np.maximum(1, np.ceil(2 * np.hypot(steps[:, 0], steps[:, 1]))).astype(int) + 1
        which = np.repeat(np.arange(len(steps)), counts)
        along = (np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)) / (counts[which] - 1)
        cells = np.floor(start[which] + along[:, None] * steps[which]).astype(int)
        inside = (cells >= 0).all(1) & (cells[:, 0] < taken.shape[1]) & (cells[:, 1] < taken.shape[0])
        taken[cells[inside, 1], cells[inside, 0]] = 1
