"""A page or a drawing as SVG: mm on the outside, mm inside, presentation attributes only.

No style sheet, script or link, so that a strict content policy holds; typed text is escaped and stays text.
The `why` of a mark becomes its title, which a browser shows when the line is pointed at.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from math import pi
from xml.sax.saxutils import escape

from backseam.ground.units import Mm, Share
from backseam.papers.letters import FAMILIES, clean, text_width
from backseam.papers.model import Drawing, Mark, Ring, Role, Stroke, Words, line_length
from backseam.papers.page import Page
from backseam.papers.styles import Style, style

MARGIN: Mm = 5.0  # round a drawing that stands on no page


def write(item: Page | Drawing) -> str:
    """The SVG text of a page, or of a drawing with 5 mm round its box; the model's lower left is lower left.

    Coordinates are rounded to 0.001 mm.
    """
    if isinstance(item, Page):
        drawing, width, height, name = item.drawing, item.sheet.width, item.sheet.height, item.name
    else:
        box = item.box.grown(MARGIN)
        drawing, width, height, name = item.moved(-box.left, -box.bottom), box.width, box.height, item.name
    w, h = number(width), number(height)
    body = "\n".join(
        line for role, marks in groupby(drawing.marks, _role) for line in _group(role, marks, height)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{w}mm" height="{h}mm"'
        f' viewBox="0 0 {w} {h}" xml:space="preserve">'
        f"<title>{escape(clean(name))}</title>\n{body}\n</svg>\n"
    )


def number(value: float) -> str:
    """A number rounded to 0.001, as short as it can be written, never minus zero.

    >>> number(12.50004), number(-0.0001), number(3)
    ('12.5', '0', '3')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def grey(ink: Share) -> str:
    """A share of black as a colour.

    >>> grey(1.0), grey(0.0)
    ('#000000', '#ffffff')
    """
    level = round(255 * (1 - ink))
    return f"#{level:02x}{level:02x}{level:02x}"


def _role(mark: Mark) -> Role:
    return mark.role


def _group(role: Role, marks: Iterator[Mark], height: Mm) -> Iterator[str]:
    """Neighbours of one role in one group, which carries what they share."""
    look = style(role)
    yield (
        f'<g fill="none" stroke="{grey(look.ink)}" stroke-width="{number(look.width)}"'
        f' stroke-linejoin="round" font-family="{FAMILIES}">'
    )
    for mark in marks:
        yield _mark(mark, look, height)
    yield "</g>"


def _mark(mark: Mark, look: Style, height: Mm) -> str:
    match mark:
        case Stroke():
            return _element("path", f'd="{_path(mark, height)}"{_ink(mark, look, _length(mark))}', mark.why)
        case Ring():
            x, y = mark.centre
            at = f'cx="{number(x)}" cy="{number(height - y)}" r="{number(mark.radius)}"'
            return _element("circle", at + _ink(mark, look, 2 * pi * mark.radius), mark.why)
        case Words():
            return _text(mark, look, height)


def _element(tag: str, attributes: str, why: str) -> str:
    if not why:
        return f"<{tag} {attributes}/>"
    return f"<{tag} {attributes}><title>{escape(clean(why))}</title></{tag}>"


def _path(mark: Stroke, height: Mm) -> str:
    steps = "L".join(f"{number(x)} {number(height - y)}" for x, y in mark.points)
    return f"M{steps}{'Z' if mark.closed else ''}"


def _ink(mark: Stroke | Ring, look: Style, length: Mm) -> str:
    """What this one does not share with its neighbours: its fill, or its dashes."""
    if mark.fill is not None:
        return f' fill="{grey(mark.fill)}" stroke="none"'
    dashes = look.fitted(length, closed=isinstance(mark, Ring) or mark.closed)
    return f' stroke-dasharray="{" ".join(number(d) for d in dashes)}"' if dashes else ""


def _length(mark: Stroke) -> Mm:
    return line_length(mark.points, closed=mark.closed)


def _text(mark: Words, look: Style, height: Mm) -> str:
    """One line of text; `textLength` keeps its width where another face has to stand in."""
    text = clean(mark.text)
    x, y = number(mark.at[0]), number(height - mark.at[1])
    turn = f' transform="rotate({number(-mark.angle)} {x} {y})"' if mark.angle else ""
    bold = ' font-weight="700"' if mark.bold else ""
    width = number(text_width(text, mark.size, mark.bold))
    body = escape(text) + (f"<title>{escape(clean(mark.why))}</title>" if mark.why else "")
    return (
        f'<text x="{x}" y="{y}" font-size="{number(mark.size)}" text-anchor="{mark.anchor}"{bold}{turn}'
        f' fill="{grey(look.ink)}" stroke="none" textLength="{width}" lengthAdjust="spacingAndGlyphs">'
        f"{body}</text>"
    )
