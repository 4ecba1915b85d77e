"""Hours, days, depth and material of one route."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from functools import partial
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
        steps = _with_heads(steps, heads)
        set_up, times, wash = self._time("day-set-up"), [step.work_time for step in steps], _last_wet(steps)
        washed = dry = least = None
        if wash is not None:
            least = self._least_dry(route)
            # The median of all work before.
            washed = self._course(times[: wash + 1], set_up, None).end
            dry = self.dryer.after(washed, route)
        fast, middle, slow = (
            self._course(times, set_up, quantile, wash=wash, dry=dry, least=least) for quantile in (0.1, None, 0.9)
        )
        return RouteEstimate(
            steps=steps,
            work_time=spread.total(times) + set_up * self.r.crew * middle.days,
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

    def _least_dry(self, route: Route) -> float | None:
        """Return the least time between the last wash of a route and its sanding; None where it is not sanded."""
        if not route.sands:
            return None
        return 0.0 if route.least_dry is None else spread.value(self.ledger.take(route.least_dry))

    def _first(self) -> float:
        """Return when work begins, s from the first morning: where wood waits, once it is tested again."""
        return tested_after(self.r.surface.beads) * DAY

    def _course(
        self,
        times: Sequence[Number],
        set_up: Number,
        quantile: float | None,
        *,
        wash: int | None = None,
        dry: Drying | None = None,
        least: float | None = None,
    ) -> Course:
        """Lay work out on days with every time at one quantile, or at its median; what is washed last dries."""
        blocks = [Block(_at(time, quantile) / self.r.crew) for time in times]
        first, days = self._first(), partial(course, day_length=self.r.day_length, set_up=_at(set_up, quantile))
        ready = 0.0
        if wash is not None and dry is not None:
            level = _LEVELS[quantile]
            ready = days(blocks[: wash + 1]).end + dry.to_coat[level]
            if least is not None:
                wait = least if dry.to_sand is None else max(dry.to_sand[level], least)
                blocks[wash] = Block(blocks[wash].work, wait)
        done = days(blocks)
        return Course(first + max(done.end, ready), done.days)


def _at(number: Number, quantile: float | None) -> float:
    return spread.central(number) if quantile is None else spread.quantile(number, quantile)


def _own_reason(step: RouteStep, route: Route) -> list[Clause]:
    """Return why a step stands in its record; what a recipe added has its reason from there."""
    return [route.recorded(step.why, "steps", step.id, "why")] if step.why else []


def _last_wet(steps: Sequence[RouteStepTime]) -> int | None:
    """Return the place of the last wash; None where none is."""
    return max((place for place, step in enumerate(steps) if step.does in WETS), default=None)


def _with_heads(steps: tuple[RouteStepTime, ...], heads: Heads) -> tuple[RouteStepTime, ...]:
    """Return the steps with the work on heads where it comes."""
    if heads.time is None:
        return steps
    kinds = WETS | SANDS if heads.before_water else SANDS
    first = next(place for place, step in enumerate(steps) if step.does in kinds)
    why = clause("heads-before-water" if heads.before_water else "heads-before-sanding")
    step = RouteStepTime(id="set-heads", does="set-heads", work_time=heads.time, why=why)
    return (*steps[:first], step, *steps[first:])
