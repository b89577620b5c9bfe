"""All papers of one job as bytes, by file name: what the command line writes out and the app hands over.

write_all -> everything that is cut, sewn and handed over by, with what is foreseen of hold, drying and hang
moulded   -> once both pieces have been laid on the form: map, solid, and the papers that tell of it, anew
"""

from __future__ import annotations

from collections.abc import Callable

from backseam.ground.findings import Finding
from backseam.ground.progress import SILENT, Progress, step
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN, Speech
from backseam.job import worked_json
from backseam.job.accepted import reason_for
from backseam.job.foreseen import Foreseen, all_findings, foreseen_of
from backseam.job.recipe import Worked
from backseam.job.spreadsheet import spreadsheets
from backseam.papers import dxf, pdf, svg
from backseam.papers.calibrate import Printer, corrected
from backseam.papers.page import Page
from backseam.papers.sheets import bench_card, care_card, sheaf
from backseam.papers.sheets.fit_plots import force_curve
from backseam.papers.sheets.hang_picture import hang_picture
from backseam.papers.sheets.plots import water_curve

PATTERN, SETTING_OUT, CARD, PREVIEW = "pattern.pdf", "setting-out.pdf", "bench-card.pdf", "preview.pdf"
DRAWING_SVG, DRAWING_DXF, WORKED, CARE = "pattern.svg", "pattern.dxf", "worked.json", "care-card.pdf"
FORCE, WATER, HANG = "force.svg", "water.svg", "hang.svg"
MAP, SOLID = "moulding.svg", "moulding.glb"
STEPS = 6
SHEET = "A4"


def write_all(
    worked: Worked,
    *,
    sheet: str | None = None,
    speech: Speech | None = None,
    printer: Printer | None = None,
    foreseen: Foreseen | None = None,
    progress: Progress = SILENT,
) -> dict[str, bytes]:
    """Every paper of the job by its file name.

    sheet: a size of `papers.page.SHEETS`. printer: its measured bars, for the sheets that are cut from. foreseen: hold,
    clock and hang, if they are known already. What is left out is taken from the job, else A4, mm and a true printer.
    With a stop finding there is no full-size paper: only a marked preview and what was worked out.
    """
    sheet, speech = _sheet(worked, sheet), _speech(worked, speech)
    printer = printer or _printer(worked)
    title = worked.job.title or speech.say("sheets.title.untitled")
    if worked.stopped:
        pages = sheaf.pages(worked, sheet, speech, preview=True)
        found = {WORKED: worked_json.dumps(worked).encode()}
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
    made |= spreadsheets(worked)
    step(progress, 4, STEPS, "what is foreseen")
    foreseen = foreseen or foreseen_of(worked)
    if foreseen is not None:
        made |= _drawings(worked, foreseen, speech)
    step(progress, 5, STEPS, "bench card")
    return {**made, **_cards(worked, foreseen, sheet, speech)}


def moulded(
    worked: Worked,
    foreseen: Foreseen,
    *,
    sheet: str | None = None,
    speech: Speech | None = None,
    progress: Progress = SILENT,
) -> dict[str, bytes]:
    """The papers that the moulding adds or changes, by file name; foreseen: with its moulding.

    Laid over those of `write_all` they are the whole set.
    """
    compared = foreseen.moulding
    if compared is None:
        return {}
    from backseam.papers.sheets import moulding_map, moulding_solid  # loads what the other papers do without

    sheet, speech = _sheet(worked, sheet), _speech(worked, speech)
    title = worked.job.title or speech.say("sheets.title.untitled")
    step(progress, 0, 2, "moulding map")
    made = {MAP: svg.write(moulding_map.moulding_map(compared, worked.form, title, speech)).encode()}
    made[SOLID] = moulding_solid.write(compared, title, speech)
    step(progress, 1, 2, "bench card")
    return {**made, **_cards(worked, foreseen, sheet, speech)}


def _drawings(worked: Worked, foreseen: Foreseen, speech: Speech) -> dict[str, bytes]:
    """Force, water and hang, each by itself."""
    hung = hang_picture(foreseen.hang, worked.form, worked.inputs.construction, speech)
    drawn = {
        FORCE: force_curve(foreseen.fit, speech),
        WATER: water_curve(foreseen.clock, speech, foreseen.start),
        HANG: hung,
    }
    return {name: svg.write(drawing).encode() for name, drawing in drawn.items()}


def _cards(worked: Worked, foreseen: Foreseen | None, sheet: str, speech: Speech) -> dict[str, bytes]:
    """What tells of everything: bench card, care card, worked.json."""
    found = all_findings(worked, foreseen)
    return {
        CARD: bench_card.write(worked, speech, sheet, foreseen, found, _reason(worked)),
        CARE: care_card.write(worked, speech, sheet, foreseen),
        WORKED: worked_json.dumps(worked, PLAIN, foreseen).encode(),
    }


def _reason(worked: Worked) -> Callable[[Finding], str]:
    """Why a check of this job was accepted, "" if it was not."""
    job = worked.job
    return lambda found: reason_for(job, job.accepted, found)


def _sheet(worked: Worked, sheet: str | None) -> str:
    return sheet or worked.job.paper.sheet or SHEET


def _speech(worked: Worked, speech: Speech | None) -> Speech:
    return speech or Speech(worked.job.paper.units or PLAIN.units)


def _printer(worked: Worked) -> Printer | None:
    """The job's printer, if its bars were measured."""
    paper = worked.job.paper
    if paper.bar_across_mm is None and paper.bar_along_mm is None:
        return None
    true = default("papers.bar")
    return Printer(paper.bar_across_mm or true, paper.bar_along_mm or true)
