"""How much room a picture takes up, its words measured with the font they are printed in."""

from __future__ import annotations

from backseam.papers.model import Box, Drawing, Words, mark_box
from backseam.papers.sheets.lettering import outline


def extent(drawing: Drawing) -> Box:
    """Box of all marks, text by its true width (the drawing's own box only guesses it)."""
    boxes = [
        Box(*outline(mark).bounds) if isinstance(mark, Words) else mark_box(mark) for mark in drawing.marks
    ]
    left, bottom = min(box.left for box in boxes), min(box.bottom for box in boxes)
    return Box(left, bottom, max(box.right for box in boxes), max(box.top for box in boxes))
