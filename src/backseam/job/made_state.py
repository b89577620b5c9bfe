"""Where a piece stands: what was found of it, held against what was wanted, height by height."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import default
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, Share
from backseam.job.as_made import AsMade, Places, Stage, height_of
from backseam.job.piece import Piece, drawn, on_axis, takes, with_leather
from backseam.job.recipe import Worked

Array = NDArray[np.float64]

NOT_SAME: Mm = 2.0  # gap and half widths that are further apart do not speak of one piece


@dataclass(frozen=True)
class Row:
    """One height. wanted, has: stitch to stitch; off: has less wanted, + too wide."""

    name: str
    height: Mm
    wanted: Mm
    has: Mm

    @property
    def off(self) -> Mm:
        """Too wide (+) or too narrow (-)."""
        return self.has - self.wanted


@dataclass(frozen=True)
class State:
    """A job and what was found of it. worked: as planned; actual: with leather and flap as they turned out.

    piece: as it is; whole: the same as if it had been folded at its planned height.
    """

    worked: Worked
    actual: Worked
    made: AsMade
    piece: Piece
    whole: Piece

    @property
    def stage(self) -> Stage:
        """How far the work has come."""
        return self.made.reached

    @property
    def planned_height(self) -> Mm:
        """Bottom edge to mouth, as planned."""
        return self.worked.form.marks.mouth

    @property
    def taller(self) -> Mm:
        """Height more than planned (-: shorter), folded or as it is cut; 0 if nobody measured it."""
        upper = self.worked.upper
        if self.made.height is not None:
            return self.made.height - upper.height
        return 0.0 if self.made.cut_height is None else self.made.cut_height - upper.height - upper.turn_in

    @property
    def counts(self) -> tuple[int, int]:
        """Holes left and right: as found, else as planned."""
        count = self.worked.seam.count
        left, right = self.made.holes_left, self.made.holes_right
        return (right or count) if left is None else left, (left or count) if right is None else right

    @property
    def rows(self) -> tuple[Mm, Mm]:
        """First to last hole, left and right: as found, from count and pitch, or as planned."""
        planned, pitch = self.worked.seam.sewn_length, self.made.pitch
        each = []
        for length, count in zip((self.made.row_left, self.made.row_right), self.counts, strict=True):
            guess = planned if pitch is None else pitch * (count - 1)
            each.append(guess if length is None else length)
        return each[0], each[1]

    @property
    def creep(self) -> Share:
        """How much the pitch of one row is longer than that of the other, as a share: what must ease in sewing."""
        left, right = (
            length / max(count - 1, 1) for length, count in zip(self.rows, self.counts, strict=True)
        )
        return abs(left - right) / ((left + right) / 2)

    @property
    def flange(self) -> Mm:
        """Leather outside the rows: as found, else the clamp width, or what is trimmed once it is dry."""
        if self.made.flange is not None:
            return self.made.flange
        flange = self.worked.inputs.construction.flange
        return flange.trimmed if self.stage is Stage.DRIED else flange.clamp

    @property
    def lack(self) -> Mm:
        """How much the leather outside the rows is short of the trimmed flange; 0 if nobody measured it."""
        if self.made.flange is None or self.stage is Stage.DRIED:
            return 0.0
        return max(self.worked.inputs.construction.flange.trimmed - self.made.flange, 0.0)

    @property
    def end(self) -> Mm:
        """From the last hole of the longer row to the bottom edge."""
        return self.worked.seam.length - self.worked.seam.first - max(self.rows)

    @property
    def open(self) -> Mm:
        """How much further from the bottom edge the longer row ends than it should."""
        seam = self.worked.seam
        return self.end - (seam.length - seam.first - seam.sewn_length)

    @cached_property
    def off(self) -> Array:
        """Too wide or too narrow at the heights of the piece (n,), as it was meant to sit."""
        return off(self.piece, self.worked, self.actual)

    def table(
        self, worked: Worked | None = None, piece: Piece | None = None, lift: Mm = 0.0
    ) -> tuple[Row, ...]:
        """Every station the piece reaches, on that form (`actual`)."""
        form, piece = worked or self.actual, piece or self.piece
        every = [(row, on_axis(self.worked.form, row.station)) for row in self.worked.upper.stations]
        stations = [(row, u) for row, u in every if lift - 0.5 <= u <= piece.height + lift + 0.5]
        u = np.array([u for _, u in stations])
        wanted, apart = takes(form, u), off(piece, self.worked, form, lift, u)
        return tuple(
            Row(row.name, row.station, float(w), float(w + d))
            for (row, _), w, d in zip(stations, wanted, apart, strict=True)
        )


def off(piece: Piece, planned: Worked, form: Worked, lift: Mm = 0.0, at: Array | None = None) -> Array:
    """How much too wide (+) a piece is at heights (n,) on a form, its bottom edge `lift` above the planned one.

    (stitch to stitch it has - as planned) + (what the planned form takes - what this one takes). Source: derived.
    Tested: a piece as drawn is off by nothing; rows moved out by 1 each side are off by 2.
    """
    u = piece.at + lift if at is None else at
    top = planned.form.marks.mouth
    on_planned = np.minimum(u, top)
    return np.asarray(
        piece(u - lift) - drawn(planned)(on_planned) + takes(planned, on_planned) - takes(form, u)
    )


def state_of(worked: Worked, made: AsMade) -> tuple[State, tuple[Finding, ...]]:
    """The state of a job's piece, and what is odd about what was found. Raises InputRefused."""
    if made.nothing:
        raise InputRefused(PLAIN.say("rescue.refuse.nothing"))
    actual = worked
    if made.thickness is not None or made.flap is not None:
        actual = with_leather(worked, made.thickness, made.flap)
    plan = drawn(worked)
    named = {row.name: row.station for row in worked.upper.stations if row.name}
    halves = _half_widths(made.half_widths, worked, plan, named)
    gaps = _gaps(made.row_gap, worked, plan, named)
    found: list[Finding] = []
    if gaps is not None:
        rows = takes(actual, plan.at) - takes(worked, plan.at) + gaps
        if halves is not None and float(np.abs(rows - halves).max()) > NOT_SAME:
            worst = int(np.abs(rows - halves).argmax())
            found.append(
                finding("RESCUE-011", ("row_gap_mm",), gap=float(gaps[worst]), half=float(halves[worst]))
            )
    else:
        rows = np.zeros_like(plan.at) if halves is None else halves
    whole = plan.changed(rows)
    state = State(worked, actual, made, whole, whole)
    if state.taller:
        state = replace(state, piece=whole.as_high(plan.height + state.taller))
    return state, (*found, *_beside(made.half_widths))


def _beside(places: Places) -> tuple[Finding, ...]:
    """Rows that do not lie alike on both sides: the seam comes to stand beside the middle."""
    most = default("rescue.off_centre_most")
    far = max(((abs(left - right) / 2, place) for place, (left, right) in places), default=(0.0, ""))
    if far[0] <= most:
        return ()
    return (finding("RESCUE-018", ("half_widths_mm",), by=far[0], place=far[1], most=most),)


def _half_widths(places: Places, worked: Worked, plan: Piece, named: Mapping[str, Mm]) -> Array | None:
    """What the pierced rows have more than planned, stitch to stitch, at the heights of the piece."""
    if not places:
        return None
    stitch = worked.upper.stitch_right[::-1]
    known = []
    for place, (left, right) in places:
        if not place:
            raise InputRefused(PLAIN.say("rescue.refuse.no_place"), ("half_widths_mm",))
        height = _on(place, named, worked)
        planned = float(np.interp(height, stitch[:, 1], stitch[:, 0]))
        known.append((on_axis(worked.form, height), left + right - 2 * planned))
    return _between(known, plan)


def _gaps(places: Places, worked: Worked, plan: Piece, named: Mapping[str, Mm]) -> Array | None:
    """Too wide or too narrow by the try-on: the gap wanted less the gap found, at the heights of the piece."""
    if not places:
        return None
    wanted = default("gate.try_on")
    known = [
        (0.0 if not place else on_axis(worked.form, _on(place, named, worked)), wanted - (left + right) / 2)
        for place, (left, right) in places
    ]
    return _between(known, plan)


def _on(place: str, named: Mapping[str, Mm], worked: Worked) -> Mm:
    """A height on the upper as the maker counts it."""
    height, top = height_of(place, named), worked.form.as_read(worked.form.marks.mouth)
    if not 0 <= height <= top + 0.5:
        said = PLAIN.say("rescue.refuse.beyond", place=place[:30], height=f"{top:.0f}")
        raise InputRefused(said, (place,))
    return height


def _between(known: list[tuple[Mm, Mm]], plan: Piece) -> Array:
    known.sort()
    return np.interp(plan.at, [height for height, _ in known], [value for _, value in known])
