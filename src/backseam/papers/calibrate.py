"""A printer's own scale, from the two bars on a print, and the page corrected for it.

Printers feed paper a little short or long: 149.6 on a 150 mm bar is common. The correction is the last thing
done to a page, bars and words included, so that on a corrected print the bars measure 150.0 again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, isfinite

from backseam.ground.errors import InputRefused
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.ground.units import Mm, Share
from backseam.papers.page import Page


@dataclass(frozen=True)
class Printer:
    """The bars as measured on one print, outer edge to outer edge, mm. 150.0 each: nothing to correct.

    across: the bar along the short side of the paper, along: the one along its long side.
    """

    across: Mm = 150.0
    along: Mm = 150.0


def factors(printer: Printer, speech: Speech = PLAIN) -> tuple[Share, Share]:
    """What the printer makes of a length across and along the paper: printed over asked.

        factor = measured bar / 150

    Raises InputRefused where a bar is no length, or is off by more than 3 %: then the print was fitted to the
    page or the rule misread, and correcting for it would hide that.

    >>> factors(Printer(across=149.6))             # 149.6 / 150
    (0.9973333333333333, 1.0)
    """
    return _factor("across", printer.across, speech), _factor("along", printer.along, speech)


def corrected(page: Page, printer: Printer, speech: Speech = PLAIN) -> Page:
    """The page as it must be sent to this printer so that each length comes out as drawn.

        asked = middle of the sheet + (drawn - middle) / factor

    About the middle of the sheet, so that what moves moves least. Tested: a printer that makes 99.73 % of
    each length gives 150.0 on the corrected bar.
    """
    short, long = factors(printer, speech)
    if short == long == 1:
        return page
    sheet = page.sheet
    across, along = (short, long) if sheet.width <= sheet.height else (long, short)
    x, y = sheet.width / 2, sheet.height / 2
    drawing = page.drawing.moved(-x, -y).mapped(1 / across, 1 / along).moved(x, y)
    return replace(page, drawing=drawing)


def spread(length: Mm) -> Mm:
    """How far a printed length may still be off after the correction, mm, half width.

    A bar is read to within its own spread, and every length shares it by its part of the bar:

        spread = length / 150 x spread of the reading

    >>> round(spread(75.0), 3)                         # half a bar, read within 0.2 mm
    0.1
    """
    return abs(length) / default("papers.bar") * default("papers.bar_spread")


def spread_of(width: Mm, height: Mm) -> Mm:
    """The same for a distance that goes across and along: both bars are read on their own.

    >>> round(spread_of(90.0, 120.0), 3)               # 0.12 and 0.16, as the sides of a right angle
    0.2
    """
    return hypot(spread(width), spread(height))


def _factor(way: str, measured: Mm, speech: Speech) -> Share:
    asked = default("papers.bar")
    where = ("paper", f"bar_{way}_mm")
    if not isfinite(measured) or measured <= 0:
        raise InputRefused(speech.say("page.refused.no_bar", way=way), where)
    factor = measured / asked
    if not default("papers.printer_least") <= factor <= default("papers.printer_most"):
        raise InputRefused(
            speech.say("page.refused.scale", way=way, measured=measured, asked=asked, share=100 * factor),
            where,
        )
    return factor
