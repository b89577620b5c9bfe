"""The flat piece: what is cut, where it is sewn, folded, pressed and trimmed.

Conventions (`docs/words.md`): grain side up, mouth up; x = 0 on the centre line, + to the right; y = 0 where the
centre line meets the bottom edge. All outlines are (n, 2) arrays in mm, in the state of leather that `Leather` names,
allowance included. Lines run from mouth to bottom; closed outlines run counter-clockwise and are not repeated.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.ground.findings import Finding
from backseam.ground.units import Mm, Strain

Line = NDArray[np.float64]  # (n, 2), mm


@dataclass(frozen=True)
class StationRow:
    """One station of the table: the girths by name, and the half widths by both ways.

    girth_form: bare form as laid (film included); girth_neutral: of the leather's neutral layer; stitch_to_stitch:
    along that layer round the form; half_width_hand: the hand method's x; half_width: x of the computed stitch line
    at y = station; spread: of the half width (half width of the band, 95 %); layers: 1, or 2 under the collar.
    """

    name: str
    station: Mm
    girth_form: Mm
    girth_butted: Mm
    girth_neutral: Mm
    stitch_to_stitch: Mm
    half_width_hand: Mm
    half_width: Mm
    spread: Mm
    width: Mm
    depth: Mm
    stitch_from_form: Mm
    reading_index: int | None
    layers: int


@dataclass(frozen=True)
class Stretch:
    """What the piece must give in moulding, from the flattening: principal strains, positive = stretched."""

    most: Strain
    least: Strain
    p99: Strain
    most_at: Mm  # height of the largest stretch
    least_at: Mm
    girth_most: Strain
    girth_least: Strain
    steps: int  # Gauss-Newton steps taken
    residual: Mm  # what one step more of the solver would move a node


@dataclass(frozen=True)
class PressLine:
    """A grip groove as a line on the piece."""

    name: str
    station: Mm
    line: Line


@dataclass(frozen=True)
class Tick:
    """A station mark: both sides meet here when sewn. left and right are points on the stitch lines."""

    name: str
    station: Mm
    left: tuple[Mm, Mm]
    right: tuple[Mm, Mm]


@dataclass(frozen=True)
class HandLine:
    """The maker's own way: half the butted strap girth each side at its height, dots joined."""

    dots: Line  # right side, mouth to bottom
    largest_difference: Mm  # computed minus hand, signed, where it is largest in size
    at: Mm
    largest_below_collar: Mm
    below_collar_at: Mm
    length: Mm  # of one side's joined dots


@dataclass(frozen=True)
class Upper:
    """The flat piece. See the module's conventions.

    cut: outline to cut now, flap and clamp width included. trim: the two lines to trim at after drying.
    glue: the two outer borders of the glue band. fold: mouth line (y of the finished edge). flap: outline of the
    part turned in, above the fold (empty array if plain). flap_end: where the flap's raw edge comes to lie on the
    piece, for a hidden line. skive: the line from which the flap is thinned. bottom: the bottom edge, stitch line to
    stitch line. bottom_sag, mouth_sag: how far a straight cut would be off at the stitch line, mm, signed
    (y at the stitch line minus y on the centre line). snips: points on the flange where to snip outside the glue band.
    """

    cut: Line
    stitch_left: Line
    stitch_right: Line
    trim_left: Line
    trim_right: Line
    glue_left: Line
    glue_right: Line
    fold: Line
    flap: Line
    flap_end: Line
    skive: Line
    bottom: Line
    height: Mm  # on the centre line, bottom edge to mouth
    turn_in: Mm  # flat length above the fold on the centre line
    mouth_sag: Mm
    bottom_sag: Mm
    press: tuple[PressLine, ...]
    ticks: tuple[Tick, ...]
    snips: tuple[tuple[Mm, Mm], ...]
    hand: HandLine
    stretch: Stretch
    stations: tuple[StationRow, ...]
    findings: tuple[Finding, ...]
