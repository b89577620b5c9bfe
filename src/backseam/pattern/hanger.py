"""Hanger holes on the back beside the seam, and the thong or strap that goes through them."""

from __future__ import annotations

from dataclasses import dataclass

from backseam.ground.findings import Finding
from backseam.ground.units import Mm
from backseam.pattern.construction import HangerKind


@dataclass(frozen=True)
class HangerHole:
    """A round hole. row 1 is the top one; side -1 left, +1 right."""

    row: int
    side: int
    x: Mm
    y: Mm
    diameter: Mm


@dataclass(frozen=True)
class Slit:
    """A slit with a round hole at each end, from (x1, y1) to (x2, y2)."""

    side: int
    x1: Mm
    y1: Mm
    x2: Mm
    y2: Mm
    end_diameter: Mm


@dataclass(frozen=True)
class HangerPlan:
    """holes and slits on the piece; loop: neutral length of the loop round the belt; cut: length of the thong or
    strap to cut, width and thickness beside it."""

    kind: HangerKind
    holes: tuple[HangerHole, ...]
    slits: tuple[Slit, ...]
    loop: Mm
    cut: Mm
    width: Mm
    thickness: Mm
    findings: tuple[Finding, ...]
