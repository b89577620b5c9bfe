"""Thread: worked seams, the trade's multipliers, and size systems against their definitions and tables."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from backseam.pattern.construction import Stitching, Tool
from backseam.pattern.seam import Seam, strike
from backseam.pattern.thread import Thread, linen_tex, measure, thread_diameter

FLAX, POLYESTER, NYLON = 1.50, 1.38, 1.14  # g/cm3, fibre handbooks (from memory)


def straight_seam(length: float, pitch: float, thickness: float, **changed: float) -> tuple[Seam, Stitching]:
    """A seam of `length`, first hole to last, through `thickness` everywhere."""
    values = {"slack": 0.05, "tail": 200.0, **changed}
    stitching = Stitching(pitch, Tool.FREE, 0, 45.0, 2.2, 0.0, 0.0, 0.8, values["slack"], 3, values["tail"])
    seam = strike(
        np.array([[47.0, length], [47.0, 0.0]]),
        stitching,
        collar_from_mouth=0.0,
        leather=thickness / 2,
        flap=0.0,
        folded=False,
        trimmed=5.0,
    )
    return seam, stitching


def thread(length: float, pitch: float, thickness: float, **changed: float) -> Thread:
    return measure(*straight_seam(length, pitch, thickness, **changed))


@pytest.mark.parametrize(
    ("length", "pitch", "thickness", "stitches", "bare", "total"),
    [
        (180, 4, 4, 45, 720, 1204),
        (180, 3, 4, 60, 840, 1324),
        (180, 5, 4, 36, 648, 1134),
        (220, 4, 5, 55, 990, 1494),
        (180, 4, 8, 45, 1080, 1606),
    ],
)
def test_five_worked_seams(
    length: float, pitch: float, thickness: float, stitches: int, bare: float, total: float
) -> None:
    """Worked by hand: N 2(p + T) x 1.05 + 6 (p + T) + 400, printed to a millimetre."""
    seam, stitching = straight_seam(length, pitch, thickness)
    assert seam.count == stitches + 1
    found = measure(seam, stitching)
    assert found.path / 1.05 == pytest.approx(bare, abs=1e-6)
    exact = bare * 1.05 + 6 * (pitch + thickness) + 400
    assert found.length == pytest.approx(exact, abs=1e-9)
    assert abs(found.length - total) <= 0.5


@pytest.mark.parametrize(
    ("thickness", "row"),
    [
        (3, (4.0, 3.7, 3.5, 3.3, 3.2, 3.0)),
        (4, (4.7, 4.3, 4.0, 3.8, 3.6, 3.3)),
        (5, (5.3, 4.9, 4.5, 4.2, 4.0, 3.7)),
        (6, (6.0, 5.4, 5.0, 4.7, 4.4, 4.0)),
        (8, (7.3, 6.6, 6.0, 5.6, 5.2, 4.7)),
    ],
)
def test_how_many_seams_of_thread_without_ends(thickness: float, row: tuple[float, ...]) -> None:
    """The trade's table of multipliers, 2 (1 + T/p) to one decimal."""
    for pitch, times in zip((3.0, 3.5, 4.0, 4.5, 5.0, 6.0), row, strict=True):
        found = thread(63 * pitch, pitch, thickness, slack=0.0)
        assert found.path / (63 * pitch) == pytest.approx(times, abs=0.051)


def test_four_millimetre_pitch_through_four_is_four_times_the_seam() -> None:
    """Common practice, no source: "four times the seam", ends not counted."""
    found = thread(180.0, 4.0, 4.0, slack=0.0)
    assert found.path == pytest.approx(4 * 180.0)
    assert found.rule_of_thumb == pytest.approx(found.path)


def test_a_pound_of_lea_one_is_three_hundred_yards() -> None:
    """Definition of the linen lea, with pound 453.59237 g and yard 0.9144 m (agreement of 1959)."""
    metres = 300 * 0.9144
    assert linen_tex(1, 1) == pytest.approx(453.59237 / metres * 1000)
    assert 1000 / linen_tex(1, 1) == pytest.approx(0.6048, abs=5e-5)  # one lea in km per kg


@pytest.mark.parametrize(
    ("lea", "plies", "tex", "thin", "thick"),
    [
        (60, 3, 83, 0.34, 0.44),
        (40, 3, 124, 0.42, 0.53),
        (35, 3, 142, 0.45, 0.57),
        (30, 3, 165, 0.48, 0.62),
        (25, 3, 198, 0.53, 0.67),
        (18, 2, 184, 0.51, 0.65),
        (18, 3, 276, 0.62, 0.80),
        (18, 4, 367, 0.72, 0.92),
        (18, 5, 459, 0.81, 1.03),
    ],
)
def test_linen_sizes(lea: float, plies: int, tex: float, thin: float, thick: float) -> None:
    """Table of linen threads: weight by definition of the lea, diameter for a packing of 0.60 to 0.37."""
    weight = linen_tex(lea, plies)
    assert weight == pytest.approx(tex, abs=0.6)
    assert thread_diameter(weight, FLAX, 0.60) == pytest.approx(thin, abs=0.0065)
    assert thread_diameter(weight, FLAX, 0.37) == pytest.approx(thick, abs=0.0065)


@pytest.mark.parametrize(
    ("lea", "plies", "low", "high"),
    [
        (30, 3, 0.50, 0.60),
        (25, 3, 0.60, 0.70),
        (18, 2, 0.65, 0.75),
        (18, 3, 0.75, 0.90),
        (18, 4, 0.90, 1.00),
    ],
)
def test_published_diameters_of_waxed_linen(lea: float, plies: int, low: float, high: float) -> None:
    """Source: linen-thread-diameters. Taken as lea they imply the packing of twisted waxed thread.

    Taken as metric counts it would be 0.19 to 0.28, looser than any thread that is spun.
    """
    middle = (low + high) / 2
    packing = (thread_diameter(linen_tex(lea, plies), FLAX, 1.0) / middle) ** 2
    assert 0.31 <= packing <= 0.47
    if_metric = (thread_diameter(1000 * plies / lea, FLAX, 1.0) / middle) ** 2
    assert 0.19 <= if_metric <= 0.285


@pytest.mark.parametrize(
    ("tex", "polyester", "nylon"),
    [
        (70, 0.30, 0.33),
        (90, 0.33, 0.37),
        (135, 0.41, 0.45),
        (210, 0.51, 0.56),
        (270, 0.58, 0.64),
        (350, 0.66, 0.73),
    ],
)
def test_bonded_sizes(tex: float, polyester: float, nylon: float) -> None:
    """Table of bonded threads at a packing of 0.74."""
    assert thread_diameter(tex, POLYESTER, 0.74) == pytest.approx(polyester, abs=0.0065)
    assert thread_diameter(tex, NYLON, 0.74) == pytest.approx(nylon, abs=0.0065)


def test_a_thread_weighs_what_its_diameter_says() -> None:
    """Weight of a cylinder: 1 km of a solid flax thread of 1 mm is pi/4 x 1.5 kg."""
    assert thread_diameter(pi / 4 * 1500, FLAX, 1.0) == pytest.approx(1.0)


@pytest.mark.parametrize(("diameter", "low", "high"), [(0.6, 1.5, 1.8), (0.8, 2.0, 2.4), (1.0, 2.5, 3.0)])
def test_awls_for_threads(diameter: float, low: float, high: float) -> None:
    """Common practice, no source: blade 2.5 to 3 times the thread wide (0.8: 2.0 to 2.4)."""
    seam, stitching = straight_seam(180.0, 4.0, 4.0)
    found = measure(seam, Stitching(**{**stitching.__dict__, "thread": diameter}))
    assert (found.awl_low, found.awl_high) == (pytest.approx(low), pytest.approx(high))
