"""Tables and blocks of words that flow: column by column, sheet by sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from backseam.ground.units import Mm
from backseam.papers.model import ASCENT, Mark, Role, Words, segment
from backseam.papers.sheets import lettering
from backseam.papers.sheets.lettering import MAIN, NOTE, SMALL

ROW: Mm = 4.35
HEAD: Mm = 5.4  # the row of names, with the line under it
NAME: Mm = 4.6  # a table's own name above it
EVERY = 5  # a line after so many rows, from the first
AFTER: Mm = 3.6  # free under a table
LEAST_ROWS = 4  # no fewer of a table at the foot of a column
PAD: Mm = 2.0  # right of a number


@dataclass(frozen=True)
class Table:
    """Rows of ready texts under names; the first column bold. widths: of its columns, mm. lined: a line every five."""

    name: str
    heads: tuple[str, ...]
    widths: tuple[Mm, ...]
    rows: tuple[tuple[str, ...], ...]
    lined: bool = True
    start: int = 0  # number of the first row, for the lines
    type: Mm = MAIN

    @property
    def width(self) -> Mm:
        """Of all columns."""
        return sum(self.widths)

    @property
    def top(self) -> Mm:
        """Height above the rows."""
        return HEAD + (NAME if self.name else 0.0)

    @property
    def height(self) -> Mm:
        """With the free space under it."""
        return self.top + len(self.rows) * ROW + AFTER

    def split(self, room: Mm) -> tuple[Table | None, Table | None]:
        """What fits into a height, and the rest; a table is not broken to leave a few rows at either end."""
        fit = int((room - self.top + 1e-6) / ROW)
        if fit >= len(self.rows):
            return self, None
        fit = min(fit, len(self.rows) - LEAST_ROWS)
        if fit < LEAST_ROWS:
            return None, self
        return replace(self, rows=self.rows[:fit]), replace(
            self, rows=self.rows[fit:], start=self.start + fit
        )

    def marks(self, left: Mm, top: Mm) -> tuple[Mark, ...]:
        """Drawn with its upper left corner here."""
        made: list[Mark] = []
        if self.name:
            made.append(Words((left, top - ASCENT * NOTE), self.name, NOTE, "start", 0.0, True))
        y = top - self.top + 1.5
        rights = [left + sum(self.widths[: i + 1]) - PAD for i in range(len(self.widths))]
        for right, head, wide in zip(rights, self.heads, self.widths, strict=True):
            text, size = lettering.fitting(head, wide - 1.0, SMALL)
            made.append(Words((right, y + 0.9), text, size, "end"))
        made.append(segment((left, y - 0.3), (left + self.width, y - 0.3), Role.LEADER))
        for i, row in enumerate(self.rows):
            base = y - 0.3 - (i + 1) * ROW + 1.1
            for j, (right, cell) in enumerate(zip(rights, row, strict=True)):
                text, size = lettering.fitting(cell, self.widths[j] - 0.6, self.type, SMALL, j == 0)
                made.append(Words((right, base), text, size, "end", 0.0, j == 0))
            if self.lined and (self.start + i + 1) % EVERY == 0 and i + 1 < len(self.rows):
                made.append(segment((left, base - 1.1), (left + self.width, base - 1.1), Role.LEADER))
        return tuple(made)


def flow(tables: Sequence[Table], columns: int, height: Mm) -> tuple[list[list[Table]], list[Table]]:
    """Tables laid into columns of a height, in order, broken where need be; and what is left over."""
    laid: list[list[Table]] = [[]]
    used = 0.0
    waiting = list(tables)
    while waiting:
        fits, rest = waiting[0].split(height - used)
        if fits is not None:
            laid[-1].append(fits)
            used += fits.height
            waiting.pop(0)
            if rest is None:
                continue
            waiting.insert(0, rest)
        if len(laid) == columns or not laid[-1]:
            break
        laid.append([])
        used = 0.0
    return [column for column in laid if column], waiting


def balanced(tables: Sequence[Table], columns: int, height: Mm) -> tuple[list[list[Table]], list[Table], Mm]:
    """The same at the smallest height that takes all tables, if the given one does; and the height taken."""
    low, high = HEAD + ROW, height
    laid, rest = flow(tables, columns, height)
    if rest:
        return laid, rest, height
    while high - low > ROW / 2:
        middle = (low + high) / 2
        tried, left = flow(tables, columns, middle)
        if left:
            low = middle
        else:
            high, laid = middle, tried
    return laid, [], max(sum(table.height for table in column) for column in laid) if laid else 0.0
