"""Which agents, in which order, where nobody names them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from latewood.calculators._wash.fields import WashStage
from latewood.declare import Known
from latewood.provenance import Ledger
from latewood.records import Species, WashAgent
from latewood.records.wash import Effect, Soil

if TYPE_CHECKING:
    from latewood.calculators.wash import Inputs


@dataclass(frozen=True)
class Planned:
    """A stage and why it is there."""

    stage: WashStage
    why: str


def planned(x: Inputs, ledger: Ledger, known: Known) -> list[Planned]:
    """Return the caller's stages, or those that take off what is on the wood without colouring it."""
    if x.stages:
        return [Planned(stage, _named(stage.agent, x)) for stage in x.stages]
    soil = _soil(x, ledger)
    agents: dict[str, WashAgent] = dict(known.records("wash-agent"))
    order = sorted((a for a in agents.values() if a.turn), key=lambda a: a.turn)
    chosen: list[Planned] = []
    left = list(soil)
    for role in ("stripper", "cleaner", "brightener"):
        want = [what for what in left if role != "stripper" or what in ("film", "oil")]
        if (agent := _best([a for a in order if a.role == role], want, x, known)) is not None:
            takes = [what for what in left if what in agent.removes]
            chosen.append(Planned(WashStage(agent=agent), f"takes off {_words(takes)}"))
            left = [what for what in left if what not in agent.removes]
    chosen = _neutralised(chosen, agents)
    if left:
        message = f"No agent that is chosen unasked takes off {_words(left)} here; name one, or sand it off."
        ledger.find("soil-left", "warning", message, pointer="/soil", soil=left)
    names = ", then ".join(p.stage.agent.title for p in chosen) or "none"
    ledger.use("input/stages", names, "default", note="chosen by what is on the wood, its species and old coating")
    return chosen


def acts_on(effect: Effect, x: Inputs, known: Known) -> bool:
    """Say whether an agent's side effect is called for by this wood, its preservative or what stands near."""
    return (
        bool(_reacting(x.species, known) & set(effect.extractives))
        or (x.treatment is not None and x.treatment in effect.treatments)
        or bool(set(x.near) & set(effect.near))
    )


def _reacting(species: Species | None, known: Known) -> set[str]:
    """Return the extractives a source has noticed in a wood; a group has those of all its members."""
    woods = _woods(species, known)
    return {extractive.id for wood in woods for extractive in wood.extractives if extractive.level != "none-noticed"}


def _woods(species: Species | None, known: Known) -> list[Species]:
    if species is None:
        return []
    return [species, *(known.record("species", member) for member in species.members)]


def _soil(x: Inputs, ledger: Ledger) -> Sequence[Soil]:
    old: list[Soil] = []
    if x.old_coating is not None and x.old_coating != "none":
        old = ["film"] if x.old_coating.film or x.old_coating.binder == "unknown" else ["oil"]
    if x.soil:
        return list(dict.fromkeys([*old, *x.soil]))
    ledger.default("soil", "grey, dirt", effect=None, why="what weathered wood has on it")
    return [*old, "grey", "dirt"]


def _best(agents: Iterable[WashAgent], soil: Sequence[Soil], x: Inputs, known: Known) -> WashAgent | None:
    """Return the agent that takes off most without a warning for this wood; the first in turn among equals."""
    best: tuple[int, WashAgent] | None = None
    for agent in agents:
        count = sum(what in soil for what in agent.removes)
        colours = agent.colours(_woods(x.species, known))
        # A stripper may be the only way short of sanding; a cleaner that colours the wood is not.
        if count and not (colours and agent.role == "cleaner") and (best is None or count > best[0]):
            best = (count, agent)
    return None if best is None else best[1]


def _neutralised(chosen: list[Planned], agents: dict[str, WashAgent]) -> list[Planned]:
    """Follow an alkaline agent by what brings the wood back, unless an acid comes anyway."""
    last = next((p.stage.agent for p in reversed(chosen) if p.stage.agent.reaction == "alkaline"), None)
    if last is None or last.neutraliser is None:
        return chosen
    why = f"brings the wood back to neutral after {last.title.lower()}"
    if any(p.stage.agent.reaction == "acid" for p in chosen):
        return [Planned(p.stage, f"{p.why}; {why}") if p.stage.agent.reaction == "acid" else p for p in chosen]
    return [*chosen, Planned(WashStage(agent=agents[last.neutraliser]), why)]


def _named(agent: WashAgent, x: Inputs) -> str:
    takes = [what for what in x.soil if what in agent.removes]
    return f"asked for; takes off {_words(takes or agent.removes)}"


def _words(items: Sequence[str]) -> str:
    return ", ".join(item.replace("-", " ") for item in items)
