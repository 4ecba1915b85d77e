"""When a coat is due and when it is too late, on boards as warm as they are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from latewood.calculators.wipe_cadence.resolved import Resolved


@dataclass(frozen=True)
class Window:
    """From a first stroke (s): when the next thing may be done, and by when it must be."""

    due: float
    by: float


def windows(r: Resolved, temperature: float) -> tuple[Window, Window | None]:
    """Return the windows of wiping and of the second coat on boards of a temperature (K), by the family's clock."""
    face = np.array([temperature])
    # Only the clock of waterborne coats asks for the air, which is taken to be as warm as the boards.
    clocks = r.clock(
        surface_temperature=face, air_temperature=face, relative_humidity=np.array([r.humidity]), coldest=r.coldest
    )
    due, by = r.wipe
    wipe = _window(r, due, by, max(r.longest, by), clocks)
    return wipe, None if r.second is None else _window(r, *r.second, r.second[1], clocks)


def _window(r: Resolved, earliest: float, latest: float, longest: float, clocks: tuple[Any, Any]) -> Window:
    slow, fast = clocks
    due, by = r.dwell(earliest=earliest, latest=latest, longest=longest, slow=slow, fast=fast)
    return Window(float(np.ravel(due)[0]), float(np.ravel(by)[0]))
