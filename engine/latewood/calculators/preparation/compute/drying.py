"""How long wet wood waits: the one place where preparation asks the drying model."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from latewood.calculators.preparation.resolved import Climate, Resolved, WetBoards
from latewood.formulas import diffusion, sorption, surface
from latewood.formulas.drying import Boards, dry
from latewood.formulas.drying_air import Air
from latewood.formulas.drying_closed import Wetted
from latewood.formulas.drying_times import time_until
from latewood.formulas.movement import basic_density_from
from latewood.formulas.workdays import DAY
from latewood.provenance import Ledger
from latewood.records import Route, Species
from latewood.records.moisture import DryingModel
from latewood.rules.work import MORNING
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number
from latewood.weather import Hours, reckoned_rain

#: Basic density of a wood that was not named (kg/m3): between common softwoods and hardwoods, which dry the slowest.
UNNAMED: Final = 550.0
#: Water of a wash (kg/m2), more than the wood takes up: the rest runs off.
_WASH: Final = 20.0
#: How long weather that has ended is taken to go on (s).
_AHEAD: Final = 45 * DAY

Array = NDArray[np.float64]
Times = tuple[float, float, float]


@dataclass(frozen=True)
class Drying:
    """Times (s) from the last wetting until the outer wood is at or below a limit, at P10, P50 and P90.

    ``to_sand`` is None where nothing is sanded. ``climate`` is the one it dries in; ``unknown`` says that the weather
    given does not reach its days, and that the mean of that weather stands for them.
    """

    to_sand: Times | None
    to_coat: Times
    climate: Climate
    unknown: bool = False

    @property
    def wait(self) -> Number | None:
        """The wait until the wood may be coated; None where this climate never gets it there."""
        if not all(map(math.isfinite, self.to_coat)):
            return None
        low, middle, high = self.to_coat
        return middle if high - low < 1.0 else spread.lognormal("input/drying", low, middle, high)


@dataclass(frozen=True)
class Dryer:
    """Says how long the boards of a request take, by when their last wash is done."""

    r: Resolved
    ledger: Ledger
    followed: dict[int, Array] = field(default_factory=dict)

    def after(self, seconds: float, route: Route | None = None) -> Drying:
        """Return the waits after a wash that is done so long after the first morning, with the route's for sanding."""
        sand_at = None if route is None or not (route.wets and route.sands) else route.sand_at
        to_sand = None if sand_at is None else spread.value(self.ledger.take(sand_at))
        begin, hours = self.place(seconds), self.r.climate.hours
        if hours is None or begin is None:
            climate = self.r.climate if hours is None else climate_of(hours)
            mean = Climate(climate.temperature, climate.relative_humidity)
            sand = None if to_sand is None else self._in(mean, to_sand)
            return Drying(sand, self._in(mean, self.r.limit), mean, unknown=hours is not None)
        climate = climate_of(hours, begin)
        if begin not in self.followed:
            self.followed[begin] = self._through_weather(climate, hours, begin)
        outer = self.followed[begin]
        sand = None if to_sand is None else _until(outer, to_sand, hours.step)
        return Drying(sand, _until(outer, self.r.limit, hours.step), climate)

    def place(self, seconds: float) -> int | None:
        """Return the step of the weather so long after the first morning; None where the weather does not reach it."""
        hours = self.r.climate.hours
        if hours is None or self.r.first is None or not math.isfinite(seconds):
            return None
        at = _clock(self.r.first, seconds, hours)
        index = math.floor(hours.index_of(at))
        if index < 0 and at.date() == hours.at(0).date():
            return 0
        return index if 0 <= index < len(hours) else None

    def moment(self, seconds: float) -> datetime | None:
        """Return the time so long after the first morning; None where the weather does not reach it."""
        hours = self.r.climate.hours
        if hours is None or self.r.first is None or self.place(seconds) is None:
            return None
        return max(_clock(self.r.first, seconds, hours), hours.at(0)).replace(microsecond=0)

    def _in(self, climate: Climate, limit: float) -> Times:
        key = in_mean, climate, limit
        return self.ledger.once(key, in_mean, self.r.boards, climate, self.r.depth, limit, self.ledger)

    def _through_weather(self, climate: Climate, hours: Hours, begin: int) -> Array:
        """Follow a board that is washed in a step of the weather, which goes on as its last day was.

        Return the moisture of its outer wood after each step.
        """
        r, board = self.r, _board(self.r.boards, self.ledger)
        order = _lasting(hours, begin)
        rain = np.zeros(len(order))
        if r.boards.exposure != "roofed":
            threshold = spread.value(self.ledger.take(r.boards.model.rain_chance))
            rain[: len(hours) - begin] = reckoned_rain(hours, threshold, self.ledger)[begin:]
        rain[0] = _WASH
        wind = None if hours.wind_speed is None else hours.bridged("wind_speed")[order]
        pressure = r.boards.pressure
        moved = None if wind is None else surface.convection(wind_speed=wind)
        heat = board.exchange if moved is None else diffusion.vapour_exchange(moved, pressure)
        over = np.broadcast_to(np.asarray(heat, dtype=np.float64), order.shape)[:, None]
        warm = hours.bridged("air_temperature")[order][:, None]
        air = Air(
            step=hours.step,
            temperature=warm,
            relative_humidity=np.clip(hours.bridged("relative_humidity"), 0.01, 1.0)[order][:, None],
            surface_temperature=warm,
            exchange=over,
            exchange_under=np.zeros_like(over) if r.boards.exposure == "low-clearance" else over,
            water=rain[:, None],
            pressure=pressure,
        )
        same = np.ones(len(board.factors))
        boards = Boards(
            basic_density=same * board.gravity,
            thickness=same * board.thickness,
            start=same * climate.settled,
            cap=same * board.cap,
            depth=same * min(r.depth, board.thickness),
            film=same * board.film,
            skin=same * climate.settled,
            skin_depth=same * 0.0,
            factor=np.asarray(board.factors),
        )
        return _outer(_Followed(boards, air, board.outer))


@dataclass(frozen=True, eq=False)
class _Followed:
    """Boards in a weather, and how deep (m) their outer wood goes; two are the same where all their numbers are."""

    boards: Boards
    air: Air
    outer: float

    @cached_property
    def numbers(self) -> tuple[bytes, ...]:
        """All that it depends on."""
        given = (*vars(self.boards).values(), *vars(self.air).values(), self.outer)
        return tuple(np.asarray(number).tobytes() for number in given)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Followed) and self.numbers == other.numbers

    def __hash__(self) -> int:
        return hash(self.numbers)


@lru_cache(maxsize=64)
def _outer(asked: _Followed) -> Array:
    """Return the moisture of the outer wood after each step; usual weather and usual wood are asked for again."""
    found: Array = dry(asked.boards, asked.air, outer=asked.outer).outer[1:].copy()
    found.setflags(write=False)
    return found


@dataclass(frozen=True)
class _Board:
    """The boards and the model's numbers, SI; ``factors`` of the diffusivity from the fastest."""

    gravity: float
    thickness: float
    cap: float
    film: float
    outer: float
    exchange: float
    factors: tuple[float, float, float]


def _board(boards: WetBoards, ledger: Ledger) -> _Board:
    model = boards.model
    gravity = _basic_density(boards.species, ledger)
    factor = ledger.take(model.diffusivity_factor)
    return _Board(
        gravity=gravity,
        thickness=boards.thickness if boards.thickness is not None else spread.value(ledger.take(model.thickness)),
        cap=min(_filled(model, gravity, ledger), float(sorption.greatest_moisture(basic_density=gravity))),
        film=spread.value(ledger.take(model.film)),
        outer=spread.value(ledger.take(model.outer_depth)),
        exchange=float(diffusion.vapour_exchange(spread.value(ledger.take(model.heat_transfer)), boards.pressure)),
        factors=(spread.high(factor), spread.value(factor), spread.low(factor)),
    )


def in_mean(boards: WetBoards, climate: Climate, depth: float, limit: float, ledger: Ledger) -> Times:
    """Return how long boards wetted to a depth take to a limit in a mean climate, in closed form."""
    board = _board(boards, ledger)
    times = [
        _wait(
            Wetted(
                basic_density=board.gravity,
                thickness=board.thickness,
                core=climate.settled,
                cap=board.cap,
                depth=min(depth, board.thickness),
                film=board.film,
                temperature=climate.temperature,
                relative_humidity=climate.relative_humidity,
                exchange=board.exchange,
                exchange_under=0.0 if boards.exposure == "low-clearance" else board.exchange,
                factor=factor,
                pressure=boards.pressure,
            ),
            limit,
            board.outer,
        )
        for factor in board.factors
    ]
    return _in_order(times)


def _until(outer: Array, limit: float, step: float) -> Times:
    times = time_until(outer, limit, step) + step
    return _in_order([float(time) if np.isfinite(time) else math.inf for time in times])


@lru_cache(maxsize=2048)
def _wait(board: Wetted, limit: float, outer: float) -> float:
    """Return a wait in closed form; tables ask for the same climate and wood again and again."""
    return board.time_until(limit, outer)


def climate_of(hours: Hours, begin: int | None = None) -> Climate:
    """Return the mean of two days of a weather, at which a board begins that is washed then, and its hours.

    The mean of all of it where no step is given.

    Raises `InputProblem` where temperature or humidity is recorded at no step.
    """
    days = slice(None) if begin is None else slice(begin, begin + max(round(2 * DAY / hours.step), 1))
    temperature = float(hours.bridged("air_temperature")[days].mean())
    humidity = float(np.clip(hours.bridged("relative_humidity"), 0.01, 1.0)[days].mean())
    return Climate(temperature, humidity, hours)


def _clock(first: date, seconds: float, hours: Hours) -> datetime:
    """Return what clocks show so long after the first morning; where they change, mornings stay where they are."""
    return datetime.combine(first, time(MORNING), hours.zone) + timedelta(seconds=seconds)


def _lasting(hours: Hours, begin: int) -> NDArray[np.intp]:
    """Return the places of the hours from one on, and then of the last whole day again and again."""
    given, day = len(hours), max(round(DAY / hours.step), 1)
    last = min(day, given)
    more = max(round(_AHEAD / hours.step) - (given - begin), 0)
    found: NDArray[np.intp] = np.concatenate((np.arange(begin, given), given - last + np.arange(more) % last))
    return found


def _in_order(times: list[float]) -> Times:
    """Put three times in order: faster diffusion may also pass the water on inwards, and dry the face later."""
    low, middle, high = sorted(float(time) for time in times)
    return low, middle, high


def _filled(model: DryingModel, gravity: float, ledger: Ledger) -> float:
    """Return what wetting fills wood of a basic density to, on straight lines between the tabulated ones."""
    by_density = sorted((float(name), spread.value(ledger.take(number))) for name, number in model.filled.items())
    densities, shares = zip(*by_density, strict=True)
    return float(np.interp(gravity, densities, shares))


def _basic_density(species: Species | None, ledger: Ledger) -> float:
    if species is None:
        return UNNAMED
    if species.basic_density is not None:
        return spread.central(ledger.take(species.basic_density))
    return float(basic_density_from(density=spread.central(ledger.take(species.density))))
