"""What a route is on one surface: its steps with the agents of the recipe, and what is cleaned off before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, cast

import msgspec

from latewood.declare import RecordLookup
from latewood.messages import Clause
from latewood.records import Condition, Route
from latewood.records.route import SANDS, WETS, Does, Layer, RouteStep
from latewood.records.wash import Role
from latewood.rules.surface_layers import NOT_WASHED_OFF, harder
from latewood.rules.wash_recipe import (
    WORK,
    Forbidden,
    OnWood,
    Recipe,
    Stage,
    nothing_forbidden,
    recipe,
    sands_down,
    strips,
)

#: Steps of work that a recipe adds to a route that has none of its kind: name, what is done, and its rate.
_ADDED: Final[Mapping[Role, tuple[str, Does, str]]] = {
    "cleaner": ("clean-first", "wash", "wash-and-rinse"),
    "brightener": ("brighten-first", "neutralise", "brighten-and-rinse"),
}
_BY_HAND: Final[tuple[str, Does, str]] = ("clean-first", "hand-wash", "wash-by-hand")


@dataclass(frozen=True)
class RouteWork:
    """A route with the steps it has here, the stage of the recipe behind each step that wets, and the recipe."""

    route: Route
    stages: Mapping[str, Stage]
    recipe: Recipe
    #: Why it can no longer be what it is: no agent that may be used here strips. None where it can.
    lost: Clause | None = None


def route_work(
    route: Route, on: OnWood, known: RecordLookup, forbidden: Forbidden = nothing_forbidden, *, by_hand: bool = False
) -> RouteWork:
    """Return a route as it is done here.

    A step that wets is left out where the recipe has no agent for it, and what must go first is cleaned off before
    anything else. ``by_hand`` where no jet may be used.
    """
    found = recipe(on, known, route, forbidden)
    by_work = {does: stage for stage in found.stages for does in WORK[stage.agent.role]}
    own = {step.id: by_work[step.does] for step in route.steps if step.does in by_work}
    kept = [_done(step, by_hand=by_hand) for step in _sanded_once(route) if step.does not in WETS or step.id in own]
    placed = [id(stage) for stage in own.values()]
    added: list[RouteStep] = []
    stages: dict[str, Stage] = {}
    for stage in found.stages:
        if id(stage) in placed:
            continue
        step = _added(stage, by_hand=by_hand)
        added.append(step)
        stages[step.id] = stage
    steps = (*added, *kept)
    lost = None
    if strips(route) and not any(step.does == "strip" for step in kept):
        lost = next((why for agent, why in found.kept_out if agent.role == "stripper"), None)
    return RouteWork(msgspec.structs.replace(route, steps=steps), {**stages, **own}, found, lost)


def layer_of(route: Route, seen: Condition) -> Condition:
    """Return the layer a route sands off: what its wash or stripper leaves, else what is seen.

    Neither takes ridges or splinters down: where a route sands to sound wood, they are met after it as before.
    """
    own = _own_layer(route)
    if own == "seen":
        return seen
    left = cast("Condition", own)
    return seen if sands_down(route) and seen in NOT_WASHED_OFF and harder(seen, left) else left


def _own_layer(route: Route) -> Layer:
    """Return the layer the steps of a route sand off: of a kind by name, or what is seen."""
    layers = [step.layer for step in route.steps if step.does in SANDS and step.layer != "none"]
    return "seen" if not layers or "seen" in layers else layers[0]


def _sanded_once(route: Route) -> Iterator[RouteStep]:
    """Yield the steps with all sanding in the first that sands, and all vacuuming in the last that vacuums.

    How many grades it takes is the practice's to say.
    """
    places = {step.does in SANDS: place for place, step in reversed(list(enumerate(route.steps)))}
    last = max((place for place, step in enumerate(route.steps) if step.does == "vacuum"), default=None)
    for place, step in enumerate(route.steps):
        if step.does in SANDS:
            if place == places[True]:
                yield msgspec.structs.replace(step, layer=_own_layer(route))
        elif step.does != "vacuum" or place == last:
            yield step


def _done(step: RouteStep, *, by_hand: bool) -> RouteStep:
    """Return a step as it is done: what is washed under pressure elsewhere is washed by hand."""
    if not by_hand or step.does != "wash":
        return step
    _, does, rate = _BY_HAND
    return msgspec.structs.replace(step, does=does, rate={"any": rate})


def _added(stage: Stage, *, by_hand: bool) -> RouteStep:
    name, does, rate = _BY_HAND if by_hand and stage.agent.role == "cleaner" else _ADDED[stage.agent.role]
    return RouteStep(id=name, does=does, why="", rate={"any": rate})
