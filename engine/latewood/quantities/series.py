"""A quantity recorded at equal steps of time: SI values, NaN where nothing was recorded."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """Values in SI, in the order of time; NaN stands for not recorded, never for zero."""

    values: NDArray[np.float64]

    def __post_init__(self) -> None:
        self.values.setflags(write=False)

    def __len__(self) -> int:
        return len(self.values)
