"""Trial ring: a strip of the same hide for one station, sewn damp on the wrapped handle and dried overnight."""

from __future__ import annotations

from dataclasses import dataclass

from backseam.ground.units import Mm
from backseam.pattern.seam import Hole


@dataclass(frozen=True)
class TrialRing:
    """A strip `width` x `height`, centre line at x = 0, y from 0 to height; stitch lines at x = ±length/2.

    length: stitch to stitch; inside: girth expected off the handle, ± inside_spread.
    """

    name: str
    station: Mm
    length: Mm
    height: Mm
    width: Mm
    left: tuple[Hole, ...]
    right: tuple[Hole, ...]
    inside: Mm
    inside_spread: Mm
