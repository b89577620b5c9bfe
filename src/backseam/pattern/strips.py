"""Paper strips to wrap round the real form before any leather is cut: their ends must meet at the marks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from backseam.form.girth import butted
from backseam.ground.sources import default
from backseam.ground.units import Mm

VERSION = 1


@dataclass(frozen=True)
class FormGirth:
    """Girth of the form at one station as it was when it was read (over film or bare), ± spread (95 %)."""

    name: str
    station: Mm
    girth: Mm
    over_film: bool
    spread: Mm


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


def check_strips(girths: Iterable[FormGirth], paper: Mm | None = None) -> tuple[CheckStrip, ...]:
    """One strip a station, in the order given, for paper `paper` thick (left out: printer paper).

    A strip of paper bends about its middle like a strap: mark to mark it is girth + pi paper. The strip is
    for the form as it was read, so it needs no film taken off or put on. Source: steiner-1840, by
    `form.girth.butted`.

    >>> strip, = check_strips([FormGirth("thickest", 130.0, 95.7, False, 0.5)], paper=0.1)
    >>> round(strip.length, 2)                                         # 95.7 + 0.314
    96.01
    """
    thickness = default("reading.paper_thickness") if paper is None else paper
    return tuple(
        CheckStrip(
            name=row.name,
            station=row.station,
            length=butted(row.girth, thickness),
            paper=thickness,
            over_film=row.over_film,
            spread=row.spread,
        )
        for row in girths
    )
