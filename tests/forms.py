"""Forms for tests: tubes, cones and barrels from readings, invented."""

from __future__ import annotations

import numpy as np

from backseam.form.axis import Bend
from backseam.form.build import build
from backseam.form.form import Form, FormInput, Laid, Shape
from backseam.form.girth import Instrument, Reading
from backseam.form.landmarks import MarksRead

LAID = Laid(thickness=2.0, radius=1.0, neutral=0.5)


def caliper(station: float, width: float, depth: float, **more: object) -> Reading:
    """A width and a depth."""
    return Reading(station, None, Instrument.CALIPER, 2.0, 2.0, width, depth, **more)  # type: ignore[arg-type]


def strap(station: float, reading: float, **more: object) -> Reading:
    """A butted strap of 2 mm leather."""
    return Reading(station, reading, Instrument.STRAP_BUTTED, 2.0, 0.5, **more)  # type: ignore[arg-type]


def form(
    *readings: Reading,
    shapes: tuple[Shape, ...] = (Shape("oval"),),
    bend: Bend | None = None,
    laid: Laid = LAID,
    mouth: float | None = None,
    thickest: float | None = None,
    along: str = "axis",
) -> Form:
    """A form from readings; landmarks as given, no grooves."""
    top = max(r.station for r in readings) if mouth is None else mouth
    marks = MarksRead(mouth=top, thickest=top if thickest is None else thickest, junction=None, grooves=())
    return build(FormInput(readings, shapes, bend or Bend(), marks, laid, along))


def tube(diameter: float = 40.0, height: float = 100.0, laid: Laid = LAID) -> Form:
    """A straight round tube."""
    return form(caliper(0, diameter, diameter), mouth=height, laid=laid)


def cone(bottom: float, top: float, height: float = 100.0, laid: Laid = LAID) -> Form:
    """A round cone, radii at its ends."""
    return form(caliper(0, 2 * bottom, 2 * bottom), caliper(height, 2 * top, 2 * top), laid=laid)


def barrel(necked: bool = False, bend: Bend | None = None, laid: Laid = LAID) -> Form:
    """Octagon liner to an oval swell, 180 high."""
    thick, mouth = ((28, 36), (23, 31)) if necked else ((26, 34.5), (24, 32))
    return form(
        caliper(0, 18, 26),
        caliper(95, 21.5, 30.5),
        caliper(130, *thick),
        caliper(180, *mouth),
        shapes=(Shape("octagon", 0), Shape("octagon", 95), Shape("oval", 130)),
        bend=bend,
        laid=laid,
        thickest=130.0,
    )


def deg(angle: float) -> float:
    """Degrees in radians."""
    return float(np.radians(angle))
