"""What the moulded piece says: stretch, wrinkles, hoop tension, contact pressure, rows, marks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label

from backseam.fit.moulding_mesh import TO_NODES, Mesh, Piece
from backseam.fit.moulding_skin import Skin
from backseam.fit.moulding_solver import Lying
from backseam.ground.sources import default
from backseam.ground.units import Mm, Mm2, MPa, Share, Strain

Array = NDArray[np.float64]
NewtonPerMm: TypeAlias = float


@dataclass(frozen=True)
class Field:
    """At the nodes, (rows, columns) each, row 0 at the bottom, columns left to right; the flange too.

    height: on the axis, mm; share: v; across, along: stretch in the piece's own directions; most, least: principal
    stretches, positive = pulled; tension: hoop tension of the damp leather, N/mm; pressure: on the form, MPa
    (N/mm2), none in the flange. space (rows, columns, 3): where the node lies, mm.
    """

    height: Array
    share: Array
    across: Array
    along: Array
    most: Array
    least: Array
    tension: Array
    pressure: Array
    space: Array


@dataclass(frozen=True)
class Rows:
    """Rows of the piece from stitch line to stitch line, (rows,) each, bottom first; the first and the last are its
    edges.

    height: on the axis; girth: stretch round, by the row's own length; slack: mm that the row is longer than the form
    there, negative = stretched; tension: mean hoop tension, N/mm; pressure: mean contact pressure, MPa. step: True
    over the step at the flap's end and just beside it, where strain has no limit but the mesh.
    """

    height: Array
    girth: Array
    slack: Array
    tension: Array
    pressure: Array
    step: NDArray[np.bool_]


@dataclass(frozen=True)
class Met:
    """A station mark after moulding: its height by name, where its two ends came to lie, mm on the axis.

    front: of the mark on the centre line; seam: of the mark on the stitch line; apart: seam minus front.
    """

    name: str
    station: Mm
    front: Mm
    seam: Mm

    @property
    def apart(self) -> Mm:
        """Mismatch, signed: positive if the seam end comes higher."""
        return self.seam - self.front


@dataclass(frozen=True)
class Zone:
    """Where the leather is squeezed beyond what it takes without folding.

    low, high: heights on the axis, mm; near, far: shares of the half girth from the centre line; least: worst strain,
    at height `at`; area: on one half, or on both if they differ, mm2; across: True if it gathers round, else along.
    """

    low: Mm
    high: Mm
    near: Share
    far: Share
    least: Strain
    at: Mm
    area: Mm2
    across: bool


@dataclass(frozen=True)
class Sums:
    """The numbers of one piece, the step at the flap's end and the flange left out (the step's own stand apart).

    most, p99, least: largest, 99 % and smallest principal stretch of the wall, most_at and least_at the heights.
    girth_most, girth_least: rows. slackest: mm, at slackest_at. apart: largest mismatch of a mark. tension,
    pressure: largest. step_most, step_least, step_slack: over the step (0 without one); flange_most, flange_least:
    stretch along the flange. wrinkled: area beyond the wrinkle limit, mm2, both halves.
    """

    most: Strain
    most_at: Mm
    p99: Strain
    least: Strain
    least_at: Mm
    girth_most: Strain
    girth_least: Strain
    slackest: Mm
    slackest_at: Mm
    apart: Mm
    apart_at: str
    tension: NewtonPerMm
    pressure: MPa
    wrinkled: Mm2
    step_most: Strain
    step_least: Strain
    step_slack: Mm
    flange_most: Strain
    flange_least: Strain


def principal(strain: Array) -> tuple[Array, Array]:
    """Largest and smallest stretch l - 1 from Green's strain (..., 3): xx, yy, 2xy.

        e = (xx + yy)/2 +- sqrt(((xx - yy)/2)^2 + (2xy/2)^2),   l = sqrt(1 + 2 e)

    Source: textbook (continuum mechanics). Tested: simple shear, uniaxial.

    >>> most, least = principal(np.array([0.105, 0.0, 0.0]))        # l^2 = 1.21
    >>> round(float(most), 6), round(float(least), 6)
    (0.1, 0.0)
    """
    middle = (strain[..., 0] + strain[..., 1]) / 2
    spread = np.hypot((strain[..., 0] - strain[..., 1]) / 2, strain[..., 2] / 2)
    return _stretch(middle + spread), _stretch(middle - spread)


def _stretch(green: Array) -> Array:
    return np.asarray(np.sqrt(np.maximum(1 + 2 * green, 1e-6)) - 1)


def field(mesh: Mesh, skin: Skin, lying: Lying, hoop: MPa) -> Field:
    """Everything at the nodes. hoop: stiffness round, damp, MPa."""
    strain = _at_nodes(mesh, lying.strain)
    shape = mesh.rest.shape[:2]
    u, v = lying.place.T
    most, least = principal(strain)
    across = _stretch(strain[..., 0])
    thickness = skin.form.wrap(u).thickness.reshape(shape)
    tension = hoop * thickness * np.maximum(across, 0.0)
    on_form = np.abs(mesh.share) <= 1.0
    turn = np.maximum(skin.turn.ev(u, np.minimum(np.abs(v), 1.0)), 0.0).reshape(shape)
    return Field(
        height=u.reshape(shape),
        share=v.reshape(shape),
        across=across,
        along=_stretch(strain[..., 1]),
        most=most,
        least=least,
        tension=tension,
        pressure=tension * turn * on_form,
        space=skin.space(u, v).reshape(*shape, 3),
    )


def _at_nodes(mesh: Mesh, strain: Array) -> Array:
    """Strain (rows, columns, 3), carried from the points to the nodes and averaged; the stitch line's is the
    wall's."""
    nodes = np.einsum("np,mpk->mnk", TO_NODES, strain)
    weight = np.where(mesh.patch == 0, 1.0, 1e-9) * mesh.area.sum(axis=1)
    spread = np.repeat(weight, 6)
    count = mesh.rest.size // 2
    total = np.bincount(mesh.triangles.ravel(), spread, count)
    values = [np.bincount(mesh.triangles.ravel(), spread * nodes[..., k].ravel(), count) for k in range(3)]
    return np.stack(values, axis=-1).reshape(*mesh.rest.shape[:2], 3) / total.reshape(*mesh.rest.shape[:2], 1)


def rows(mesh: Mesh, skin: Skin, piece: Piece, lying: Lying, found: Field) -> Rows:
    """Rows of the piece at the mean heights of its rows of nodes, and its two edges by their own lengths.

    What lies on one height of the form is one row, whatever its course on the flat piece; its length there against
    the form's girth is the girth strain. An edge is held against the line on the form that it comes to lie on.
    """
    wall = np.abs(mesh.share) <= 1.0
    line = mesh.rest[:, wall]
    length = np.hypot(*np.moveaxis(np.diff(line, axis=1), -1, 0))

    def mean(x: Array) -> Array:
        inner = x[:, wall]
        return np.asarray(((inner[:, 1:] + inner[:, :-1]) / 2 * length).sum(axis=1) / length.sum(axis=1))

    height = mean(found.height)
    flat, taken = _girths(mesh, skin, lying, height)
    drawn = mesh.rest[:, int(np.abs(mesh.share).argmin()), 1] - piece.bottom[0, 1]
    low, high = piece.step or (np.inf, np.inf)
    beside = default("moulding.beside_step")
    return Rows(
        height=height,
        girth=taken / flat - 1,
        slack=(flat - taken) * (2 if mesh.mirrored else 1),
        tension=mean(found.tension),
        pressure=mean(found.pressure),
        step=(drawn > low - beside) & (drawn < high + beside),
    )


def _girths(mesh: Mesh, skin: Skin, lying: Lying, height: Array) -> tuple[Array, Array]:
    """Of each row: its length on the flat piece, and what it takes up of the form; where a row runs out over the
    mouth or the bottom edge, of what there is of it."""
    wall = np.abs(mesh.share) <= 1.0
    place, rest = lying.place.reshape(*mesh.rest.shape[:2], 2)[:, wall], mesh.rest[:, wall]
    flat = np.hypot(*np.moveaxis(np.diff(rest, axis=1), -1, 0)).sum(axis=1)
    taken = _on_form(skin, place)
    lines = np.concatenate([rest, place[..., 1:]], axis=2)
    for i in range(1, len(height) - 1):
        on = (place[0, :, 0] <= height[i]) & (place[-1, :, 0] >= height[i])
        if on.sum() > 1:
            row = _at_height(place[:, on, 0], lines[:, on], float(height[i]))
            flat[i] = np.hypot(*np.diff(row[:, :2], axis=0).T).sum()
            taken[i] = float(skin.half(height[i])) * (row[-1, 2] - row[0, 2])
    return flat, taken


def _on_form(skin: Skin, place: Array) -> Array:
    """Lengths on the form of lines of points u, v (rows, columns, 2), the metric taken half way between two."""
    middle, step = (place[:, 1:] + place[:, :-1]) / 2, np.diff(place, axis=1)
    metric = skin.patches[0].at(middle[..., 0].ravel(), middle[..., 1].ravel()).value
    uu, uv, vv = np.moveaxis(metric.reshape(*middle.shape[:2], 3), -1, 0)
    du, dv = np.moveaxis(step, -1, 0)
    return np.asarray(np.sqrt(uu * du**2 + 2 * uv * du * dv + vv * dv**2).sum(axis=1))


def _at_height(u: Array, lines: Array, height: Mm) -> Array:
    """Values (columns, k) where each column of u (rows, columns), ascending, reaches a height."""
    low = np.clip((u <= height).sum(axis=0) - 1, 0, len(u) - 2)
    column = np.arange(u.shape[1])
    a, b = u[low, column], u[low + 1, column]
    share = ((height - a) / (b - a))[:, None]
    return np.asarray(lines[low, column] * (1 - share) + lines[low + 1, column] * share)


def marks(mesh: Mesh, piece: Piece, found: Field) -> tuple[Met, ...]:
    """Where both ends of each station mark came to lie on the form."""
    front, seam = int(np.abs(mesh.share).argmin()), mesh.seams[0]

    def lies(column: int, y: Mm) -> Mm:
        return float(np.interp(y, mesh.rest[:, column, 1], found.height[:, column]))

    return tuple(Met(name, at, lies(front, y), lies(seam, y_seam)) for name, at, y, y_seam in piece.marks)


def zones(mesh: Mesh, found: Field) -> tuple[Zone, ...]:
    """Connected places of the wall that are squeezed beyond the wrinkle limit, the worst first."""
    wall = np.abs(mesh.share) <= 1.0
    beyond = (found.least < default("leather.wrinkle")) & wall[None, :]
    names, count = label(beyond)
    area = _node_area(mesh)
    made = []
    for k in range(1, count + 1):
        here = names == k
        worst = np.unravel_index(np.where(here, found.least, np.inf).argmin(), here.shape)
        made.append(
            Zone(
                low=float(found.height[here].min()),
                high=float(found.height[here].max()),
                near=float(np.abs(found.share[here]).min()),
                far=float(np.abs(found.share[here]).max()),
                least=float(found.least[worst]),
                at=float(found.height[worst]),
                area=float(area[here].sum()),
                across=bool(found.across[worst] < found.along[worst]),
            )
        )
    return tuple(sorted(made, key=lambda zone: zone.least))


def _node_area(mesh: Mesh) -> Array:
    share = np.repeat(mesh.area.sum(axis=1) / 6, 6)
    area = np.asarray(np.bincount(mesh.triangles.ravel(), share, mesh.rest.size // 2), dtype=float)
    return area.reshape(mesh.rest.shape[:2])


def sums(
    mesh: Mesh, lying: Lying, found: Field, rows: Rows, met: tuple[Met, ...], zones: tuple[Zone, ...]
) -> Sums:
    """The numbers of one piece; peaks are taken at the triangles' points, where they are truest."""
    most, least = principal(lying.strain)
    at = lying.place[mesh.triangles, 0].mean(axis=1)
    step = (rows.step[:-2:2] | rows.step[2::2])[mesh.band]
    wall, stepped, flange = (mesh.patch == 0) & ~step, (mesh.patch == 0) & step, (mesh.patch != 0) & ~step
    i, j = most[wall].max(axis=1).argmax(), least[wall].min(axis=1).argmin()
    plain = ~rows.step
    slackest = int(np.where(plain, rows.slack, -np.inf).argmax())
    worst = max(met, key=lambda m: abs(m.apart))
    along = _stretch(lying.strain[flange, :, 1])
    on_form = (np.abs(mesh.share) <= 1.0)[None, :] & plain[:, None]
    return Sums(
        most=float(most[wall].max()),
        most_at=float(at[wall][i]),
        p99=_share(most[wall], mesh.area[wall], 0.99),
        least=float(least[wall].min()),
        least_at=float(at[wall][j]),
        girth_most=float(rows.girth[plain].max()),
        girth_least=float(rows.girth[plain].min()),
        slackest=float(rows.slack[slackest]),
        slackest_at=float(rows.height[slackest]),
        apart=worst.apart,
        apart_at=worst.name,
        tension=float(found.tension[on_form].max()),
        pressure=float(found.pressure[on_form].max()),
        wrinkled=sum(zone.area for zone in zones) * (2 if mesh.mirrored else 1),
        step_most=float(most[stepped].max()) if step.any() else 0.0,
        step_least=float(least[stepped].min()) if step.any() else 0.0,
        step_slack=float(rows.slack[rows.step].max()) if step.any() else 0.0,
        flange_most=float(along.max()),
        flange_least=float(along.min()),
    )


def _share(value: Array, area: Array, share: Share) -> float:
    """The value that a share of the area stays below."""
    order = np.argsort(value, axis=None)
    run = np.cumsum(area.ravel()[order])
    return float(value.ravel()[order][np.searchsorted(run, share * run[-1])])
