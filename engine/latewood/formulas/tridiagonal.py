"""Systems of linear equations in which each unknown is tied to its two neighbours, many of them at once."""

from __future__ import annotations

from typing import cast

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Up to this many systems the dense solver is faster; beyond, elimination over all of them side by side.
FEW = 16


class Tridiagonal:
    """Symmetric systems of n equations, as one implicit step of diffusion asks for them; solved again and again."""

    def __init__(self, count: int, size: int) -> None:
        self._dense = np.zeros((count, size, size)) if count <= FEW else None
        self.diagonal = np.empty((count, size))
        self._ties = np.empty((count, size - 1))
        if self._dense is not None:
            # Views of the dense matrices, so that filling the diagonals fills them.
            flat = self._dense.reshape(count, size * size)
            self.diagonal = flat[:, :: size + 1]
            self._above, self._below = flat[:, 1 :: size + 1], flat[:, size :: size + 1]

    def set(self, capacity: Array, ties: Array) -> None:
        """Give each unknown its own capacity and tie it to the next one."""
        self.diagonal[...] = capacity
        self.diagonal[:, 1:] += ties
        self.diagonal[:, :-1] += ties
        if self._dense is None:
            self._ties = ties
        else:
            np.negative(ties, out=self._above)
            self._below[...] = self._above

    def solve(self, right: Array) -> Array:
        """Return the unknowns."""
        if self._dense is not None:
            return cast("Array", np.linalg.solve(self._dense, right[..., None])[..., 0])
        ties, diagonal, found = self._ties.T.copy(), self.diagonal.T.copy(), right.T.copy()
        for row in range(1, len(found)):
            share = ties[row - 1] / diagonal[row - 1]
            diagonal[row] -= share * ties[row - 1]
            found[row] += share * found[row - 1]
        found[-1] /= diagonal[-1]
        for row in range(len(found) - 2, -1, -1):
            found[row] = (found[row] + ties[row] * found[row + 1]) / diagonal[row]
        return found.T
