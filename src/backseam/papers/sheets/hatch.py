"""Hatching at 45 degrees, with holes left where words stand."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor, sqrt

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from backseam.ground.units import Mm
from backseam.papers.model import Role, Stroke, Words
from backseam.papers.sheets.lettering import outline

SPACING: Mm = 3.4  # line to line, along x
ROUND_WORDS: Mm = 0.8  # kept clear round words


def hatch(
    area: BaseGeometry,
    role: Role = Role.GLUE,
    *,
    spacing: Mm = SPACING,
    words: Iterable[Words] = (),
    why: str = "",
) -> tuple[Stroke, ...]:
    """Lines rising to the right over an area, clear of the words that stand on it.

    Lines lie at x - y = a whole number of `spacing`, so neighbouring areas match.

    >>> [len(line.points) for line in hatch(shapely.box(0, 0, 4, 4), spacing=4.0)]
    [2]
    """
    gaps = [outline(line).buffer(ROUND_WORDS, join_style="mitre") for line in words]
    open_area = area.difference(shapely.union_all(gaps)) if gaps else area
    if open_area.is_empty or area.is_empty:
        return ()
    left, bottom, right, top = open_area.bounds
    starts = np.arange(ceil((left - top) / spacing), floor((right - bottom) / spacing) + 1) * spacing
    lines = shapely.multilinestrings(
        shapely.linestrings([[(a + bottom, bottom), (a + top, top)] for a in starts])
    )
    return tuple(
        Stroke(tuple((float(x), float(y)) for x, y in piece.coords), role, why=why)
        for piece in shapely.get_parts(shapely.intersection(lines, open_area))
        if piece.geom_type == "LineString" and piece.length > spacing / sqrt(8)
    )
