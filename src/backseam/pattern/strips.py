"""Paper strips to wrap round the real form before any leather is cut: their ends must meet at the marks."""

from __future__ import annotations

from dataclasses import dataclass

from backseam.ground.units import Mm


@dataclass(frozen=True)
class CheckStrip:
    """length: mark to mark, for paper of thickness `paper` on the form as it was read (over film or bare);
    spread: half width, 95 %."""

    name: str
    station: Mm
    length: Mm
    paper: Mm
    over_film: bool
    spread: Mm
