"""What law or chemistry forbids on any wood: solvent strippers, and agents that meet in one mix or unrinsed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve import Planned, Resolved
from latewood.messages import Clause, Code, Titled, Word, clause
from latewood.provenance import Ledger
from latewood.records import Region, WashAgent
from latewood.records.wash import Restriction

Substance = Literal["bleach", "peroxide", "acid", "caustic", "ammonia"]


@dataclass(frozen=True)
class Clash:
    """Two substances that must not meet: the finding, its text of one mix, and that of one after the other unrinsed."""

    pair: tuple[Substance, Substance]
    id: str
    mixed: str
    after: str

    def meets(self, first: Planned, then: Planned) -> bool:
        """Say whether one is in one stage, and the other in the other."""
        a, b = substances(first), substances(then)
        return (self.pair[0] in a and self.pair[1] in b) or (self.pair[0] in b and self.pair[1] in a)


def _clash(one: Substance, other: Substance, id: str, after: str) -> Clash:
    return Clash((one, other), id, id, after)


_OXYGEN: Final = _clash("bleach", "peroxide", "bleach-before-percarbonate", "bleach-before-percarbonate-unrinsed")
_ACIDS: Final = (
    _clash("caustic", "acid", "acid-and-caustic", "acid-and-caustic-unrinsed"),
    _clash("peroxide", "acid", "acid-and-peroxide", "acid-and-peroxide-unrinsed"),
    _clash("acid", "ammonia", "acid-and-ammonia", "acid-and-ammonia-unrinsed"),
    _clash("caustic", "peroxide", "caustic-and-peroxide", "caustic-and-peroxide-unrinsed"),
)
_GASES: Final = (
    Clash(("bleach", "acid"), "hypochlorite-mixed", "hypochlorite-with-acid", "hypochlorite-not-rinsed"),
    Clash(("bleach", "ammonia"), "hypochlorite-mixed", "hypochlorite-with-ammonia", "hypochlorite-not-rinsed"),
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
                ledger.find(clash.id, text=clash.mixed, pointer=f"/stages/{index}/mixed_with")
    for (index, first), (after, then) in combinations(enumerate(stages), 2):
        # What comes between dilutes, and does not rinse.
        if any(one.stage.rinsed is not False for one in stages[index:after]):
            continue
        for clash in rules:
            if clash.meets(first, then):
                found = True
                id, at = _UNRINSED.get(clash.id, clash.id), f"/stages/{index}/rinsed"
                ledger.find(id, text=clash.after, pointer=at, then=_named(then), first=_named(first))
    return found


def _named(planned: Planned) -> Clause:
    """Return the name of what a stage puts on the wood, with what else is in its mix."""
    stage, agent = planned.stage, Titled(planned.stage.agent)
    if not stage.mixed_with:
        return clause("stage-agent", agent=agent)
    return clause("stage-agent-mixed", agent=agent, mix=[Word("additive", one) for one in stage.mixed_with])


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
            place = clause("the-place")
            if x.jurisdiction is not None:
                place = clause("in-place", place=Code(x.jurisdiction))
            params = {"agent": agent.id, "within": "unknown"}
            ledger.find("solvent-stripper-not-planned", pointer=at, params=params, agent=Titled(agent), place=place)
            continue
        at_rule = ("restrictions", str(agent.restrictions.index(rule)))
        said = agent.prose(rule.message, *at_rule, "message")
        where = agent.prose(rule.where, *at_rule, "where")
        note = clause("restriction-stands", source=Code(rule.source), where=where, starts=Code(rule.starts))
        told = clause("as-recorded", text=said)
        ledger.use(f"{agent.path}/restrictions/{rule.region}", told, rule.kind, note=note)
        params = {"agent": agent.id, "within": "no" if rule.users == "nobody" else "unknown"}
        id, text = _FINDINGS[rule.users], "solvent-stripper-by-rule"
        ledger.find(id, text=text, pointer=at, params=params, agent=Titled(agent), rule=said)


def _restriction(agent: WashAgent, region: Region | None) -> Restriction | None:
    """Return the rule of the place on an agent; None where none is known."""
    return next((rule for rule in agent.restrictions if region is not None and rule.region == region.id), None)
