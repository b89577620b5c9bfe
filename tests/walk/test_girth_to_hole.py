"""The walk of one datum: a thread's reading of 86.0 becomes a hole on paper, read back from all three formats."""

import io
import re

import numpy as np
import pypdfium2
import pytest
from svgelements import SVG, Path, Polygon, Polyline
from tests.jobs import tube

from backseam.ground.speech import PLAIN
from backseam.job.papers import write_all
from backseam.job.recipe import work
from backseam.papers.calibrate import Printer

READING, THREAD, THICK, RADIUS = 86.0, 0.4, 3.0, 1.5


def walked(reading=READING):
    job = tube(1.0, 60.0)
    for row in job.form.girths:
        row.reading_mm = reading
    job.leather.thickness_mm = [THICK]
    job.construction.seam_inside_radius_mm = RADIUS
    return work(job)


def closed_form(reading=READING):
    big = (reading - np.pi * THREAD) / (2 * np.pi)
    phi = np.arcsin((RADIUS + THICK) / (big + RADIUS + THICK))
    return 2 * ((big + THICK / 2) * (np.pi - phi) + (RADIUS + THICK / 2) * (np.pi / 2 - phi))


def test_the_numbers_on_the_way():
    w = walked()
    row = w.upper.stations[0]
    assert row.girth_form == pytest.approx(84.7434, abs=1e-3)
    assert row.girth_neutral == pytest.approx(94.168, abs=1e-3)
    assert row.stitch_to_stitch == pytest.approx(94.50, abs=5e-3)
    assert row.stitch_to_stitch == pytest.approx(closed_form(), abs=1e-5)
    assert {round(h.x, 3) for h in w.seam.right} == {round(closed_form() / 2, 3)}
    assert row.spread == pytest.approx(0.25)


def test_moving_the_reading_moves_each_hole_by_half():
    a, b = walked(), walked(READING + 0.1)
    moved = [q.x - p.x for p, q in zip(a.seam.right, b.seam.right, strict=True)]
    assert moved == pytest.approx([0.05] * len(moved), abs=1e-3)


def test_svg_and_dxf_say_the_same_width():
    papers = write_all(walked(), sheet="A4", speech=PLAIN)
    half = closed_form() / 2
    text = papers["pattern.svg"].decode()
    width = float(re.search(r'width="([\d.]+)mm"', text).group(1))
    box = [float(v) for v in re.search(r'viewBox="([^"]+)"', text).group(1).split()]
    assert width == pytest.approx(box[2], abs=1e-6)
    lines = [
        e
        for e in SVG.parse(io.StringIO(text), ppi=25.4).elements()
        if isinstance(e, (Path, Polyline, Polygon))
    ]
    spans = sorted({round(abs(e.bbox()[2] - e.bbox()[0]), 3) for e in lines if e.bbox()})
    assert spans  # straight upright stitch lines have no width of their own; their distance is what counts
    upright = sorted({round(e.bbox()[0], 3) for e in lines if e.bbox() and e.bbox()[2] - e.bbox()[0] < 1e-3})
    gaps = {round(b - a, 2) for a in upright for b in upright if b > a}
    assert any(abs(g - 2 * half) < 0.011 for g in gaps)
    dxf = papers["pattern.dxf"].decode()
    assert f"{half:.3f}"[:6] in dxf


def test_the_printed_sheet_is_true_to_scale_on_a_printer_that_is_not():
    plain = write_all(walked(), sheet="A4", speech=PLAIN)["pattern.pdf"]
    short = write_all(walked(), sheet="A4", speech=PLAIN, printer=Printer(across=149.6, along=150.0))[
        "pattern.pdf"
    ]
    spans = []
    for data in (plain, short):
        page = pypdfium2.PdfDocument(data)[0]
        boxes = [o.get_bounds() for o in page.get_objects()]
        spans.append((max(b[2] for b in boxes) - min(b[0] for b in boxes)) * 25.4 / 72)
    assert spans[1] / spans[0] == pytest.approx(150.0 / 149.6, abs=2e-3)
