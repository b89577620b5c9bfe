"""One drawing, three files, three readers that did not write them: all agree with the drawing to 0.001 mm.

Readers: svgelements (SVG), PDFium by pypdfium2 (PDF), GDAL by pyogrio (DXF), shapely for GDAL's geometry.
"""

from __future__ import annotations

import ctypes
import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pyogrio
import pypdfium2
import pypdfium2.raw as raw
import pytest
import shapely
import svgelements
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pyogrio.raw import read

from backseam.papers import dxf, pdf, svg
from backseam.papers.letters import cap_height, text_width
from backseam.papers.model import Drawing, Ring, Role, Stroke, Words
from backseam.papers.page import SHEETS, Page

A3 = SHEETS["A3"]
CLOSE = 0.001
MM = 25.4
COORDINATES = st.floats(0.0, 290.0, allow_nan=False)
POINTS = st.tuples(COORDINATES, COORDINATES)
STROKES = st.builds(
    lambda points, role, closed: Stroke(tuple(points), role, closed),
    st.lists(POINTS, min_size=3, max_size=20, unique_by=lambda p: (round(p[0]), round(p[1]))),
    st.sampled_from([Role.CUT, Role.FOLD, Role.STITCH, Role.CENTRE, Role.SKIVE]),
    st.booleans(),
)
RINGS = st.builds(lambda at, r: Ring(at, r, Role.PUNCH), POINTS, st.floats(0.5, 20.0))
DRAWINGS = st.lists(st.one_of(STROKES, RINGS), min_size=1, max_size=8).map(lambda m: Drawing("d", tuple(m)))
QUIET = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])

pyogrio.set_gdal_config_options({"DXF_ENCODING": "UTF-8"})


def _corners(mark: Stroke) -> np.ndarray:
    return np.array(mark.points + mark.points[:1] if mark.closed else mark.points)


def _same(found: np.ndarray, mark: Stroke) -> None:
    wanted = _corners(mark)
    if mark.closed and len(found) == len(wanted) - 1:  # a reader may leave the way back unsaid
        wanted = wanted[:-1]
    assert found.shape == wanted.shape
    assert np.abs(found - wanted).max() <= CLOSE


def _round(found: np.ndarray, ring: Ring) -> None:
    """A circle as even points on it (GDAL), else as the box round it: its middle and its radius."""
    if len(found) > 20:
        middle = found[:-1].mean(0)
        assert np.abs(middle - ring.centre).max() <= CLOSE
        assert np.abs(np.hypot(*(found - middle).T) - ring.radius).max() <= CLOSE
        return
    low, high = found.min(0), found.max(0)
    assert np.abs((low + high) / 2 - ring.centre).max() <= CLOSE
    assert np.abs((high - low) / 2 - ring.radius).max() <= CLOSE


# --- SVG ---------------------------------------------------------------------------------------------------------


def _svg_shapes(page: Page) -> Iterator[np.ndarray]:
    """Corner points of each shape, mm from the lower left of the sheet. ppi 25.4: one unit is one mm."""
    for element in svgelements.SVG.parse(io.StringIO(svg.write(page)), ppi=MM).elements():
        if isinstance(element, svgelements.Circle):
            box = element.bbox()
            yield np.array([[box[0], page.sheet.height - box[1]], [box[2], page.sheet.height - box[3]]])
        elif isinstance(element, svgelements.Path):
            points = [
                (p.x, page.sheet.height - p.y) for p in (segment.end for segment in element) if p is not None
            ]
            yield np.array(points)


@QUIET
@given(DRAWINGS)
def test_svg_read_by_svgelements(drawing: Drawing) -> None:
    _compare(drawing, list(_svg_shapes(Page("A", A3, drawing))))


# --- PDF ---------------------------------------------------------------------------------------------------------


def _pdf_shapes(page: Page) -> Iterator[np.ndarray]:
    shown = pypdfium2.PdfDocument(pdf.write([page], title=""))[0]
    for item in shown.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        x, y = ctypes.c_float(), ctypes.c_float()
        points = []
        for i in range(raw.FPDFPath_CountSegments(item)):
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item, i), x, y)
            points.append((x.value, y.value))
        a, b, c, d, e, f = item.get_matrix().get()
        found = np.array(points) @ np.array([[a, b], [c, d]]) + (e, f)
        yield found / 72 * MM


@QUIET
@given(DRAWINGS)
def test_pdf_read_by_pdfium(drawing: Drawing) -> None:
    _compare(drawing, list(_pdf_shapes(Page("A", A3, drawing))))


# --- DXF ---------------------------------------------------------------------------------------------------------


def _dxf_shapes(drawing: Drawing, folder: Path) -> Iterator[tuple[str, np.ndarray]]:
    file = folder / "made.dxf"
    file.write_bytes(dxf.write(drawing))
    _, _, shapes, (layers,) = read(file, columns=["Layer"])
    for layer, shape in zip(layers, shapely.from_wkb(shapes), strict=True):
        yield layer, shapely.get_coordinates(shape)


@QUIET
@given(drawing=DRAWINGS)
def test_dxf_read_by_gdal(drawing: Drawing, tmp_path: Path) -> None:
    found = list(_dxf_shapes(drawing, tmp_path))
    assert [layer for layer, _ in found] == [dxf.layer(mark.role) for mark in drawing.marks]
    _compare(drawing, [points for _, points in found])


def _compare(drawing: Drawing, found: list[np.ndarray]) -> None:
    assert len(found) == len(drawing.marks)
    for points, mark in zip(found, drawing.marks, strict=True):
        if isinstance(mark, Ring):
            _round(points, mark)
        elif isinstance(mark, Stroke):
            _same(points, mark)


# --- words -------------------------------------------------------------------------------------------------------

WORDS = (
    Words((30.0, 40.0), "155 mouth", 3.0),
    Words((100.0, 80.0), "žluť ≤ 12 °", 4.2, "middle", bold=True),
    Words((150.0, 120.0), "HHH", 6.0, "end", angle=90.0),
)


def test_words_stand_where_they_are_put_in_all_three(tmp_path: Path) -> None:
    drawing = Drawing("w", WORDS)
    page = Page("A", A3, drawing)
    texts = [
        e
        for e in svgelements.SVG.parse(io.StringIO(svg.write(page)), ppi=MM).elements()
        if isinstance(e, svgelements.Text)
    ]
    file = tmp_path / "made.dxf"
    file.write_bytes(dxf.write(drawing))
    _, _, shapes, (said,) = read(file, columns=["Text"])
    for mark, text, shape, words in zip(WORDS, texts, shapely.from_wkb(shapes), said, strict=True):
        at = text.transform.point_in_matrix_space((text.x, text.y))
        assert (at[0], A3.height - at[1]) == pytest.approx(mark.at, abs=CLOSE)
        assert (shape.x, shape.y) == pytest.approx(mark.at, abs=CLOSE)
        assert text.text == words == mark.text
    shown = pypdfium2.PdfDocument(pdf.write([page], title=""))[0]
    heights = [
        [v / 72 * MM for v in o.get_bounds()] for o in shown.get_objects() if o.type == raw.FPDF_PAGEOBJ_TEXT
    ]
    left, bottom, right, top = heights[-1]  # the three H, upright and ending at y 120
    assert right == pytest.approx(150.0, abs=0.02)
    assert right - left == pytest.approx(cap_height(6.0), abs=0.02)
    assert top == pytest.approx(120.0, abs=0.6)  # an H stands a little inside its own width
    assert bottom == pytest.approx(120 - text_width("HHH", 6.0), abs=0.6)
