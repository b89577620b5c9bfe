"""The rough blank: one rectangle of leather for the upper, the measuring strap, the trial ring and an awl scrap."""

from __future__ import annotations

from dataclasses import dataclass

from backseam.ground.findings import Finding
from backseam.ground.units import Mm


@dataclass(frozen=True)
class BlankPart:
    """A rectangle laid on the blank; (x, y) is its lower left corner from the blank's."""

    name: str
    x: Mm
    y: Mm
    width: Mm
    height: Mm


@dataclass(frozen=True)
class Blank:
    """upper_width x upper_height: the piece's bounding rectangle plus margin, tight way upright;
    width x height: the whole blank with strap, ring and scrap beside or below it."""

    upper_width: Mm
    upper_height: Mm
    width: Mm
    height: Mm
    parts: tuple[BlankPart, ...]
    findings: tuple[Finding, ...]
