"""PDF, read with pypdfium2, which did not write it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pypdfium2
import pypdfium2.raw as raw
import pytest

from backseam.papers import pdf
from backseam.papers.letters import BOX, clean
from backseam.papers.model import Drawing, Ring, Role, Words, segment
from backseam.papers.page import SHEETS, Page, tile

A4 = SHEETS["A4"]
HOSTILE = (
    ") Tj ET q 0 0 m (",
    "\\) \\\\ \\n <41> << /JS >>",
    "%PDF-1.4 endobj stream",
    "č š ž ł å ö ≤ ± × ° → ⅛",
    "\x00\x07 bell",
)


def _page(*marks: Words) -> Page:
    return Page("A", A4, Drawing("", marks))


def _text(data: bytes, number: int = 0) -> str:
    return str(pypdfium2.PdfDocument(data)[number].get_textpage().get_text_range())


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("bold", [False, True])
def test_typed_text_stays_text(text: str, bold: bool) -> None:
    data = pdf.write([_page(Words((20, 100), text, bold=bold))], title=text, author=text)
    assert _text(data) == clean(text)
    found = pypdfium2.PdfDocument(data).get_metadata_dict()
    assert (found["Title"], found["Author"]) == (clean(text), clean(text))


def test_pages_have_the_size_of_their_sheets(pattern: Drawing) -> None:
    made = [
        Page("A", A4, pattern),
        Page("B", SHEETS["Tabloid"].turned, pattern),
        Page("C", A4.turned, pattern),
    ]
    sizes = [page.get_size() for page in pypdfium2.PdfDocument(pdf.write(made, title="x"))]
    mm = [(w / 72 * 25.4, h / 72 * 25.4) for w, h in sizes]
    for (w, h), page in zip(mm, made, strict=True):
        assert (w, h) == pytest.approx((page.sheet.width, page.sheet.height), abs=0.001)


def test_viewers_are_told_not_to_scale(pattern: Drawing) -> None:
    document = pypdfium2.PdfDocument(pdf.write([Page("A", A4, pattern)], title="x"))
    assert raw.FPDF_VIEWERREF_GetPrintScaling(document) == 0


def test_all_fonts_are_embedded(pattern: Drawing) -> None:
    page = pypdfium2.PdfDocument(pdf.write([Page("A", A4, pattern.moved(100, 30))], title="x"))[0]
    fonts = [raw.FPDFTextObj_GetFont(o) for o in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT])]
    assert fonts
    assert all(raw.FPDFFont_GetIsEmbedded(font) == 1 for font in fonts)


def test_a_filled_circle_does_not_grow_by_a_line() -> None:
    page = Page(
        "A", A4, Drawing("", (Ring((50, 50), 2.5, Role.PUNCH, fill=1.0), Ring((90, 50), 2.5, Role.PUNCH)))
    )
    image = (
        pypdfium2.PdfDocument(pdf.write([page], title=""))[0]
        .render(scale=1200 / 72, grayscale=True)
        .to_numpy()
    )
    row = image[round((297 - 50) / 25.4 * 1200)].reshape(-1) < 128
    (solid, ring) = (row[round(a / 25.4 * 1200) : round(b / 25.4 * 1200)] for a, b in ((45, 55), (85, 95)))
    assert solid.sum() / 1200 * 25.4 == pytest.approx(5.0, abs=0.03)
    assert (ring.nonzero()[0].max() - ring.nonzero()[0].min()) / 1200 * 25.4 == pytest.approx(5.5, abs=0.05)


def test_what_cannot_be_printed_is_a_box_and_a_finding() -> None:
    page = _page(Words((20, 100), "Knife of 刀匠"), Words((20, 90), "刀 again", bold=True))
    assert _text(pdf.write([page], title="")).startswith(f"Knife of {BOX}{BOX}")
    (found,) = pdf.unprintable([page])
    assert found.code == "PAPER-001"
    assert found.text() == "2 letters cannot be printed and stand as empty boxes: U+5200 U+5320."
    assert pdf.unprintable([_page(Words((0, 0), "Žižka ≤ 3"))]) == ()


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_text_stands_where_it_is_anchored_and_is_as_wide_as_said(anchor: str, angle: float) -> None:
    words = Words((100, 150), "H 150 →H", 10, anchor, angle)  # type: ignore[arg-type]
    objects = pypdfium2.PdfDocument(pdf.write([_page(words)], title=""))[0].get_objects()
    boxes = [[v / 72 * 25.4 for v in o.get_bounds()] for o in objects]
    low, high = (0, 2) if angle == 0 else (1, 3)
    first, last = min(b[low] for b in boxes), max(b[high] for b in boxes)
    width = pdf.text_width(words.text, 10)
    start = (100 if angle == 0 else 150) - {"start": 0, "middle": width / 2, "end": width}[anchor]
    assert first == pytest.approx(start, abs=1.0)  # an H begins a little inside its width
    assert last == pytest.approx(start + width, abs=1.0)


def test_sheets_are_listed_in_the_outline(pattern: Drawing) -> None:
    made = tile(pattern.mapped(2, 2), A4, caption="")
    entries = pypdfium2.PdfDocument(pdf.write(made, title="")).get_toc()
    assert [entry.get_title() for entry in entries] == [page.name for page in made]


SCRIPT = """
import hashlib, sys
from backseam.papers import dxf, page, pdf, svg
assert not {"reportlab", "ezdxf", "scipy", "fontTools"} & set(sys.modules)
from backseam.papers.model import Drawing, Ring, Role, Words, segment
d = Drawing("x", (segment((0, 0), (300, 200), Role.FOLD), Ring((5, 5), 2, Role.PUNCH), Words((9, 9), "žluť → ⅛")))
pages = page.tile(d, page.SHEETS["A4"], caption="c", preview="P")
made = pdf.write(pages, title="t", author="a"), dxf.write(d), svg.write(d).encode()
assert "ezdxf" not in sys.modules
print([hashlib.sha256(m).hexdigest() for m in made])
"""


def test_bytes_repeat_and_no_settings_of_the_user_are_run(tmp_path: Path) -> None:
    """Twice, in fresh processes with other hash seeds, in a folder and a home full of traps."""
    trap = "raise SystemExit('a settings file was run')"
    for name in (".reportlab_settings", "reportlab_settings.py"):
        (tmp_path / name).write_text(trap)
    (tmp_path / "ezdxf.ini").write_text("[core]\nWRITE_FIXED_META_DATA_FOR_TESTING=maybe")
    made = {
        subprocess.run(
            [sys.executable, "-c", SCRIPT],
            cwd=tmp_path,
            env={"HOME": str(tmp_path), "PYTHONHASHSEED": seed, "PYTHONPATH": str(tmp_path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(made) == 1
    assert len(made.pop()) > 190


def test_dashes_do_not_change_a_line(pattern: Drawing) -> None:
    marks = tuple(segment((20, 20 + 5 * i), (180, 20 + 5 * i), role) for i, role in enumerate(Role))
    page = pypdfium2.PdfDocument(pdf.write([Page("A", A4, Drawing("", marks))], title=""))[0]
    assert len(list(page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]))) == len(marks)
