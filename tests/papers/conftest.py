"""A drawing that looks like a pattern: every role once at least, 180 x 230 mm, so that it tiles on A4."""

from __future__ import annotations

from math import cos, pi

import numpy as np
import pytest

from backseam.papers.model import Box, Drawing, Mark, Ring, Role, Stroke, Words, plate, segment, stroke
from backseam.papers.strip import corners

HEIGHT = 230.0
PITCH = 4.0


def _half(y: np.ndarray) -> np.ndarray:
    """x of the stitch line: a barrel that swells towards the mouth."""
    return 40.0 + 0.09 * y + 5.0 * np.sin(np.pi * np.clip(y - 120, 0, 80) / 80) ** 2


def _side(sign: int) -> list[Mark]:
    y = np.linspace(0, 208, 80)
    x = _half(y)
    out: list[Mark] = []
    for i in range(88):
        low, high = 2.4 * i, 2.4 * i + 15
        ends = np.clip([low, high], 0, 205)
        a = np.array([_half(ends[0]), _half(ends[1]) + (ends[1] - low)])
        out.append(
            stroke(np.column_stack([sign * (a + (ends[0] - low) * np.array([1, 0])), ends]), Role.GLUE)
        )
    out += [
        stroke(np.column_stack([sign * x, y]), Role.STITCH, why="readings 0 to 6"),
        stroke(np.column_stack([sign * (x + 5), y]), Role.TRIM),
        stroke(np.column_stack([sign * (x + 2.5), y]), Role.HAND),
    ]
    for number, height in enumerate(np.arange(203, 3, -PITCH), 1):
        at = float(_half(np.array(height)))
        d = 1.1 * cos(pi / 4)
        lower, upper = (sign * (at + d), height - d), (sign * (at - d), height + d)
        out.append(segment(lower, upper, Role.SLIT, why=f"hole {number}"))
        if number == 1 or number % 5 == 0:
            words = Words((sign * (at + 8.5), height - 1.1), str(number), 3.4, "middle")
            out += [plate(words), words]
    for height in (20, 90, 150, 190):
        at = float(_half(np.array(height))) + 15
        out.append(segment((sign * at, height), (sign * (at + 3), height), Role.TICK))
    for i in range(3):
        at = (sign * (_half(np.array(180 - 12.0 * i)) - 9), 180 - 12.0 * i)
        out += [Ring(at, 2.5, Role.PUNCH), segment((at[0] - 4, at[1]), (at[0] + 4, at[1]), Role.LEADER)]
        out.append(segment((at[0], at[1] - 4), (at[0], at[1] + 4), Role.LEADER))
    return out


def _cut() -> Stroke:
    y = np.concatenate([np.linspace(0, 205, 60), [207, 230]])
    x = np.concatenate([_half(np.linspace(0, 205, 60)) + 25, [_half(np.array(205)) + 25, 89.75]])
    right = np.column_stack([x, y])
    return stroke(np.vstack([right, right[::-1] * (-1, 1)]), Role.CUT, closed=True)


def pattern() -> Drawing:
    """The sample."""
    arrow = Stroke(((24, 84), (26, 84), (25, 88)), Role.LEADER, closed=True, fill=1.0)
    marks: list[Mark] = [
        *_side(-1),
        *_side(1),
        _cut(),
        segment((0, -4), (0, 234), Role.CENTRE),
        segment((-84, 207), (84, 207), Role.FOLD),
        segment((-84, 222), (84, 222), Role.SKIVE),
        segment((-44, 110), (44, 110), Role.PRESS),
        segment((-45, 120), (45, 120), Role.PRESS),
        segment((70, 60), (75, 60), Role.SNIP),
        segment((25, 40), (25, 84), Role.LEADER),
        arrow,
        Words((23.5, 42), "tight way of the leather", 3.0, angle=90),
        Words((-22, 75), "UPPER", 4.2, "middle", bold=True),
        Words((-22, 69.5), "cut 1, grain side up", 3.4, "middle"),
        Words((-22, 65), "Birke & Göran Łoś, č š ž ≤ ± × °", 2.6, "middle"),
        Words((-2, 126), "centre line, front of the sheath", 3.0, angle=90),
        Words((-34, 213), "fold under, 15", 3.4),
        Stroke(corners(Box(-40, 20, -8, 32)), Role.FRAME, closed=True),
        Words((-38, 24), "box → 3⅛ in", 3.0),
        Stroke(corners(Box(4, 20, 18, 30)), Role.PIECE, closed=True, fill=0.15),
        Stroke(corners(Box(4, 20, 18, 30)), Role.PIECE, closed=True),
        segment((4, 25), (18, 25), Role.HIDDEN),
        segment((-20, 15), (20, 15), Role.CROSS),
        segment((0, 100), (10, 100), Role.JOIN),
    ]
    return Drawing("Birch trail knife", tuple(marks))


@pytest.fixture(scope="session", name="pattern")
def _pattern() -> Drawing:
    return pattern()
