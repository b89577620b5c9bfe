"""How this sheath is to be built: every decision of the maker that shapes the upper and its seam.

All lengths mm, angles degrees. Nothing here is optional: `job.inputs` fills what the maker left open from
`ground/defaults.toml`, so that a pattern never depends on a default hidden in a formula.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from backseam.ground.units import Degree, Mm, Share


class CollarKind(StrEnum):
    """What the mouth is."""

    FOLDED = "folded"
    PLAIN = "plain"


class Tool(StrEnum):
    """What the holes are struck or marked with."""

    IRON = "iron"
    WHEEL = "wheel"
    FORK = "fork"
    FREE = "free"


class HangerKind(StrEnum):
    """What carries the sheath."""

    THONG = "thong"
    STRAP = "strap"
    NONE = "none"


class Hand(StrEnum):
    """The hand that draws the knife."""

    RIGHT = "right"
    LEFT = "left"


@dataclass(frozen=True)
class Collar:
    """The folded-in band at the mouth. flap: thickness after skiving; skive: width of the skived band."""

    kind: CollarKind
    depth: Mm
    flap: Mm
    skive: Mm
    runout: Mm
    inside: Mm

    @property
    def folded(self) -> bool:
        """True if the mouth is turned in."""
        return self.kind is CollarKind.FOLDED


@dataclass(frozen=True)
class Flange:
    """The two edges outside the stitch line; all widths from the stitch line outward."""

    glue: Mm
    clamp: Mm
    trimmed: Mm


@dataclass(frozen=True)
class Stitching:
    """Holes and thread. teeth: of an iron or fork (0 otherwise); first below the mouth, last above the edge."""

    pitch: Mm
    tool: Tool
    teeth: int
    slant: Degree
    awl: Mm
    first: Mm
    last: Mm
    thread: Mm
    slack: Share
    locking: int
    tail: Mm


@dataclass(frozen=True)
class Hanger:
    """Thong through round holes, or strap through slits. width and thickness are the thong's or the strap's."""

    kind: HangerKind
    width: Mm
    thickness: Mm
    hole: Mm
    holes_a_side: int
    from_stitch: Mm
    rows_apart: Mm
    top_below_flap: Mm
    belt_width: Mm
    belt_thickness: Mm
    play: Mm
    drop: Mm
    creep: Share


@dataclass(frozen=True)
class Construction:
    """All of it. seam_inside_radius: grain-side radius of the fillet; film: all turns together, on the form."""

    seam_inside_radius: Mm
    collar: Collar
    flange: Flange
    stitching: Stitching
    hanger: Hanger
    rough_margin: Mm
    film: Mm
    hand: Hand
    ring_height: Mm
    ring_holes_a_side: int
    offcut: tuple[Mm, Mm] | None = None
