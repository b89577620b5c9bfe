"""A symmetric system whose unknowns hang together row by row: block tridiagonal, solved block after block.

Written here although scipy has a banded solver: loading it takes longer than all of our solving (see
`docs/decisions/0003`). Checked against scipy's.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def solve_blocks(diagonal: Array, below: Array, right: Array) -> Array:
    """Solve A x = right, A symmetric positive definite with blocks diagonal (n, m, m) on and below (n - 1, m, m)
    under its diagonal; right and the result (n, m).

    Block Gaussian elimination (Thomas). Raises numpy's LinAlgError if a block is singular.
    """
    n, m = right.shape
    carried, x = np.empty_like(below), np.empty_like(right)
    block, rest = diagonal[0], right[0]
    for i in range(n - 1):
        solved = np.linalg.solve(block, np.column_stack([below[i].T, rest]))
        carried[i], x[i] = solved[:, :m], solved[:, m]
        block = diagonal[i + 1] - below[i] @ carried[i]
        rest = right[i + 1] - below[i] @ x[i]
    x[-1] = np.linalg.solve(block, rest)
    for i in range(n - 2, -1, -1):
        x[i] -= carried[i] @ x[i + 1]
    return x
