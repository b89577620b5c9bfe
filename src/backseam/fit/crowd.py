"""Drawn sheaths as a crowd: their sizes, stiffness and friction, and what pulls or pushes each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from backseam.fit.draws import Sheaths, draw, unknowns
from backseam.fit.grip import Grip
from backseam.fit.response import Loads, Sizes, sizes_of
from backseam.fit.tested import Measured, with_girth
from backseam.ground.units import Mm
from backseam.leather.material import Material
from backseam.leather.records import at_point

Array = NDArray[np.float64]
Index = NDArray[np.intp]

OUT, IN = -1, 1


@dataclass(frozen=True)
class Friction:
    """Of n sheaths, (n,): flesh side, and what the upper zone has against the handle."""

    flesh: Array
    upper: Array


@dataclass(frozen=True)
class Crowd:
    """Drawn sheaths with their sizes, their stiffness over the grip's own (n,), and their friction."""

    sheaths: Sheaths
    sizes: Sizes
    stiff: Array
    dry: Friction
    wax: Friction

    def chosen(self, index: Index, stiffness: Array) -> Crowd:
        """Those with these numbers, their stiffness, MPa, replaced."""
        old = self.sheaths.drawn["stiffness.hoop"][index]
        pick = [Friction(one.flesh[index], one.upper[index]) for one in (self.dry, self.wax)]
        sheaths = self.sheaths.chosen(index).replaced("stiffness.hoop", stiffness)
        return Crowd(sheaths, self.sizes.of(index), self.stiff[index] * stiffness / old, *pick)


def gather(
    held: Grip, material: Material, thickness_spread: Mm, known: Measured, seed: int, samples: int
) -> Crowd:
    """Sheaths drawn for one grip, the measured girth in."""
    sheaths = draw(unknowns(held, material, thickness_spread), seed, samples)
    return crowd_of(held, material, sheaths, known)


def crowd_of(held: Grip, material: Material, sheaths: Sheaths, known: Measured) -> Crowd:
    """Sizes, stiffness and friction of drawn sheaths."""
    alone = sizes_of(held, sheaths)
    sizes = with_girth(alone, held, known, sheaths)
    stiff = sheaths.drawn["stiffness.hoop"] / material.value("stiffness.hoop")
    stiff = stiff * _known_together(material, sheaths, sizes.tight[:, 0] - alone.tight[:, 0])
    return Crowd(sheaths, sizes, stiff, *_frictions(held, material, sheaths))


def _known_together(material: Material, sheaths: Sheaths, measured: Array) -> Array:
    """By what stiffness differs because pull-in does, (n,): pulls of a hide tell the two only together.

        exp(slope x (pull_in - its value)),  slope: record `stiffness.with_pull_in`, 0 for leather nobody tested

    measured: what a measured girth adds to the pull-in drawn. Source: textbook (linear regression).
    Tested: a learnt hide's band is that of its joint belief.
    """
    slope = material.value("stiffness.with_pull_in")
    if not slope:
        return np.ones(sheaths.count)
    return np.exp(slope * (sheaths.drawn["set.pull_in"] + measured - material.value("set.pull_in")))


def _frictions(held: Grip, material: Material, sheaths: Sheaths) -> tuple[Friction, Friction]:
    """Dry and waxed. One handle, one finish: grain, flesh and wax lie high or low together."""
    flesh_record = material.friction("flesh")
    point = sheaths.point(flesh_record.name)
    flesh = sheaths.drawn[flesh_record.name]
    usual = at_point(flesh_record, point)
    beside = np.where(
        usual > 0, flesh / np.where(usual > 0, usual, 1.0), 1.0
    )  # 1, but where it is moved a step
    grain = at_point(material.friction("grain"), point) * beside
    wax = np.minimum(at_point(material.friction(waxed=True), point) * beside, flesh)
    upper = grain if held.folded else flesh
    return Friction(flesh, upper), Friction(wax, wax)


def force(loads: Loads, crowd: Crowd, way: int, friction: Friction | None = None) -> Array:
    """Axial force (q, n), N: drawing (OUT) or pushing (IN). Negative: it goes that way by itself."""
    mu = friction or crowd.dry
    upper = mu.upper * loads.upper + way * (1 + mu.upper**2) * loads.upper_slope
    lower = mu.flesh * loads.lower + way * (1 + mu.flesh**2) * loads.lower_slope
    return np.asarray(crowd.stiff * (upper + lower))
