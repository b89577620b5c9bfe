"""Trial ring: a strip of the same hide for one station, sewn damp on the wrapped handle and dried
overnight."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np

from backseam.ground.sources import default, values
from backseam.ground.units import Mm
from backseam.pattern.construction import Stitching
from backseam.pattern.seam import Hole, mirrored, row

VERSION = 1


@dataclass(frozen=True)
class TrialRing:
    """A strip `width` x `height`, centre line at x = 0, y from 0 to height; stitch lines at x = ±length/2.

    length: stitch to stitch; inside: girth expected off the handle, ± inside_spread.
    """

    name: str
    station: Mm
    length: Mm
    height: Mm
    width: Mm
    left: tuple[Hole, ...]
    right: tuple[Hole, ...]
    inside: Mm
    inside_spread: Mm


def ring_pitch(pitch: Mm, height: Mm, holes: int, edge: Mm) -> Mm:
    """Pitch at which `holes` fit on a strip with `edge` kept clear at both ends: the job's own if it fits.

    >>> ring_pitch(4.0, 20.0, 5, 2.0), ring_pitch(5.0, 20.0, 5, 2.0)   # 4 gaps in 20 - 2 x 2
    (4.0, 4.0)
    """
    return min(pitch, (height - 2 * edge) / max(holes - 1, 1))


def cut(
    name: str,
    station: Mm,
    length: Mm,
    *,
    girth: Mm,
    spread: Mm,
    leather: Mm,
    stitching: Stitching,
    clamp: Mm,
    height: Mm,
    holes_a_side: int,
) -> TrialRing:
    """The strip for one station, usually the thickest.

    length: stitch to stitch there for one layer (no collar, even if the collar reaches this station).
    girth: of the form as it is wrapped for sewing, film included, ± spread. clamp: flange to leave outside
    each stitch line.

    Inside girth expected off the handle: the girth it was sewn on. The spread takes in the reading and the
    drying, which nobody knows to better than about 1 % before the first ring: the root of the sum of both
    squares. A ring that reads less has shrunk or sprung in, one that reads more was pinched slack: that is
    what it measures.
    """
    edge = max(default("holes.edge_least"), leather)
    pitch = ring_pitch(stitching.pitch, height, holes_a_side, edge)
    first = (height - pitch * (holes_a_side - 1)) / 2
    line = np.array([[length / 2, height], [length / 2, 0.0]])
    right = row(
        line,
        first + np.linspace(0.0, pitch * (holes_a_side - 1), holes_a_side),
        stitching.slant,
        leather=leather,
    )
    drying = values()["leather.allowance_across"].high * girth
    return TrialRing(
        name=name,
        station=station,
        length=length,
        height=height,
        width=length + 2 * clamp,
        left=mirrored(right),
        right=right,
        inside=girth,
        inside_spread=hypot(spread, drying),
    )
