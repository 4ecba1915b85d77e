"""What old wood is washed with: which agents in which order, and how much of each. One recipe for all who ask."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeGuard

from latewood.declare import RecordLookup
from latewood.formulas import washing
from latewood.messages import Clause, Titled, Word, clause
from latewood.provenance import Ledger
from latewood.records import Route, Species, WashAgent
from latewood.records.route import Does
from latewood.records.wash import Role, Soil
from latewood.rules.hazard_fields import Old
from latewood.rules.surface_layers import covering_of
from latewood.uncertainty.spread import Number

#: What grows on wood.
GROWTH: Final[frozenset[Soil]] = frozenset({"algae", "mildew"})
#: What a coating leaves on wood; only a stripper takes it off.
COATED: Final[frozenset[Soil]] = frozenset({"film", "oil"})
#: What is washed off before anything else, whatever follows: a disc only smears slime. Common practice, no source.
ALWAYS_FIRST: Final[frozenset[Soil]] = frozenset({"algae"})
#: What goes with the sanding, and is washed off where wood is not sanded down. Common practice, no source.
UNLESS_SANDED: Final[frozenset[Soil]] = frozenset({"mildew", "iron-stain", "extractive-bleed"})
#: The work each kind of agent is used in.
WORK: Final[dict[Role, tuple[Does, ...]]] = {
    "cleaner": ("wash", "hand-wash"),
    "stripper": ("strip",),
    "brightener": ("neutralise",),
}

#: Returns why an agent may not be used on this wood; None where it may.
Forbidden = Callable[[WashAgent], Clause | None]


def nothing_forbidden(agent: WashAgent) -> None:
    """Forbid no agent."""


@dataclass(frozen=True)
class OnWood:
    """What is to be washed off: soil as seen, the old coating, and the wood it lies on."""

    soil: tuple[Soil, ...]
    old: Old | None = None
    species: Species | None = None


@dataclass(frozen=True)
class Stage:
    """One agent, what it takes off, and the reasons why it stands here."""

    agent: WashAgent
    takes: tuple[Soil, ...]
    why: tuple[Clause, ...]


@dataclass(frozen=True)
class Recipe:
    """Agents in the order of use, what none of them takes off, and the agents a rule kept out, with the reason."""

    stages: tuple[Stage, ...]
    left: tuple[Soil, ...] = ()
    kept_out: tuple[tuple[WashAgent, Clause], ...] = ()


def sands_down(route: Route) -> bool:
    """Say whether a route sands to sound wood; a scuff only opens a coat."""
    return any(step.does == "sand" for step in route.steps)


def is_last_resort(route: Route | None) -> TypeGuard[Route]:
    """Say whether a route is scrubbed by hand, for every other is ruled out."""
    return route is not None and route.last_resort


def strips(route: Route) -> bool:
    """Say whether a route lifts a film or an old oil with a stripper."""
    return any(step.does == "strip" for step in route.steps)


def must_go_first(what: Soil, route: Route) -> bool:
    """Say whether something on the wood is washed off before a route begins, whether or not the route washes."""
    return what in ALWAYS_FIRST or (what in UNLESS_SANDED and not sands_down(route))


def spot_treated(soil: Iterable[Soil], route: Route | None) -> bool:
    """Say whether acid goes only where iron stain stays black once the wood is sanded, and not over the whole floor.

    Acid draws more stain from steel that is still in the wood. Common practice, no source.
    """
    return route is not None and sands_down(route) and "iron-stain" in soil


def recipe(
    on: OnWood, known: RecordLookup, route: Route | None = None, forbidden: Forbidden = nothing_forbidden
) -> Recipe:
    """Return the fewest agents that take off what is on the wood without colouring it.

    A route takes off what its own steps are for, and before that what must go first. Without a route all goes.
    Growth lies on top of a film, so its cleaner comes before the stripper.
    """
    agents: dict[str, WashAgent] = dict(known.records("wash-agent"))
    kept_out = tuple((agent, why) for agent in agents.values() if agent.turn and (why := forbidden(agent)))
    out = {agent.id for agent, _ in kept_out}
    usable = sorted((a for a in agents.values() if a.turn and _may(a, out)), key=lambda a: a.turn)
    woods = woods_of(on.species, known)
    left: list[Soil] = list(dict.fromkeys([*_coated(on.old), *on.soil]))
    stages: list[Stage] = []
    for role in _order(left):
        if role == "brightener" and spot_treated(on.soil, route):
            continue
        want = [what for what in left if _wanted(what, role, route)]
        if role == "stripper" and route is not None and strips(route):
            # A route that strips does so on bare wood too, where it is taken there.
            want = want or left
        agent = _best([a for a in usable if a.role == role], want, woods)
        if agent is not None:
            takes = tuple(what for what in left if what in agent.removes)
            stages.append(Stage(agent, takes, (clause("takes-off", soil=soil_words(takes)),)))
            left = [what for what in left if what not in agent.removes]
    if route is not None:
        left = [what for what in left if _owed(what, route)]
    return Recipe(_neutralised(stages, agents), tuple(left), kept_out)


def soil_words(soil: Iterable[Soil]) -> list[Word]:
    """Return what lies on wood as words of a text."""
    return [Word("soil", one) for one in soil]


def woods_of(species: Species | None, known: RecordLookup) -> list[Species]:
    """Return a wood, and where it is a group all its members: what colours one of them may colour it."""
    if species is None:
        return []
    return [species, *(known.record("species", member) for member in species.members)]


def _may(agent: WashAgent, out: set[str]) -> bool:
    """Say whether an agent may be used: no rule keeps it out, nor what would have to follow it."""
    return agent.id not in out and (agent.neutraliser is None or agent.neutraliser not in out)


def _coated(old: Old | None) -> list[Soil]:
    covering = covering_of(old)
    return [] if covering == "bare" else [covering]


def _order(soil: Sequence[Soil]) -> tuple[Role, ...]:
    return ("cleaner", "stripper", "brightener") if GROWTH & set(soil) else ("stripper", "cleaner", "brightener")


def _wanted(what: Soil, role: Role, route: Route | None) -> bool:
    """Say whether an agent of this role is chosen for this; what it takes off besides does not matter."""
    if role == "stripper" and what not in COATED:
        return False
    if route is None or _does(route, role):
        return True
    return must_go_first(what, route)


def _does(route: Route, role: Role) -> bool:
    return any(step.does in WORK[role] for step in route.steps)


def _owed(what: Soil, route: Route) -> bool:
    """Say whether a route that leaves this on the wood has not done what it is for."""
    if what in COATED:
        return _does(route, "stripper")
    return must_go_first(what, route)


def _best(agents: Iterable[WashAgent], want: Sequence[Soil], woods: Sequence[Species]) -> WashAgent | None:
    """Return the agent that takes off most without colouring this wood: among equals the mildest, then by turn."""
    best: tuple[tuple[int, bool], WashAgent] | None = None
    for agent in agents:
        count = sum(what in want for what in agent.removes)
        rank = (count, agent.reaction == "neutral")
        # A stripper may be the only way short of sanding; a cleaner that colours the wood is not.
        coloured = agent.role == "cleaner" and agent.colours(woods)
        if count and not coloured and (best is None or rank > best[0]):
            best = (rank, agent)
    return None if best is None else best[1]


def _neutralised(stages: list[Stage], agents: dict[str, WashAgent]) -> tuple[Stage, ...]:
    """Follow an alkaline agent by what brings the wood back, unless an acid comes anyway."""
    last = next((stage.agent for stage in reversed(stages) if stage.agent.reaction == "alkaline"), None)
    if last is None or last.neutraliser is None:
        return tuple(stages)
    why = clause("neutralises-after", agent=Titled(last))
    if any(stage.agent.reaction == "acid" for stage in stages):
        return tuple(replace(s, why=(*s.why, why)) if s.agent.reaction == "acid" else s for s in stages)
    return (*stages, Stage(agents[last.neutraliser], (), (why,)))


@dataclass(frozen=True)
class Strengths:
    """What is said of an agent, where it differs from its record."""

    strength: Number | None = None
    active: float | None = None
    stock_strength: Number | None = None


@dataclass(frozen=True)
class Amounts:
    """What one stage takes: solution ready to use, powder or liquid as sold, water to mix and water to rinse."""

    strength: Number
    solution: Number
    water: Number
    rinse: Number
    mass: Number | None = None
    stock: Number | None = None
    stock_strength: Number | None = None


def amounts(agent: WashAgent, area: float, about: str, ledger: Ledger, given: Strengths | None = None) -> Amounts:
    """Return what one agent takes on an area."""
    own = given or Strengths()
    strength = own.strength if own.strength is not None else ledger.take(agent.told("strength"))
    volume = ledger.step(washing.wash_volume, about, area=area, coverage=ledger.take(agent.told("coverage")))
    rinse = ledger.step(washing.rinse_volume, about, area=area, rinse_depth=ledger.take(agent.told("rinse_depth")))
    stock = own.stock_strength
    if stock is None and agent.stock_strength is not None:
        stock = ledger.take(agent.stock_strength)
    if stock is not None:
        liquid = ledger.step(washing.stock_volume, about, volume=volume, strength=strength, stock_strength=stock)
        water = ledger.step(washing.dilution_water, about, volume=volume, stock_volume=liquid)
        return Amounts(strength, volume, water, rinse, stock=liquid, stock_strength=stock)
    active = ledger.step(washing.active_mass, about, volume=volume, strength=strength)
    share: Number = own.active or 1.0
    if own.active is None and agent.active is not None:
        share = ledger.take(agent.active)
    mass = ledger.step(washing.product_mass, about, mass=active, active=share)
    return Amounts(strength, volume, volume, rinse, mass=mass)
