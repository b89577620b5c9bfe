"""All papers of one job as bytes, by file name: what the command line writes out and the app hands over."""

from __future__ import annotations

from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.job import worked_json
from backseam.job.recipe import Worked
from backseam.papers import dxf, pdf, svg
from backseam.papers.calibrate import Printer, corrected
from backseam.papers.page import Page
from backseam.papers.sheets import bench_card, sheaf

PATTERN, SETTING_OUT, CARD, PREVIEW = "pattern.pdf", "setting-out.pdf", "bench-card.pdf", "preview.pdf"
DRAWING_SVG, DRAWING_DXF, WORKED = "pattern.svg", "pattern.dxf", "worked.json"
STEPS = 5
SHEET = "A4"


def write_all(
    worked: Worked,
    *,
    sheet: str | None = None,
    speech: Speech | None = None,
    printer: Printer | None = None,
    progress: Progress = SILENT,
) -> dict[str, bytes]:
    """Every paper of the job by its file name.

    sheet: a size of `papers.page.SHEETS`. printer: its measured bars, for the sheets that are cut from. What is left
    out is taken from the job, else A4, mm and a true printer. With a stop finding there is no full-size paper: only a
    marked preview and what was worked out.
    """
    paper = worked.job.paper
    sheet = sheet or paper.sheet or SHEET
    speech = speech or Speech(paper.units or PLAIN.units)
    printer = printer or _printer(worked)
    title = worked.job.title or speech.say("sheets.title.untitled")
    found = {WORKED: worked_json.dumps(worked).encode()}
    if worked.stopped:
        pages = sheaf.pages(worked, sheet, speech, preview=True)
        return {PREVIEW: pdf.write(pages, title=title, author=worked.job.maker), **found}

    def printed(pages: tuple[Page, ...]) -> bytes:
        asked = [corrected(page, printer, speech) for page in pages] if printer else pages
        return pdf.write(asked, title=title, author=worked.job.maker)

    step(progress, 0, STEPS, "pattern sheets")
    drawing = sheaf.full_size(worked, speech)
    made = {PATTERN: printed(sheaf.pages(worked, sheet, speech, piece=drawing))}
    step(progress, 1, STEPS, "pattern drawing")
    made[DRAWING_SVG] = svg.write(drawing).encode()
    step(progress, 2, STEPS, "pattern for a cutter")
    made[DRAWING_DXF] = dxf.write(drawing)
    step(progress, 3, STEPS, "setting-out")
    made[SETTING_OUT] = printed(sheaf.setting_pages(worked, sheet, speech))
    step(progress, 4, STEPS, "bench card")
    made[CARD] = bench_card.write(worked, speech, sheet)
    return {**made, **found}


def _printer(worked: Worked) -> Printer | None:
    """The job's printer, if its bars were measured."""
    paper = worked.job.paper
    if paper.bar_across_mm is None and paper.bar_along_mm is None:
        return None
    true = default("papers.bar")
    return Printer(paper.bar_across_mm or true, paper.bar_along_mm or true)
