"""Which agents, in which order, how hard the wood may be rinsed, and what may be in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import msgspec

from latewood.calculators.wash.inputs import Inputs, WashStage
from latewood.calculators.wash.result import WashStageResult, Wetting
from latewood.declare import RecordLookup
from latewood.messages import Clause, Titled, clause
from latewood.provenance import HERE, Ledger, Sourced
from latewood.records import PressureRule, Species, WashAgent
from latewood.records.moisture import WettingKind
from latewood.records.places import region_of
from latewood.records.wash import Effect, Soil
from latewood.rules.hazard_fields import Old
from latewood.rules.hazards import coating_seen, note_film_unnamed, years_of
from latewood.rules.hazards_found import Found, note_found, with_frame
from latewood.rules.signs import Sign
from latewood.rules.wash_chemistry import by_hand, forbidden_on, reached
from latewood.rules.wash_recipe import OnWood, Recipe, is_last_resort, recipe, soil_words, woods_of
from latewood.rules.weathering import told_by, weathering
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class Planned:
    """A stage, why it is there, and what its agent does besides to this wood or to what stands near."""

    stage: WashStage
    why: tuple[Clause, ...]
    effects: tuple[Effect, ...]
    #: The strength of the liquid as it is sold there, where the request leaves it out and shops differ.
    assumed_stock: Sourced | None


@dataclass(frozen=True)
class Jet:
    """Limits for washing under pressure; none where a hose is all that is allowed."""

    rule: PressureRule | None = None
    start: float | None = None
    ceiling: float | None = None
    fan_angle: Number | None = None
    standoff: float | None = None


@dataclass(frozen=True)
class Resolved:
    """What is washed with what."""

    #: The old coating, unknown where a film is seen that no named one makes.
    old_coating: Old | None
    hazards: Found
    stages: list[Planned]
    #: The recipe they are of, where the request names none.
    recipe: Recipe | None


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return the stages of the request, or those of the recipe for what is on the wood."""
    if "film" in x.soil and (old := coating_seen(x.old_coating, ("film-sound",), known)) is not x.old_coating:
        note_film_unnamed(x.old_coating, "/old_coating", ledger)
        x = msgspec.structs.replace(x, old_coating=old)
    hazards = _hazards(x, known, ledger)
    extractives = _reacting(x.species, known)
    chosen = None
    if x.stages:
        planned = [(stage, _named(stage.agent, x)) for stage in x.stages]
    else:
        last_resort = reached(hazards) is not None or is_last_resort(x.route)
        soil = _soil(x, ledger, by_hand=last_resort and not x.sanded)
        chosen = recipe(OnWood(soil, x.old_coating, x.species), known, x.route, forbidden_on(hazards))
        planned = [(WashStage(agent=stage.agent), stage.why) for stage in chosen.stages]
        names = _in_order([stage.agent for stage in chosen.stages])
        ledger.use("input/stages", names, "default", note=clause("chosen-by-wood"))
    stages = [
        Planned(
            stage,
            why,
            tuple(one for one in stage.agent.effects if _acts(one, x, extractives)),
            _assumed_stock(stage, x, known),
        )
        for stage, why in planned
    ]
    return Resolved(x.old_coating, hazards, stages, chosen)


def _assumed_stock(stage: WashStage, x: Inputs, known: RecordLookup) -> Sourced | None:
    if not stage.agent.sold_at or stage.stock_strength is not None:
        return None
    region = region_of(known, x.jurisdiction)
    return stage.agent.stock_in(None if region is None else region.id)


def _in_order(agents: Sequence[WashAgent]) -> Clause:
    """Return agents one after the other, as a reason names them."""
    if not agents:
        return clause("no-agents")
    then: list[Clause] = []
    for agent in reversed(agents[1:]):
        then = [clause("then-agent", agent=Titled(agent), then=then)]
    return clause("agents-in-order", agent=Titled(agents[0]), then=then)


def _hazards(x: Inputs, known: RecordLookup, ledger: Ledger) -> Found:
    """Return what is in boards, frame and coating; silence on treatment counts as unknown: a wash may set it free."""
    years = years_of(x, known, ledger, x.as_of)
    found = with_frame(x, years)
    if x.treatment is None:
        treatment = found.wood.counted
        why = clause("seldom-treated" if treatment == "none" else "treatment-not-said")
        ledger.default("treatment", treatment, why=why)
    note_found(found, years, ledger)
    return found


def _acts(effect: Effect, x: Inputs, extractives: set[str]) -> bool:
    """Say whether an agent's side effect is called for by this wood, its preservative or what stands near."""
    treated = x.treatment is not None and x.treatment in effect.treatments
    return treated or bool(extractives & set(effect.extractives)) or bool(set(x.near) & set(effect.near))


def _reacting(species: Species | None, known: RecordLookup) -> set[str]:
    """Return the extractives a source has noticed in a wood; a group has those of all its members."""
    woods = woods_of(species, known)
    return {extractive.id for wood in woods for extractive in wood.extractives if extractive.level != "none-noticed"}


def _soil(x: Inputs, ledger: Ledger, *, by_hand: bool) -> tuple[Soil, ...]:
    """Return what is to come off. Scrubbing by hand takes off dirt at least, and old wood always has some."""
    if x.soil:
        always: tuple[Soil, ...] = ("dirt",) if by_hand else ()
        return tuple(dict.fromkeys([*x.soil, *always]))
    assumed: tuple[Soil, ...] = ("grey", "dirt")
    given = clause("soil-assumed", soil=soil_words(assumed))
    ledger.default("soil", given, why=clause("soil-of-weathered-wood"))
    return assumed


def _named(agent: WashAgent, x: Inputs) -> tuple[Clause, ...]:
    takes: Sequence[Soil] = [what for what in x.soil if what in agent.removes]
    return clause("asked-for"), clause("takes-off", soil=soil_words(takes or agent.removes))


def limits_of(x: Inputs, hazards: Found, known: RecordLookup, ledger: Ledger) -> Jet:
    """Return how hard the wood may be rinsed, by a published rule."""
    if by_hand(hazards) or is_last_resort(x.route):
        return Jet()
    rule: PressureRule = x.pressure_rule or known.record("pressure-rule", "gentle")
    if x.species is None:
        ledger.default("species", "softwood", why=clause("wood-that-bears-least"))
    dense = x.species is not None and x.species.group == "hardwood" and x.species.absorbency == "low"
    name = "dense-hardwood" if dense else "other"
    if x.pressure_rule is None:
        others = tuple(known.records("pressure-rule").values())

        def highest(other: Any) -> float:
            return (rule if other is HERE else other).ceiling[name].si

        why = clause("lowest-pressure-that-works")
        ledger.default("pressure_rule", rule.id, others=others, by=highest, output="pressure", why=why)
    start, ceiling = ledger.value(rule.start[name]), ledger.value(rule.ceiling[name])
    return Jet(rule, start, ceiling, ledger.take(rule.fan_angle), ledger.value(rule.standoff))


def wetting_of(x: Inputs, rows: Sequence[WashStageResult], known: RecordLookup, ledger: Ledger) -> Wetting:
    """Return what the wash does to the moisture of the wood."""
    kind: WettingKind = known.record("wetting-kind", "washed")
    seen: tuple[Sign, ...] = ("grey",) if "grey" in x.soil and x.weathered is None else ()
    found = weathering(told_by(x, signs=seen), known, ledger)

    def depth_of(other: Any) -> float:
        return kind.depths["weathered" if found.weathered and other is HERE else "sound"].si

    found.note(ledger, output="wetted-depth", by=depth_of)
    depth = ledger.value(kind.depths["weathered" if found.weathered else "sound"])
    return Wetting(cause=kind, wetted_depth=depth, duration=spread.total([row.dwell for row in rows]))
