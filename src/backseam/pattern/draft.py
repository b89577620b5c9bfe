"""From the form to the flat piece with all its lines. What each line is stands in `upper`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.form.form import Form
from backseam.form.landmarks import groove_names
from backseam.geom.spline import Patch, Spline, spline
from backseam.ground.findings import Finding, finding
from backseam.ground.progress import SILENT, Progress
from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.leather.leather import Leather
from backseam.pattern.collar import CollarPlan
from backseam.pattern.construction import Construction
from backseam.pattern.flatten import Flat, Law, flatten
from backseam.pattern.lines import FINE, between, both, outline, outward, until, x_at
from backseam.pattern.stations import hand_line, heights, station_rows
from backseam.pattern.surface import grid_for, plain_rows, surface
from backseam.pattern.upper import HandLine, Line, PressLine, Stretch, Tick, Upper

Array = NDArray[np.float64]

_VISIBLE: Mm = 0.5  # half the mark of an awl: smaller differences of an edge are not worth a finding


@dataclass(frozen=True)
class Layout:
    """The flattened upper with the allowance in: place(u, v) puts a point of the form on the flat piece."""

    flat: Flat
    scale: tuple[float, float]
    patches: tuple[
        Patch, ...
    ]  # x and y of the right half; then of the left one, x to the left, if it is another
    half_length: Spline

    def place(self, u: Array | float, v: Array | float) -> Array:
        """(n, 2) of points at heights u and shares v of the half girth (0 centre line, ±1 stitch lines)."""
        u, v = np.broadcast_arrays(np.atleast_1d(u).astype(float), np.atleast_1d(v).astype(float))
        x, y = (patch(u, np.abs(v)) for patch in self.patches[:2])
        if len(self.patches) > 2:
            x, y = (
                np.where(v < 0, p(u, np.abs(v)), right)
                for p, right in zip(self.patches[2:], (x, y), strict=True)
            )
        return np.stack([np.where(v < 0, -x, x) * self.scale[0], y * self.scale[1]], axis=-1)

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
    u = np.linspace(form.marks.mouth, 0.0, int(form.marks.mouth / FINE) + 2)
    stitch = layout.place(u, 1.0)
    mouth, bottom = (_edge(layout, i) for i in (-1, 0))
    cut_right = between(outward(stitch, flange.clamp), mouth, bottom)
    turn_in = (fold.turn_in + fold.allowance) * layout.scale[1]
    trim, glue = (between(outward(stitch, d), mouth, bottom) for d in (flange.trimmed, flange.glue))
    rows = station_rows(form, stitch, leather)
    hand = hand_line(form, stitch)
    stretch = _stretch(layout.flat, form)
    flap, cut = outline(mouth, bottom, cut_right, turn_in, collar.inside)
    sags = (float(stitch[0, 1] - mouth[0, 1]), float(stitch[-1, 1] - bottom[0, 1]))
    snips, pulled = _snips(form, layout, stitch, construction)
    return Upper(
        cut=cut,
        stitch_left=stitch * (-1, 1),
        stitch_right=stitch,
        trim_left=trim * (-1, 1),
        trim_right=trim,
        glue_left=glue * (-1, 1),
        glue_right=glue,
        fold=both(until(mouth, cut_right[0, 0])),
        flap=flap,
        flap_end=_ring(layout, form.marks.mouth - collar.depth) if collar.folded else np.zeros((0, 2)),
        skive=both(until(mouth, cut_right[0, 0])) - (0, collar.skive - collar.depth)
        if collar.folded
        else np.zeros((0, 2)),
        bottom=both(until(bottom, stitch[-1, 0])),
        height=float(mouth[0, 1] - bottom[0, 1]),
        turn_in=turn_in,
        mouth_sag=sags[0],
        bottom_sag=sags[1],
        press=tuple(
            PressLine(name, form.as_read(groove.station), _ring(layout, groove.station))
            for name, groove in zip(groove_names(len(form.marks.grooves)), form.marks.grooves, strict=True)
            if 0 < groove.station < form.marks.mouth
        ),
        ticks=_ticks(form, layout),
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


def _ring(layout: Layout, u: Mm) -> Line:
    """One height of the form on the flat piece, stitch line to stitch line."""
    return layout.place(np.full(81, u), np.linspace(-1.0, 1.0, 81))


def _ticks(form: Form, layout: Layout) -> tuple[Tick, ...]:
    """A mark on both stitch lines at every row of the table."""
    named = heights(form)
    at = layout.place(np.clip(list(named), 0.0, form.marks.mouth), 1.0)
    read = {row.station: row.read_at for row in form.rows}
    return tuple(
        Tick(name, read.get(u, form.as_read(u)), (-float(x), float(y)), (float(x), float(y)))
        for (u, name), (x, y) in zip(named.items(), at, strict=True)
    )


# --- strain, flange, doubts ----------------------------------------------------------------------------------------


def _stretch(flat: Flat, form: Form) -> Stretch:
    """Strains in the wall. The run-out below the flap is left out: its step is the collar's, and said there."""
    middle = (flat.grid.u[1:] + flat.grid.u[:-1]) / 2
    plain, girth = plain_rows(form, middle), flat.girth[plain_rows(form, flat.grid.u)]
    wall = flat.grid.seam
    stretch, squeeze, middle = flat.stretch[plain, :wall], flat.squeeze[plain, :wall], middle[plain]
    return Stretch(
        most=float(stretch.max()),
        least=float(squeeze.min()),
        p99=float(np.quantile(stretch, 0.99)),
        most_at=form.as_read(float(middle[stretch.max(axis=1).argmax()])),
        least_at=form.as_read(float(middle[squeeze.min(axis=1).argmin()])),
        girth_most=float(girth.max()),
        girth_least=float(girth.min()),
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
    middle = (grid.u[1:] + grid.u[:-1]) / 2
    plain = plain_rows(form, middle)
    middle = middle[plain]
    edge = layout.flat.flange[plain]
    wide = edge * flange.clamp / max(flange.trimmed, 1.0)
    bad = np.abs(wide) > default("leather.stretch_comfortable")
    if form.axis.bend.straight or bad.sum() < 2 or flange.clamp <= flange.glue:
        return (), []
    low, high = float(middle[bad].min()), float(middle[bad].max())
    worst = int(np.abs(wide).argmax())
    border = outward(stitch, flange.glue)
    at = layout.place(np.linspace(low, high, max(2, round((high - low) / flange.glue) + 1)), 1.0)[:, 1]
    snips = tuple((x_at(border, float(y)), float(y)) for y in at)
    said = finding(
        "PIECE-004" if wide[worst] > 0 else "PIECE-010",
        ("form", "axis"),
        strain=abs(float(edge[worst])),
        wide=abs(float(wide[worst])),
        trimmed=flange.trimmed,
        clamp=flange.clamp,
        low=form.as_read(low),
        high=form.as_read(high),
    )
    return snips, [said]


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
