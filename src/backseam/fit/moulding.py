"""Virtual moulding: what the flat piece does when it is sewn up on the form, before any leather is cut.

`mould` lays one piece, the computed pattern or the maker's own, on the form (see `moulding_solver` for how, and for
why it is a check of the flattening and not its echo) and reports on it; `compare` does both. The leather's own
resistance is used, not the one the pattern was drawn with: that one keeps the girth on purpose.

Limits: no friction, no thickness but through the neutral layer, pressed into hollows along the axis by hand, leather
that is the same everywhere, a linear law; below a millimetre in a line the answer is a choice of material.
Source: derived; six-node triangles and Levenberg-Marquardt are textbook (zienkiewicz-taylor, marquardt-1963). Tested:
tube, cone, uniform bend in closed form, the energy of the flattening, mirror image, turning, scale, a finer mesh.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from backseam.fit import moulding_report as report
from backseam.fit.moulding_mesh import Mesh, Piece, computed_piece, hand_piece, mesh
from backseam.fit.moulding_report import Field, Met, Rows, Sums, Zone
from backseam.fit.moulding_skin import Skin, skin
from backseam.fit.moulding_solver import STEPS, Lying, lay
from backseam.form.form import Form
from backseam.ground.findings import Finding, finding
from backseam.ground.progress import SILENT, Progress
from backseam.ground.sources import default
from backseam.ground.units import Mm, MPa
from backseam.leather.leather import Leather, Tight
from backseam.leather.material import Material
from backseam.pattern.draft import Layout
from backseam.pattern.flatten import Law
from backseam.pattern.upper import HandLine, Upper

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Moulding:
    """One piece on the form. piece, mesh: what was laid; field: at the nodes; residual: last movement of a point,
    mm."""

    piece: Piece
    mesh: Mesh
    field: Field
    rows: Rows
    marks: tuple[Met, ...]
    zones: tuple[Zone, ...]
    sums: Sums
    energy: float
    steps: int
    residual: Mm
    settled: bool
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Compared:
    """The computed pattern and the hand pattern side by side, moulded alike. findings: of the computed one and of
    both."""

    computed: Moulding
    hand: Moulding
    findings: tuple[Finding, ...]

    @property
    def better(self) -> bool:
        """True if the computed piece stretches less at its worst, and no row of it is slacker than the eye takes."""
        return self.computed.sums.most < self.hand.sums.most and self.computed.sums.slackest <= default(
            "moulding.slack"
        )


def leather_law(leather: Leather) -> Law:
    """The leather's own resistance, as ratios: stiffer in its tight direction."""
    across, along = default("moulding.stiffness_across"), default("moulding.stiffness_along")
    if leather.tight is Tight.ACROSS:
        across, along = along, across
    elif leather.tight is Tight.UNKNOWN:
        across = along = (across + along) / 2
    return Law(
        across, along, default("moulding.poisson"), default("moulding.shear"), default("moulding.compression")
    )


def hoop_damp(leather: Leather, material: Material) -> MPa:
    """Stiffness round the sheath while damp: across the hide if the piece's tight way is mouth to bottom."""
    return material.stiffness("along" if leather.tight is Tight.ACROSS else "across", damp=True)


def mould(
    form: Form,
    piece: Layout | Piece,
    law: Law,
    progress: Progress = SILENT,
    *,
    hoop: MPa,
    on: Skin | None = None,
    finer: float = 1.0,
    steps: int = STEPS,
) -> Moulding:
    """Lay a piece on the form, sew it up, let it slide to rest, and report.

    piece: the flattened upper, or any drawn piece. hoop: stiffness round of the damp leather, MPa, for tensions.
    on: the form's skin if it is known already. finer: 2 for cells half as long. Raises Stopped if `progress` asks
    for it.
    """
    drawn = computed_piece(form, piece) if isinstance(piece, Layout) else piece
    surface = skin(form) if on is None else on
    cut = mesh(drawn, form.laid.trimmed, surface.mirrored, finer)
    lying = lay(cut, surface, law, progress, steps)
    return _moulding(form, drawn, cut, surface, lying, hoop)


def compare(
    form: Form,
    layout: Layout,
    upper: Upper,
    leather: Leather,
    material: Material,
    progress: Progress = SILENT,
) -> Compared:
    """The computed pattern and the hand pattern, both moulded in the leather's own law."""
    law, hoop, surface = leather_law(leather), hoop_damp(leather, material), skin(form)
    computed = mould(form, layout, law, _Part(progress, 0, 2), hoop=hoop, on=surface)
    hand = mould(form, hand_of(form, upper.hand), law, _Part(progress, 1, 2), hoop=hoop, on=surface)
    both = between(form, computed, hand)
    return Compared(computed, hand, (*computed.findings, *both))


def hand_of(form: Form, hand: HandLine) -> Piece:
    """The maker's own piece from the dots of the hand line."""
    return hand_piece(form, hand)


@dataclass(frozen=True)
class _Part:
    """One of several equal parts of a longer work."""

    whole: Progress
    part: int
    parts: int

    def at(self, done: int, total: int, doing: str) -> None:
        """Passed on as a step of the whole."""
        self.whole.at(self.part * total + done, self.parts * total, doing)

    def stop_asked(self) -> bool:
        """Passed on."""
        return self.whole.stop_asked()


def _moulding(form: Form, piece: Piece, cut: Mesh, surface: Skin, lying: Lying, hoop: MPa) -> Moulding:
    found = report.field(cut, surface, lying, hoop)
    rows = report.rows(cut, surface, piece, lying, found)
    met = report.marks(cut, piece, found)
    zones = report.zones(cut, found)
    done = Moulding(
        piece=piece,
        mesh=cut,
        field=found,
        rows=rows,
        marks=met,
        zones=zones,
        sums=report.sums(cut, lying, found, rows, met, zones),
        energy=lying.energy,
        steps=lying.steps,
        residual=lying.residual,
        settled=lying.settled,
        findings=(),
    )
    return replace(done, findings=tuple(_doubts(form, surface, done)))


def _doubts(form: Form, surface: Skin, done: Moulding) -> list[Finding]:
    sums, found = done.sums, []
    girths = ("form", "girths")
    comfortable, limit = default("leather.stretch_comfortable"), default("leather.stretch_limit")
    at = form.as_read(sums.most_at)
    if sums.most > limit:
        found.append(finding("MOULD-002", girths, at=at, stretch=sums.most, limit=limit))
    elif sums.most > comfortable:
        found.append(finding("MOULD-001", girths, at=at, stretch=sums.most, comfortable=comfortable))
    if done.zones:
        worst = done.zones[0]
        found.append(
            finding(
                "MOULD-003",
                girths,
                squeeze=-worst.least,
                low=form.as_read(worst.low),
                high=form.as_read(worst.high),
                place=_place(worst),
                more=len(done.zones) - 1,
                wrinkle=-default("leather.wrinkle"),
            )
        )
    if abs(sums.apart) > default("moulding.marks_apart"):
        found.append(finding("MOULD-004", girths, name=sums.apart_at, apart=abs(sums.apart)))
    if sums.slackest > default("moulding.slack"):
        found.append(finding("MOULD-006", girths, at=form.as_read(sums.slackest_at), slack=sums.slackest))
    u = done.field.height
    if u.min() < surface.low or u.max() > surface.high:
        end = "bottom edge" if u.min() < surface.low else "mouth"
        found.append(finding("MOULD-007", ("form",), end=end))
    if not done.settled:
        found.append(finding("MOULD-005", girths, steps=done.steps, residual=done.residual))
    return found


def _place(zone: Zone) -> str:
    """Front, side or seam: where the zone's middle lies."""
    return ("front", "side", "seam")[min(2, int(1.5 * (zone.near + zone.far)))]


def between(form: Form, computed: Moulding, hand: Moulding) -> list[Finding]:
    """How the hand pattern does against the computed one."""
    a, b = computed.sums, hand.sums
    alike = default("moulding.alike")
    numbers = {
        "computed": a.most,
        "hand": b.most,
        "slack": max(a.slackest, 0.0),
        "hand_slack": max(b.slackest, 0.0),
    }
    if b.most - a.most > alike:
        return [finding("MOULD-010", ("form", "girths"), at=form.as_read(b.most_at), **numbers)]
    if a.most - b.most > alike:
        return [finding("MOULD-012", ("form", "girths"), at=form.as_read(a.most_at), **numbers)]
    return [finding("MOULD-011", ("form", "girths"), **numbers)]
