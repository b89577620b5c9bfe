"""What hangs on the belt: knife, liner, upper and hanger as slices of mass along the axis, from shapes and densities.

What was weighed or measured is taken; what was not is estimated from the form, each with its range. Heights run from
the bottom edge along the axis, mm; b is the distance from the axis towards the seam; masses in g.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from backseam.form.fillet import neutral_path
from backseam.form.form import Form
from backseam.ground.sources import default, values
from backseam.ground.units import Gram, Mm
from backseam.leather.material import Material
from backseam.pattern.construction import Construction, HangerKind
from backseam.pattern.hanger import HangerPlan

Array = NDArray[np.float64]

PER_MM3 = 1e-6  # kg/m3 in g/mm3
SLICES = 40
KNIFE = ("blade", "tang", "handle")


@dataclass(frozen=True)
class Knife:
    """What the maker said of the knife; None: nobody measured it. weight: without the liner, g; balance: from the
    junction, + towards the butt, mm; woods: names of the density table; liner, upper, hanger: weighed, g.
    """

    weight: Gram | None = None
    balance: Mm | None = None
    blade_length: Mm | None = None
    blade_width: Mm | None = None
    blade_thickness: Mm | None = None
    handle_length: Mm | None = None
    handle_wood: str | None = None
    liner_wood: str | None = None
    liner: Gram | None = None
    upper: Gram | None = None
    hanger: Gram | None = None


@dataclass(frozen=True)
class Guess:
    """A number that the weights rest on. low and high: where 5 and 95 of 100 lie; the same if it was measured."""

    name: str
    value: float
    low: float
    high: float

    @property
    def known(self) -> bool:
        """True if there is nothing to estimate."""
        return self.low == self.high


@dataclass(frozen=True)
class Slices:
    """One part: mass (n,), height (n,) and distance b towards the seam (n,) of its slices."""

    name: str
    mass: Array
    height: Array
    aside: Array

    @property
    def total(self) -> Gram:
        """Mass of the whole part."""
        return float(self.mass.sum())

    @property
    def centre(self) -> Mm:
        """Height of its centre of gravity."""
        return float((self.mass * self.height).sum() / max(self.total, 1e-12))

    def weighing(self, total: Gram) -> Slices:
        """The same shape with another mass."""
        return Slices(self.name, self.mass * (total / max(self.total, 1e-12)), self.height, self.aside)

    def raised(self, by: Mm) -> Slices:
        """The same, further up."""
        return Slices(self.name, self.mass, self.height + by, self.aside)


@dataclass(frozen=True)
class Solid:
    """A form and its upper, as far as weights need them."""

    form: Form
    construction: Construction
    hanger: HangerPlan
    material: Material
    knife: Knife

    @property
    def junction(self) -> Mm:
        """Where handle and liner meet; where nobody said, the usual length of handle below the mouth."""
        marks = self.form.marks
        read = marks.mouth - default("fit.handle_in") if marks.junction is None else marks.junction
        return min(max(read, 0.0), marks.mouth)

    @cached_property
    def _sampled(self) -> tuple[Array, Array]:
        """Heights and areas of the hull, within what was read."""
        rows = self.form.rows
        top = max(rows[-1].station, self.form.marks.mouth)
        u = np.linspace(min(rows[0].station, 0.0), top, SLICES)
        return u, self.form.sections(u).areas()

    def area(self, u: Array) -> Array:
        """Area of the hull at heights u, mm2; above and below what was read as at the nearest reading."""
        return np.interp(u, *self._sampled)

    @cached_property
    def wall(self) -> tuple[Array, Array, Array, Array]:
        """Heights (n,), neutral length (n,), its mean b (n,), b of the stitch line (n,)."""
        u, _ = _cut(0.0, self.form.marks.mouth)
        path = neutral_path(self.form.sections(u), self.form.wrap(u))
        step = np.diff(path.along, axis=1)
        middle = (path.points[:, 1:, 1] + path.points[:, :-1, 1]) / 2
        return u, 2 * path.half, (middle * step).sum(axis=1) / path.half, path.stitch

    @cached_property
    def holes(self) -> tuple[Mm, Mm, Mm]:
        """Height, half distance and b of the uppermost hanger holes, on the finished sheath."""
        hanger, collar = self.construction.hanger, self.construction.collar
        top = self.form.marks.mouth - (collar.depth if collar.folded else 0.0) - hanger.top_below_flap
        u = np.array([max(top, 0.0)])
        path = neutral_path(self.form.sections(u), self.form.wrap(u))
        share = np.clip(1 - hanger.from_stitch / path.half, 0.0, 1.0)
        at = path.at(share)[0][0, 0]
        return float(u[0]), abs(float(at[0])), float(at[1])


def guesses(solid: Solid) -> dict[str, Guess]:
    """Every number the weights rest on, by name; what was measured has no range."""
    knife, form = solid.knife, solid.form
    depth = float(form.depth(np.array([solid.junction]))[0])
    inside = form.marks.mouth - solid.junction
    reach = max(solid.junction, 10.0)
    found = [
        _guess("blade_length", knife.blade_length, "hang.blade_of_reach", lambda x: reach * x),
        _guess("blade_width", knife.blade_width, "hang.blade_less", lambda x: max(depth - x, 5.0)),
        _guess("blade_thickness", knife.blade_thickness, "hang.blade_thickness"),
        _guess("handle_length", knife.handle_length, "hang.handle_free", lambda x: inside + x),
        _guess("blade_fill", None, "hang.blade_fill"),
        _guess("tang_width", None, "hang.tang_width"),
        _guess("tang_of_handle", None, "hang.tang_of_handle"),
        _density("handle_density", knife.handle_wood, solid.material, "hang.handle_density"),
        _density("liner_density", knife.liner_wood, solid.material, "hang.liner_density"),
        _density("leather_density", "leather", solid.material, ""),
    ]
    return {one.name: one for one in found}


def parts(solid: Solid, value: Mapping[str, float]) -> tuple[Slices, ...]:
    """All parts, as they come out of these numbers, with what was weighed put right."""
    knife = _knife(solid, value)
    others = (
        ("liner", solid.knife.liner, _liner),
        ("upper", solid.knife.upper, _upper),
        ("hanger", solid.knife.hanger, _hanger),
    )
    made = [(one(solid, value), weighed) for _, weighed, one in others]
    return (*knife, *(part if weighed is None else part.weighing(weighed) for part, weighed in made))


def _knife(solid: Solid, value: Mapping[str, float]) -> tuple[Slices, ...]:
    """Blade, tang and handle. Weighed: the handle has what steel leaves; balanced: moved as a whole."""
    blade, tang, handle = _blade(solid, value), _tang(solid, value), _handle(solid, value)
    weight = solid.knife.weight
    if weight is not None:
        left = weight - blade.total - tang.total
        if left > 0:
            handle = handle.weighing(left)
        else:
            share = weight / (blade.total + tang.total + handle.total)
            blade, tang, handle = (one.weighing(one.total * share) for one in (blade, tang, handle))
    whole = (blade, tang, handle)
    if solid.knife.balance is None:
        return whole
    mass = sum(one.total for one in whole)
    centre = sum(one.total * one.centre for one in whole) / max(mass, 1e-12)
    return tuple(one.raised(solid.junction + solid.knife.balance - centre) for one in whole)


def steel(solid: Solid, value: Mapping[str, float]) -> Gram:
    """Blade and tang alone."""
    return _blade(solid, value).total + _tang(solid, value).total


def blade_shape(length: Mm, width: Mm, thickness: Mm, z: Array) -> tuple[Array, Array]:
    """Width and thickness of a straight blade at z from the heel, (n,) each, mm.

    The spine is straight; over the last `tip_length` the edge rises in a quarter of an ellipse,

        width(z) = w sqrt(1 - s^2),  s = clip((z - L + l_tip) / l_tip, 0, 1)

    and the spine thins in two straight lines, slowly, then quickly at the tip. Good enough for weights; source:
    common-practice. Tested: w L at no tip, quarter ellipse by hand.

    >>> [float(x[0]) for x in blade_shape(95.0, 20.0, 3.5, np.array([0.0]))]
    [20.0, 3.5]
    """
    tip = min(default("hang.tip_length"), length)
    s = np.clip((z - length + tip) / max(tip, 1e-9), 0.0, 1.0)
    last = max(length - default("hang.taper_last"), 0.0)
    thin = np.interp(z, [0.0, last, length], [1.0, default("hang.taper"), default("hang.taper_tip")])
    return width * np.sqrt(1 - s**2), thickness * thin


def _blade(solid: Solid, value: Mapping[str, float]) -> Slices:
    length = value["blade_length"]
    z, step = _cut(0.0, length)
    width, thickness = blade_shape(length, value["blade_width"], value["blade_thickness"], z)
    mass = _dense("density.steel", solid) * value["blade_fill"] * width * thickness * step
    return Slices("blade", mass, solid.junction - z, np.zeros_like(z))


def _tang(solid: Solid, value: Mapping[str, float]) -> Slices:
    z, step = _cut(0.0, value["tang_of_handle"] * value["handle_length"])
    mass = np.full_like(z, _dense("density.steel", solid) * _tang_area(value) * step)
    return Slices("tang", mass, solid.junction + z, np.zeros_like(z))


def _tang_area(value: Mapping[str, float]) -> float:
    return value["tang_width"] * value["blade_thickness"] * default("hang.tang_fill")


def _handle(solid: Solid, value: Mapping[str, float]) -> Slices:
    """The hull of the handle less the tang's room; above the last reading as thick as there."""
    z, step = _cut(0.0, value["handle_length"])
    tang = np.where(z <= value["tang_of_handle"] * value["handle_length"], _tang_area(value), 0.0)
    area = np.maximum(solid.area(solid.junction + z) - tang, 0.0)
    mass = value["handle_density"] * PER_MM3 * area * step
    return Slices("handle", mass, solid.junction + z, np.zeros_like(z))


def _liner(solid: Solid, value: Mapping[str, float]) -> Slices:
    """The hull less the cavity, down to the wall beyond the tip, or to the bottom edge if that is lower."""
    marks, length = solid.form.marks, value["blade_length"]
    top = solid.junction if marks.liner_end is None else min(marks.liner_end, solid.junction)
    gap = default("hang.tip_gap")
    low = min(solid.junction - length - gap - default("hang.tip_wall"), 0.0)
    u, step = _cut(low, top)
    z = solid.junction - u
    width, thickness = blade_shape(
        length, value["blade_width"], value["blade_thickness"], np.clip(z, 0.0, length)
    )
    cavity = (width + default("hang.cavity_edges")) * (thickness + default("hang.cavity_flats"))
    area = np.maximum(solid.area(u) - np.where(z <= length + gap, cavity, 0.0), 0.0)
    return Slices("liner", value["liner_density"] * PER_MM3 * area * step, u, np.zeros_like(u))


def _upper(solid: Solid, value: Mapping[str, float]) -> Slices:
    """The wall, the flange as trimmed and the flap."""
    u, length, middle, stitch = solid.wall
    laid, trimmed = solid.form.laid, solid.construction.flange.trimmed
    step = solid.form.marks.mouth / len(u)
    flap = np.where(u >= solid.form.marks.mouth - laid.depth, laid.flap, 0.0)
    wall, flange = length * (laid.thickness + flap), 2 * trimmed * laid.thickness
    dense = value["leather_density"] * PER_MM3 * step
    aside = (wall * middle + flange * (stitch + trimmed / 2)) / (wall + flange)
    return Slices("upper", dense * (wall + flange), u, aside)


def _hanger(solid: Solid, value: Mapping[str, float]) -> Slices:
    """What of thong or strap goes with the sheath: what is laced through it; the loop hangs on the belt."""
    plan, hanger = solid.hanger, solid.construction.hanger
    if plan.kind is HangerKind.NONE:
        return Slices("hanger", np.zeros(1), np.zeros(1), np.zeros(1))
    laced = max(plan.laced - plan.loop - 2 * hanger.drop, 0.0)
    height, _, aside = solid.holes
    mass = value["leather_density"] * PER_MM3 * laced * plan.width * plan.thickness
    rows = hanger.holes_a_side if plan.kind is HangerKind.THONG else 1
    u = np.maximum(height - np.arange(rows) * hanger.rows_apart, 0.0)
    return Slices("hanger", np.full(rows, mass / rows), u, np.full(rows, aside))


def _cut(low: Mm, high: Mm) -> tuple[Array, Mm]:
    """Middles of equal slices, and their height."""
    step = (high - low) / SLICES
    return np.asarray(low + step * (np.arange(SLICES) + 0.5), dtype=np.float64), step


def _dense(name: str, solid: Solid) -> float:
    """g/mm3."""
    return solid.material.value(name) * PER_MM3


def _guess(
    name: str, read: float | None, record: str, turned: Callable[[float], float] | None = None
) -> Guess:
    """What was read, or what the record makes likely."""
    if read is not None:
        return Guess(name, read, read, read)
    found = values()[record]
    ends = [x if turned is None else turned(x) for x in (found.value, found.low, found.high)]
    return Guess(name, float(ends[0]), float(min(ends)), float(max(ends)))


def _density(name: str, wood: str | None, material: Material, otherwise: str) -> Guess:
    record = material.record(f"density.{wood}") if wood else values()[otherwise]
    return Guess(name, record.value, record.low, record.high)
