"""The table of heights, and the hand line beside the computed one. Heights are as the maker counts them."""

from __future__ import annotations

import numpy as np

from backseam.form.fillet import stitch_to_stitch
from backseam.form.form import Form, FormRow
from backseam.form.girth import butted
from backseam.ground.units import Mm
from backseam.leather.leather import Leather
from backseam.pattern.lines import x_at
from backseam.pattern.upper import HandLine, Line, StationRow

_SAME: Mm = 0.05  # heights nearer than this are one: nobody measures finer


def heights(form: Form) -> dict[Mm, str]:
    """Height on the axis and name of every row of the table: the readings within the upper, and the landmarks."""
    named = {row.station: row.name for row in form.rows}
    marks = form.marks
    for name, at in (
        ("bottom edge", 0.0),
        ("liner end", marks.liner_end),
        ("junction", marks.junction),
        ("thickest", marks.thickest),
        ("mouth", marks.mouth),
    ):
        if at is not None:
            near = next((u for u in named if abs(u - at) < _SAME), at)
            named[near] = named.get(near) or name
    return {u: named[u] for u in sorted(named) if -_SAME <= u <= marks.mouth + _SAME}


def station_rows(form: Form, stitch: Line, leather: Leather) -> tuple[StationRow, ...]:
    """Every row of the table, from the bottom edge up."""
    read = {row.station: row for row in form.rows}
    named = heights(form)
    u = np.array(list(named))
    girth, spread, wrap = form.girth(u), form.spread(u), form.wrap(u)
    length, distance = stitch_to_stitch(form.sections(u), wrap)
    width, depth = form.width(u), form.depth(u)
    collar = form.marks.mouth - form.laid.depth - 1e-6 if form.laid.flap > 0 else np.inf
    rows = []
    for i, (at, name) in enumerate(named.items()):
        row = read.get(at)
        bare = float(girth[i]) - (0.0 if _over_film(form, row) else 2 * np.pi * form.laid.film)
        strap = butted(bare, leather.thickness)
        station = form.as_read(at) if row is None else row.read_at
        rows.append(
            StationRow(
                name=name,
                station=station,
                girth_form=float(girth[i]),
                girth_butted=strap,
                girth_neutral=float(girth[i] + 2 * np.pi * leather.neutral_layer * wrap.thickness[i]),
                stitch_to_stitch=float(length[i]),
                half_width_hand=strap / 2 if row is None else row.hand,
                half_width=x_at(stitch, station),
                spread=float(spread[i]) / 2,
                width=float(width[i]),
                depth=float(depth[i]),
                stitch_from_form=float(distance[i]),
                reading_index=None if row is None else row.index,
                layers=2 if at >= collar else 1,
            )
        )
    return tuple(rows)


def _over_film(form: Form, row: FormRow | None) -> bool:
    return row.over_film if row is not None else any(r.over_film for r in form.rows)


def hand_line(form: Form, stitch: Line) -> HandLine:
    """Half the butted strap at each height read, joined by straight lines; the difference to the computed line."""
    top = form.as_read(form.marks.mouth) + 0.01
    rows = [row for row in form.rows if row.read_at <= top][::-1]
    dots = np.array([(row.hand, row.read_at) for row in rows])
    y = stitch[:, 1]
    within = (y <= dots[0, 1]) & (y >= dots[-1, 1]) if len(dots) > 1 else np.ones(len(y), dtype=bool)
    apart = np.where(within, stitch[:, 0] - np.interp(y, dots[::-1, 1], dots[::-1, 0]), 0.0)
    below_flap = form.marks.mouth - form.laid.depth - form.laid.runout if form.laid.flap > 0 else np.inf
    below = np.where(y <= below_flap, apart, 0.0)
    i, j = int(np.abs(apart).argmax()), int(np.abs(below).argmax())
    return HandLine(
        dots=dots,
        largest_difference=float(apart[i]),
        at=float(y[i]),
        largest_below_collar=float(below[j]),
        below_collar_at=float(y[j]),
        length=float(np.hypot(*np.diff(dots, axis=0).T).sum()),
    )
