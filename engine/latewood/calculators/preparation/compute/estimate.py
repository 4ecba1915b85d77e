"""Hours, days, depth and material of one route."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from latewood.calculators.preparation.compute.drying import Dryer, Drying
from latewood.calculators.preparation.fields import RouteStepTime
from latewood.calculators.preparation.resolved import Heads, Resolved
from latewood.formulas import pace
from latewood.formulas.workdays import DAY, Block, Course, course
from latewood.messages import Clause, clause
from latewood.provenance import Ledger
from latewood.records import Condition, Route
from latewood.records.route import SANDS, WETS, RouteStep
from latewood.rules.faces import Part
from latewood.rules.new_wood import tested_after
from latewood.rules.route_work import RouteWork, layer_of
from latewood.rules.sanding_work.consumed import CONFIDENCE
from latewood.rules.sanding_work.floor_work import FloorWork, floor_work
from latewood.rules.sanding_work.grade_choice import Chooser, Chosen
from latewood.rules.sanding_work.machines import stays_off
from latewood.rules.sanding_work.work import work
from latewood.rules.wash_recipe import Amounts, amounts
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Where a quantile of work stands among the times of drying.
_LEVELS: Final = {0.1: 0, None: 1, 0.9: 2}

#: What was chosen for a layer and a part of the floor.
Grades: TypeAlias = dict[tuple[Condition, Part], Chosen]


@dataclass(frozen=True)
class Sanding:
    """What sanding the floor comes to, with the grades of the field, or why there is none."""

    sequence: str = ""
    floor: FloorWork | None = None
    prohibition_reason: Clause | None = None

    @property
    def removal(self) -> Number:
        """The depth that is taken off."""
        return 0.0 if self.floor is None else self.floor.removal

    @property
    def discs(self) -> int:
        """The pieces of abrasive to have."""
        return 0 if self.floor is None else self.floor.disc_count

    def time(self, does: str) -> Number:
        """Return the time of sanding, or of vacuuming after it."""
        if self.floor is None:
            return 0.0
        time = self.floor.vacuum_time if does == "vacuum" else self.floor.sanding_time
        return 0.0 if time is None else time


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
    sanding: Sanding
    solution: Number
    mass: Number
    rinse: Number
    prohibition_reason: Clause | None
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

    def __init__(self, r: Resolved, ledger: Ledger, chosen: Grades | None = None) -> None:
        self.r, self.dryer, self.ledger = r, Dryer(r, ledger), ledger
        #: The grades chosen so far, which rest on no other number than its median.
        self.chosen: Grades = {} if chosen is None else chosen
        self._sanded: dict[Condition, Sanding] = {}
        self._worked: dict[str, tuple[list[Amounts], tuple[RouteStepTime, ...]]] = {}

    def with_crew(self, crew: int) -> Estimator:
        """Return one for another crew; what both do alike is computed once."""
        other = copy(self)
        other.r = replace(self.r, crew=crew)
        other.dryer = replace(self.dryer, r=other.r)
        return other

    def removals(self) -> Mapping[str, Number]:
        """Return how deep each route sands."""
        return {work.route.id: self.sanding(work.route).removal for work in self.r.works}

    def sanding(self, route: Route) -> Sanding:
        """Return what sanding the floor by a route comes to; routes that meet one layer share it."""
        if not route.sands:
            return Sanding()
        layer = layer_of(route, self.r.seen)
        if layer not in self._sanded:
            self._sanded[layer] = self._sanding(layer)
        return self._sanded[layer]

    def _sanding(self, layer: Condition) -> Sanding:
        """Return the sanding of a layer. Where a machine must not go over a face, the usual one does."""
        method, chooser = self.r.method, Chooser(self.r.method)
        floor, ways = [], []
        for one in self.r.floor:
            face = replace(one, zone=layer, condition=layer, trials_hold=layer == self.r.seen)
            usual = replace(face, machine=method.machines[face.part], choice=None, blend=None)
            face = usual if stays_off(face) else face
            at = layer, face.part
            chosen = self.chosen[at] if at in self.chosen else self.chosen.setdefault(at, chooser.choose(face))
            if not chosen.way:
                return Sanding(prohibition_reason=clause("no-sequence-at-hand"))
            made = work(face, chosen.way, chosen.patched_passes, method, self.ledger)
            if made.time is None:
                made = replace(made, time=work(usual, chosen.way, None, method, self.ledger).time)
            method.ladder.take(chosen.way, self.ledger)
            floor.append((face, made))
            ways.append(", ".join(chosen.way))
        return Sanding(ways[0], floor_work(floor, method, CONFIDENCE, self.ledger))

    def estimate(self, work: RouteWork, heads: Heads) -> RouteEstimate:
        """Return what a route comes to, with what is done to heads before."""
        route, sanding = work.route, self.sanding(work.route)
        taken, steps = self._steps(work)
        by_id = {step.id: step.work_time for step in steps}
        if heads.time is not None:
            steps = _with_heads(steps, heads)
        set_up = self._time("day-set-up")
        washed = self._washed(route, by_id, heads, set_up)
        dry = None if washed is None else self.dryer.after(washed, route)
        fast, middle, slow = (self._course(route, by_id, heads, set_up, dry, quantile) for quantile in (0.1, None, 0.9))
        hours = spread.total([step.work_time for step in steps])
        return RouteEstimate(
            steps=steps,
            work_time=hours + set_up * self.r.crew * middle.days,
            courses=(fast, middle, slow),
            sanding=sanding,
            prohibition_reason=sanding.prohibition_reason or heads.prohibition_reason,
            solution=spread.total([one.solution for one in taken]),
            mass=spread.total([one.mass for one in taken if one.mass is not None]),
            rinse=spread.total([one.rinse for one in taken]),
            washed_after=washed,
            dry=dry,
        )

    def _steps(self, work: RouteWork) -> tuple[list[Amounts], tuple[RouteStepTime, ...]]:
        """Return what the washes of a route take, and its steps; neither rests on crew or heads."""
        route, sanding = work.route, self.sanding(work.route)
        if route.id not in self._worked:
            taken = {step.id: self._taken(step, work) for step in route.steps if step.id in work.stages}
            steps = tuple(self._step(step, work, taken.get(step.id), sanding) for step in route.steps)
            self._worked[route.id] = [*taken.values()], steps
        return self._worked[route.id]

    def _taken(self, step: RouteStep, work: RouteWork) -> Amounts:
        return amounts(work.stages[step.id].agent, self.r.area, f"{work.route.id}: {step.id}", self.ledger)

    def _step(self, step: RouteStep, work: RouteWork, taken: Amounts | None, sanding: Sanding) -> RouteStepTime:
        stage, sands = work.stages.get(step.id), step.does in SANDS
        if sands or (step.does == "vacuum" and work.route.sands):
            time = sanding.time(step.does)
        else:
            rate = self.r.rates[next(step.rate[key] for key in (self.r.group, "any") if key in step.rate)]
            about = f"{work.route.id}: {step.id}"
            speed = self.r.method.pace(rate.id, self.ledger)
            time = self.ledger.step(pace.time_by_area, about, area=self.r.area, pace=speed)
        return RouteStepTime(
            id=step.id,
            does=step.does,
            agent=None if stage is None else stage.agent,
            work_time=time,
            sequence=sanding.sequence if sands and sanding.sequence else None,
            solution_volume=None if taken is None else taken.solution,
            product_mass=None if taken is None else taken.mass,
            rinse_volume=None if taken is None else taken.rinse,
            why=clause("several-reasons", reasons=[*_own_reason(step, work.route), *(stage.why if stage else ())]),
        )

    def _time(self, name: str) -> Number:
        own = self.r.own_rates.get(name)
        return own.time if own is not None and own.time is not None else self.ledger.take(self.r.rates[name].pace)

    def _washed(self, route: Route, by_id: dict[str, Number], heads: Heads, set_up: Number) -> float | None:
        """Return when the last wash of a route is done, s from the first morning, at the median of all work before."""
        last = _last_wet(route, heads)
        if last is None:
            return None
        blocks = self._blocks(route, by_id, heads, None, None)
        return self._first() + self._course_of([*blocks[:last], Block(blocks[last].work)], set_up, None).end

    def _first(self) -> float:
        """Return when work begins, s from the first morning: where wood waits, once it is tested again."""
        return tested_after(self.r.surface.beads) * DAY

    def _course_of(self, blocks: list[Block], set_up: Number, quantile: float | None) -> Course:
        return course(blocks, self.r.day_length, _at(set_up, quantile))

    def _blocks(
        self,
        route: Route,
        by_id: dict[str, Number],
        heads: Heads,
        dry: Drying | None,
        quantile: float | None,
    ) -> list[Block]:
        """Return the work of a route, and its wait until it is sanded, with every time at one quantile."""
        blocks: list[Block] = []
        wets = [index for index, step in enumerate(route.steps) if step.does in WETS]
        sands = any(step.does in SANDS for step in route.steps)
        for index, step in enumerate(route.steps):
            if heads.time is not None and index == _heads_at(route.steps, heads):
                blocks.append(Block(_at(heads.time, quantile) / self.r.crew))
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
        heads: Heads,
        set_up: Number,
        dry: Drying | None,
        quantile: float | None,
    ) -> Course:
        """Lay a route out on days with every time at one quantile, or at its median."""
        blocks, first = self._blocks(route, by_id, heads, dry, quantile), self._first()
        done = self._course_of(blocks, set_up, quantile)
        last = _last_wet(route, heads)
        if last is None or dry is None:
            return Course(first + done.end, done.days)
        wetted = self._course_of([*blocks[:last], Block(blocks[last].work)], set_up, quantile)
        ready = wetted.end + dry.to_coat[_LEVELS[quantile]]
        return Course(first + max(done.end, ready), done.days)


def _at(number: Number, quantile: float | None) -> float:
    return spread.central(number) if quantile is None else spread.quantile(number, quantile)


def _own_reason(step: RouteStep, route: Route) -> list[Clause]:
    """Return why a step stands in its record; what a recipe added has its reason from there."""
    return [route.recorded(step.why, "steps", step.id, "why")] if step.why else []


def _last_wet(route: Route, heads: Heads) -> int | None:
    """Return the place of the last wash among the blocks of work, that on heads counted; None where none is."""
    wets = [index for index, step in enumerate(route.steps) if step.does in WETS]
    if not wets:
        return None
    return wets[-1] + (heads.time is not None and _heads_at(route.steps, heads) <= wets[-1])


def _heads_at(steps: Sequence[RouteStep | RouteStepTime], heads: Heads) -> int:
    """Return the place of the step that work on heads comes before: the first that sands, or the first that wets."""
    kinds = WETS | SANDS if heads.before_water else SANDS
    return next(place for place, step in enumerate(steps) if step.does in kinds)


def _with_heads(steps: tuple[RouteStepTime, ...], heads: Heads) -> tuple[RouteStepTime, ...]:
    """Return the steps with the work on heads where it comes."""
    if heads.time is None:
        return steps
    first = _heads_at(steps, heads)
    why = clause("heads-before-water" if heads.before_water else "heads-before-sanding")
    step = RouteStepTime(id="set-heads", does="set-heads", work_time=heads.time, why=why)
    return (*steps[:first], step, *steps[first:])
