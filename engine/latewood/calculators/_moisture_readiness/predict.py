"""How a zone dries: the model of drying from its last wetting, or from what was read in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from latewood import spread
from latewood.calculators._moisture_readiness.climate import AHEAD, DAY, HOUR, Climate
from latewood.formulas.drying import Boards, dry
from latewood.formulas.drying_air import Air
from latewood.formulas.drying_closed import Wetted
from latewood.formulas.drying_times import HOLD, time_until

Array = NDArray[np.float64]

#: Hours from now at which the course is told: a fortnight.
HOURS: Final = (0, 3, 6, 12, 24, 36, 48, 72, 96, 120, 168, 240, 336)
SOON: Final = 15 * DAY


@dataclass(frozen=True, kw_only=True)
class Wood:
    """The boards of a zone, SI."""

    basic_density: float
    thickness: float
    filled: float
    film: float
    outer: float
    factors: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class Case:
    """A way the zone may have started: wetted to a depth, or as moist as it was read."""

    depth: float
    core: float
    skin: float = 0.0
    skin_depth: float = 0.0
    factor: float = 1.0


@dataclass(frozen=True)
class Course:
    """What a case came to: time (s from now) until it stays at the limit, and the outer layer at `HOURS`.

    ``from_wetting`` is the time from the wetting on, which may have been before now.
    """

    wait: float
    from_wetting: float
    moisture: Array


def wetted_cases(wood: Wood, depth: float, core: float) -> list[Case]:
    """Return a wetting to a depth, from the fastest to the slowest diffusivity."""
    return [Case(depth=depth, core=core, factor=factor) for factor in reversed(wood.factors)]


def read_cases(wood: Wood, moisture: float, below: float, depth: float, *, skin: bool) -> list[Case]:
    """Return a board read at a moisture content, from the fastest to the slowest it may dry.

    A reading does not tell how deep the wood is so wet. After a wetting (``skin``) it may be the outer layer, twice as
    far, or all of it; without one it is all of it, at best twice the outer layer. ``depth`` is how far rain would go in
    later.
    """
    slow, usual, fast = wood.factors
    if moisture <= below:
        return [Case(depth=depth, core=moisture, factor=factor) for factor in (fast, usual, slow)]
    whole = wood.thickness
    deep = min(2 * wood.outer, whole)
    reaches = (wood.outer, deep, whole) if skin else (deep, whole, whole)
    return [
        Case(depth=depth, core=below, skin=moisture, skin_depth=reach, factor=factor)
        for reach, factor in zip(reaches, (fast, usual, slow), strict=True)
    ]


def by_model(
    cases: list[Case], wood: Wood, climate: Climate, air: Air, since: float, limit: float, wetted_at: float
) -> list[Course]:
    """Follow the cases through the weather from a time (s from now) on; the air brings its water.

    A fortnight ahead settles most; only where it does not the rest is followed too.
    """
    for ahead in (SOON, AHEAD):
        courses = _followed(cases, wood, climate, air, since, limit, wetted_at, ahead)
        if all(np.isfinite(course.wait) for course in courses):
            break
    return courses


def _followed(
    cases: list[Case],
    wood: Wood,
    climate: Climate,
    air: Air,
    since: float,
    limit: float,
    wetted_at: float,
    ahead: float,
) -> list[Course]:
    first = max(climate.index(since), 0)
    part = slice(first, climate.index(max(ahead, wetted_at + ahead)) + 1)
    rest = replace(
        air,
        temperature=air.temperature[part],
        relative_humidity=air.relative_humidity[part],
        surface_temperature=air.surface_temperature[part],
        exchange=air.exchange[part],
        exchange_under=air.exchange_under[part],
        water=air.water[part],
    )
    outer = dry(_boards(cases, wood), rest, outer=wood.outer).outer
    begins = climate.first + first * climate.step
    now = _row(-begins, climate.step, len(outer))
    hold = 0.0 if climate.steady else HOLD
    waits = time_until(outer[now:], limit, climate.step, hold)
    since_wet = time_until(outer[_row(wetted_at - begins, climate.step, len(outer)) :], limit, climate.step, hold)
    at = np.asarray(HOURS) * HOUR
    times = climate.step * np.arange(len(outer) - now)
    return [
        Course(_or_never(wait), _or_never(after), np.interp(at, times, outer[now:, column]))
        for column, (wait, after) in enumerate(zip(waits, since_wet, strict=True))
    ]


def _row(seconds: float, step: float, rows: int) -> int:
    """Return the first row at or after a time from the first one."""
    return min(max(int(np.ceil(seconds / step - 1e-9)), 0), rows - 1)


def in_closed_form(
    cases: list[Case], wood: Wood, climate: Climate, air: Air, since: float, limit: float, *, wetted: bool
) -> list[Course]:
    """Follow the cases in a steady climate by a series; ``since`` is when the zone was ``wetted``, or else read."""
    at = np.asarray(HOURS) * HOUR - since
    courses = []
    for case in cases:
        wet, deep = (wood.filled, case.depth) if wetted else (case.skin, case.skin_depth)
        even = deep == 0
        board = Wetted(
            basic_density=wood.basic_density,
            thickness=wood.thickness,
            core=case.core,
            cap=case.core if even else max(wet, case.core),
            depth=wood.thickness if even else deep,
            film=wood.film if wetted else 0.0,
            temperature=float(climate.temperature[0]),
            relative_humidity=float(climate.humidity[0]),
            exchange=float(air.exchange[0, 0]),
            exchange_under=float(air.exchange_under[0, 0]),
            factor=case.factor,
        )
        times, moisture = board.course(limit, wood.outer)
        takes = board.time_until(limit, wood.outer)
        courses.append(Course(max(takes + since, 0.0), takes, np.interp(at, times, moisture)))
    return courses


def _or_never(wait: float) -> float:
    return float(wait) if np.isfinite(wait) else np.inf


def number(path: str, courses: list[Course]) -> spread.Number | None:
    """Return the wait of three cases, fastest first, as a quantity; None where the middle one never gets there."""
    low, middle, high = sorted(course.wait for course in courses)
    if not np.isfinite(middle):
        return None
    return _quantity(path, low, middle, min(high, AHEAD) if middle <= AHEAD else middle)


def curve(path: str, courses: list[Course]) -> list[spread.Number]:
    """Return the outer layer of three cases at `HOURS`."""
    rows = np.sort(np.stack([course.moisture for course in courses]), axis=0)
    return [_quantity(f"{path}/{hour}", *rows[:, place].tolist()) for place, hour in enumerate(HOURS)]


def _quantity(path: str, low: float, middle: float, high: float) -> spread.Number:
    if high - low <= 1e-9 * max(abs(high), 1.0):
        return middle
    low, high = min(low, middle), max(high, middle)
    return spread.lognormal(path, low, middle, high) if low > 0 else spread.normal(path, low, middle, high, 0.0)


def _boards(cases: list[Case], wood: Wood) -> Boards:
    def column(values: list[float]) -> Array:
        return np.asarray(values, dtype=np.float64)

    same = np.ones(len(cases))
    return Boards(
        basic_density=same * wood.basic_density,
        thickness=same * wood.thickness,
        start=column([case.core for case in cases]),
        cap=same * wood.filled,
        depth=column([case.depth for case in cases]),
        film=same * wood.film,
        skin=column([case.skin for case in cases]),
        skin_depth=column([case.skin_depth for case in cases]),
        factor=column([case.factor for case in cases]),
    )
