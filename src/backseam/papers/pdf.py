"""Pages as PDF at full scale, by reportlab: mm to points, one page size a sheet, no fitting when printed.

Fonts are embedded. The same pages give the same bytes. Traps of the library that are closed here: a circle
that is filled gets no line, which would make a punched hole grow; the first font is ours, so that none is
left unembedded; its settings files in the user's folder are not run.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from functools import cache
from io import BytesIO
from math import cos, pi, sin
from types import ModuleType
from typing import Any

from backseam.ground.findings import Finding, finding
from backseam.ground.units import POINT, Mm, Share
from backseam.papers import letters
from backseam.papers.letters import FACES, clean, text_width
from backseam.papers.model import Drawing, Ring, Stroke, Words, line_length
from backseam.papers.page import Page
from backseam.papers.styles import Style, style

__all__ = ["text_width", "unprintable", "write"]

_PLACES = 3  # mm are rounded to 0.001
_ROUND_JOIN = 1


def write(pages: Sequence[Page], *, title: str, author: str = "") -> bytes:
    """The PDF of these pages, in this order. Viewers are told not to fit it to the paper."""
    out = BytesIO()
    canvas = _canvas(out, pages[0])
    canvas.setTitle(clean(title))
    canvas.setAuthor(clean(author))
    canvas.setCreator("Backseam")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    for i, page in enumerate(pages):
        canvas.setPageSize((page.sheet.width / POINT, page.sheet.height / POINT))
        canvas.bookmarkPage(f"sheet-{i}")
        canvas.addOutlineEntry(clean(page.name) or str(i + 1), f"sheet-{i}")
        _Pen(canvas).draw(page.drawing)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def unprintable(pages: Iterable[Page]) -> tuple[Finding, ...]:
    """A finding if some letters on these pages are in no shipped face: they are printed as boxes."""
    lines = [(m.text, m.bold) for page in pages for m in page.drawing.marks if isinstance(m, Words)]
    lost = "".join(dict.fromkeys("".join(letters.missing(text, bold) for text, bold in lines)))
    if not lost:
        return ()
    return (finding("PAPER-001", (), letters=" ".join(f"U+{ord(c):04X}" for c in lost), count=len(lost)),)


def _canvas(out: BytesIO, first: Page) -> Any:
    """An empty document whose first font is ours."""
    sys.modules.setdefault("reportlab_settings", ModuleType("reportlab_settings"))
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0  # streams as bytes, not as letters: a quarter smaller and sooner written
    size = (first.sheet.width / POINT, first.sheet.height / POINT)
    house = FACES[False][0]
    _embed(house)
    return Canvas(out, pagesize=size, pageCompression=1, invariant=1, initialFontName=house, lang="en")


@cache
def _embed(face: str) -> None:
    """Make one shipped face known to the library."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    registerFont(TTFont(face, BytesIO(letters.font_bytes(face))))


class _Pen:
    """Draws one page and remembers what the pen is set to, so that each setting is written once."""

    def __init__(self, canvas: Any) -> None:
        self.canvas = canvas
        self.set: dict[str, Any] = {}
        canvas.setLineJoin(_ROUND_JOIN)

    def draw(self, drawing: Drawing) -> None:
        """Put every mark on the page, in order."""
        for mark in drawing.marks:
            look = style(mark.role)
            match mark:
                case Stroke():
                    self._stroke(mark, look)
                case Ring():
                    self._ring(mark, look)
                case Words():
                    self._words(mark, look)

    def _turn(self, name: str, value: Any) -> None:
        """Call the canvas's setter unless it stands so already."""
        if self.set.get(name) != value:
            self.set[name] = value
            getattr(self.canvas, name)(value)

    def _ink(self, look: Style, fill: Share | None, length: Mm, closed: bool) -> None:
        if fill is not None:
            self._turn("setFillGray", 1 - fill)
            return
        self._turn("setStrokeGray", 1 - look.ink)
        self._turn("setLineWidth", look.width / POINT)
        self._turn("setDash", tuple(_points(d) for d in look.fitted(length, closed=closed)))

    def _stroke(self, mark: Stroke, look: Style) -> None:
        self._ink(look, mark.fill, line_length(mark.points, closed=mark.closed), mark.closed)
        path = self.canvas.beginPath()
        (x, y), *rest = mark.points
        path.moveTo(_points(x), _points(y))
        for x, y in rest:
            path.lineTo(_points(x), _points(y))
        if mark.closed:
            path.close()
        filled = mark.fill is not None
        self.canvas.drawPath(path, stroke=0 if filled else 1, fill=1 if filled else 0)

    def _ring(self, mark: Ring, look: Style) -> None:
        self._ink(look, mark.fill, 2 * pi * mark.radius, closed=True)
        filled = mark.fill is not None
        x, y = mark.centre
        self.canvas.circle(
            _points(x), _points(y), _points(mark.radius), stroke=0 if filled else 1, fill=1 if filled else 0
        )

    def _words(self, mark: Words, look: Style) -> None:
        self._turn("setFillGray", 1 - look.ink)
        c, s = cos(mark.angle * pi / 180), sin(mark.angle * pi / 180)
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * text_width(
            mark.text, mark.size, mark.bold
        )
        text = self.canvas.beginText()
        text.setTextTransform(c, s, -s, c, _points(mark.at[0] - c * back), _points(mark.at[1] - s * back))
        for run in letters.runs(mark.text, mark.bold):
            _embed(run.face)
            text.setFont(run.face, run.scale * mark.size / POINT)
            text.textOut(run.text)
        self.canvas.drawText(text)


def _points(length: Mm) -> float:
    """mm as points, the mm rounded to 0.001."""
    return round(length, _PLACES) / POINT
