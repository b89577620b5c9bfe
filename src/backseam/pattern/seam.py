"""Holes along the stitch line: the same number on both sides, equal pitch, slant mirrored."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.ground.findings import Finding
from backseam.ground.units import Degree, Mm, Share


@dataclass(frozen=True)
class Hole:
    """One hole of one side. number 1 is next to the mouth; left i meets right i.

    slit: direction of the slit on the piece, radians from +x, the upper end towards the centre line.
    layers: sewn through, 2, or 4 at the collar; sewn: their thickness, mm. pitch: to the next hole, mm (0 at the last).
    """

    number: int
    x: Mm
    y: Mm
    slit: float
    layers: int
    sewn: Mm


@dataclass(frozen=True)
class Seam:
    """Both rows of holes. length: of the stitch line, mouth to bottom, one side; sewn_length: first to last hole.

    left, right: from mouth to bottom. tool_pitch: what the tool strikes; eased: how many of the last strikes are
    eased and by how much in all. perforation: awl width x cos(slant) / pitch.
    """

    left: tuple[Hole, ...]
    right: tuple[Hole, ...]
    pitch: Mm
    length: Mm
    sewn_length: Mm
    first: Mm
    last: Mm
    slant: Degree
    tool_pitch: Mm
    eased: int
    eased_by: Mm
    perforation: Share
    four_layers: int  # how many holes from the mouth go through four layers
    findings: tuple[Finding, ...]

    @property
    def count(self) -> int:
        """Holes a side."""
        return len(self.left)


def positions(holes: tuple[Hole, ...]) -> NDArray[np.float64]:
    """(n, 2) of the holes' centres."""
    return np.array([(hole.x, hole.y) for hole in holes]).reshape(-1, 2)
