"""The trial ring: a strip of the hide sewn damp on the wrapped handle and dried. Worth more than all other tests.

Its girth off the handle holds shrinkage, springback, set, pinch and tightness at once, and one pull at it friction
times stiffness, before the upper is cut.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import isfinite, pi

import numpy as np
from numpy.typing import NDArray

from backseam.geom.normal import normal_point
from backseam.ground.errors import InputRefused
from backseam.ground.findings import Finding, finding
from backseam.ground.sources import Value, values
from backseam.ground.speech import PLAIN
from backseam.ground.units import Mm, Newton, Share
from backseam.leather.evidence import PULL_INS, Finished, gathered_log, learning
from backseam.leather.records import TAIL_POINT, at_point, leather_records
from backseam.leather.together import FRICTIONS, STIFFNESS
from backseam.leather.wet import throws

Array = NDArray[np.float64]

WAYS = 61  # ways in which the rest of a ring may be; a prime, for the lattice
UNKNOWN = ("handle", "film", "set.kept", "fit.slack_kept", "piece", "thickness", "between")


@dataclass(frozen=True)
class Ring:
    """A dried ring. handle: bare girth where it sat, mm ± spread (half width, 95 %); cut: share by which it was cut
    longer than stitch to stitch (allowance across, negative: tighter); height, thickness mm; film: all turns, mm.

    inside: girth off the handle; pulls: largest forces while it came off along the handle, film out, N.
    give: what the seam fillet adds to the ring's own stretch, a share of it. waxed: the handle was waxed.
    """

    handle: Mm
    inside: Mm | None
    pulls: tuple[Newton, ...] = ()
    cut: Share = 0.0
    height: Mm = 20.0
    thickness: Mm = 2.0
    film: Mm = 0.03
    spread: Mm = 0.5
    give: Share = 0.16
    waxed: bool = False
    test: str = "ring"


@cache
def ways() -> Array:
    """Points of the normal curve for each unknown of a ring, (unknowns, WAYS)."""
    points = normal_point(throws(WAYS, len(UNKNOWN)))
    points.setflags(write=False)
    return points


def ring_draw(
    stiffness: float, friction: float, thickness: Mm, tight: Array, height: Mm, give: Share
) -> Array:
    """Pull that slides a stretched ring along a straight handle, N.

    Hoop tension N = E t e/(1 + give) a millimetre of height presses with 2 pi N all round, whatever the section:

        F = mu 2 pi E t e h/(1 + give)                              none where it is slack

    Valid while the handle neither tapers nor swells under the ring. Source: strength-of-materials (thin ring on a
    core). Tested: a steel tyre on its wheel (printed worked example), by hand.

    >>> round(float(ring_draw(50.0, 0.35, 2.0, np.array(0.01), 20.0, 0.0)), 1)       # 0.35 x 2 pi x 1 N/mm x 20
    44.0
    """
    return np.asarray(
        friction * 2 * pi * stiffness * thickness * np.maximum(tight, 0.0) * height / (1 + give)
    )


def finished_ring(ring: Ring, leather: Mapping[str, Value]) -> tuple[Finished, tuple[Finding, ...]]:
    """What the ring says, for every pull-in tried and every way the rest may be.

        tight = pull_in + (1 - set) x stretch   or   pull_in + slack_kept x stretch;  less 2 pi film/handle
        inside = handle x (1 - tight);  stretch = 1/(1 + cut) - 1, and what reading and marking are off

    leather: records in force. Raises InputRefused for sizes that are none. Source: derived (finished rest girth).
    Tested: a ring of known tightness, a slack one, pulls of 0 and 900 N, girths no ring has.
    """
    _refuse(ring)
    point = dict(zip(UNKNOWN, ways(), strict=True))
    off = ring.spread / 2 * point["handle"]
    piece = values()["fit.piece_spread"].value / 2 * point["piece"]
    handle = ring.handle + off
    stretch = 1 / (1 + ring.cut) - 1 + (off + piece) / ring.handle
    slack = values()["fit.slack_kept"]
    kept = np.where(
        stretch > 0, 1 - at_point(leather["set.kept"], point["set.kept"]), at_point(slack, point[slack.name])
    )
    film = np.maximum(ring.film + _half("reading.film") * point["film"], 0.0)
    own = learning("learn.pull_in_between") * point["between"] + kept * stretch - 2 * pi * film / ring.handle
    tight = PULL_INS[:, None] + own
    thickness = ring.thickness + values()["fit.thickness_spread"].value / 2 * point["thickness"]
    known = leather_records()
    friction = known[FRICTIONS[2] if ring.waxed else FRICTIONS[0]].value
    draw = ring_draw(known[STIFFNESS].value, friction, thickness, tight, ring.height, ring.give)
    inside, girth_found = _girth(ring)
    pull, least, most, pull_found = read_pulls(ring.pulls, ring.test)
    insides, girths = ((handle * (1 - tight),), (inside,)) if inside is not None else ((), ())
    finished = Finished(ring.test, insides, draw, girths, learning("learn.ring_read"), pull, least, most)
    return finished, (*girth_found, *pull_found)


def read_pulls(
    pulls: tuple[Newton, ...], test: str
) -> tuple[Newton | None, Newton | None, Newton | None, tuple[Finding, ...]]:
    """One pull from several, wild ones counting little; or limits where none can be used.

    Below what a luggage scale tells, it is only known to be less than that. Above what a sheath takes, nothing is.
    """
    usual = values()["fit.pull"]
    found = [
        finding("LEARN-013", (test,), test=test, pull=f"{pull:g}", low=usual.low, high=usual.high)
        for pull in pulls
        if not (isfinite(pull) and usual.low <= pull <= usual.high)
    ]
    used = [pull for pull in pulls if isfinite(pull) and usual.low <= pull <= usual.high]
    if used:
        noise = values()["fit.pull_noise"].value
        return gathered_log(used, [noise] * len(used)).value, None, None, tuple(found)
    weak = [pull for pull in pulls if isfinite(pull) and 0 <= pull < usual.low]
    return None, None, usual.low if weak else None, tuple(found)


def _girth(ring: Ring) -> tuple[Mm | None, tuple[Finding, ...]]:
    """The girth inside, if a ring dried on this handle can have it."""
    if ring.inside is None:
        return None, ()
    rest = values()["fit.rest"]
    least, most = ring.handle * (1 - rest.high), ring.handle * (1 - rest.low)
    if isfinite(ring.inside) and least <= ring.inside <= most:
        return ring.inside, ()
    numbers = {"girth": f"{ring.inside:g}", "handle": ring.handle, "least": least, "most": most}
    return None, (finding("LEARN-014", (ring.test,), test=ring.test, **numbers),)


def _half(name: str) -> float:
    record = values()[name]
    return (record.high - record.value) / TAIL_POINT


def _refuse(ring: Ring) -> None:
    sizes = {"handle": ring.handle, "height": ring.height, "thickness": ring.thickness}
    for name, size in sizes.items():
        if not (isfinite(size) and size > 0):
            raise InputRefused(PLAIN.say("learn.refuse.size", test=ring.test, name=name, value=f"{size:g}"))
    if not (isfinite(ring.cut) and abs(ring.cut) < 0.5):
        raise InputRefused(PLAIN.say("learn.refuse.cut", test=ring.test, cut=ring.cut))
