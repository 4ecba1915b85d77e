"""What a coating family bears of the weather, how long it takes to cure, and when its excess comes off."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.provenance import Sourced
from latewood.records.number import N


class Limits(msgspec.Struct, frozen=True, kw_only=True):
    """The weather a piece of work may be done in; a limit left out does not apply."""

    coldest: Annotated[Sourced | None, N("degC", "Lowest temperature of air and boards", least=-20, most=40)] = None
    hottest: Annotated[Sourced | None, N("degC", "Highest temperature of the boards", least=0, most=90)] = None
    humidity: Annotated[Sourced | None, N("%", "Highest relative humidity of the air", least=1, most=100)] = None
    spread: Annotated[Sourced | None, N("delta_degC", "Least height of the boards above the dew point", most=20)] = None
    wind: Annotated[Sourced | None, N("m/s", "Strongest wind", most=30)] = None
    dry_before: Annotated[Sourced | None, N("h", "Time without rain before the work", most=240)] = None
    hold: Annotated[Sourced | None, N("h", "Time after the work over which the cold limit is kept", most=240)] = None
    hold_coldest: Annotated[
        Sourced | None, N("degC", "Lowest temperature of the air in that time", least=-20, most=40)
    ] = None
    cool_for: Annotated[
        Sourced | None, N("h", "Time after the work over which the boards stay below the hot limit", most=48)
    ] = None


class Stages(msgspec.Struct, frozen=True, kw_only=True):
    """Hours at 23 °C and 50 % after a coat until something may happen."""

    rain_safe: Annotated[Sourced, N("h", "Rain does no harm", most=1000)]
    next_coat: Annotated[Sourced | None, N("h", "The next coat may go on", most=1000)] = None
    walk: Annotated[Sourced, N("h", "It may be walked on, in socks", most=1000)]
    furniture: Annotated[Sourced, N("h", "Furniture may go back", most=2000)]
    covers: Annotated[Sourced, N("h", "Mats, pots and covers may go back", most=5000)]
    full: Annotated[Sourced, N("h", "It has cured through", most=10000)]


class DwellTimes(msgspec.Struct, frozen=True, kw_only=True):
    """Minutes at 23 °C from laying on until the excess is wiped off, and until a coat wet on the wet one."""

    wipe: Annotated[Sourced, N("min", "From the last coat to wiping; low is not before, high not after", most=240)]
    longest: Annotated[Sourced, N("min", "Longest time, however cold it is", most=480)]
    second_coat: Annotated[Sourced | None, N("min", "From the first coat to the second, wet on wet", most=240)] = None
