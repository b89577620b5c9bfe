"""Two hundred generated forms, seeded: what the flattening and its check are judged on.

Ranges, drawn evenly (mm unless said):

| | |
|---|---|
| height, bottom edge to mouth | 115-165 |
| thickest above the bottom edge | mouth less 3-15; necked: less 25-45 |
| liner end, share of the height of the thickest | 0.55-0.72 |
| liner at the bottom, width x depth | 15-20 x 23-29 |
| liner at its end, times that | 1.05-1.20 |
| thickest, width x depth | 24-30 x 31-38 |
| mouth, times the thickest | 0.97-1.00; necked: 0.82-0.90 |
| handle | oval, egg, octagon with arrises of 4 in turn; liner: octagon, every fourth oval |
| bend | 15-25 degrees over 30-50 that end 0-10 below the thickest; seam inside, seam outside, sideways in turn |
| heights counted | along the axis; bent: along the axis or the front in turn |
| leather | 1.6-2.4, fillet half of it, neutral layer in the middle |
| mouth edge | plain and folded in turn; flap half the leather, 0.8 at least, 12-18 deep, run out over 4 |

Readings are calipered at five heights, so the form is exactly what it is read to be. Of 200: 60 straight, 60 necked, 60
bent, 20 bent and necked.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from backseam.form.axis import Bend, Plane
from backseam.form.build import build
from backseam.form.form import Form, FormInput, Laid, Shape
from backseam.form.girth import Instrument, Reading
from backseam.form.landmarks import MarksRead
from backseam.leather.leather import Leather, State, Tight

SEED = 20261125
COUNT = 200
KINDS = (
    "straight",
    "necked",
    "bent",
    "straight",
    "necked",
    "bent",
    "straight",
    "necked",
    "bent",
    "bent necked",
)
HANDLES = ("oval", "egg", "octagon")
ROUNDED = 4.0  # arris of an octagon handle
BENDS = (("inside", Plane.SEAM, 1), ("outside", Plane.SEAM, -1), ("sideways", Plane.SIDE, 1))


@dataclass(frozen=True)
class Made:
    """One form with its leather. kind: of KINDS; bend: inside, outside, sideways or empty; angle: degrees."""

    number: int
    kind: str
    bend: str
    angle: float
    folded: bool
    form: Form
    leather: Leather

    @property
    def plain_straight(self) -> bool:
        """True for those that are neither necked nor bent: the narrower limit of girth strain holds for them."""
        return self.kind == "straight"


def forms(count: int = COUNT, seed: int = SEED) -> Iterator[Made]:
    """The forms in order; the same for the same seed."""
    for number in range(count):
        yield made(number, seed)


def made(number: int, seed: int = SEED) -> Made:
    """One of them."""
    draw = np.random.default_rng([seed, number])
    kind = KINDS[number % len(KINDS)]
    necked, bent = "necked" in kind, "bent" in kind
    mouth = draw.uniform(115, 165)
    thickest = mouth - (draw.uniform(25, 45) if necked else draw.uniform(3, 15))
    liner_end = thickest * draw.uniform(0.55, 0.72)
    bottom = np.array([draw.uniform(15, 20), draw.uniform(23, 29)])
    end = bottom * draw.uniform(1.05, 1.20)
    thick = np.array([draw.uniform(24, 30), draw.uniform(31, 38)])
    top = thick * (draw.uniform(0.82, 0.90) if necked else draw.uniform(0.97, 1.00))
    between = (liner_end + thickest) / 2
    middle = (end + thick) / 2 + (thick - end) * draw.uniform(0.0, 0.15)
    stations = ((0.0, bottom), (liner_end, end), (between, middle), (thickest, thick), (mouth, top))
    turn = number // len(KINDS) + number
    name, plane, sign = BENDS[turn % 3]
    angle, stop, length = draw.uniform(15, 25), thickest - draw.uniform(0, 10), draw.uniform(30, 50)
    thickness = draw.uniform(1.6, 2.4)
    folded = bool((number // len(KINDS) + number) % 2)
    depth = draw.uniform(12, 18)
    given = FormInput(
        readings=tuple(
            Reading(u, None, Instrument.CALIPER, thickness, 0.0, float(w), float(d), index=i)
            for i, (u, (w, d)) in enumerate(stations)
        ),
        shapes=_shapes(number, liner_end, thickest),
        bend=Bend(plane, sign, float(np.radians(angle)), stop - length, stop) if bent else Bend(),
        marks=MarksRead(mouth=mouth, thickest=thickest, liner_end=liner_end, junction=liner_end, grooves=()),
        laid=Laid(
            thickness=thickness,
            radius=thickness / 2,
            neutral=0.5,
            flap=max(thickness / 2, 0.8) if folded else 0.0,
            depth=depth if folded else 0.0,
        ),
        heights_along="front" if bent and (number // 3) % 2 else "axis",
    )
    leather = Leather((thickness,), Tight.ALONG, "shoulder", State.DAMP, 0.0, 0.0, 0.5)
    return Made(number, kind, name if bent else "", angle if bent else 0.0, folded, build(given), leather)


def _shapes(number: int, liner_end: float, thickest: float) -> tuple[Shape, ...]:
    liner = "octagon" if number % 4 else "oval"
    handle = HANDLES[(number // 2) % 3]
    top = Shape("octagon", thickest, arris=ROUNDED) if handle == "octagon" else Shape(handle, thickest)
    return (Shape(liner, 0.0), Shape(liner, liner_end), top)
