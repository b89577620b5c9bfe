"""Thread: the path of two threads through the seam, layer by layer, with locking stitches and tails."""

from __future__ import annotations

from dataclasses import dataclass

from backseam.ground.units import Mm


@dataclass(frozen=True)
class Thread:
    """length: to cut, mm, tails included; path: on both faces and through the holes, slack included; locking: of the
    locking stitches; tails: both; rule_of_thumb: four times the seam; needle: shank at most; awl_low, awl_high:
    width that goes with the thread; joins: how many joins a worked length of one arm-span each side needs.
    """

    length: Mm
    path: Mm
    locking: Mm
    tails: Mm
    rule_of_thumb: Mm
    diameter: Mm
    needle: Mm
    awl_low: Mm
    awl_high: Mm
    joins: int
