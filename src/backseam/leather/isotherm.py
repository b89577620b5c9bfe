"""How much water leather keeps in air of a given humidity, and what humidity a given water is in balance with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Isotherm:
    """The three constants of Guggenheim, Anderson and de Boer: water of one layer, bond of the first layer, of the
    rest. Scalars, or arrays of one shape. They belong together: change all three or only the first."""

    monolayer: ArrayLike
    strength: ArrayLike
    multilayer: ArrayLike

    def water(self, activity: ArrayLike) -> Array:
        """Water in balance with air of humidity `activity` (0-1), on dry leather.

            X = M C K a / ((1 - K a)(1 - K a + C K a))

        20 to 30 degrees C, 10-95 % RH; leather that dries holds 0.01-0.03 more than leather that wets.
        Source: anderson-1946. Tested: table from 10 to 95 % RH, both sets.

        >>> round(float(Isotherm(0.093, 68.5, 0.7265).water(0.5)), 3)
        0.142
        """
        c = np.asarray(self.strength, dtype=float)
        x = np.asarray(self.multilayer) * np.asarray(activity, dtype=float)
        return np.asarray(np.asarray(self.monolayer) * c * x / ((1 - x) * (1 - x + c * x)))

    def activity(self, water: ArrayLike) -> Array:
        """Humidity in balance with `water`: the inverse, at most 1, which wet leather has.

        With x = K a the isotherm is a quadratic, solved in the form that keeps its digits:

            (C - 1) X x^2 + (M C - (C - 2) X) x - X = 0;   x = 2 X / (b + sqrt(b^2 + 4 (C - 1) X^2))

        Source: anderson-1946, solved for a. Tested: round trip.

        >>> round(float(Isotherm(0.093, 68.5, 0.7265).activity(0.9)), 3)
        1.0
        """
        w = np.maximum(np.asarray(water, dtype=float), 0.0)
        c = np.asarray(self.strength, dtype=float)
        b = np.asarray(self.monolayer) * c - (c - 2) * w
        x = 2 * w / (b + np.sqrt(b**2 + 4 * (c - 1) * w**2))
        return np.asarray(np.minimum(x / np.asarray(self.multilayer), 1.0))

    @property
    def saturation(self) -> Array:
        """Water in balance with saturated air; above it the leather is wet.

        >>> round(float(Isotherm(0.093, 68.5, 0.7265).saturation), 3)
        0.338
        """
        return self.water(1.0)
