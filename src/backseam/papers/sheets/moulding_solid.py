"""The moulded piece as a solid to turn: leather darkens where it is pulled and pales where it gathers.

One brown, no rainbow; the numbers themselves go along at the vertices for whoever wants to draw them otherwise.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from backseam.fit.moulding import Compared, Moulding
from backseam.ground.speech import Speech
from backseam.ground.units import Strain
from backseam.papers import glb
from backseam.papers.glb import Surface

Array = NDArray[np.float64]

DEEPEST: Strain = 0.10  # as dark, or as pale, as it gets
LEATHER, DARK, PALE = ((0xDD, 0xAA, 0x79), (0x5E, 0x38, 0x18), (0xFC, 0xFD, 0xFB))


def write(compared: Compared, title: str, speech: Speech) -> bytes:
    """Both mouldings as one GLB file, each a node of its own."""
    both = ((compared.computed, "computed"), (compared.hand, "hand"))
    return glb.write([solid(done, speech.say(f"moulding.glb.{name}")) for done, name in both], title)


def solid(done: Moulding, name: str) -> Surface:
    """One moulding: wall and flange, both halves."""
    found, share = done.field, done.mesh.share
    fields = {
        "stretch": found.most,
        "squeeze": found.least,
        "across": found.across,
        "along": found.along,
        "pressure": found.pressure,
    }
    space = found.space
    if done.mesh.mirrored:
        space = np.concatenate([space[:, :0:-1] * (-1, 1, 1), space], axis=1)
        fields = {key: np.concatenate([value[:, :0:-1], value], axis=1) for key, value in fields.items()}
        share = np.concatenate([-share[:0:-1], share])
    rows, columns = space.shape[:2]
    node = np.arange(rows * columns).reshape(rows, columns)
    a, b, c, d = (v.ravel() for v in (node[:-1, :-1], node[:-1, 1:], node[1:, 1:], node[1:, :-1]))
    return Surface(
        name=name,
        points=space.reshape(-1, 3),
        triangles=np.concatenate([np.stack([a, b, c], axis=-1), np.stack([a, c, d], axis=-1)]),
        colours=colours(fields["stretch"], fields["squeeze"]).reshape(-1, 3),
        values=tuple((key, value.ravel()) for key, value in fields.items()),
        notes=(
            ("largest_stretch", round(done.sums.most, 4)),
            ("largest_squeeze", round(done.sums.least, 4)),
            ("as_dark_as_it_gets", DEEPEST),
        ),
    )


def colours(most: Array, least: Array) -> Array:
    """Colour of leather by whichever of its two stretches is larger; on a screen, 0-1, (..., 3)."""
    pulled = np.where(most >= -least, most, least) / DEEPEST
    dark, pale = np.clip(pulled, 0.0, 1.0)[..., None], np.clip(-pulled, 0.0, 1.0)[..., None]
    base, low, high = (np.array(c) / 255 for c in (LEATHER, DARK, PALE))
    return np.asarray(base + dark * (low - base) + pale * (high - base))
