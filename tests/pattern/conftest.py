"""One ordinary sheath: 2 mm shoulder, folded collar, 4 mm fork, thong of 5."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from backseam.leather.leather import Leather, State, Tight
from backseam.pattern.construction import (
    Collar,
    CollarKind,
    Construction,
    Flange,
    Hand,
    Hanger,
    HangerKind,
    Stitching,
    Tool,
)


@pytest.fixture
def leather() -> Leather:
    return Leather((2.0,), Tight.ALONG, "shoulder", State.DAMP, 0.0, 0.0, 0.5)


@pytest.fixture
def collar() -> Collar:
    return Collar(CollarKind.FOLDED, depth=15.0, flap=1.0, skive=19.0, runout=4.0, inside=0.5)


@pytest.fixture
def stitching() -> Stitching:
    return Stitching(
        pitch=4.0,
        tool=Tool.FORK,
        teeth=4,
        slant=45.0,
        awl=2.2,
        first=5.0,
        last=4.0,
        thread=0.8,
        slack=0.05,
        locking=3,
        tail=200.0,
    )


@pytest.fixture
def hanger() -> Hanger:
    return Hanger(
        kind=HangerKind.THONG,
        width=5.0,
        thickness=2.5,
        hole=5.0,
        holes_a_side=3,
        from_stitch=8.0,
        rows_apart=12.0,
        top_below_flap=10.0,
        belt_width=40.0,
        belt_thickness=4.0,
        play=15.0,
        drop=30.0,
        creep=0.03,
    )


@pytest.fixture
def construction(collar: Collar, stitching: Stitching, hanger: Hanger) -> Construction:
    return Construction(
        seam_inside_radius=1.0,
        collar=collar,
        flange=Flange(glue=15.0, clamp=25.0, trimmed=5.0),
        stitching=stitching,
        hanger=hanger,
        rough_margin=10.0,
        film=0.03,
        hand=Hand.RIGHT,
        ring_height=20.0,
        ring_holes_a_side=5,
    )


@pytest.fixture
def stitch_line() -> NDArray[np.float64]:
    """A right stitch line from the mouth at 155 to the bottom edge, with the step of a collar."""
    y = np.linspace(155.0, 0.0, 800)
    s = np.clip((y - 136.0) / 4.0, 0.0, 1.0)
    x = 41.0 + 8.0 * np.sin(y / 155.0 * 1.9) + 1.35 * s**3 * (10 - 15 * s + 6 * s**2)
    return np.stack([x, y], axis=-1)
