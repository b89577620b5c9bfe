"""From the form to the flat piece with all its lines. What each line is stands in `upper`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.form.fillet import stitch_to_stitch
from backseam.form.form import Form, FormRow
from backseam.form.girth import butted
from backseam.geom.spline import Patch, Spline, spline
from backseam.ground.findings import Finding, finding
from backseam.ground.progress import SILENT, Progress
from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.leather.leather import Leather
from backseam.pattern.collar import CollarPlan
from backseam.pattern.construction import Construction
from backseam.pattern.flatten import Flat, Law, flatten
from backseam.pattern.surface import Grid, grid_for, surface
from backseam.pattern.upper import HandLine, Line, PressLine, StationRow, Stretch, Tick, Upper

Array = NDArray[np.float64]

_FINE: Mm = 0.25  # spacing of points on drawn lines
_VISIBLE: Mm = 0.5  # half the mark of an awl: smaller differences of an edge are not worth a finding


@dataclass(frozen=True)
class Layout:
    """The flattened upper with the allowance in: place(u, v) puts a point of the form on the flat piece."""

    flat: Flat
    scale: tuple[float, float]
    patches: tuple[Patch, Patch]
    half_length: Spline

    def place(self, u: Array | float, v: Array | float) -> Array:
        """(n, 2) of points at heights u and shares v of the half girth (0 centre line, ±1 stitch lines)."""
        u, v = np.broadcast_arrays(np.atleast_1d(u).astype(float), np.atleast_1d(v).astype(float))
        x, y = (patch(u, np.abs(v)) for patch in self.patches)
        return np.stack([np.sign(v) * x * self.scale[0], y * self.scale[1]], axis=-1)

    def half(self, u: float) -> Mm:
        """Half the distance from stitch line to stitch line at u, on the form, along the neutral layer."""
        return float(self.half_length(u))


def lay_out(form: Form, leather: Leather, progress: Progress = SILENT) -> Layout:
    """Flatten the form's neutral layer, and scale it to the leather's state."""
    grid = grid_for(form)
    skin = surface(form, grid)
    flat = flatten(skin, Law.girth_kept(), progress=progress)
    scale = (1 + leather.allowance_across, 1 + leather.allowance_along)
    return Layout(flat, scale, flat.patches(), spline(grid.u, skin.half_length))


def draft(
    form: Form, layout: Layout, leather: Leather, construction: Construction, fold: CollarPlan
) -> Upper:
    """The flat piece. See `upper` for the conventions and each line's meaning; fold: what the collar comes to."""
    flange, collar = construction.flange, construction.collar
    u = np.linspace(form.marks.mouth, 0.0, int(form.marks.mouth / _FINE) + 2)
    stitch = layout.place(u, 1.0)
    mouth, bottom = (_edge(layout, i) for i in (-1, 0))
    cut_right = _between(_outward(stitch, flange.clamp), mouth, bottom)
    turn_in = (fold.turn_in + fold.allowance) * layout.scale[1]
    trim, glue = (_between(_outward(stitch, d), mouth, bottom) for d in (flange.trimmed, flange.glue))
    rows = _station_rows(form, stitch, leather)
    hand = _hand_line(form, stitch, leather)
    stretch = _stretch(layout.flat, form)
    flap, outline = _outline(mouth, bottom, cut_right, turn_in, collar.inside)
    sags = (float(stitch[0, 1] - mouth[0, 1]), float(stitch[-1, 1] - bottom[0, 1]))
    snips, pulled = _snips(form, layout, stitch, construction)
    return Upper(
        cut=outline,
        stitch_left=stitch * (-1, 1),
        stitch_right=stitch,
        trim_left=trim * (-1, 1),
        trim_right=trim,
        glue_left=glue * (-1, 1),
        glue_right=glue,
        fold=_both(_until(mouth, cut_right[0, 0])),
        flap=flap,
        flap_end=_ring(layout, form.marks.mouth - collar.depth) if collar.folded else np.zeros((0, 2)),
        skive=_both(_until(mouth, cut_right[0, 0])) - (0, collar.skive - collar.depth)
        if collar.folded
        else np.zeros((0, 2)),
        bottom=_both(_until(bottom, stitch[-1, 0])),
        height=float(mouth[0, 1] - bottom[0, 1]),
        turn_in=turn_in,
        mouth_sag=sags[0],
        bottom_sag=sags[1],
        press=tuple(
            PressLine(name, groove.station, _ring(layout, groove.station))
            for name, groove in zip(_groove_names(len(form.marks.grooves)), form.marks.grooves, strict=True)
            if 0 < groove.station < form.marks.mouth
        ),
        ticks=_ticks(rows, form, layout),
        snips=snips,
        hand=hand,
        stretch=stretch,
        stations=rows,
        findings=(*_doubts(form, layout, hand, stretch, sags), *pulled),
    )


# --- lines ---------------------------------------------------------------------------------------------------------


def _edge(layout: Layout, row: int) -> Line:
    """Mouth or bottom edge, centre line to the trimmed flange, then straight on; right half, x ascending."""
    nodes = layout.flat.nodes[row] * layout.scale
    curve = spline(nodes[:, 0], nodes[:, 1])
    x = np.linspace(0.0, nodes[-1, 0], 120)
    slope = float(curve(nodes[layout.flat.grid.seam, 0], 1))
    beyond = nodes[-1] + np.outer([60.0], [1.0, slope])
    return np.concatenate([np.stack([x, curve(x)], axis=-1), beyond])


def _outward(stitch: Line, by: Mm) -> Line:
    """The parallel curve `by` outside the right stitch line, drawn on straight beyond both ends.

    Where it would cross itself (a hollow narrower than `by`) the upper envelope of discs round the line is taken: what
    remains of the parallel curve, exact to 0.01 mm at the spacing used.
    """
    line = np.concatenate(
        [_drawn_on(stitch[0], stitch[1], by), stitch, _drawn_on(stitch[-1], stitch[-2], by)[::-1]]
    )
    way = np.gradient(line, axis=0)
    side = line + by * np.stack([-way[:, 1], way[:, 0]], axis=-1) / np.hypot(way[:, 0], way[:, 1])[:, None]
    if np.all(np.diff(side[:, 1]) < 0):
        return np.asarray(side)
    line = line[:: max(1, int(by / (20 * _FINE)))]
    y = np.arange(line[0, 1] - by, line[-1, 1] + by, -2 * _FINE)
    inside = by**2 - (y[:, None] - line[None, :, 1]) ** 2
    x = np.where(inside >= 0, line[None, :, 0] + np.sqrt(np.maximum(inside, 0.0)), -np.inf).max(axis=1)
    return np.stack([x, y], axis=-1)


def _drawn_on(end: Array, before: Array, by: Mm) -> Line:
    """Points that continue a line straight beyond its end, furthest first."""
    step = (end - before) / np.hypot(*(end - before))
    return np.asarray(end + np.linspace(2.5 * by + 5, _FINE, 40)[:, None] * step)


def _between(line: Line, top: Line, bottom: Line) -> Line:
    """The part of a side line between mouth edge and bottom edge, ends put exactly on them; mouth to bottom."""
    above = line[:, 1] - np.interp(line[:, 0], top[:, 0], top[:, 1])
    below = line[:, 1] - np.interp(line[:, 0], bottom[:, 0], bottom[:, 1])
    keep = (above < 0) & (below > 0)
    i, j = int(keep.argmax()), len(keep) - int(keep[::-1].argmax()) - 1
    start = line[i - 1] + above[i - 1] / (above[i - 1] - above[i]) * (line[i] - line[i - 1])
    end = line[j] + below[j] / (below[j] - below[j + 1]) * (line[j + 1] - line[j])
    return np.concatenate([start[None], line[i : j + 1], end[None]])


def _until(edge: Line, x: Mm) -> Line:
    """The edge from the centre line to x."""
    inner = edge[edge[:, 0] < x]
    return np.concatenate([inner, [[x, np.interp(x, edge[:, 0], edge[:, 1])]]])


def _both(right: Line) -> Line:
    """Left to right: the mirror image, then the right half."""
    return np.concatenate([(right * (-1, 1))[:0:-1], right])


def _ring(layout: Layout, u: Mm) -> Line:
    """One height of the form on the flat piece, stitch line to stitch line."""
    return layout.place(np.full(81, u), np.linspace(-1.0, 1.0, 81))


def _outline(mouth: Line, bottom: Line, cut: Line, turn_in: Mm, inside: Mm) -> tuple[Line, Line]:
    """The flap, and the whole outline with it, counter-clockwise. The flap is the piece mirrored at the fold, a little
    inside it; the fold itself is no part of the outline."""
    base = _both(_until(bottom, cut[-1, 0]))
    if turn_in == 0:
        return np.zeros((0, 2)), np.concatenate(
            [base, cut[-2::-1], _both(_until(mouth, cut[0, 0]))[-2::-1], (cut * (-1, 1))[1:-1]]
        )
    corner = cut[0]
    depth = corner[1] - cut[:, 1]
    side = cut[(depth > 0) & (depth < turn_in)]
    last = np.array([np.interp(turn_in, depth, cut[:, 0]), corner[1] - turn_in])
    mirrored = np.concatenate([corner[None], side, last[None]]) - (inside, 0)
    mirrored[:, 1] = 2 * np.interp(mirrored[:, 0], mouth[:, 0], mouth[:, 1]) - mirrored[:, 1]
    mirrored[-1, 1] = np.interp(mirrored[-1, 0], mouth[:, 0], mouth[:, 1]) + turn_in
    top = _until(mouth, mirrored[-1, 0]) + np.array([0.0, turn_in])
    up = np.concatenate([mirrored[:-1], _both(top)[::-1], (mirrored * (-1, 1))[-2::-1]])
    foot = np.concatenate([(mirrored[:1] * (-1, 1)), _both(_until(mouth, mirrored[0, 0]))[1:-1]])
    return np.concatenate([foot, up[:-1]]), np.concatenate([base, cut[-2::-1], up, (cut * (-1, 1))[:-1]])


# --- rows, ticks, hand line ----------------------------------------------------------------------------------------


def _x_at(line: Line, y: Mm) -> Mm:
    """x of a line that runs downwards, at y; drawn on straight beyond its ends."""
    up = line[::-1]
    if y > up[-1, 1]:
        a, b = up[-2], up[-1]
    elif y < up[0, 1]:
        a, b = up[1], up[0]
    else:
        return float(np.interp(y, up[:, 1], up[:, 0]))
    return float(b[0] + (y - b[1]) * (b[0] - a[0]) / (b[1] - a[1]))


def _station_rows(form: Form, stitch: Line, leather: Leather) -> tuple[StationRow, ...]:
    """Every reading's row within the upper, and the landmarks that no reading names."""
    named = {round(row.station, 2): row for row in form.rows}
    heights: dict[float, str] = {round(row.station, 2): row.name for row in form.rows}
    for name, at in (
        ("bottom edge", 0.0),
        ("liner end", form.marks.liner_end),
        ("junction", form.marks.junction),
        ("thickest", form.marks.thickest),
        ("mouth", form.marks.mouth),
    ):
        if at is not None:
            heights[round(at, 2)] = heights.get(round(at, 2)) or name
    stations = np.array(sorted(h for h in heights if -0.01 <= h <= form.marks.mouth + 0.01), dtype=float)
    girth, spread = form.girth(stations), form.spread(stations)
    wrap = form.wrap(stations)
    length, distance = stitch_to_stitch(form.sections(stations), wrap)
    width, depth = form.width(stations), form.depth(stations)
    rows = []
    for i, station in enumerate(stations):
        row = named.get(round(float(station), 2))
        bare = float(girth[i]) - (0.0 if _read_over_film(form, row) else 2 * np.pi * form.laid.film)
        rows.append(
            StationRow(
                name=heights[round(float(station), 2)],
                station=float(station),
                girth_form=float(girth[i]),
                girth_butted=butted(bare, leather.thickness),
                girth_neutral=float(girth[i] + 2 * np.pi * leather.neutral_layer * wrap.thickness[i]),
                stitch_to_stitch=float(length[i]),
                half_width_hand=butted(bare, leather.thickness) / 2,
                half_width=_x_at(stitch, float(station)),
                spread=float(spread[i]) / 2,
                width=float(width[i]),
                depth=float(depth[i]),
                stitch_from_form=float(distance[i]),
                reading_index=None if row is None else row.index,
                layers=2
                if form.laid.flap > 0 and station >= form.marks.mouth - form.laid.depth - 1e-6
                else 1,
            )
        )
    return tuple(rows)


def _read_over_film(form: Form, row: FormRow | None) -> bool:
    return row.over_film if row is not None else any(r.over_film for r in form.rows)


def _hand_line(form: Form, stitch: Line, leather: Leather) -> HandLine:
    """Half the butted strap at each height read, joined by straight lines; the difference to the computed line."""
    rows = [r for r in form.rows if r.read_at <= form.marks.mouth + 0.01][::-1]
    dots = np.array([(butted(r.bare, leather.thickness) / 2, r.read_at) for r in rows])
    y = stitch[:, 1]
    within = (y <= dots[0, 1]) & (y >= dots[-1, 1]) if len(dots) > 1 else np.ones(len(y), dtype=bool)
    hand = np.interp(y, dots[::-1, 1], dots[::-1, 0])
    apart = np.where(within, stitch[:, 0] - hand, 0.0)
    end = form.marks.mouth - form.laid.depth - form.laid.runout if form.laid.flap > 0 else np.inf
    below = np.where(y <= end, apart, 0.0)
    i, j = int(np.abs(apart).argmax()), int(np.abs(below).argmax())
    return HandLine(
        dots=dots,
        largest_difference=float(apart[i]),
        at=float(y[i]),
        largest_below_collar=float(below[j]),
        below_collar_at=float(y[j]),
        length=float(np.hypot(*np.diff(dots, axis=0).T).sum()),
    )


def _ticks(rows: tuple[StationRow, ...], form: Form, layout: Layout) -> tuple[Tick, ...]:
    ticks = []
    for row in rows:
        if row.reading_index is None and not row.name:
            continue
        x, y = layout.place(float(np.clip(row.station, 0.0, form.marks.mouth)), 1.0)[0]
        ticks.append(Tick(row.name, row.station, (-float(x), float(y)), (float(x), float(y))))
    return tuple(ticks)


def _groove_names(count: int) -> tuple[str, ...]:
    if count == 2:
        return ("lower groove", "upper groove")
    return tuple(f"groove {i + 1}" for i in range(count))


# --- strain, flange, doubts ----------------------------------------------------------------------------------------


def _stretch(flat: Flat, form: Form) -> Stretch:
    """Strains in the wall. The run-out below the flap is left out: its step is the collar's, and said there."""
    middle, plain = (flat.grid.u[1:] + flat.grid.u[:-1]) / 2, _plain_rows(form, flat.grid)
    wall = flat.grid.seam
    stretch, squeeze, middle = flat.stretch[plain, :wall], flat.squeeze[plain, :wall], middle[plain]
    return Stretch(
        most=float(stretch.max()),
        least=float(squeeze.min()),
        p99=float(np.quantile(stretch, 0.99)),
        most_at=float(middle[stretch.max(axis=1).argmax()]),
        least_at=float(middle[squeeze.min(axis=1).argmin()]),
        girth_most=float(flat.girth[plain].max()),
        girth_least=float(flat.girth[plain].min()),
        steps=flat.steps,
        residual=flat.residual,
    )


def _snips(
    form: Form, layout: Layout, stitch: Line, construction: Construction
) -> tuple[tuple[tuple[Mm, Mm], ...], list[Finding]]:
    """Where the flange pulls or gathers too much at its clamp width: snips outside the glue band, about as far apart.

    Strain along the flange grows in proportion to the width outside the stitch line. The run-out below the flap is
    left out, as in `_stretch`.
    """
    flange, grid = construction.flange, layout.flat.grid
    plain = _plain_rows(form, grid)
    middle = ((grid.u[1:] + grid.u[:-1]) / 2)[plain]
    edge = layout.flat.flange[plain]
    wide = edge * flange.clamp / max(flange.trimmed, 1.0)
    bad = np.abs(wide) > default("leather.stretch_comfortable")
    if form.axis.bend.straight or bad.sum() < 2 or flange.clamp <= flange.glue:
        return (), []
    low, high = float(middle[bad].min()), float(middle[bad].max())
    worst = int(np.abs(wide).argmax())
    border = _outward(stitch, flange.glue)
    at = layout.place(np.linspace(low, high, max(2, round((high - low) / flange.glue) + 1)), 1.0)[:, 1]
    snips = tuple((_x_at(border, float(y)), float(y)) for y in at)
    said = finding(
        "PIECE-004" if wide[worst] > 0 else "PIECE-010",
        ("form", "axis"),
        strain=abs(float(edge[worst])),
        wide=abs(float(wide[worst])),
        trimmed=flange.trimmed,
        clamp=flange.clamp,
        low=low,
        high=high,
    )
    return snips, [said]


def _plain_rows(form: Form, grid: Grid) -> NDArray[np.bool_]:
    """Rows of cells outside the run-out below the flap."""
    middle = (grid.u[1:] + grid.u[:-1]) / 2
    end = form.marks.mouth - form.laid.depth
    if form.laid.flap == 0:
        return np.ones(len(middle), dtype=bool)
    return np.asarray((middle < end - form.laid.runout - 1) | (middle > end + 1))


def _doubts(
    form: Form, layout: Layout, hand: HandLine, stretch: Stretch, sags: tuple[Mm, Mm]
) -> list[Finding]:
    found: list[Finding] = []
    comfortable, limit = default("leather.stretch_comfortable"), default("leather.stretch_limit")
    if stretch.most > limit:
        found.append(
            finding("PIECE-002", ("form", "girths"), at=stretch.most_at, stretch=stretch.most, limit=limit)
        )
    elif stretch.most > comfortable:
        found.append(
            finding(
                "PIECE-001",
                ("form", "girths"),
                at=stretch.most_at,
                stretch=stretch.most,
                comfortable=comfortable,
            )
        )
    wrinkle = default("leather.wrinkle")
    if stretch.least < wrinkle:
        found.append(
            finding(
                "PIECE-003", ("form", "girths"), at=stretch.least_at, squeeze=-stretch.least, wrinkle=-wrinkle
            )
        )
    if max(abs(s) for s in sags) > _VISIBLE:
        found.append(finding("PIECE-005", ("form",), mouth=abs(sags[0]), bottom=abs(sags[1])))
    if abs(hand.largest_difference) > _VISIBLE / 5:
        found.append(
            finding(
                "PIECE-006",
                ("form", "girths"),
                below=abs(hand.largest_below_collar),
                most=hand.largest_difference,
                at=hand.at,
            )
        )
    if layout.flat.residual > 0.05:
        found.append(finding("PIECE-007", ("form", "girths"), steps=stretch.steps, residual=stretch.residual))
    y = layout.flat.nodes[:, layout.flat.grid.seam, 1]
    if np.any(np.diff(y) <= 0):
        found.append(
            finding("PIECE-008", ("form", "axis"), at=float(form.marks.mouth * np.diff(y).argmin() / len(y)))
        )
    drop = default("wet.mouth_drop") * form.marks.mouth
    found.append(finding("PIECE-009", ("form", "landmarks", "mouth_mm"), drop=drop))
    return found
