"""A drawing as the card's template takes it: its SVG, and where its ink begins, so that nothing is cropped."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from backseam.ground.units import Mm
from backseam.papers import svg
from backseam.papers.model import Drawing, Words
from backseam.papers.sheets.drafting import TYPE
from backseam.papers.sheets.extent import extent


def as_picture(title: str, drawing: Drawing, aside: str = "", how: Iterable[str] = ()) -> dict[str, Any]:
    """Title, words beside it and under it, and the picture at its own size, mm."""
    about, real = drawing.box, extent(drawing)
    return {
        "title": title,
        "aside": aside,
        "how": list(how),
        "svg": svg.write(drawing),
        "svg_width": about.width + 2 * svg.MARGIN,
        "svg_height": about.height + 2 * svg.MARGIN,
        "dx": about.left - svg.MARGIN,
        "dy": real.top - about.top - svg.MARGIN,
        "left": real.left,
        "width": real.width,
        "height": real.height,
    }


def readable(drawing: Drawing, least: Mm = TYPE) -> Drawing:
    """The drawing with no type smaller than the card's."""
    marks = (replace(m, size=max(m.size, least)) if isinstance(m, Words) else m for m in drawing.marks)
    return Drawing(drawing.name, tuple(marks))
