"""What of a form and its upper the account needs: where leather touches the handle, how thick, which side, how tight.

Only the handle is drawn. The liner stays in the upper: below the junction the leather lies on something that does
not move, so its grip there holds the liner, not the knife, and acts on the knife only as a firm lower end of the band.
A blade runs free in the liner. Once the handle is drawn by q, leather less than q above the junction has nothing
inside it, and everywhere else the part of the handle that belonged q lower down.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from backseam.fit.band import Wall
from backseam.fit.contact import decay_length, seam_give, turning
from backseam.form.fillet import Wrap, neutral_path
from backseam.form.form import Form
from backseam.geom.curve import Curve, smooth_step
from backseam.ground.sources import default
from backseam.ground.units import Mm, MPa, Share
from backseam.leather.leather import Leather, Tight
from backseam.leather.material import Material
from backseam.pattern.construction import Construction
from backseam.pattern.draft import Layout

Array = NDArray[np.float64]

NOTHING: Mm = -1e6  # gap where nothing is inside the band
FINE, COARSE = 0.35, 0.8  # steps of height near the lip and elsewhere, as shares of the decay length
LEAST_STEP: Mm = 0.3  # stops nearer to each other than this are one
BELOW = 2.5  # decay lengths of liner that are reckoned with
SHARED: Mm = 10.0  # height over which rows of the piece share their stretch
LOWER: Mm = 10.0  # of a plain mouth: how far below the thickest the upper zone reaches
_TRAVEL = (0.0, 0.09, 0.19, 0.3, 0.42, 0.54, 0.68, 0.83, 1.0)  # of the lip, or of a collar's
_TO_THE_END = 6  # more of them, each so many times the one before


@dataclass(frozen=True)
class Row:
    """One reading that the fit hangs on: its name and place in the document, station, spread (half width, 95 %), mm."""

    name: str
    index: int
    station: Mm
    spread: Mm


@dataclass(frozen=True)
class Grip:
    """The upper round the handle, by heights (n,) ascending to the mouth, mm from the bottom edge along the axis.

    girth: of the form as laid; length: of the neutral layer; layers: thickness of one layer and of the flap there;
    upper: share of the upper zone at each height (grain side of a folded collar, or the lip of a plain mouth);
    lift: normal angle at the seam's feet, rad. knots, given: stretch given in sewing, by height, share.
    radius: of the seam fillet, mm. folded: True if the grain side touches in the upper zone.
    """

    heights: Array
    girth: Array
    length: Array
    thickness: Mm
    flap: Mm
    upper: Array
    lift: Array
    radius: Mm
    curve: Curve
    junction: Mm
    liner_end: Mm
    thickest: Mm
    mouth: Mm
    knots: Array
    given: Array
    film: Mm
    folded: bool
    rows: tuple[Row, ...]
    hoop: MPa
    along: MPa
    poisson: Share

    @property
    def lip(self) -> Mm:
        """Mouth above the thickest, signed."""
        return self.mouth - self.thickest

    @property
    def drop(self) -> Mm:
        """Girth at the thickest less girth at the mouth, mm."""
        at = self.curve(np.array([self.thickest, self.mouth]))
        return float(at[0] - at[1])

    def travel(self) -> Array:
        """Where the draw is reckoned, mm: close together while the thickest passes the mouth, then to the end."""
        whole = max(self.mouth - self.junction, 1.0)
        near = np.array(_TRAVEL) * min(max(self.lip, 8.0), whole / 2.4)
        return np.concatenate([near, np.geomspace(near[-1], whole, _TO_THE_END + 1)[1:]])

    def wall(self, thickness: Array, radius: Mm | None = None) -> Wall:
        """The band, one variant for each thickness (v,) of the single layer."""
        t = thickness + self.flap * self.upper[:, None] * self.folded
        length = np.broadcast_to(self.length[:, None], t.shape)
        give = seam_give(t, self.radius if radius is None else radius, length)
        return Wall(self.heights, t, length, give, self.hoop, self.along, self.poisson)

    def lip_shape(self, z: Array) -> Array:
        """How a change of the drop bears on the girth at z: 0 up to the thickest, 1 at the mouth, straight."""
        return np.maximum(z - self.thickest, 0.0) / self.lip if self.lip > 0.5 else np.zeros_like(z)

    def hats(self, z: Array) -> Array:
        """How each reading bears on the girth at z (...,): (rows, ...), straight between stations."""
        at = np.array([row.station for row in self.rows])
        return np.stack([np.interp(z, at, row) for row in np.eye(len(at))])

    def inside(self, travel: Array) -> NDArray[np.bool_]:
        """(n, q): True where the handle lies inside most of what a height stands for, after that travel."""
        return np.asarray(self._beyond_front(travel) >= 0.5 - 1e-9)

    def carried(self, travel: Array) -> Array:
        """(n, q): share of the load at a height that the handle carries; the liner has the rest of it."""
        shared = self.heights[:, None] <= self.liner_end + 1e-9
        return np.where(shared, self._beyond_front(travel), self.inside(travel))

    def _beyond_front(self, travel: Array) -> Array:
        """Share of the span of each height that lies above the handle's front end."""
        step = np.diff(self.heights)
        up, down = np.r_[step, 0.0] / 2, np.r_[0.0, step] / 2
        over = self.heights[:, None] - travel - self.junction
        return np.asarray(np.clip((over + up[:, None]) / (up + down)[:, None], 0.0, 1.0))

    def on_liner(self) -> NDArray[np.bool_]:
        """(n,): True where it lies on the liner."""
        return np.asarray(self.heights <= self.liner_end + 1e-9)

    def turning(self) -> Array:
        """Normal load for each unit of hoop load, (n,)."""
        return np.asarray(turning(self.lift))


def grip(
    form: Form, layout: Layout, leather: Leather, construction: Construction, material: Material
) -> Grip:
    """The grip of one sheath. Where nobody said where the handle begins, the usual length of it is taken."""
    marks, laid = form.marks, form.laid
    mouth = marks.mouth
    junction = mouth - default("fit.handle_in") if marks.junction is None else marks.junction
    junction = min(max(junction, 0.0), mouth)
    liner_end = junction if marks.liner_end is None else min(marks.liner_end, junction)
    across = leather.tight is not Tight.ACROSS
    hoop = material.stiffness("across" if across else "along")
    along = material.stiffness("along" if across else "across")
    poisson = material.value("stiffness.poisson")
    u = _heights(form, liner_end, junction, poisson)
    folded = laid.flap > 0
    girth = form.girth(u)
    upper = form.collar_share(u) if folded else smooth_step((u - marks.thickest) / LOWER + 1)
    knots = np.linspace(junction, mouth, 9) if mouth > junction else np.array([junction])
    return Grip(
        heights=u,
        girth=girth,
        length=girth + 2 * np.pi * laid.neutral * (laid.thickness + laid.flap * form.collar_share(u)),
        thickness=laid.thickness,
        flap=laid.flap,
        upper=upper,
        lift=_lift(form, u),
        radius=construction.seam_inside_radius,
        curve=form.girth,
        junction=junction,
        liner_end=liner_end,
        thickest=marks.thickest,
        mouth=mouth,
        knots=knots,
        given=given_stretch(form, layout, knots),
        film=construction.film,
        folded=folded,
        rows=_rows(form, junction),
        hoop=hoop,
        along=along,
        poisson=poisson,
    )


def given_stretch(form: Form, layout: Layout, u: Array) -> Array:
    """Stretch that sewing gives the flat piece at heights u (n,): what the form takes over what the piece has, less 1.

    Both from stitch line to stitch line; the piece's row is what lies on that height of the form. Negative where the
    piece is slack. Neighbouring rows pull each other along, so each height takes a mean over SHARED to both sides.
    Allowances are in. Source: derived. Tested: allowance across of 1 % gives -1 % more.
    """
    fine = np.linspace(max(float(u[0]) - SHARED, 0.0), form.marks.mouth, 25)
    weight = np.maximum(1 - np.abs(fine - np.clip(u, fine[0], fine[-1])[:, None]) / SHARED, 0.0)
    return np.asarray(weight @ _row_stretch(form, layout, fine) / weight.sum(axis=1))


def _row_stretch(form: Form, layout: Layout, at: Array) -> Array:
    """Stretch of the single rows at these heights."""
    v = np.linspace(-1.0, 1.0, 33)
    row = layout.place(np.repeat(at, len(v)), np.tile(v, len(at))).reshape(len(at), len(v), 2)
    have = np.hypot(*np.moveaxis(np.diff(row, axis=1), -1, 0)).sum(axis=1) / 2
    need = np.array([layout.half(float(height)) for height in at])
    return np.asarray(need / have - 1)


def _heights(form: Form, liner_end: Mm, junction: Mm, poisson: Share) -> Array:
    marks = form.marks
    around = float(form.girth(np.array([marks.mouth]))[0]) / (2 * np.pi)
    decay = decay_length(around, form.laid.thickness, poisson)
    bottom = max(0.0, liner_end - BELOW * decay)
    near = min(marks.thickest - 2 * decay, marks.mouth - decay)
    if form.laid.flap > 0:
        near = min(near, marks.mouth - form.laid.depth - form.laid.runout)
    near = max(near, bottom)
    inner = {min(max(stop, bottom), marks.mouth) for stop in (liner_end, junction, near)}
    stops = [bottom]
    for stop in sorted(inner):
        if stop - stops[-1] > LEAST_STEP and marks.mouth - stop > LEAST_STEP:
            stops.append(stop)
    stops.append(marks.mouth)
    parts = [np.array([stops[0]])]
    for low, high in pairwise(stops):
        step = decay * (FINE if low >= near - 1e-9 else COARSE)
        parts.append(np.linspace(low, high, max(int(np.ceil((high - low) / step)), 1) + 1)[1:])
    return np.concatenate(parts)


def _lift(form: Form, u: Array) -> Array:
    """Angle at which leather leaves for the seam, from a few heights."""
    few = np.linspace(u[0], u[-1], 3)
    thickness = form.laid.thickness + form.laid.flap * form.collar_share(few)
    wrap = Wrap(thickness, np.full_like(few, form.laid.radius), form.laid.neutral)
    return np.interp(u, few, neutral_path(form.sections(few), wrap).lift)


def _rows(form: Form, junction: Mm) -> tuple[Row, ...]:
    """The readings that bear on the handle inside the upper: from the last at or below the junction upwards."""
    rows = sorted(form.rows, key=lambda row: row.station)
    below = [i for i, row in enumerate(rows) if row.station <= junction]
    first = below[-1] if below else 0
    return tuple(Row(row.name, row.index, row.station, row.spread) for row in rows[first:])
