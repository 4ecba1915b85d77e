"""What law or chemistry forbids on any wood: solvent strippers, and agents that meet in one mix or unrinsed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve import Planned, Resolved
from latewood.provenance import Ledger
from latewood.records import Region, WashAgent
from latewood.records.wash import Restriction
from latewood.rules.wording import words

Substance = Literal["bleach", "peroxide", "acid", "caustic", "ammonia"]


@dataclass(frozen=True)
class Clash:
    """Two substances that must not meet: the finding, what is said of a mix, and of one after the other unrinsed."""

    pair: tuple[Substance, Substance]
    id: str
    mixed: str
    after: str = ""

    def meets(self, first: Planned, then: Planned) -> bool:
        """Say whether one is in one stage, and the other in the other."""
        a, b = substances(first), substances(then)
        return (self.pair[0] in a and self.pair[1] in b) or (self.pair[0] in b and self.pair[1] in a)


_OXYGEN: Final = Clash(
    ("bleach", "peroxide"),
    "bleach-before-percarbonate",
    "Hypochlorite and peroxide react at once: heat, foam and oxygen burst a closed container. Never mix them, and use "
    "one of them only.",
    ": what is left reacts with heat, foam and oxygen. Rinse until no smell is left, or use one of them only.",
)
_ACIDS: Final = (
    Clash(
        ("caustic", "acid"),
        "acid-and-caustic",
        "Acid and caustic boil and spatter when they are mixed, and burn eyes and skin. Never mix them: rinse the "
        "caustic off in full, then put the acid on.",
        ": acid and caustic boil, spatter and burn eyes and skin. Rinse the first off in full.",
    ),
    Clash(
        ("peroxide", "acid"),
        "acid-and-peroxide",
        "Acid and peroxide react with heat, foam and gas that bursts a closed container, and can form stronger "
        "oxidisers. Never mix them: use one after the other, with a full rinse between.",
        ": what is left reacts with heat, foam and gas, and can form stronger oxidisers. Rinse the first off in full.",
    ),
    Clash(
        ("acid", "ammonia"),
        "acid-and-ammonia",
        "Acid and ammonia react with heat, spatter and fumes, and undo each other. Never mix them: use one after the "
        "other, with a full rinse between.",
        ": they react with heat and fumes, and undo each other. Rinse the first off in full.",
    ),
    Clash(
        ("caustic", "peroxide"),
        "caustic-and-peroxide",
        "A strong caustic breaks peroxide down at once: heat, foam and oxygen burst a closed container, and the foam "
        "burns eyes and skin. Never mix them: use one after the other, with a full rinse between.",
        ": what is left breaks peroxide down with heat and a foam that burns. Rinse the first off in full.",
    ),
)
_POISONOUS: Final[Mapping[Substance, str]] = {
    "acid": "an acid: it gives off chlorine",
    "ammonia": "ammonia: it gives off chloramines",
}
_GASES: Final = tuple(
    Clash(
        ("bleach", other),
        "hypochlorite-mixed",
        f"Hypochlorite must never be mixed with {what}, which poisons.",
        " between: what is left of one gives off poisonous gas with the other.",
    )
    for other, what in _POISONOUS.items()
)
#: The finding of what meets unrinsed, where it is not that of what is mixed.
_UNRINSED: Final = {"hypochlorite-mixed": "hypochlorite-not-rinsed"}


def substances(planned: Planned) -> frozenset[Substance]:
    """Return what is in a stage, by its agent or in its mix, that must not meet something else."""
    agent, mix = planned.stage.agent, planned.stage.mixed_with
    found: dict[Substance, bool] = {
        "bleach": agent.chemistry == "hypochlorite" or "hypochlorite" in mix,
        "peroxide": agent.chemistry == "percarbonate" or "peroxide" in mix,
        "acid": agent.reaction == "acid" or "acid" in mix,
        "caustic": agent.chemistry == "hydroxide",
        "ammonia": "ammonia" in mix,
    }
    return frozenset(name for name, there in found.items() if there)


def clashes(stages: Sequence[Planned], ledger: Ledger) -> bool:
    """Write what must not meet, in one mix or after one another, and say whether poisonous gas comes of it."""
    if _find((_OXYGEN,), stages, ledger) or any(_OXYGEN.meets(*pair) for pair in combinations(stages, 2)):
        ledger.fact("bleach_and_peroxide", True)
    _find(_ACIDS, stages, ledger)
    return _find(_GASES, stages, ledger)


def poisons(stages: Sequence[Planned]) -> bool:
    """Say whether bleach and something that poisons with it are both used, however well it is rinsed between."""
    return any(clash.meets(*pair) for pair in combinations(stages, 2) for clash in _GASES)


def _find(rules: Sequence[Clash], stages: Sequence[Planned], ledger: Ledger) -> bool:
    found = False
    for index, one in enumerate(stages):
        for clash in rules:
            if set(clash.pair) <= substances(one):
                found = True
                ledger.find(clash.id, "stop", clash.mixed, pointer=f"/stages/{index}/mixed_with")
    for (index, first), (after, then) in combinations(enumerate(stages), 2):
        # What comes between dilutes, and does not rinse.
        if any(one.stage.rinsed is not False for one in stages[index:after]):
            continue
        for clash in rules:
            if clash.after and clash.meets(first, then):
                found = True
                message = f"{_named(then)} must not follow {_named(first)} without a full rinse{clash.after}"
                ledger.find(_UNRINSED.get(clash.id, clash.id), "stop", message, pointer=f"/stages/{index}/rinsed")
    return found


def _named(planned: Planned) -> str:
    """Return the name of what a stage puts on the wood, with what else is in its mix."""
    stage = planned.stage
    return stage.agent.title + (f" with {words(stage.mixed_with)} in it" if stage.mixed_with else "")


#: The finding by whom the place lets use a solvent stripper: it is planned in no case.
_FINDINGS: Final = {"nobody": "solvent-stripper-stop", "certified": "solvent-stripper-not-planned"}


def solvents(x: Inputs, r: Resolved, ledger: Ledger) -> None:
    """Write what is said of agents no recipe is given of, by the law of the place."""
    if any(one.stage.agent.role == "stripper" for one in r.stages):
        ledger.fact("stripper", "chemical")
    for index, one in enumerate(r.stages):
        agent = one.stage.agent
        if not agent.never_mixed:
            continue
        ledger.fact("stripper", "dichloromethane")
        rule = _restriction(agent, r.hazards.region)
        at = f"/stages/{index}/agent"
        if rule is None:
            place = x.jurisdiction or "the place"
            message = (
                f"{agent.title}: no recipe is given. Whether {place} lets a crew use it is not known here. Ask the "
                "authority, or take the film off another way."
            )
            ledger.find("solvent-stripper-not-planned", "stop", message, pointer=at, agent=agent.id, within="unknown")
            continue
        note = f"{rule.source}: {rule.where}; from {rule.starts} on"
        ledger.use(f"{agent.path}/restrictions/{rule.region}", rule.message, rule.kind, note=note)
        message = f"{agent.title}: no recipe is given. {rule.message} Take the film off another way."
        within = "no" if rule.users == "nobody" else "unknown"
        ledger.find(_FINDINGS[rule.users], "stop", message, pointer=at, agent=agent.id, within=within)


def _restriction(agent: WashAgent, region: Region | None) -> Restriction | None:
    """Return the rule of the place on an agent; None where none is known."""
    return next((rule for rule in agent.restrictions if region is not None and rule.region == region.id), None)
