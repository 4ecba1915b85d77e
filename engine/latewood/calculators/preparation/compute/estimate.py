"""Hours, days, depth and material of one route."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from latewood.calculators.preparation.compute.drying import Dryer, Drying
from latewood.calculators.preparation.fields import RouteStepTime
from latewood.calculators.preparation.resolved import Heads, Resolved
from latewood.formulas import pace, removal, wear
from latewood.formulas.workdays import DAY, Block, Course, course
from latewood.provenance import Ledger, Sourced
from latewood.records import Rate, Route
from latewood.records.route import SANDS, WETS, RouteStep
from latewood.rules.new_wood import tested_after
from latewood.rules.route_work import RouteWork
from latewood.rules.surface_layers import layer_met
from latewood.rules.wash_recipe import Amounts, amounts, strips
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: The density the layers of a sanding practice are given at (kg/m3).
_LAYERS_AT = 500.0
#: Where a quantile of work stands among the times of drying.
_LEVELS: Final = {0.1: 0, None: 1, 0.9: 2}


@dataclass(frozen=True)
class RouteEstimate:
    """What one route comes to.

    ``courses`` are its days at P10, P50 and P90; ``prohibition_reason`` says why heads forbid to sand.

    ``washed_after`` is when its last wash is done, s from the first morning, and ``dry`` how long it dries from then;
    None where nothing is wetted.
    """

    steps: tuple[RouteStepTime, ...]
    work_time: Number
    courses: tuple[Course, Course, Course]
    removal: Number
    discs: int
    solution: Number
    mass: Number
    rinse: Number
    sanding: Number
    prohibition_reason: str
    washed_after: float | None
    dry: Drying | None

    @property
    def elapsed(self) -> Number | None:
        """Time until the wood may be coated; None where it never may."""
        low, middle, high = (one.end for one in self.courses)
        if not all(math.isfinite(end) for end in (low, middle, high)):
            return None
        if high - low < 1.0 or low <= 0:
            return middle
        return spread.lognormal(f"input/elapsed/{'-'.join(step.id for step in self.steps)}", low, middle, high)


class Estimator:
    """Estimates routes on one surface with one crew."""

    def __init__(self, r: Resolved, ledger: Ledger) -> None:
        self.r, self.dryer, self.ledger = r, Dryer(r, ledger), ledger

    def removal(self, route: Route) -> Number:
        """Add the layers its steps take off, in the density of this wood, with ridges and film where there are any."""
        parts: list[Number] = []
        for step in route.steps:
            if step.layer == "none":
                continue
            name = self._seen() if step.layer == "seen" else step.layer
            about = f"{route.id}: {step.id}"
            film = self.ledger.take(self.r.practice.film) if name == "old-film" else 0.0
            ridge = self._here(self.r.practice.ridges[name], about) if name in self.r.practice.ridges else 0.0
            changed = self._here(self.r.practice.layers[name], about)
            parts.append(self.ledger.step(removal.layer_depth, about, ridge=ridge, changed=changed, film=film))
        return spread.total(parts)

    def estimate(self, work: RouteWork, removal: Number, heads: Heads) -> RouteEstimate:
        """Return what a route comes to that takes off so much wood, with what is done to heads before."""
        route = work.route
        taken = {step.id: self._taken(step, work) for step in route.steps if step.id in work.stages}
        steps = tuple(self._step(step, work, taken.get(step.id)) for step in route.steps)
        by_id = {step.id: step.work_time for step in steps}
        sanding = spread.total([by_id[step.id] for step in route.steps if step.does in SANDS])
        if heads.time is not None:
            steps = _with_heads(steps, heads.time)
        set_up = self._time("day-set-up")
        washed = self._washed(route, by_id, heads.time, set_up)
        dry = None if washed is None else self.dryer.after(washed, route)
        fast, middle, slow = (
            self._course(route, by_id, heads.time, set_up, dry, quantile) for quantile in (0.1, None, 0.9)
        )
        hours = spread.total([step.work_time for step in steps])
        return RouteEstimate(
            steps=steps,
            work_time=hours + set_up * self.r.crew * middle.days,
            courses=(fast, middle, slow),
            removal=removal,
            prohibition_reason=heads.prohibition_reason,
            discs=self._discs(route),
            solution=spread.total([one.solution for one in taken.values()]),
            mass=spread.total([one.mass for one in taken.values() if one.mass is not None]),
            rinse=spread.total([one.rinse for one in taken.values()]),
            sanding=sanding,
            washed_after=washed,
            dry=dry,
        )

    def _taken(self, step: RouteStep, work: RouteWork) -> Amounts:
        return amounts(work.stages[step.id].agent, self.r.area, f"{work.route.id}: {step.id}", self.ledger)

    def _step(self, step: RouteStep, work: RouteWork, taken: Amounts | None) -> RouteStepTime:
        rate = self._rate(step)
        own = self.r.own_rates.get(rate.id)
        speed = self.ledger.take(rate.pace) if own is None or own.area_pace is None else own.area_pace
        time = self.ledger.step(pace.time_by_area, f"{work.route.id}: {step.id}", area=self.r.area, pace=speed)
        stage = work.stages.get(step.id)
        return RouteStepTime(
            id=step.id,
            does=step.does,
            agent=None if stage is None else stage.agent,
            work_time=time,
            solution_volume=None if taken is None else taken.solution,
            product_mass=None if taken is None else taken.mass,
            rinse_volume=None if taken is None else taken.rinse,
            why=step.why if stage is None or step.why == stage.why else f"{step.why}; {stage.why}",
        )

    def _rate(self, step: RouteStep) -> Rate:
        film = "film" if self.r.surface.state == "film" and step.does in SANDS else ""
        return self.r.rates[next(step.rate[key] for key in (film, self.r.group, "any") if key in step.rate)]

    def _time(self, name: str) -> Number:
        own = self.r.own_rates.get(name)
        return own.time if own is not None and own.time is not None else self.ledger.take(self.r.rates[name].pace)

    def _washed(self, route: Route, by_id: dict[str, Number], heads: Number | None, set_up: Number) -> float | None:
        """Return when the last wash of a route is done, s from the first morning, at the median of all work before."""
        wets = [index for index, step in enumerate(route.steps) if step.does in WETS]
        if not wets:
            return None
        blocks = self._blocks(route, by_id, heads, None, None)
        return self._first() + self._course_of([*blocks[: wets[-1]], Block(blocks[wets[-1]].work)], set_up, None).end

    def _first(self) -> float:
        """Return when work begins, s from the first morning: where wood waits, once it is tested again."""
        return tested_after(self.r.surface.beads) * DAY

    def _course_of(self, blocks: list[Block], set_up: Number, quantile: float | None) -> Course:
        return course(blocks, self.r.day_length, _at(set_up, quantile))

    def _blocks(
        self,
        route: Route,
        by_id: dict[str, Number],
        heads: Number | None,
        dry: Drying | None,
        quantile: float | None,
    ) -> list[Block]:
        """Return the work of a route, and its wait until it is sanded, with every time at one quantile."""
        blocks: list[Block] = []
        wets = [index for index, step in enumerate(route.steps) if step.does in WETS]
        sands = [index for index, step in enumerate(route.steps) if step.does in SANDS]
        for index, step in enumerate(route.steps):
            if heads is not None and index == sands[0]:
                blocks.append(Block(_at(heads, quantile) / self.r.crew))
            crewed = _at(by_id[step.id], quantile) / self.r.crew
            last_wet = bool(wets) and index == wets[-1]
            wait = 0.0
            if last_wet and sands:
                least = 0.0 if route.least_dry is None else spread.value(self.ledger.take(route.least_dry))
                drying = least if dry is None or dry.to_sand is None else dry.to_sand[_LEVELS[quantile]]
                wait = max(drying, least)
            blocks.append(Block(crewed, wait))
        return blocks

    def _course(
        self,
        route: Route,
        by_id: dict[str, Number],
        heads: Number | None,
        set_up: Number,
        dry: Drying | None,
        quantile: float | None,
    ) -> Course:
        """Lay a route out on days with every time at one quantile, or at its median."""
        blocks, first = self._blocks(route, by_id, heads, dry, quantile), self._first()
        done = self._course_of(blocks, set_up, quantile)
        wets = [index for index, step in enumerate(route.steps) if step.does in WETS]
        if not wets or dry is None:
            return Course(first + done.end, done.days)
        wetted = self._course_of([*blocks[: wets[-1]], Block(blocks[wets[-1]].work)], set_up, quantile)
        ready = wetted.end + dry.to_coat[_LEVELS[quantile]]
        return Course(first + max(done.end, ready), done.days)

    def _here(self, depth: Sourced, about: str) -> Number:
        """Return a depth stated at a reference density as it is in this wood."""
        wood = self.r.species
        taken: Number = self.ledger.take(depth)
        if wood is None:
            return taken
        return self.ledger.step(
            removal.depth_at_density,
            about,
            depth=taken,
            density=self.ledger.take(wood.density),
            reference_density=_LAYERS_AT,
        )

    def _seen(self) -> str:
        """Return the layer a sander meets."""
        return layer_met(self.r.signs, self.r.surface.state, grey=self.r.surface.grey)

    def _discs(self, route: Route) -> int:
        """Return the discs to have: whole ones, enough in nine cases of ten."""
        count: list[Number] = []
        for index, step in enumerate(step for step in route.steps if step.does in SANDS):
            film = self.r.surface.state == "film" and index == 0 and not strips(route)
            life = self.ledger.take(self.r.practice.disc_life["film" if film else self.r.group])
            if index:
                life = life * self.ledger.take(self.r.practice.later_life)
            about = f"{route.id}: {step.id}"
            count.append(self.ledger.step(wear.discs_worn, about, area=self.r.area, effort=1.0, life=life))
        return math.ceil(spread.high(spread.total(count)) - 1e-9)


def _at(number: Number, quantile: float | None) -> float:
    return spread.central(number) if quantile is None else spread.quantile(number, quantile)


def _with_heads(steps: tuple[RouteStepTime, ...], time: Number) -> tuple[RouteStepTime, ...]:
    """Return the steps with the work on heads before the first that sands."""
    first = next(place for place, step in enumerate(steps) if step.does in SANDS)
    why = "a proud head tears discs and throws sparks: set it below what is sanded off, or replace it"
    return (*steps[:first], RouteStepTime(id="set-heads", does="set-heads", work_time=time, why=why), *steps[first:])
