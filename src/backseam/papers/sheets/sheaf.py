"""All sheets of one job to print: the pattern, the strips and the hanger, the setting-out, in that order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice, product
from math import isfinite

from backseam.ground.findings import Severity
from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers import page, strip
from backseam.papers.grid import Grid, best_grid
from backseam.papers.model import Box, Drawing, Mark, Role, Words, mark_box
from backseam.papers.page import Page, letters_from
from backseam.papers.sheet import BAR, SHEETS, Sheet, area
from backseam.papers.sheets import check_strips, lettering, setting_out
from backseam.papers.sheets.blank_plan import blank_plan
from backseam.papers.sheets.hanger_strip import hanger_strip
from backseam.papers.sheets.labelling import broken
from backseam.papers.sheets.laying import GAP, Item, Laid, foots, lay
from backseam.papers.sheets.legend import legend
from backseam.papers.sheets.lettering import MAIN, SMALL, TITLE
from backseam.papers.sheets.pattern_sheet import pattern
from backseam.papers.sheets.piece import lines
from backseam.papers.sheets.ring_strip import trial_ring
from backseam.papers.sheets.title_block import HEIGHT, title_block
from backseam.papers.sheets.work import Work
from backseam.pattern.strips import CheckStrip

BETWEEN: Mm = 6.0  # drawings on the sheet of strips
REDUCED = 0.62  # of the full size, at most, on a preview
PREVIEW_TEXT: Mm = 70.0  # least width of the words beside a preview
PLANS: tuple[Mm, ...] = (74.0, 58.0, 44.0)  # longer side of the blank's plan on paper
ROUGH = (Role.CUT, Role.CENTRE, Role.LEADER, Role.LABEL)
STRIP_ROLES = frozenset({Role.CUT, Role.STITCH, Role.CENTRE})
TILE_FOOT: Mm = 184.0  # width of legend and title block under a piece that is tiled


def full_size(work: Work, speech: Speech, joins: Sequence[Box] = ()) -> Drawing:
    """The piece with its words, for the pattern sheet, the SVG and the DXF."""
    given = work.inputs
    return pattern(
        work.upper, work.seam, work.hanger, given.construction, given.leather, work.job, speech, joins
    )


def pages(
    work: Work, sheet: str, speech: Speech, preview: bool = False, piece: Drawing | None = None
) -> tuple[Page, ...]:
    """Every sheet of the job on one size of paper; `preview` gives the piece reduced, marked, and why.

    piece: what `full_size` gave, if it is at hand.
    """
    paper = SHEETS[sheet]
    if preview:
        return (preview_page(work, paper, speech),)
    piece = piece or full_size(work, speech)
    first, left = _pattern_sheet(work, piece, paper, speech)
    strips, large = _strip_sheets(work, left, paper, speech)
    rest = [*strips, *_setting_sheets(work, paper, speech)]
    over = sum(_sheets_of(one, paper) for one in large)
    tiles: tuple[Page, ...] = ()
    if not first:
        tiles = _tiled(work, piece, paper, speech, len(rest) + over)
        rest[0] = replace(rest[0], roles=rest[0].roles | {mark.role for mark in piece.marks})
    before = len(tiles) + len(first) + len(rest)
    made = (*tiles, *_finished([*first, *rest], len(tiles), before + over, work, speech))
    return (*made, *_large(large, before, work, paper, speech))


def _large(
    drawings: Sequence[Drawing], before: int, work: Work, paper: Sheet, speech: Speech
) -> Iterator[Page]:
    """Strips longer than any sheet, over several to be joined."""
    for drawing in drawings:
        tiles = page.tile(
            drawing, paper, caption=_title(work, speech), letter_from=_letter(before + 1), speech=speech
        )
        before += len(tiles)
        yield from tiles


def setting_pages(work: Work, sheet: str, speech: Speech) -> tuple[Page, ...]:
    """The setting-out alone, for who works without a printer for the pattern."""
    laid = list(_setting_sheets(work, SHEETS[sheet], speech))
    return tuple(_finished(laid, 0, len(laid), work, speech))


def _finished(laid: Sequence[Laid], before: int, count: int, work: Work, speech: Speech) -> Iterator[Page]:
    """Pages with their letters and their place in the whole."""
    letters = islice(letters_from("A"), before, None)
    for number, (one, letter) in enumerate(zip(laid, letters, strict=False), before + 1):
        named = speech.say("sheets.sheet.letter_of", letter=letter, number=number, count=count)
        yield one.page(letter, named, work, speech)


# --- the pattern ------------------------------------------------------------------------------------------------


def _pattern_sheet(
    work: Work, piece: Drawing, paper: Sheet, speech: Speech
) -> tuple[tuple[Laid, ...], tuple[str, ...]]:
    """The piece on one sheet, with the ring and the thickest's strip if they go on; and what is on it."""
    upper = Item(piece)
    ring = Item(trial_ring(work.ring, work.inputs.construction, speech))
    thickest = thickest_strip(work)
    strip_item = [Item(_with_others(work, thickest, speech), thickest.length / 2)] if thickest else []
    offers = ((("ring", "strip"), [upper, ring, *strip_item]), (("ring",), [upper, ring]), ((), [upper]))
    for way, tidy, (names, items), beside in product(
        (paper, paper.turned), (True, False), offers, (False, True)
    ):
        found = lay(items, way, speech, beside=beside, tidy=tidy)
        if found:
            return (found,), names
    return (), ()


def _with_others(work: Work, one: CheckStrip, speech: Speech) -> Drawing:
    """The strip, and beside it where the others are."""
    drawing = check_strips.strip(one, speech)
    if len(work.strips) < 2:
        return drawing
    text = speech.say("sheets.strips.others", letter=_letter(2))
    return drawing + [Words((one.length + check_strips.BEYOND + 2.0, 0.4 * check_strips.HEIGHT), text, SMALL)]


def thickest_strip(work: Work) -> CheckStrip | None:
    """The check strip of the trial ring's station, else the longest."""
    if not work.strips:
        return None
    return min(work.strips, key=lambda one: (abs(one.station - work.ring.station) > 0.5, -one.length))


def _tiled(work: Work, piece: Drawing, paper: Sheet, speech: Speech, more: int) -> tuple[Page, ...]:
    """The piece over several sheets to be joined; legend and title block under it where that costs no sheet.

    more: how many sheets follow. The words are laid out anew so that no join runs through them. A piece that
    goes on one sheet without a foot stays whole: its legend then stands on the next sheet.
    """
    named = ", ".join(part for part in (_title(work, speech), work.job.date) if part)
    caption = speech.say("sheets.sheet.pattern_caption", named=named)
    if page.fits(piece, paper):
        return page.tile(piece, paper, caption=caption, speech=speech)
    rough = piece.only(*ROUGH)  # enough to count sheets by
    sheets = len(best_grid(rough, paper).used)
    named = speech.say("sheets.sheet.letters_of", first="A", last=_letter(sheets), count=sheets + more)
    foot = _foot_under(work, piece, named, speech)
    if len(best_grid(rough + foot, paper).used) > sheets:
        foot = ()
    joins = _joins(best_grid(piece + foot, paper))
    crossed = any(
        mark_box(mark).meets(join) for mark in piece.marks if isinstance(mark, Words) for join in joins
    )
    clear = full_size(work, speech, joins) if crossed else piece
    return page.tile(clear + foot, paper, caption=caption, speech=speech)


def _sheets_of(drawing: Drawing, paper: Sheet) -> int:
    """How many sheets a drawing takes by itself."""
    return 1 if page.fits(drawing, paper) else len(best_grid(drawing, paper).used)


def _letter(number: int) -> str:
    return next(islice(letters_from("A"), number - 1, None))


def _joins(grid: Grid) -> tuple[Box, ...]:
    """Strips over the joins of a grid, in the drawing's mm."""
    box, half = grid.laid.box, default("papers.overlap") / 4
    cores = [grid.core(cell) for cell in grid.used]
    xs = {core.right for core in cores if isfinite(core.right)}
    ys = {core.top for core in cores if isfinite(core.top)}
    return (
        *(Box(x - half, box.bottom, x + half, box.top) for x in sorted(xs)),
        *(Box(box.left, y - half, box.right, y + half) for y in sorted(ys)),
    )


def _foot_under(work: Work, piece: Drawing, named: str, speech: Speech) -> tuple[Mark, ...]:
    """Legend and title block under a drawing, in its own coordinates."""
    box = piece.box
    width = min(TILE_FOOT, max(box.width, TILE_FOOT * 0.8))
    left, top = (box.left + box.right - width) / 2, box.bottom - GAP
    wall = left + 0.52 * width
    roles = frozenset(mark.role for mark in piece.marks)
    given = work.inputs
    return (
        *legend(roles, Box(left, top - HEIGHT, wall, top), given.construction, speech),
        *title_block(
            Box(wall, top - HEIGHT, left + width, top),
            work.job,
            given.leather,
            work.seam,
            work.blank,
            named,
            speech,
        ),
    )


def _title(work: Work, speech: Speech) -> str:
    return work.job.title or speech.say("sheets.title.untitled")


# --- strips, ring, hanger ---------------------------------------------------------------------------------------


def _strip_sheets(
    work: Work, done: tuple[str, ...], paper: Sheet, speech: Speech
) -> tuple[list[Laid], list[Drawing]]:
    """What is not on the pattern sheet: the other strips, the ring, the thong, the blank; on as few sheets as it takes.

    The plan of the blank is drawn smaller if that saves a sheet. Second: what is larger than any sheet.
    """
    space, _, _ = foots(paper)[0]
    width, height = space.width - BAR - GAP, space.height - BAR - GAP
    blocks = [_block(one) for one in _strip_blocks(work, done, width, height, speech)]
    fewest: list[list[Item]] = []
    for most in PLANS:
        sheets = _filled([*blocks, _block(blank_plan(work.blank, speech, width, most))], height)
        if not fewest or len(sheets) < len(fewest):
            fewest = sheets
    laid = [one for sheet in fewest for one in _laid_blocks(sheet, paper, speech)]
    note = (speech.say("sheets.strips.note"),)
    ready = [replace(one, roles=one.roles & STRIP_ROLES, notes=note) for one in laid if isinstance(one, Laid)]
    return ready, [one for one in laid if isinstance(one, Drawing)]


def _block(drawing: Drawing) -> Item:
    """A drawing that stands with its left edge on the others'."""
    return Item(drawing, drawing.box.left)


def _filled(blocks: list[Item], height: Mm) -> list[list[Item]]:
    """Drawings dealt to sheets in order, as many on each as go under one another."""
    sheets: list[list[Item]] = [[]]
    for block in blocks:
        used = sum(one.box.height + BETWEEN for one in sheets[-1])
        if sheets[-1] and used + block.box.height > height:
            sheets.append([])
        sheets[-1].append(block)
    return sheets


def _laid_blocks(blocks: list[Item], paper: Sheet, speech: Speech) -> list[Laid | Drawing]:
    found = lay(blocks, paper, speech)
    return [found] if found else [_alone(block, paper, speech) for block in blocks]


def _alone(block: Item, paper: Sheet, speech: Speech) -> Laid | Drawing:
    """A drawing too long for its sheet, by itself, either way up, its foot where it fits; else as it is, for tiles."""
    ways = product((paper, paper.turned), (False, True))
    tried = (lay([block], way, speech, beside=beside) for way, beside in ways)
    return next((found for found in tried if found), block.drawing)


def _strip_blocks(
    work: Work, done: tuple[str, ...], width: Mm, height: Mm, speech: Speech
) -> Iterator[Drawing]:
    thickest = thickest_strip(work) if "strip" in done else None
    others = sorted((one for one in work.strips if one is not thickest), key=lambda one: -one.station)
    first = check_strips.strips(others[:1], speech, width).box.height
    more = max(1, int((height - max(first, 70.0)) / check_strips.PITCH) + 1)
    for start in range(0, len(others), more):
        yield check_strips.strips(others[start : start + more], speech, width)
    if "ring" not in done:
        yield trial_ring(work.ring, work.inputs.construction, speech)
    hanger = hanger_strip(work.hanger, work.inputs.construction, speech, width)
    if hanger:
        yield hanger


# --- setting-out ------------------------------------------------------------------------------------------------


def _setting_sheets(work: Work, paper: Sheet, speech: Speech) -> Iterator[Laid]:
    space, _, _ = foots(paper)[0]
    width, height = space.width - BAR - 2 * GAP, space.height - BAR - 2 * GAP
    drawings = setting_out.setting_out(
        work.upper,
        work.seam,
        work.hanger,
        work.inputs.construction,
        work.inputs.leather,
        work.blank,
        speech,
        width,
        height,
    )
    for drawing in drawings:
        found = lay([_block(drawing)], paper, speech)
        if found:
            yield replace(found, roles=frozenset(), notes=(speech.say("sheets.setting.note"),))


# --- preview ----------------------------------------------------------------------------------------------------


def preview_page(work: Work, paper: Sheet, speech: Speech) -> Page:
    """The piece reduced and marked across, with the findings that stop it; no full-size line, no bars."""
    box = area(paper)
    given = work.inputs
    shown = Drawing("preview", lines(work.upper, work.seam, work.hanger, given.construction))
    scale = min(REDUCED, (box.width - 4.0) / shown.box.width, 0.5 * box.height / shown.box.height)
    reduced = shown.mapped(scale, scale)
    words, height = _reasons(work, box.width - 8.0, speech)
    top = box.top - height - 6.0
    middle = (box.left + box.right) / 2 - (reduced.box.left + reduced.box.right) / 2
    placed = reduced.moved(middle, top - reduced.box.top)
    marks = (
        *strip.preview(box, speech.say("sheets.preview.mark")),
        *Drawing("", words).moved(box.left + 4.0, box.top - 2.0).marks,
        *placed.marks,
        *strip.caption(box, speech.say("sheets.preview.caption", title=_title(work, speech)), ""),
    )
    return Page("A", paper, Drawing("preview", marks))


def _reasons(work: Work, width: Mm, speech: Speech) -> tuple[tuple[Mark, ...], Mm]:
    """Title and the findings that stop the paper, each with what to do; top left at (0, 0)."""
    rows = [(speech.say("sheets.preview.title"), TITLE, True)]
    rows += broken(
        [(_title(work, speech), MAIN, True), (speech.say("sheets.preview.why"), MAIN, False)], width
    )
    for item in work.findings:
        if item.severity is Severity.STOP:
            rows += broken(
                [(f"■ {item.text(speech)}", MAIN, True), (item.remedy(speech), MAIN, False)], width
            )
    return lettering.block(rows, 0.0, 0.0), lettering.height(rows)
