"""A percentage on a label, turned into the weight in a litre: what it means, and the density it takes."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import msgspec

from latewood import messages
from latewood.calculators.wash.inputs import STOCK, STRENGTH, Inputs, PercentOf, WashStage
from latewood.declare import Share
from latewood.formulas import washing
from latewood.messages import Between, Concentration, Count, Titled, Word, clause, refusal
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.provenance.ledger import MATTERS
from latewood.quantities import units
from latewood.records import WashAgent
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Fields that take a percentage, with their bounds in g/L.
_BOUNDS: Final = {"strength": STRENGTH, "stock_strength": STOCK}
OTHERS: Final[tuple[PercentOf, ...]] = ("available-chlorine", "trade")


def in_weights(x: Inputs, ledger: Ledger) -> tuple[Inputs, list[Fault]]:
    """Return the inputs with every percentage as a weight in a litre, and what stands in the way of one."""
    faults: list[Fault] = []
    stages = tuple(_stage(index, stage, ledger, faults) for index, stage in enumerate(x.stages))
    return msgspec.structs.replace(x, stages=stages), faults


def weight(value: Number | Share | None) -> Number | None:
    """Return a strength that is a weight by now."""
    if isinstance(value, Share):
        raise TypeError("a percentage is not a weight before in_weights was called")
    return value


def sold(stage: WashStage) -> float | None:
    """Return the strength of the liquid as sold where it was given."""
    given = weight(stage.stock_strength)
    return None if given is None else spread.value(given)


def stock(stage: WashStage) -> float | None:
    """Return the strength of the liquid as sold, None of a powder."""
    if (given := sold(stage)) is not None:
        return given
    return None if stage.agent.stock_strength is None else stage.agent.stock_strength.si


def _stage(index: int, stage: WashStage, ledger: Ledger, faults: list[Fault]) -> WashStage:
    shares = {name: value for name in _BOUNDS if isinstance(value := getattr(stage, name), Share)}
    at, agent = f"/stages/{index}", stage.agent
    if agent.never_mixed:
        return msgspec.structs.replace(stage, **dict.fromkeys(shares))
    if stage.percent_of is not None and not shares:
        faults.append(refusal("percent-of-nothing", f"{at}/percent_of"))
    chlorine = agent.chemistry == "hypochlorite"
    if stage.percent_of not in (None, "weight") and not chlorine:
        faults.append(refusal("no-available-chlorine", f"{at}/percent_of", agent=Titled(agent)))
        return msgspec.structs.replace(stage, **dict.fromkeys(shares))
    found = {name: _weight(index, stage, name, share.number, ledger, faults) for name, share in shares.items()}
    return msgspec.structs.replace(stage, **found)


def _weight(
    index: int, stage: WashStage, name: str, share: Number, ledger: Ledger, faults: list[Fault]
) -> Number | None:
    """Return the weight in a litre of one percentage; None after noting a fault."""
    agent, at, means = stage.agent, f"/stages/{index}/{name}", stage.percent_of or "weight"
    about = f"stage {index + 1}, {'as sold' if name == 'stock_strength' else 'ready to use'}"
    if (fault := _beyond(agent, share, means, at)) is not None:
        faults.append(fault)
        return None
    found = _in_litre(agent, share, means, ledger, about)
    low, high = (units.to_si(bound, "g/L", "concentration") for bound in _BOUNDS[name])
    if not low <= spread.low(found) <= spread.high(found) <= high:
        limits, given = Between(Concentration(low), Concentration(high)), _between(messages.Share, share)
        weight = _between(Concentration, found)
        faults.append(refusal("percent-out-of-range", at, share=given, weight=weight, limits=limits))
        return None
    if stage.percent_of is None:
        note = clause("percent-usual-meaning")
        ledger.use(f"input/stages/{index}/percent_of", "weight", "default", note=note)
    _find(index, stage, share, found, at, ledger)
    return found


def _in_litre(agent: WashAgent, share: Number, means: PercentOf, ledger: Ledger, about: str) -> Number:
    if means == "trade":
        return ledger.step(washing.strength_of_trade_percent, about, trade=share)
    active = share
    if means == "available-chlorine":
        active = ledger.step(washing.hypochlorite_of_chlorine, about, chlorine=share)
    weaker, stronger = _around(agent, spread.central(active))
    density = ledger.step(
        washing.density_between,
        about,
        active=active,
        weaker=weaker / 100,
        stronger=stronger / 100,
        weaker_density=ledger.take(agent.densities[str(weaker)]),
        stronger_density=ledger.take(agent.densities[str(stronger)]),
    )
    return ledger.step(washing.strength_of_liquid, about, active=active, density=density)


def _around(agent: WashAgent, share: float) -> tuple[int, int]:
    """Return the tabulated percentages on either side of a share."""
    known = sorted(map(int, agent.densities))
    return next((one for one in pairwise(known) if 100 * share <= one[1]), (known[-2], known[-1]))


def _beyond(agent: WashAgent, share: Number, means: PercentOf, at: str) -> Fault | None:
    """Return the fault of a percentage for which no density is known."""
    if means == "trade":
        return None
    if not agent.densities:
        return refusal("agent-density-unknown", at, agent=Titled(agent))
    most = max(map(int, agent.densities))
    strongest = spread.high(share) * (washing.HYPOCHLORITE_PER_CHLORINE if means == "available-chlorine" else 1.0)
    if 100 * strongest <= most * (1 + 1e-9):
        return None
    return refusal("agent-density-known-up-to", at, agent=Titled(agent), most=Count(most))


def _find(index: int, stage: WashStage, share: Number, found: Number, at: str, ledger: Ledger) -> None:
    """Say what a percentage came to, and what it would be if the label means another."""
    agent, means = stage.agent, stage.percent_of or "weight"
    given, weight = _between(messages.Share, share), _between(Concentration, found)
    number, word = Count(index + 1), Word("percent-of", means)
    if means == "weight":
        density = Concentration(spread.central(found) / spread.central(share))
        told = clause("percent-is-at-density", stage=number, share=given, means=word, weight=weight, density=density)
    else:
        told = clause("percent-is", stage=number, share=given, means=word, weight=weight)
    if agent.chemistry != "hypochlorite" or stage.percent_of is not None:
        ledger.find("percent-in-weight", pointer=at, params={"agent": agent.id}, told=told)
        return
    others, effect = [], 0.0
    for other in OTHERS:
        if _beyond(agent, share, other, at) is None:
            would_be = _in_litre(agent, share, other, Ledger.scratch(), "")
            effect = max(effect, abs(spread.central(would_be) / spread.central(found) - 1))
            means_it = Word("percent-of", other)
            others.append(clause("percent-would-be", means=means_it, weight=_between(Concentration, would_be)))
    ledger.find(
        "percent-by-weight",
        "warning" if effect > MATTERS else "note",
        pointer=at,
        params={"agent": agent.id, "effect": round(effect, 4)},
        told=told,
        others=[clause("percents-would-be", others=others)],
        label=agent.prose(agent.label, "label"),
    )


def _between(kind: type[Concentration] | type[messages.Share], number: Number) -> Between:
    """Return a range; what is a single number but for rounding has one end twice."""
    low, high = spread.low(number), spread.high(number)
    return Between(kind(low), kind(low if high - low < 1e-9 * max(1.0, abs(high)) else high))
