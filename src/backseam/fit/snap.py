"""Short closed forms that the band must agree with: the handbook's snap joint, a shell's edge, a lip of constant curve.

None of these is used for the forecast; each is a check of it, and the quickest answer when only a pencil is at hand.
"""

from __future__ import annotations

from math import pi, sqrt

from backseam.fit.contact import climb, decay_length
from backseam.ground.units import Mm, MPa, Newton, Share, Strain


def elastic_tube_factor(inner: Mm, outer: Mm, poisson: Share) -> float:
    """Shape factor of a rigid shaft snapping into an elastic tube, near its end.

    X = 0.62 sqrt((a - 1)/(a + 1)) / ((a^2 + 1)/(a^2 - 1) + nu), a = outer/inner diameter.
    Source: snap-fit-guide (annular joints, rigid shaft; from memory, mirror of the printed rigid-hub form).
    Tested: tube 30/34; thin limit against the shell.

    >>> round(elastic_tube_factor(30.0, 34.0, 0.35), 7)
    0.0184937
    """
    a = outer / inner
    return 0.62 * sqrt((a - 1) / (a + 1)) / ((a**2 + 1) / (a**2 - 1) + poisson)


def elastic_shaft_factor(inner: Mm, outer: Mm, poisson: Share) -> float:
    """Shape factor of an elastic hollow shaft in a rigid hub, near its end: the other sign of nu.

    X = 0.62 sqrt((a - 1)/(a + 1)) / ((a^2 + 1)/(a^2 - 1) - nu). Source: snap-fit-guide (annular joints, read).

    >>> elastic_shaft_factor(30.0, 34.0, 0.35) > elastic_tube_factor(30.0, 34.0, 0.35)
    True
    """
    a = outer / inner
    return 0.62 * sqrt((a - 1) / (a + 1)) / ((a**2 + 1) / (a**2 - 1) - poisson)


def transverse_force(undercut: Mm, diameter: Mm, stiffness: MPa, factor: float) -> Newton:
    """Radial force of an annular joint, undercut on the diameter: P = y d E X (secant stiffness).

    Source: snap-fit-guide (annular joints; from memory). Tested: 0.3 mm on 30 mm at 50 MPa.

    >>> round(transverse_force(0.3, 30.0, 50.0, 0.0184937), 4)  # 0.3 x 30 x 50 x X
    8.3222
    """
    return undercut * diameter * stiffness * factor


def mating_force(transverse: Newton, friction: Share, slope: float) -> Newton:
    """Force to push an annular joint home: W = P (mu + tan alpha)/(1 - mu tan alpha).

    Source: snap-fit-guide (mating force, read). Tested: printed worksheets.

    >>> round(mating_force(32.54, 0.6, 0.57735), 1)             # 30 degrees
    58.6
    """
    return transverse * float(climb(friction, slope))


def remote_from(diameter: Mm, thickness: Mm) -> Mm:
    """Distance from the end beyond which a joint counts as remote: 1.8 sqrt(d t). Source: snap-fit-guide (read).

    >>> round(remote_from(200.0, 2.5), 2)
    40.25
    """
    return 1.8 * sqrt(diameter * thickness)


def edge_line_force(opening: Mm, radius: Mm, thickness: Mm, stiffness: MPa, poisson: Share) -> Newton:
    """Total radial force that opens the very end of a long round wall by `opening` on the radius.

    A beam on an elastic foundation with a force at its free end: F = pi E t w / (R beta).
    Far from an end it takes four times as much. Source: timoshenko-shells (edge load). Tested: band with one
    contact at its end, and one in its middle.

    >>> round(edge_line_force(0.15, 16.0, 2.0, 50.0, 0.35), 6)
    13.079889
    """
    return pi * stiffness * thickness * opening / radius * decay_length(radius, thickness, poisson)


def lip_peak(drop: Mm, lip: Mm, largest: Mm, thickness: Mm, stiffness: MPa, friction: Share) -> Newton:
    """Peak force past a moulded lip whose girth falls as a parabola, `drop` over `lip` above the largest girth.

    Rings, rest girth = form, slope and change of girth neglected:

        F = (8/27) 2 pi mu E t drop lip / (P + pi t),  at a travel of 2/3 lip

    Source: derived (integral of 2 pi mu N along the lip, largest over the travel). Tested: full integral of rings.

    >>> round(lip_peak(1.0, 20.0, 100.0, 2.0, 50.0, 0.35), 6)
    12.261386
    """
    return 8 / 27 * 2 * pi * friction * stiffness * thickness * drop * lip / (largest + pi * thickness)


def lip_drop(peak: Newton, lip: Mm, largest: Mm, thickness: Mm, stiffness: MPa, friction: Share) -> Mm:
    """Drop in girth that a wanted peak takes: the inverse of `lip_peak`.

    >>> round(lip_drop(40.0, 20.0, 100.0, 2.0, 50.0, 0.35), 6)
    3.262274
    """
    return peak / lip_peak(1.0, lip, largest, thickness, stiffness, friction)


def sleeve_force(excess: Strain, length: Mm, thickness: Mm, stiffness: MPa, friction: Share) -> Newton:
    """Force to slide a straight sleeve of constant excess off: 2 pi mu E t e l.

    >>> round(sleeve_force(0.01, 20.0, 2.0, 50.0, 0.35), 6)
    43.982297
    """
    return 2 * pi * friction * stiffness * thickness * excess * length
