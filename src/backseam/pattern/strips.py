"""Paper strips to wrap round the real form before any leather is cut: their ends must meet at the marks."""

from __future__ import annotations

from dataclasses import dataclass

from backseam.form.form import Form
from backseam.form.girth import butted
from backseam.ground.sources import default
from backseam.ground.units import Mm

VERSION = 1


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


def check_strips(form: Form, paper: Mm | None = None) -> tuple[CheckStrip, ...]:
    """One strip for each height that was read, in the form's order; paper: thickness, None for printer paper.

    A strip of paper bends about its middle like a strap of leather: mark to mark it is girth + pi paper.
    The strip is for the form as it was read, bare or over film, so no film is taken off or put on. Source:
    steiner-1840, by `form.girth.butted`. Tested: a tube of 40 mm.
    """
    thickness = default("reading.paper_thickness") if paper is None else paper
    return tuple(
        CheckStrip(
            name=row.name,
            station=row.read_at,
            length=butted(row.bare, thickness),
            paper=thickness,
            over_film=row.over_film,
            spread=row.spread,
        )
        for row in form.rows
    )
