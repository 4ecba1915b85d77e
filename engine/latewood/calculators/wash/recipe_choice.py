"""Which agents, in which order: as the caller names them, or by the recipe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from latewood.calculators.wash.fields import WashStage
from latewood.calculators.wash.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import Species, WashAgent
from latewood.records.wash import Effect, Soil
from latewood.rules.hazards_found import Found
from latewood.rules.wash_chemistry import forbidden_on, reached
from latewood.rules.wash_recipe import OnWood, recipe, woods_of
from latewood.rules.wording import words


@dataclass(frozen=True)
class Planned:
    """A stage and why it is there."""

    stage: WashStage
    why: str


def planned(x: Inputs, hazards: Found, ledger: Ledger, known: RecordLookup) -> list[Planned]:
    """Return the caller's stages, or those of the recipe for what is on the wood."""
    if x.stages:
        return [Planned(stage, _named(stage.agent, x)) for stage in x.stages]
    rule = forbidden_on(hazards)
    last_resort = reached(hazards) is not None or (x.route is not None and x.route.last_resort)
    by_hand = last_resort and not x.sanded
    found = recipe(OnWood(_soil(x, ledger, by_hand=by_hand), x.old_coating, x.species), known, x.route, rule)
    if found.left:
        message = f"No agent that is chosen unasked takes off {words(found.left)} here; name one, or sand it off."
        if found.kept_out:
            message = f"Detergent and water leave {words(found.left)} on the wood, and nothing else may be used here."
        ledger.find("soil-left", "warning", message, pointer="/soil", soil=list(found.left))
    if not found.stages:
        message = "No agent is planned: nothing named here is washed off this wood. Leave the wash out."
        ledger.find("nothing-to-wash", "note", message, pointer="/route" if x.route is not None else "/soil")
    names = ", then ".join(stage.agent.title for stage in found.stages) or "none"
    ledger.use("input/stages", names, "default", note="chosen by what is on the wood, its species and old coating")
    return [Planned(WashStage(agent=stage.agent), stage.why) for stage in found.stages]


def acts_on(effect: Effect, x: Inputs, known: RecordLookup) -> bool:
    """Say whether an agent's side effect is called for by this wood, its preservative or what stands near."""
    return (
        bool(_reacting(x.species, known) & set(effect.extractives))
        or (x.treatment is not None and x.treatment in effect.treatments)
        or bool(set(x.near) & set(effect.near))
    )


def _reacting(species: Species | None, known: RecordLookup) -> set[str]:
    """Return the extractives a source has noticed in a wood; a group has those of all its members."""
    woods = woods_of(species, known)
    return {extractive.id for wood in woods for extractive in wood.extractives if extractive.level != "none-noticed"}


def _soil(x: Inputs, ledger: Ledger, *, by_hand: bool) -> tuple[Soil, ...]:
    """Return what is to come off. Scrubbing by hand takes off dirt at least, and old wood always has some."""
    if x.soil:
        always: tuple[Soil, ...] = ("dirt",) if by_hand else ()
        return tuple(dict.fromkeys([*x.soil, *always]))
    ledger.default("soil", "grey, dirt", effect=None, why="what weathered wood has on it")
    return ("grey", "dirt")


def _named(agent: WashAgent, x: Inputs) -> str:
    takes: Sequence[Soil] = [what for what in x.soil if what in agent.removes]
    return f"asked for; takes off {words(takes or agent.removes)}"
