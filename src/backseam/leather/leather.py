"""The leather of one job: thickness as read, which way it is tight, in which state the pattern is laid on it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from backseam.ground.units import Mm, Share, Strain


class State(StrEnum):
    """A millimetre on leather holds in one state."""

    DRY = "dry"
    DAMP = "damp"
    FINISHED = "finished"


class Tight(StrEnum):
    """Direction in which the skin yields least, on the piece."""

    ALONG = "along"  # mouth to bottom
    ACROSS = "across"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Leather:
    """Thickness readings (1 to 5, mm), tight direction, part of the hide, state, allowances for that state.

    allowance_across and allowance_along are shares, positive = cut wider or longer.
    neutral_layer: its place from the inside of a bend, as a share of the thickness.
    fold_crack: stretch at which the grain of a cased, skived fold cracks; None: as the house has it.
    """

    thicknesses: tuple[Mm, ...]
    tight: Tight
    part: str
    state: State
    allowance_across: Share
    allowance_along: Share
    neutral_layer: Share
    fold_crack: Strain | None = None

    @property
    def thickness(self) -> Mm:
        """Mean of the readings."""
        return sum(self.thicknesses) / len(self.thicknesses)

    @property
    def thickness_spread(self) -> Mm:
        """Half the range of the readings."""
        return (max(self.thicknesses) - min(self.thicknesses)) / 2
