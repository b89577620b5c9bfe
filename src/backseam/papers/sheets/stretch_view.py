"""Where the leather must give when it is moulded: contours over the wall, on the flat piece and on the sheath.

From the strains of the flattening. Solid where it is pulled, dashed where it gathers, each with its mm in every 20.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.form.form import Form
from backseam.geom.contour import contours
from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.screen import Group, Item, Text, line
from backseam.pattern.draft import Layout

Array = NDArray[np.float64]
# (u, share) to points, and how far each faces the eye, -1 to 1
Placed = Callable[[Array, Array], tuple[Array, Array]]

IN_EVERY: Mm = 20.0  # contours say mm in so many
STEPS = (0.2, 0.5, 1.0, 2.0)  # between contours, mm in twenty
MOST_LINES = 6
FINER = 3  # the field between the nodes
SMOOTHED = 2
SHORTEST: Mm = 7.0
APART: tuple[Mm, Mm] = (9.0, 5.4)  # between two numbers
JOINED = 1e-6
SEEN, CLEAR = 0.06, 0.6  # how far a place faces the eye for its line, for its number


@dataclass(frozen=True)
class Contour:
    """One line. level: mm in every twenty, minus where it gathers; u, share: (n,) along it."""

    level: float
    u: Array
    share: Array


def stretch_lines(form: Form, layout: Layout) -> tuple[Contour, ...]:
    """The contours of the wall, both halves."""
    u, q, most, least = stretch_field(form, layout)
    high = IN_EVERY * float(np.maximum(most, -least).max())
    step = next((one for one in STEPS if high / one <= MOST_LINES), STEPS[-1])
    points = np.stack(np.meshgrid(u, q, indexing="ij"), axis=-1)
    found = []
    for field, sign in ((most, 1), (-least, -1)):
        for k in range(1, int(IN_EVERY * float(field.max()) / step + 1e-9) + 1):
            for part in contours(points, field, k * step / IN_EVERY):
                found += [Contour(sign * k * step, one[:, 0], one[:, 1]) for one in _both(part)]
    return tuple(found)


def stretch_field(form: Form, layout: Layout) -> tuple[Array, Array, Array, Array]:
    """Heights, shares, and the two principal strains there, finer than the cells and a little smoothed; the step below
    the flap, which is the collar's and not the leather's, is bridged."""
    flat = layout.flat
    grid, wall = flat.grid, flat.grid.seam
    middle, share = (grid.u[1:] + grid.u[:-1]) / 2, (grid.q[1 : wall + 1] + grid.q[:wall]) / 2
    keep = np.ones(len(middle), dtype=bool)
    if form.laid.flap > 0:
        end = form.marks.mouth - form.laid.depth
        keep = (middle < end - form.laid.runout - 1) | (middle > end + 1)
    u = np.linspace(0.0, form.marks.mouth, FINER * len(grid.u))
    q = np.linspace(0.0, 1.0, FINER * wall)

    def finer(cells: Array) -> Array:
        rows = np.stack([np.interp(u, middle[keep], column) for column in cells[keep, :wall].T], axis=1)
        made = np.stack([np.interp(q, share, row) for row in rows])
        for _ in range(SMOOTHED):
            wide = np.pad(made, 1, mode="edge")
            wide = wide[:-2] / 4 + wide[1:-1] / 2 + wide[2:] / 4
            made = wide[:, :-2] / 4 + wide[:, 1:-1] / 2 + wide[:, 2:] / 4
        return made

    return u, q, finer(flat.stretch), finer(flat.squeeze)


def _both(part: Array) -> Iterator[Array]:
    """A line of the right half and its mirror image, joined where they meet on the centre line."""
    other = part * (1, -1)
    if part[0, 1] < JOINED and part[-1, 1] < JOINED:
        yield np.concatenate([part, other[-2::-1]])
    elif part[0, 1] < JOINED:
        yield np.concatenate([other[:0:-1], part])
    elif part[-1, 1] < JOINED:
        yield np.concatenate([part, other[-2::-1]])
    else:
        yield part
        yield other


def drawn(found: tuple[Contour, ...], place: Placed, speech: Speech) -> Group:
    """The contours where they are seen, with their numbers clear of one another."""
    said: list[Array] = []
    items: list[Item] = []
    words: list[Text] = []
    for contour in found:
        at, facing = place(contour.u, contour.share)
        look = "iso" if contour.level > 0 else "iso gather"
        for run in _runs(facing > SEEN):
            part = at[run]
            if np.hypot(*np.diff(part, axis=0).T).sum() < SHORTEST:
                continue
            items.append(line(part, look))
            words += _said(part, facing[run] > CLEAR, contour.level, said, speech)
    return Group("stretch", (*items, *words))


def _runs(seen: NDArray[np.bool_]) -> Iterator[slice]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], seen.astype(int), [0]])))
    for low, high in zip(edges[::2], edges[1::2], strict=True):
        if high - low > 3:
            yield slice(int(low), int(high))


def _said(
    part: Array, clear: NDArray[np.bool_], level: float, said: list[Array], speech: Speech
) -> Iterator[Text]:
    """The number, at the first place along the line where no other stands."""
    for share in (0.5, 0.35, 0.65, 0.2, 0.8):
        i = int(share * (len(part) - 1))
        at = part[i]
        if clear[i] and all(abs(at[0] - o[0]) > APART[0] or abs(at[1] - o[1]) > APART[1] for o in said):
            said.append(at)
            if speech.units == "inch":
                text = speech.say("moulding.level.pct", v=level / IN_EVERY)
            else:
                text = speech.say("moulding.level.mm", v=level)
            yield Text((float(at[0]), float(at[1]) - 1.4), text, "isosaid", "middle")
            return
