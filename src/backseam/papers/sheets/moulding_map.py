"""The moulding map: stretch as ink contours on both flat pieces and on the form, girth row by row, and the numbers.

Not at full size. `moulding_solid` gives the same as a solid to turn.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from backseam.fit.moulding import Compared
from backseam.fit.moulding_report import Sums
from backseam.form.form import Form
from backseam.ground.sources import default
from backseam.ground.speech import Speech
from backseam.ground.units import Mm
from backseam.papers.model import Drawing, Mark, Role, Words, segment, stroke
from backseam.papers.sheets.drafting import Placing, spread, text
from backseam.papers.sheets.hatch import hatch
from backseam.papers.sheets.lettering import NOTE, SMALL, TITLE, wrap
from backseam.papers.sheets.moulding_views import FOLDS, View, contour_step, on_piece, sheet
from backseam.papers.sheets.table import Table

Array = NDArray[np.float64]

WIDE: Mm = 262.0  # of the whole
HIGH: Mm = 100.0  # of the pieces, at most
BETWEEN: Mm = 7.0
GIRTH: Mm = 34.0  # width of the girth picture
SCALE: Mm = 12.0  # left of it, for its heights
HEADING: Mm = 16.0  # above the pictures
NAMES: Mm = 3.5  # pictures' names above them
BELOW: Mm = 9.0  # free under the pictures
FRONT, BACK = np.radians(17.0), np.radians(29.0)  # turned
SAMPLE: Mm = 14.0
ROW: Mm = 6.0
APART: Mm = 3.4  # heights named one above the other
COLUMNS: tuple[Mm, Mm, Mm] = (58.0, 36.0, 36.0)
TICKS = (1.0, 2.0, 5.0)  # of the girth picture, mm


def moulding_map(compared: Compared, form: Form, title: str, speech: Speech, *, high: Mm = HIGH) -> Drawing:
    """The whole map. title: of the job; high: of the pieces on paper, at most."""
    computed, hand = sheet(compared.computed), sheet(compared.hand)
    views = [("front", View(computed, FRONT)), ("back", View(computed, np.pi + BACK))]
    step = contour_step((computed, hand))
    low = min(float(s.flat[..., 1].min()) for s in (computed, hand))
    tall = max(float(s.flat[..., 1].max()) for s in (computed, hand)) - low
    broad = sum(float(np.ptp(s.flat[..., 0])) for s in (computed, hand)) + sum(v.width for _, v in views)
    scale = min(high / tall, (WIDE - GIRTH - SCALE - 4 * BETWEEN) / broad)
    top = scale * tall
    marks: list[Mark] = []
    x = 0.0
    for name, shown in (("computed", computed), ("hand", hand)):
        place = Placing(scale, x - scale * float(shown.flat[..., 0].min()), -scale * low)
        marks += [_named(name, x, top, speech), *on_piece(shown, place, step, speech)]
        x += scale * float(np.ptp(shown.flat[..., 0])) + BETWEEN
    marks += [_named("gap", x, top, speech)]
    marks += _girth(compared, form, Placing(scale, x + SCALE, -scale * low), speech)
    x += SCALE + GIRTH + BETWEEN
    for name, view in views:
        place = Placing(scale, x - scale * view.left, -scale * low)
        marks += [_named(name, x, top, speech), *view.marks(place, step, speech)]
        x += scale * view.width + BETWEEN
    foot = min(-BELOW, scale * (min(v.low for _, v in views) - low) - BELOW)
    marks += _heading(title, top + HEADING, speech)
    marks += _numbers(compared, form, speech).marks(0.0, foot)
    marks += _legend(compared, sum(COLUMNS) + 14.0, foot, speech)
    return Drawing("moulding", tuple(marks))


def _named(name: str, x: Mm, top: Mm, speech: Speech) -> Words:
    return Words(
        (x, top + NAMES), speech.say(f"moulding.{name}", unit=speech.units), NOTE, "start", 0.0, True
    )


def _heading(title: str, top: Mm, speech: Speech) -> Iterator[Mark]:
    yield Words((0.0, top), speech.say("moulding.title"), TITLE, "start", 0.0, True)
    yield Words((0.0, top - 5.2), speech.say("moulding.sub", title=title), NOTE)


def _girth(compared: Compared, form: Form, place: Placing, speech: Speech) -> Iterator[Mark]:
    """How much each row is stretched round or slack, mm in all: computed full, hand dash-dotted; heights at the
    left."""
    rows = (compared.computed.rows, compared.hand.rows)
    most = max(float(np.abs(r.slack).max()) for r in rows)
    tick = next((t for t in TICKS if most <= 2 * t), TICKS[-1])
    unit = GIRTH / 2 / max(most, tick)
    middle = place.x + GIRTH / 2
    low, high = (place.point(0.0, y)[1] for y in (0.0, form.as_read(form.marks.mouth)))
    for at in np.arange(-2, 3) * tick:
        x = middle + unit * at
        if abs(x - middle) <= GIRTH / 2 + 1e-6:
            yield segment((x, low), (x, high), Role.CUT if at == 0 else Role.PRESS)
            yield text((x, low - 2.2), speech.fill("{v:n0}", {"v": abs(at)}), "middle", size=SMALL)
    yield text((middle - 1.5, low - 5.4), speech.say("moulding.gap_slack"), "end", size=SMALL)
    yield text((middle + 1.5, low - 5.4), speech.say("moulding.gap_tight"), "start", size=SMALL)
    for done, role in ((compared.computed, Role.PIECE), (compared.hand, Role.HAND)):
        read = np.array([form.as_read(float(h)) for h in done.rows.height])
        up = place.line(np.stack([0 * read, read], axis=-1))[:, 1]
        inside = (read >= -0.01) & (read <= form.as_read(form.marks.mouth) + 0.01)
        yield stroke(np.stack([middle - unit * done.rows.slack, up], axis=-1)[inside], role)
    heights = [form.as_read(mark.station) for mark in compared.computed.marks]
    wanted = [place.point(0.0, height)[1] for height in heights]
    for height, y, level in zip(heights, wanted, spread(wanted, APART, low, high), strict=True):
        yield stroke([(place.x, y), (place.x - 1.0, y), (place.x - 2.2, level)], Role.LEADER)
        yield text((place.x - 2.8, level), speech.fill("{v:n0}", {"v": height}), "end", size=SMALL)


def _numbers(compared: Compared, form: Form, speech: Speech) -> Table:
    """The numbers of both pieces side by side."""
    a, b = (_said(done.sums, form, speech) for done in (compared.computed, compared.hand))
    rows = tuple((speech.say(f"moulding.table.{name}"), a[name], b[name]) for name in a)
    heads = tuple(speech.say(f"moulding.table.{name}") for name in ("what", "computed", "hand"))
    return Table(speech.say("moulding.table.name"), heads, COLUMNS, rows)


def _said(sums: Sums, form: Form, speech: Speech) -> dict[str, str]:
    """Each number as text."""

    def say(kind: str, **values: float | str) -> str:
        return speech.say(f"moulding.table.{kind}", **values)

    def at(value: str, height: Mm) -> str:
        return say("at", value=value, height=form.as_read(height))

    slack = say("mm", v=sums.slackest) if sums.slackest > 0.05 else say("tight")
    said = {
        "most": at(say("pct", v=sums.most), sums.most_at),
        "p99": say("pct", v=sums.p99),
        "least": at(say("pct", v=sums.least), sums.least_at),
        "girth": say("range", low=sums.girth_least, high=sums.girth_most),
        "slack": at(slack, sums.slackest_at) if sums.slackest > 0.05 else slack,
        "apart": say("mm", v=abs(sums.apart)),
        "wrinkled": say("cm2", v=sums.wrinkled / 100),
        "flange": say("range", low=sums.flange_least, high=sums.flange_most),
        "tension": say("newton", v=sums.tension),
        "pressure": say("mpa", v=sums.pressure),
    }
    if sums.step_most or sums.step_least:
        said["step"] = say("range", low=sums.step_least, high=sums.step_most)
    return said


def _legend(compared: Compared, x: Mm, top: Mm, speech: Speech) -> Iterator[Mark]:
    """Each kind of line with its meaning, and what the numbers rest on."""
    inch = "_pct" if speech.units == "inch" else ""
    y = top - 3.0
    for name, role in (
        (f"pulled{inch}", Role.LEADER),
        (f"gathers{inch}", Role.HIDDEN),
        ("wrinkle", Role.GLUE),
        ("stitch", Role.STITCH),
        ("centre", Role.CENTRE),
        ("computed", Role.PIECE),
        ("hand", Role.HAND),
    ):
        if role is Role.GLUE:
            yield from hatch(shapely.box(x, y - 1.5, x + SAMPLE, y + 1.5), spacing=FOLDS)
        else:
            yield segment((x, y), (x + SAMPLE, y), role)
        says = speech.say(f"moulding.line.{name}", wrinkle=-default("leather.wrinkle"))
        yield text((x + SAMPLE + 3.0, y), says, size=NOTE)
        y -= ROW
    notes = [speech.say("moulding.table.weak")]
    if compared.computed.rows.step.any():
        notes.append(speech.say("moulding.line.step"))
    for note in notes:
        for line in wrap(note, WIDE - x, SMALL):
            yield text((x, y), line, size=SMALL)
            y -= 4.0
