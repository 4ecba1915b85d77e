"""What law or chemistry forbids on any wood: solvent strippers, bleach with peroxide, acid with caustic or peroxide."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import Final

from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.recipe_choice import Planned
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import WashAgent
from latewood.records.places import region_of
from latewood.records.wash import Restriction
from latewood.rules.wording import words

#: The finding by whom the place lets use a solvent stripper: it is planned in no case.
_FINDINGS: Final = {"nobody": "solvent-stripper-stop", "certified": "solvent-stripper-not-planned"}


def solvents(x: Inputs, stages: Sequence[Planned], ledger: Ledger, known: RecordLookup) -> None:
    """Write what is said of agents no recipe is given of, by the law of the place."""
    if any(one.stage.agent.role == "stripper" for one in stages):
        ledger.fact("stripper", "chemical")
    for index, one in enumerate(stages):
        agent = one.stage.agent
        if not agent.never_mixed:
            continue
        ledger.fact("stripper", "dichloromethane")
        rule = restriction(agent, x.jurisdiction, known)
        at = f"/stages/{index}/agent"
        if rule is None:
            place = x.jurisdiction or "the place"
            message = (
                f"{agent.title}: no recipe is given. Whether {place} lets a crew use it is not known here. Ask the "
                "authority, or take the film off another way."
            )
            ledger.find("solvent-stripper-not-planned", "stop", message, pointer=at, agent=agent.id, within="unknown")
            continue
        ledger.use(
            f"{agent.path}/restrictions/{rule.region}",
            rule.message,
            rule.kind,
            note=f"{rule.source}: {rule.where}; from {rule.starts} on",
        )
        message = f"{agent.title}: no recipe is given. {rule.message} Take the film off another way."
        within = "no" if rule.users == "nobody" else "unknown"
        ledger.find(_FINDINGS[rule.users], "stop", message, pointer=at, agent=agent.id, within=within)


def restriction(agent: WashAgent, jurisdiction: str | None, known: RecordLookup) -> Restriction | None:
    """Return the rule of the place on an agent; None where none is known."""
    region = region_of(known, jurisdiction)
    return next((rule for rule in agent.restrictions if region is not None and rule.region == region.id), None)


def oxygen(stages: Sequence[Planned], ledger: Ledger) -> None:
    """Write what is said of bleach and peroxide, in one mix or after one another: they set oxygen and heat free."""
    for index, one in enumerate(stages):
        if is_bleach(one) and _peroxide(one):
            message = (
                "Hypochlorite and peroxide react at once: heat, foam and oxygen burst a closed container. Never mix "
                "them, and use one of them only."
            )
            _clash(message, f"/stages/{index}/mixed_with", ledger)
    for (index, first), (after, then) in combinations(enumerate(stages), 2):
        if not ((is_bleach(first) and _peroxide(then)) or (_peroxide(first) and is_bleach(then))):
            continue
        ledger.fact("bleach_and_peroxide", True)
        # What comes between dilutes, and does not rinse.
        if all(one.stage.rinsed is False for one in stages[index:after]):
            message = (
                f"{spoken(then)} must not follow {spoken(first)} without a full rinse: what is left reacts with heat, "
                "foam and oxygen. Rinse until no smell is left, or use one of them only."
            )
            _clash(message, f"/stages/{index}/rinsed", ledger)


def acids(stages: Sequence[Planned], ledger: Ledger) -> None:
    """Write what is said of an acid with caustic or peroxide in one mix, and of an acid and caustic not rinsed off."""
    for index, one in enumerate(stages):
        at = f"/stages/{index}/mixed_with"
        if _caustic(one) and is_acid(one):
            message = (
                "Acid and caustic boil and spatter when they are mixed, and burn eyes and skin. Never mix them: rinse "
                "the caustic off in full, then put the acid on."
            )
            ledger.find("acid-and-caustic", "stop", message, pointer=at)
        if _peroxide(one) and is_acid(one):
            message = (
                "Acid and peroxide react with heat, foam and gas that bursts a closed container, and can form stronger "
                "oxidisers. Never mix them: use one after the other, with a full rinse between."
            )
            ledger.find("acid-and-peroxide", "stop", message, pointer=at)
    for (index, first), (after, then) in combinations(enumerate(stages), 2):
        meet = (_caustic(first) and is_acid(then)) or (is_acid(first) and _caustic(then))
        # What comes between dilutes, and does not rinse.
        if meet and all(one.stage.rinsed is False for one in stages[index:after]):
            message = (
                f"{spoken(then)} must not follow {spoken(first)} without a full rinse: acid and caustic boil, spatter "
                "and burn eyes and skin. Rinse the first off in full."
            )
            ledger.find("acid-and-caustic", "stop", message, pointer=f"/stages/{index}/rinsed")


def _clash(message: str, pointer: str, ledger: Ledger) -> None:
    ledger.fact("bleach_and_peroxide", True)
    ledger.find("bleach-before-percarbonate", "stop", message, pointer=pointer)


def spoken(planned: Planned) -> str:
    """Return the name of what a stage puts on the wood, with what else is in its mix."""
    stage = planned.stage
    return stage.agent.title + (f" with {words(stage.mixed_with)} in it" if stage.mixed_with else "")


def is_acid(planned: Planned) -> bool:
    """Say whether an acid is in a stage, by itself or in its mix."""
    return planned.stage.agent.reaction == "acid" or "acid" in planned.stage.mixed_with


def is_bleach(planned: Planned) -> bool:
    """Say whether chlorine bleach is in a stage, by itself or in its mix."""
    return planned.stage.agent.chemistry == "hypochlorite" or "hypochlorite" in planned.stage.mixed_with


def _peroxide(planned: Planned) -> bool:
    return planned.stage.agent.chemistry == "percarbonate" or "peroxide" in planned.stage.mixed_with


def _caustic(planned: Planned) -> bool:
    return planned.stage.agent.chemistry == "hydroxide"
