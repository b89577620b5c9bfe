"""The bars, measured on the picture of the sheet as a printer would get it, by pypdfium2 (PDFium)."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest

from backseam.papers import pdf
from backseam.papers.calibrate import Printer, corrected
from backseam.papers.model import Drawing, Role, Stroke, mark_box, segment
from backseam.papers.page import SHEETS, Page, tile

DPI = 1200
MM = 25.4


def _dark(page: Page, left: float, bottom: float, right: float, top: float, dpi: int = DPI) -> np.ndarray:
    """Which dots of a rectangle of the sheet, mm, are black; rows from the top."""
    shown = pypdfium2.PdfDocument(pdf.write([page], title=""))[0]
    w, h = page.sheet.width, page.sheet.height
    crop = tuple(v / MM * 72 for v in (left, bottom, w - right, h - top))
    return shown.render(scale=dpi / 72, crop=crop, grayscale=True).to_numpy().squeeze() < 128


def _measured(page: Page, level: bool) -> float:
    """Outer edge to outer edge of a bar's end marks, mm: read across them, above the bar's own line."""
    solid = [mark_box(m) for m in page.drawing.only(Role.BAR).marks if isinstance(m, Stroke) and m.fill == 1]
    box = max(solid, key=lambda b: b.width if level else b.height)
    if level:
        dark = _dark(page, box.left - 4, box.bottom + 3.2, box.right + 4, box.bottom + 4.2).any(0)
    else:
        dark = _dark(page, box.right - 4.2, box.bottom - 4, box.right - 3.2, box.top + 4).any(1)
    ends = dark.nonzero()[0]
    return float(ends.max() - ends.min() + 1) / DPI * MM


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=list(SHEETS))
@pytest.mark.parametrize("size", [(100, 100), (240, 180), (300, 500)])
def test_bars_measure_150_00_within_0_05(sheet, size: tuple[int, int]) -> None:  # type: ignore[no-untyped-def]
    drawing = Drawing("", (segment((0, 0), (float(size[0]), float(size[1])), Role.CUT),))
    page = tile(drawing, sheet, caption="c")[0]
    assert _measured(page, level=True) == pytest.approx(150.0, abs=0.05)
    assert _measured(page, level=False) == pytest.approx(150.0, abs=0.05)


def test_a_corrected_sheet_asks_for_what_the_printer_takes_away() -> None:
    """On a printer of 0.9973 across and 1.002 along the sheet must carry 150.41 and 149.70."""
    (page,) = tile(Drawing("", (segment((0, 0), (9, 9), Role.CUT),)), SHEETS["A4"], caption="")
    made = corrected(page, Printer(149.595, 150.3))
    assert _measured(made, level=True) == pytest.approx(150 / 0.9973, abs=0.05)
    assert _measured(made, level=False) == pytest.approx(150 / 1.002, abs=0.05)


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("size", [(170, 250), (300, 500)])
def test_no_ink_within_10_mm_of_the_edge(name: str, size: tuple[int, int]) -> None:
    """Issue 2: 10 mm clear of the edge. Seen at 300 dpi, one dot allowed."""
    w, h = float(size[0]), float(size[1])
    drawing = Drawing("", (Stroke(((0, 0), (w, 0), (w, h), (0, h)), Role.CUT, True),))
    for page in tile(drawing, SHEETS[name], caption="a caption", preview="PREVIEW"):
        dark = _dark(page, 0, 0, page.sheet.width, page.sheet.height, 300)
        rows, columns = dark.any(1).nonzero()[0], dark.any(0).nonzero()[0]
        least = 10 / MM * 300 - 1
        assert rows.min() >= least
        assert columns.min() >= least
        assert dark.shape[0] - 1 - rows.max() >= least
        assert dark.shape[1] - 1 - columns.max() >= least
