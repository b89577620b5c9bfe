"""A symmetric system whose unknowns hang together row by row: block tridiagonal, solved block after block.

Written here although scipy has a banded solver: loading it takes longer than all of our solving (see
`docs/decisions/0003`). Checked against scipy's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Factored:
    """A symmetric positive definite matrix, factored once to be solved with many right sides.

    inverse (n, m, m): of the blocks on the diagonal once those before are eliminated; below (n - 1, m, m): the blocks
    under it; carried (n - 1, m, m): inverse @ below transposed.
    """

    inverse: Array
    below: Array
    carried: Array

    def solve(self, right: Array) -> Array:
        """x with A x = right, both (n, m)."""
        n = len(right)
        x = np.empty_like(right)
        x[0] = self.inverse[0] @ right[0]
        for i in range(1, n):
            x[i] = self.inverse[i] @ (right[i] - self.below[i - 1] @ x[i - 1])
        for i in range(n - 2, -1, -1):
            x[i] -= self.carried[i] @ x[i + 1]
        return x


def factored(diagonal: Array, below: Array) -> Factored:
    """Block Gaussian elimination (Thomas) of the matrix with blocks diagonal (n, m, m) on and below (n - 1, m, m) under
    its diagonal. Raises numpy's LinAlgError if a block is singular."""
    inverse, carried = np.empty_like(diagonal), np.empty_like(below)
    block = diagonal[0]
    for i in range(len(below)):
        inverse[i] = np.linalg.inv(block)
        carried[i] = inverse[i] @ below[i].T
        block = diagonal[i + 1] - below[i] @ carried[i]
    inverse[-1] = np.linalg.inv(block)
    return Factored(inverse, below, carried)
