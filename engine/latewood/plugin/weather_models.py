"""The models by which a coating family answers the weather: its gates, its cure clock, its dwell.

Arrays of SI values pass through all of them, the last axis is time, and so one call serves one deck or many.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from latewood.formulas.air import Floats


class CureClock(Protocol):
    """How fast a coating cures in the weather it gets."""

    def __call__(
        self, *, surface_temperature: Floats, air_temperature: Floats, relative_humidity: Floats, coldest: float
    ) -> tuple[Floats, Floats]:
        """Return hours at 23 °C and 50 % for each hour, by a slow clock and by a fast one.

        ``surface_temperature`` and ``air_temperature`` in K, ``relative_humidity`` as a share, ``coldest`` is the
        temperature (K) below which the family does not cure. Dew and rain stop the clock outside the model.
        """
        ...


class Gates(Protocol):
    """Which weather a piece of work may be done in."""

    def __call__(
        self,
        *,
        air_temperature: Floats,
        surface_temperature: Floats,
        relative_humidity: Floats,
        dew_point_spread: Floats,
        rain: Floats,
        wind_speed: Floats,
        step: float,
        limits: Mapping[str, float],
    ) -> Mapping[str, Floats]:
        """Return, by the name of each gate, how far each step lies inside its limit; negative is outside.

        Values in SI: K, shares, m of rain in the step, m/s; ``step`` in s; ``limits`` by the names of the record's
        table, in SI, those that apply only. NaN in is NaN out: what is not known passes no gate. A gate whose name ends
        in ``-later`` looks ahead and one in ``-before`` looks back.
        """
        ...


class Dwell(Protocol):
    """When the excess of a coating comes off."""

    def __call__(
        self, *, earliest: Floats, latest: Floats, longest: float, slow: Floats, fast: Floats
    ) -> tuple[Floats, Floats]:
        """Return, in s from laying on, when wiping may begin and when it must be done.

        ``earliest`` and ``latest`` (s) are the product's at 23 °C, ``longest`` (s) what it allows however cold it is,
        ``slow`` and ``fast`` the rates of the family's clock on the board as it is now, without upper limit.
        """
        ...
