"""Setting-out: every hole and station as a height and a distance, for working without a printer or on damp leather."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.leather.leather import Leather, State
from backseam.papers.model import ASCENT, Drawing, Mark, Role, Words, segment
from backseam.papers.sheets import lettering
from backseam.papers.sheets.labelling import Row, broken, number, size
from backseam.papers.sheets.lettering import NOTE, TITLE
from backseam.papers.sheets.measuring import measuring
from backseam.papers.sheets.piece import snip_points
from backseam.papers.sheets.table import Table, balanced
from backseam.papers.sheets.warning import framed
from backseam.pattern.blank import Blank
from backseam.pattern.construction import Construction
from backseam.pattern.hanger import HangerPlan
from backseam.pattern.seam import Hole, Seam
from backseam.pattern.upper import Line, Tick, Upper

COLUMNS_APART: Mm = 3.4
NUMBER: Mm = 10.0  # width of the column of numbers
FIGURE: Mm = 15.0  # of a column of lengths
FIGURE_INCH: Mm = 15.5
SAME: Mm = 0.05  # left and right are one figure on paper below this
EDGE_STEP: Mm = 10.0
CURVED: Mm = 0.3  # an edge straighter than this is called straight
COLUMN_WORDS: Mm = 85.0
WORDS_APART: Mm = 6.0
STEP_NUMBER: Mm = 5.5
PICTURE: tuple[Mm, ...] = (46.0, 36.0, 0.0)  # height of the picture: as large as costs no further sheet


def figure(speech: Speech, value: Mm) -> str:
    """A length to 0.1 mm or 0.001 inch, bare."""
    return speech.fill("{v:n}", {"v": value})


def tables(upper: Upper, seam: Seam, hanger: HangerPlan, speech: Speech) -> tuple[Table, ...]:
    """Holes, stations, hanger holes and edges, in the order they are needed."""
    found = [
        _holes(seam, speech),
        _stations(upper.ticks, speech),
        _hanger(hanger, speech),
        _edges(upper, speech),
        _hand(upper, speech),
    ]
    return tuple(table for table in found if table is not None and table.rows)


def _heads(speech: Speech, *keys: str) -> tuple[str, ...]:
    return tuple(speech.say(f"sheets.setting.head.{key}") for key in keys)


def _wide(speech: Speech) -> Mm:
    return FIGURE_INCH if speech.units == "inch" else FIGURE


def _holes(seam: Seam, speech: Speech) -> Table:
    """Both rows; one distance for both sides where they are mirrored."""
    pairs = list(zip(seam.left, seam.right, strict=True))
    mirrored = all(_mirrored(left, right) for left, right in pairs)
    name = speech.say("sheets.setting.holes")
    wide = _wide(speech)
    if mirrored:
        rows = tuple((str(r.number), figure(speech, r.y), figure(speech, r.x)) for r in seam.right)
        return Table(name, _heads(speech, "hole", "height", "both"), (NUMBER, wide, wide), rows)
    rows4 = tuple(
        (str(b.number), figure(speech, a.y), figure(speech, -a.x), figure(speech, b.y), figure(speech, b.x))
        for a, b in pairs
    )
    heads = _heads(speech, "hole", "height_left", "left", "height_right", "right")
    return Table(name, heads, (8.0, wide, wide - 2, wide, wide - 2), rows4)


def _mirrored(left: Hole, right: Hole) -> bool:
    return abs(left.x + right.x) < SAME and abs(left.y - right.y) < SAME


def _stations(ticks: Sequence[Tick], speech: Speech) -> Table:
    """Where the two sides meet, on the stitch line, station by station; mouth first."""
    rows = tuple(
        (
            f"{number(speech, tick.station)} {tick.name}".strip(),
            figure(speech, tick.right[1]),
            figure(speech, tick.right[0]),
        )
        for tick in sorted(ticks, key=lambda tick: -tick.station)
    )
    heads = _heads(speech, "station", "height", "side")
    name = speech.say("sheets.setting.stations")
    return Table(name, heads, (21.1, 10.7, 10.7), rows, lined=False, type=NOTE)


def _hand(upper: Upper, speech: Speech) -> Table:
    """The maker's own way: dots to be joined."""
    wide = _wide(speech)
    rows = tuple((figure(speech, y), figure(speech, x)) for x, y in upper.hand.dots)
    heads = _heads(speech, "height", "both")
    return Table(speech.say("sheets.setting.hand"), heads, (wide, wide), rows, lined=False)


def _hanger(hanger: HangerPlan, speech: Speech) -> Table | None:
    wide = _wide(speech)
    if hanger.holes:
        right = sorted((hole for hole in hanger.holes if hole.side > 0), key=lambda hole: hole.row)
        rows = tuple((str(hole.row), figure(speech, hole.y), figure(speech, hole.x)) for hole in right)
        name = speech.say("sheets.setting.punch", hole=size(speech, right[0].diameter)) if right else ""
        return Table(name, _heads(speech, "row", "height", "both"), (NUMBER, wide, wide), rows, lined=False)
    slits = [slit for slit in hanger.slits if slit.side > 0]
    rows = tuple(
        (str(i), figure(speech, y), figure(speech, x))
        for slit in slits
        for i, (x, y) in enumerate(((slit.x1, slit.y1), (slit.x2, slit.y2)), 1)
    )
    name = speech.say("sheets.setting.slit", hole=size(speech, slits[0].end_diameter)) if slits else ""
    return Table(name, _heads(speech, "end", "height", "both"), (NUMBER, wide, wide), rows, lined=False)


def _edges(upper: Upper, speech: Speech) -> Table | None:
    """Heights of the curved edges at distances from the centre line; nothing if they are straight."""
    if max(abs(upper.bottom_sag), abs(upper.mouth_sag)) < CURVED:
        return None
    ends = [abs(float(upper.stitch_right[i, 0])) for i in (0, -1)]
    steps = sorted({float(x) for x in np.arange(0.0, max(ends), EDGE_STEP)} | set(ends))
    bottom, fold = (_right_half(line) for line in (upper.bottom, upper.fold))

    def at(line: Line, x: Mm) -> str:
        far = float(line[-1, 0]) + 0.01
        return figure(speech, float(np.interp(x, line[:, 0], line[:, 1]))) if x <= far else ""

    rows = tuple((number(speech, x), at(bottom, x), at(fold, x)) for x in steps)
    heads = _heads(speech, "from_centre", "bottom", "fold" if len(upper.flap) else "mouth")
    return Table(speech.say("sheets.setting.edges"), heads, (14.0, 13.5, 13.5), rows, lined=False)


def _right_half(line: Line) -> Line:
    """The part of an edge right of the centre line, from the centre outward."""
    ordered = line[np.argsort(line[:, 0])]
    middle = float(np.interp(0.0, ordered[:, 0], ordered[:, 1]))
    return np.vstack([(0.0, middle), ordered[ordered[:, 0] > 0]])


# --- words ------------------------------------------------------------------------------------------------------


def facts(
    upper: Upper, seam: Seam, hanger: HangerPlan, construction: Construction, blank: Blank, speech: Speech
) -> tuple[str, ...]:
    """What the tables do not say: widths outside the stitch line, fold, flap, grooves, slits, layers, blank."""

    def say(key: str, **values: object) -> str:
        return speech.say(f"sheets.setting.fact.{key}", **values)

    flange = construction.flange
    widths = {"cut": flange.clamp, "glue": flange.glue, "trim": flange.trimmed}
    lines = [say("outside", **{key: size(speech, value) for key, value in widths.items()})]
    lines.append(_mouth_fact(upper, construction, speech))
    straight = abs(upper.bottom_sag) < CURVED
    lines.append(say("bottom_straight" if straight else "bottom", sag=upper.bottom_sag))
    if len(upper.flap):
        lines.append(say("flap", depth=size(speech, upper.turn_in), inside=construction.collar.inside))
        lines.append(
            say("skive", flap=construction.collar.flap, skive=size(speech, construction.collar.skive))
        )
    for groove in upper.press:
        ys = groove.line[:, 1]
        middle = float(ys[np.argmin(np.abs(groove.line[:, 0]))])
        lines.append(
            say(
                "groove",
                name=groove.name,
                centre=middle,
                side=float(ys[np.argmax(np.abs(groove.line[:, 0]))]),
            )
        )
    lines.append(say("slit", slant=seam.slant, awl=construction.stitching.awl))
    lines.append(say("pitch", pitch=seam.pitch, count=seam.count))
    if seam.four_layers:
        lines.append(say("layers", count=seam.four_layers, sewn=max(hole.sewn for hole in seam.right)))
    lines += [say("snip", height=y, off=x) for (x, y), side in snip_points(upper) if side > 0]
    lines.append(
        say("blank", width=number(speech, round(blank.width)), height=number(speech, round(blank.height)))
    )
    return tuple(lines)


def _mouth_fact(upper: Upper, construction: Construction, speech: Speech) -> str:
    key = "fold" if construction.collar.folded else "mouth"
    values = {"centre": upper.height, "side": upper.height + upper.mouth_sag}
    straight = abs(upper.mouth_sag) < CURVED
    return speech.say(f"sheets.setting.fact.{key}{'_straight' if straight else ''}", **values)


def carrying(construction: Construction, leather: Leather, speech: Speech) -> tuple[str, ...]:
    """How a paper pattern is carried over to the leather in the state it is laid on in, step by step."""
    folded = construction.collar.folded
    keys = [
        "cut_folded" if folded else "cut_plain",
        "board" if leather.state is State.DRY else "case",
        "look",
    ]
    keys += ["first", "fold_first", "holes_folded"] if folded else ["holes_plain"]
    return tuple(speech.say(f"sheets.setting.carry.{key}") for key in (*keys, "lift"))


def heading(speech: Speech, width: Mm) -> tuple[tuple[Mark, ...], Mm]:
    """Name of the sheet and how its figures are measured, top left at (0, 0); and the height taken."""
    rows: list[Row] = [(speech.say("sheets.setting.title"), TITLE, True)]
    rows += broken([(speech.say("sheets.setting.how"), NOTE, False)], width)
    return lettering.block(rows, 0.0, 0.0), lettering.height(rows) + 2.0


def words(title: str, lines: Iterable[str], width: Mm, numbered: bool) -> tuple[tuple[Mark, ...], Mm]:
    """A titled list broken to a width, top left at (0, 0); and the height taken."""
    made: list[Mark] = [Words((0.0, -ASCENT * NOTE), title, NOTE, "start", 0.0, True)]
    y = -lettering.LEADING * NOTE - 0.6
    indent = STEP_NUMBER if numbered else 0.0
    for i, line in enumerate(lines, 1):
        rows = broken([(line, NOTE, False)], width - indent)
        if numbered:
            made.append(Words((0.0, y - ASCENT * NOTE), str(i), NOTE, "start", 0.0, True))
        made += lettering.block(rows, indent, y)
        y -= lettering.height(rows) + 0.7
    return tuple(made), -y


def setting_out(
    upper: Upper,
    seam: Seam,
    hanger: HangerPlan,
    construction: Construction,
    leather: Leather,
    blank: Blank,
    speech: Speech,
    width: Mm,
    height: Mm,
) -> tuple[Drawing, ...]:
    """The whole as drawings of at most width x height, top left at (0, 0): as many as the holes need."""
    waiting = list(tables(upper, seam, hanger, speech))
    column = max(table.width for table in waiting)
    columns = max(1, int((width + COLUMNS_APART) / (column + COLUMNS_APART)))
    apart = (width - columns * column) / max(1, columns - 1) if columns > 1 else 0.0
    fewest: tuple[Drawing, ...] = ()
    for high in PICTURE:
        foot = _foot(upper, seam, hanger, construction, leather, blank, speech, width, high)
        sheets = _flowed(waiting, foot, columns, column + apart, width, height, speech)
        if not fewest or len(sheets) < len(fewest):
            fewest = sheets
    return fewest


def _flowed(
    waiting: Sequence[Table],
    foot: tuple[tuple[Mark, ...], Mm],
    columns: int,
    pitch: Mm,
    width: Mm,
    height: Mm,
    speech: Speech,
) -> tuple[Drawing, ...]:
    """Tables column by column and sheet by sheet, the foot under the last of them."""
    sheets: list[Drawing] = []
    rest, left = list(waiting), foot[0]
    while rest or left:
        head, used = heading(speech, width)
        marks: list[Mark] = list(head)
        laid, after, taken = balanced(rest, columns, height - used - foot[1])
        if after:
            laid, after, taken = balanced(rest, columns, height - used)
        for i, tables_here in enumerate(laid):
            y = -used
            for table in tables_here:
                marks += table.marks(i * pitch, y)
                y -= table.height
        if not after and used + taken + foot[1] <= height + 1e-6:
            marks += Drawing("", left).moved(0.0, -used - taken).marks
            left = ()
        elif not laid:
            break
        sheets.append(Drawing("setting-out", tuple(marks)))
        rest = after
    return tuple(sheets)


def _foot(
    upper: Upper,
    seam: Seam,
    hanger: HangerPlan,
    construction: Construction,
    leather: Leather,
    blank: Blank,
    speech: Speech,
    width: Mm,
    high: Mm,
) -> tuple[tuple[Mark, ...], Mm]:
    """The words under the tables: facts and a picture at the left, carrying over and the caution at the right."""
    half = (width - WORDS_APART) / 2
    known = facts(upper, seam, hanger, construction, blank, speech)
    left = _column(
        words(speech.say("sheets.setting.facts"), known, half, False),
        *([_with_height(measuring(upper, seam, speech, half, high))] if high else []),
    )
    right = _column(
        words(speech.say("sheets.setting.carrying"), carrying(construction, leather, speech), half, True),
        framed(speech.say("sheets.setting.caution"), half),
    )
    line = segment((0.0, 0.0), (width, 0.0), Role.LEADER)
    moved = Drawing("", right[0]).moved(half + WORDS_APART, 0.0).marks
    return (line, *Drawing("", (*left[0], *moved)).moved(0.0, -2.5).marks), max(left[1], right[1]) + 2.5


def _column(*blocks: tuple[tuple[Mark, ...], Mm]) -> tuple[tuple[Mark, ...], Mm]:
    """Blocks under one another; and the height taken."""
    marks: list[Mark] = []
    y = 0.0
    for block, height in blocks:
        marks += Drawing("", block).moved(0.0, -y).marks
        y += height + 2.0
    return tuple(marks), y - 2.0


def _with_height(drawing: Drawing) -> tuple[tuple[Mark, ...], Mm]:
    return drawing.marks, -drawing.box.bottom
