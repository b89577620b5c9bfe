"""The ring account: each height of the upper is a ring of its own. A limit of the band, and a check of it.

Fair for lips longer than about three decay lengths (13 mm at 2 mm of leather); a short lip it takes as if the leather
above and below did not help, and a line of contact it gives no force at all.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from backseam.fit.band import Contact, Wall

Array = NDArray[np.float64]


def ring_press(wall: Wall, gap: Array, wall_of: NDArray[np.intp] | None = None) -> Contact:
    """Loads of separate rings where the handle is larger than they are at rest.

    gap (n, m): girth of the handle less the rest girth, mm, for m cases; wall_of (m,): which wall each case has.
    Load at a height, N = E t gap / (L (1 + give)), over the height it stands for (half the steps to both sides).
    Source: strength-of-materials (thin ring). Tested: closed forms of `snap`, the band's limit without bending.
    """
    which = np.zeros(gap.shape[1], dtype=np.intp) if wall_of is None else wall_of
    excess = np.maximum(gap, 0.0)
    load = wall.hoop_rate()[:, which] * wall.spans()[:, None] * excess
    return Contact(load=load, excess=excess, steps=0, unsettled=0, residual=0.0)
