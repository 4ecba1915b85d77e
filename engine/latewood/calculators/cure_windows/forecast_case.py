"""All that the search needs, of the weather as given or as a wrong forecast has it."""

from __future__ import annotations

from dataclasses import dataclass

from latewood.calculators.cure_windows.cells import Cells
from latewood.calculators.cure_windows.gates import Clock, Gating
from latewood.weather.hours import Flags


@dataclass(frozen=True, kw_only=True)
class ForecastCase:
    """The weather at the boards, the clocks run over it, and by kind of work which gates pass, and when it is done."""

    cells: Cells
    clock: Clock
    gatings: dict[str, Gating]
    may: dict[str, Flags]
