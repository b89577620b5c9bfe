"""What a stretched ring of leather does to what it lies on: pressure, friction, taper, the seam that gives way.

Hoop tension N is in newtons a millimetre of height. The band, the ring and the handbook joint share this page.
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

from backseam.ground.units import Mm, MPa, Newton, Radian, Share, Strain

Array = NDArray[np.float64]


def turning(lift: ArrayLike) -> Array:
    """Total normal load of a closed band, as a multiple of its hoop tension, with the seam's feet lifted off.

    On any convex section a tension N presses with N/R, and the integral of 1/R round the section is the angle it
    turns through: 2 pi, whatever the shape. Where the leather leaves for the seam at normal angle phi on each side,
    2 phi of it press no more, and the two feet carry sin phi each:

        load / N = 2 pi - 2 phi + 2 sin phi   (= 2 pi - phi^3/3 for small phi)

    Exact for a thin band without bending stiffness round the section. lift: phi, rad.
    Source: derived (theorem of turning tangents). Tested: pressure summed over ellipses, ovals, octagons.

    >>> round(float(turning(0.0)), 4)
    6.2832
    """
    phi = np.asarray(lift, dtype=float)
    return np.asarray(2 * pi - 2 * phi + 2 * np.sin(phi))


def climb(friction: ArrayLike, slope: ArrayLike) -> Array:
    """Axial force per normal force when a band is pushed up a slope: tan(alpha + atan mu).

    Written out, with tan alpha = slope (positive: towards larger girth, negative: it helps):

        (mu + slope) / (1 - mu slope)

    The girth's slope P' gives tan alpha = P'/(2 pi), so that without friction the force is N P' (virtual work).
    Valid below the angle of self-locking, mu slope < 1. Source: snap-fit-guide (mating force). Tested: printed
    mating forces, table of factors, virtual work.

    >>> round(float(climb(0.4, np.tan(np.radians(10)))), 4)     # (0.4 + 0.1763) / (1 - 0.0705)
    0.6201
    """
    mu, tan_alpha = np.asarray(friction, dtype=float), np.asarray(slope, dtype=float)
    return np.asarray((mu + tan_alpha) / (1 - mu * tan_alpha))


def seam_give(thickness: ArrayLike, radius: ArrayLike, girth: ArrayLike) -> Array:
    """How much the opening of the seam fillet adds to the band's own give, as a share of it.

    Both quarter rings of middle radius rho = r + t/2, held at the stitches, unbend like curved beams under the
    tension N at their feet; one gives N rho^3/(E I) times the integral of (1 - cos)^2 over a right angle:

        opening = 2 x 12 (3 pi/4 - 2) (N/E) (rho/t)^3;   band: (N/E) L/t;   share = 8.55 (rho/t)^3 t/L

    A thin-beam estimate; fair for rho of about t, rough above. thickness t, radius r (grain side), girth L, mm.
    Source: derived (bending of a quarter ring). Tested: 17 % at rho = t, 58 % at 1.5 t.

    >>> round(float(seam_give(2.0, 1.0, 100.0)), 3)             # rho = t: 8.55 x 2/100
    0.171
    """
    t, rho = np.asarray(thickness, dtype=float), np.asarray(radius, dtype=float) + np.asarray(thickness) / 2
    opening = 2 * 12 * (3 * pi / 4 - 2) * (rho / t) ** 3
    return np.asarray(opening * t / np.asarray(girth, dtype=float))


def decay_length(radius: Mm, thickness: Mm, poisson: Share) -> Mm:
    """How far the give of one height is felt along a round wall: 1/beta of a beam on an elastic foundation.

        beta^4 = 3 (1 - nu^2) / (R^2 t^2)

    Source: timoshenko-shells (circular cylindrical shell, loaded symmetrically). Tested: R 15, t 2, nu 0.4.

    >>> round(decay_length(15.0, 2.0, 0.4), 1)
    4.3
    """
    return float(np.sqrt(radius * thickness) / (3 * (1 - poisson**2)) ** 0.25)


def belt_ratio(friction: Share, angle: Radian) -> float:
    """Largest ratio of the tensions at both ends of a belt that does not slip: exp(mu theta).

    How uneven the hoop tension can be from seam to front before the leather creeps round the handle; the account
    takes it as even. Source: euler-eytelwein (rope friction). Tested: two band brakes with printed answers.

    >>> round(belt_ratio(0.25, 3.7525), 4)
    2.5552
    """
    return float(np.exp(friction * angle))


def belt_mean(friction: Share, angle: Radian) -> Share:
    """Mean tension of a belt pulled at one end, as a share of that end's: (1 - exp(-mu theta))/(mu theta).

    Source: derived (integral of the belt's tension). Tested: against quadrature, and 1 without friction.

    >>> round(belt_mean(0.35, pi), 3)                           # (1 - 0.333)/1.0996
    0.607
    """
    x = friction * angle
    return float(-np.expm1(-x) / x) if x else 1.0


def shrunk_ring_pressure(stretch: Strain, stiffness: MPa, thickness: Mm, radius: Mm) -> MPa:
    """Pressure of a thin ring stretched over a rigid core: p = E e t / R. The membrane limit of the account.

    Source: strength-of-materials (thin-walled pressure vessel). Tested: a steel tyre on its wheel.

    >>> round(shrunk_ring_pressure(0.05, 50.0, 2.0, 15.0), 4)   # 50 x 0.05 x 2/15
    0.3333
    """
    return stiffness * stretch * thickness / radius


def thick_ring_pressure(stretch: Strain, stiffness: MPa, ratio: float, poisson: Share) -> MPa:
    """Pressure of a thick ring over a rigid core: p = E e / ((a^2 + 1)/(a^2 - 1) + nu), a = outer/inner diameter.

    Plane stress. Source: lame-1852 (thick cylinder). Tested: tends to the thin ring, and is the handbook joint's
    own stiffness.

    >>> round(thick_ring_pressure(0.01, 50.0, 34 / 30, 0.35), 4)
    0.0597
    """
    return stiffness * stretch / ((ratio**2 + 1) / (ratio**2 - 1) + poisson)


def folds_at(stiffness: MPa, thickness: Mm, radius: Mm, poisson: Share, knockdown: Share) -> Newton:
    """Axial push, N a millimetre of rim, at which a round wall folds: k E t^2 / (R sqrt(3 (1 - nu^2))).

    Classical buckling of a cylinder under axial load, times what real cylinders reach of it. A handle inside can
    only help. Source: timoshenko-stability (cylindrical shell, axial compression). Tested: closed form.

    >>> round(folds_at(50.0, 2.0, 15.0, 0.4, 1.0), 1)           # 200 / (15 x 1.5875)
    8.4
    """
    return knockdown * stiffness * thickness**2 / (radius * float(np.sqrt(3 * (1 - poisson**2))))
