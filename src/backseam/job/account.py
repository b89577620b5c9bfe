"""What the account of hold makes of a finished sheath for every pull-in that is tried: the ground it is learnt on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.fit.contact import seam_give
from backseam.fit.crowd import OUT, crowd_of, force
from backseam.fit.draws import draw, unknowns
from backseam.fit.grip import Grip, grip
from backseam.fit.response import Response, respond
from backseam.fit.tested import Measured, accepted
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default
from backseam.ground.units import Mm
from backseam.job.document import Job, MadePart
from backseam.job.recipe import Worked
from backseam.leather.evidence import PULL_INS, Finished, learning, learning_record
from backseam.leather.faults import Fault
from backseam.leather.material import Material, material
from backseam.leather.together import FRICTIONS, PULL_IN, STIFFNESS
from backseam.leather.trial import Ring, finished_ring, read_pulls

Array = NDArray[np.float64]

WAYS = 64  # ways in which the rest of one sheath may be
PIECE = "work:piece"


@dataclass(frozen=True)
class Account:
    """Of one sheath, for q pull-ins of `PULL_INS` and n ways in which the rest may be.

    answer: the table of contact sums, from slack to the tightest tried. draw, waxed (q, n) N: largest pull at the
    tables' friction and stiffness, dry and on a waxed handle.
    tight (q, n, knots): how much the handle is larger than the rest girth; off (rows, n) mm: readings.
    """

    grip: Grip
    answer: Response
    draw: Array
    waxed: Array
    tight: Array
    off: Array

    def inside(self, station: Mm | None = None) -> Array:
        """Girth inside at a height (the mouth if none is given), knife out, mm (q, n)."""
        held = self.grip
        at = np.array([held.mouth if station is None else station])
        form = float(held.curve(at)[0])
        weight = np.array([float(np.interp(at[0], held.knots, row)) for row in np.eye(len(held.knots))])
        off = self.off.T @ held.hats(at)[:, 0] if held.rows else np.zeros(self.draw.shape[1])
        return np.asarray(form - 2 * np.pi * held.film + off - (self.tight @ weight) * form)


def account(sheath: Worked, gap: Mm | None = None, ways: int = WAYS) -> Account:
    """The account of one sheath with the tables' leather, pull-in left open.

    gap: between the hole rows, the piece pinched round the form before sewing, mm; with it marking is no unknown.
    Friction and stiffness stand at the tables' values: the factor that is learnt multiplies them.
    """
    given = sheath.inputs
    leather = _tables(sheath)
    held = grip(sheath.form, sheath.layout, given.leather, given.construction, leather)
    some = draw(unknowns(held, leather, given.leather.thickness_spread), 0, ways)
    if gap is not None:
        read = gap - default("gate.try_on") + learning("learn.gap_read") * some.point(PIECE)
        some = some.replaced(PIECE, read)
    q = len(PULL_INS)
    own = np.tile(learning("learn.pull_in_between") * some.point(PULL_IN), q)
    each = some.chosen(np.tile(np.arange(ways), q)).replaced(PULL_IN, np.repeat(PULL_INS, ways) + own)
    for name in (STIFFNESS, FRICTIONS[0]):
        each = each.replaced(name, np.full(q * ways, leather.value(name)))
    crowd = crowd_of(held, leather, each, Measured())
    answer = respond(held, crowd.sizes)
    loads = answer.loads(crowd.sizes)
    dry, wax = (force(loads, crowd, OUT, friction).max(axis=0) for friction in (crowd.dry, crowd.wax))
    tight = crowd.sizes.tight.reshape(q, ways, -1)
    return Account(
        held, answer, dry.reshape(q, ways), wax.reshape(q, ways), tight, crowd.sizes.readings[:, :ways]
    )


def measured_of(job: Job) -> Measured:
    """What the job says of its finished sheath, as the forecast takes it: girth at the mouth, one pull of several."""
    made = job.made
    pull = None
    if made.pull_n:
        used, _, _, _ = read_pulls(tuple(made.pull_n), "made")
        pull = made.pull_n[0] if used is None else used
    return Measured(made.finished_girth_mm, spread=made.spread_mm, pull=pull, waxed=bool(made.waxed))


def usable(sheath: Worked) -> Measured:
    """The same, as far as a sheath for this handle can have it."""
    given = sheath.inputs
    held = grip(sheath.form, sheath.layout, given.leather, given.construction, _tables(sheath))
    return accepted(measured_of(sheath.job), held)[0]


def finished_pieces(sheath: Worked, test: str) -> tuple[tuple[Finished, ...], tuple[Finding, ...]]:
    """What a made sheath and its trial ring say, as evidence; what cannot be used is told.

    Nothing if the job's `made` part is empty.
    """
    made = sheath.job.made
    found: list[Finding] = []
    pieces: list[Finished] = []
    ring = _ring(sheath, f"{test}, ring")
    if ring is not None:
        dried, told = finished_ring(ring, _tables(sheath).values)
        pieces.append(dried)
        found += told
    one, more = _sheath(sheath, made, test)
    return (*pieces, one) if one is not None else tuple(pieces), (*found, *more)


def _sheath(sheath: Worked, made: MadePart, test: str) -> tuple[Finished | None, tuple[Finding, ...]]:
    """Girths, pull and faults of the sheath itself."""
    pull, least, most, found = read_pulls(tuple(made.pull_n or ()), test)
    if pull is None and Fault.LOOSE_FIT in made.faults:
        most = min(most or default("fit.light_from"), default("fit.light_from"))
    if pull is None and Fault.TIGHT_FIT in made.faults:
        least = default("fit.hard_from")
    if least is not None and most is not None:
        least = most = None  # both named: nothing is said
        found += (finding("LEARN-027", ("made", "faults"), test=test),)
    wanted = _girths(sheath, made)
    if not wanted and (pull, least, most) == (None, None, None):
        return None, found
    gap, doubts = _gap(made.hole_gap_mm, test)
    found += doubts
    told = account(sheath, gap)
    girths: list[Mm] = []
    insides: list[Array] = []
    held = told.grip
    for station, girth in wanted:
        if station is not None and not held.knots[0] <= station <= held.mouth:
            numbers = {"station": station, "low": float(held.knots[0]), "high": held.mouth}
            found += (finding("LEARN-025", ("made", "girths"), test=test, **numbers),)
            continue
        kept, doubts = accepted(Measured(finished_girth=girth, station=station), held)
        found += tuple(one for one in doubts if one.code == "FIT-011")
        if kept.finished_girth is not None:
            girths.append(girth)
            insides.append(told.inside(station))
    spread = default("fit.girth_read") if made.spread_mm is None else max(made.spread_mm, 0.1)
    draws = told.waxed if made.waxed else told.draw
    return Finished(test, tuple(insides), draws, tuple(girths), spread / 2, pull, least, most), found


def _gap(gap: Mm | None, test: str) -> tuple[Mm | None, tuple[Finding, ...]]:
    """The gap at try-on, if a piece that was sewn can have had it."""
    usual = learning_record("test.gap")
    if gap is None or usual.low <= gap <= usual.high:
        return gap, ()
    numbers = {"gap": gap, "low": usual.low, "high": usual.high}
    return None, (finding("LEARN-026", ("made", "hole_gap_mm"), test=test, **numbers),)


def _girths(sheath: Worked, made: MadePart) -> list[tuple[Mm | None, Mm]]:
    """Stations (None: the mouth) and girths, heights counted from the bottom edge."""
    form = sheath.job.form
    lift = form.reach_mm or 0.0 if form.heights_from == "junction" else 0.0
    first: list[tuple[Mm | None, Mm]] = []
    if made.finished_girth_mm is not None:
        first.append((None, made.finished_girth_mm))
    return [*first, *((row.station_mm + lift, row.girth_mm) for row in made.girths)]


def _ring(sheath: Worked, test: str) -> Ring | None:
    """The trial ring of the job, if anything was measured of it."""
    made, given = sheath.job.made.ring, sheath.inputs
    if made.inside_mm is None and not made.pull_n:
        return None
    ring, construction, thickness = sheath.ring, given.construction, given.leather.thickness
    at = np.array([ring.station])
    bare = float(sheath.form.girth(at)[0]) - 2 * np.pi * construction.film
    return Ring(
        handle=bare,
        inside=made.inside_mm,
        pulls=tuple(made.pull_n or ()),
        cut=given.leather.allowance_across,
        height=ring.height,
        thickness=thickness,
        film=construction.film,
        spread=max(float(sheath.form.spread(at)[0]), 0.1),
        give=float(seam_give(thickness, construction.seam_inside_radius, ring.length)),
        waxed=bool(made.waxed),
        test=test,
    )


def _tables(sheath: Worked) -> Material:
    """Leather as the tables have it, whatever its kind: what factors are counted from."""
    return material("shoulder", sheath.inputs.leather.thickness)
