"""How a zone dries: the model of drying from its last wetting, or from what was read in it."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

import numpy as np

from latewood.calculators.moisture_readiness.compute.boards import Case, Wood, boards_of
from latewood.calculators.moisture_readiness.resolved import AHEAD, HOUR, Climate
from latewood.formulas.drying import Boards, dry
from latewood.formulas.drying_air import Air, Array
from latewood.formulas.drying_closed import Wetted
from latewood.formulas.drying_times import HOLD, time_until
from latewood.formulas.workdays import DAY
from latewood.uncertainty import spread

T = TypeVar("T")

#: Hours from now at which the course is told: a fortnight.
HOURS: Final = (0, 3, 6, 12, 24, 36, 48, 72, 96, 120, 168, 240, 336)
#: How far all runs are followed at first, enough for most.
FORTNIGHT: Final = 15 * DAY


@dataclass(frozen=True, kw_only=True)
class Course:
    """What a case came to: time (s from now) until it stays at the limit, and the outer layer at `HOURS`.

    ``from_wetting`` is the time from the wetting on, which may have been before now; ``film`` whether water still lies
    on the boards now.
    """

    wait: float
    from_wetting: float
    moisture: Array
    film: bool


@dataclass(frozen=True, kw_only=True)
class Run:
    """Cases of one zone to be followed from a time (s from now); ``wetted_at`` is when its last wetting ends."""

    cases: list[Case]
    wood: Wood
    climate: Climate
    air: Air
    since: float
    limit: float
    wetted_at: float
    #: By the series, which knows a steady climate alone; ``wet`` where it begins with a wetting.
    closed: bool
    wet: bool

    def steps(self, ahead: float) -> tuple[int, int]:
        """Return the first step and the one behind the last."""
        first = max(self.climate.index(self.since), 0)
        return first, self.climate.index(max(ahead, self.wetted_at + ahead)) + 1


def together(zones: Sequence[Generator[Run, list[Course], T]]) -> list[T]:
    """Carry zones forward side by side: what all of them want followed next is solved at once."""
    results: dict[int, T] = {}
    courses: dict[int, list[Course] | None] = dict.fromkeys(range(len(zones)))
    while courses:
        wanted: dict[int, Run] = {}
        for place, found in courses.items():
            try:
                wanted[place] = next(zones[place]) if found is None else zones[place].send(found)
            except StopIteration as done:
                results[place] = done.value
        courses = dict(zip(wanted, _solved(list(wanted.values())), strict=True))
    return [results[place] for place in range(len(zones))]


def _solved(runs: list[Run]) -> list[list[Course]]:
    """Follow all runs. A fortnight ahead settles most; only where it does not the rest is followed too."""
    found: dict[int, list[Course]] = {place: _in_closed_form(run) for place, run in enumerate(runs) if run.closed}
    for ahead in (FORTNIGHT, AHEAD):
        groups: dict[tuple[int, int], list[int]] = {}
        for place, run in enumerate(runs):
            if place not in found or not (run.closed or all(np.isfinite(c.wait) for c in found[place])):
                groups.setdefault(run.steps(ahead), []).append(place)
        for steps, places in groups.items():
            found |= zip(places, _followed([runs[place] for place in places], *steps), strict=True)
    return [found[place] for place in range(len(runs))]


def _followed(runs: list[Run], first: int, end: int) -> list[list[Course]]:
    """Follow the cases of several zones through the same steps of the weather, each in its own air."""
    airs = list({id(run.air): run.air for run in runs}.values())
    places = {id(air): place for place, air in enumerate(airs)}
    air = Air(
        airs[0].step,
        *(
            np.hstack([getattr(air, name)[first:end] for air in airs])
            for name in (
                "temperature",
                "relative_humidity",
                "surface_temperature",
                "exchange",
                "exchange_under",
                "water",
            )
        ),
        pressure=airs[0].pressure,
    )
    boards = [boards_of(run.cases, run.wood) for run in runs]
    joined = Boards(
        **{name: np.concatenate([getattr(b, name) for b in boards]) for name in Boards.__dataclass_fields__}
    )
    counts = [len(b) for b in boards]
    column = np.repeat([places[id(run.air)] for run in runs], counts)
    outer = np.repeat([run.wood.outer for run in runs], counts)
    course = dry(joined, air, outer=outer, column=column)
    ends = np.cumsum(counts)
    return [
        _courses(run, first, course.outer[:, end - count : end], course.film[:, end - count : end])
        for run, count, end in zip(runs, counts, ends, strict=True)
    ]


def _courses(run: Run, first: int, outer: Array, film: Array) -> list[Course]:
    """Read waits and moistures off what was followed; under a film no board is dry, whatever lies below it.

    The film of now counts, not one that comes later: dew of a night is gone by the next forenoon.
    """
    climate = run.climate
    begins = climate.first + first * climate.step
    now = _row(-begins, climate.step, len(outer))
    wetting = _row(run.wetted_at - begins, climate.step, len(outer))
    hold = 0.0 if climate.steady else HOLD
    waits, since_wet = (
        np.maximum(time_until(outer[row:], run.limit, climate.step, hold), _film_gone(film[row:], climate.step))
        for row in (now, wetting)
    )
    at = np.asarray(HOURS) * HOUR
    times = climate.step * np.arange(len(outer) - now)
    return [
        Course(
            # What is dry before a wetting that is planned is not ready: the wait goes on from there.
            wait=_or_never(after) + run.wetted_at if run.wetted_at > 0 else _or_never(wait),
            from_wetting=_or_never(after),
            moisture=np.interp(at, times, outer[now:, case]),
            film=bool(film[now, case] > 0),
        )
        for case, (wait, after) in enumerate(zip(waits, since_wet, strict=True))
    ]


def _film_gone(film: Array, step: float) -> Array:
    """Return when the film that lies at the first row is gone, s; NaN where it stays."""
    gone = film <= 0
    return np.where(gone.any(axis=0), np.argmax(gone, axis=0) * step, np.nan)


def _row(seconds: float, step: float, rows: int) -> int:
    """Return the first row at or after a time from the first one."""
    return min(max(int(np.ceil(seconds / step - 1e-9)), 0), rows - 1)


def _in_closed_form(run: Run) -> list[Course]:
    """Follow the cases in a steady climate by a series, from when the zone was wetted or else read."""
    wood, climate, air, since, limit, wetted = run.wood, run.climate, run.air, run.since, run.limit, run.wet
    at = np.asarray(HOURS) * HOUR - since
    courses = []
    for case in run.cases:
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
            pressure=air.pressure,
        )
        times, moisture = board.course(limit, wood.outer)
        takes = board.reached(limit, times, moisture)
        film = wetted and since + board.film_time > 0
        wait = max(takes + since, 0.0)
        courses.append(Course(wait=wait, from_wetting=takes, moisture=np.interp(at, times, moisture), film=film))
    return courses


def _or_never(wait: float) -> float:
    return float(wait) if np.isfinite(wait) else np.inf


def number(path: str, courses: list[Course]) -> spread.Number | None:
    """Return the wait of three cases, fastest first, as a quantity; None where it takes over 60 days."""
    low, middle, high = sorted(course.wait for course in courses)
    if middle > AHEAD:
        return None
    return _quantity(path, low, middle, min(high, AHEAD))


def curve(path: str, courses: list[Course]) -> list[spread.Number]:
    """Return the outer layer of three cases at `HOURS`."""
    rows = np.sort(np.stack([course.moisture for course in courses]), axis=0)
    return [_quantity(f"{path}/{hour}", *rows[:, place].tolist()) for place, hour in enumerate(HOURS)]


def _quantity(path: str, low: float, middle: float, high: float) -> spread.Number:
    if high - low <= 1e-9 * max(abs(high), 1.0):
        return middle
    low, high = min(low, middle), max(high, middle)
    return spread.lognormal(path, low, middle, high) if low > 0 else spread.normal(path, low, middle, high, 0.0)
