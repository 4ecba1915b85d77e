"""A percentage on a label, turned into the weight in a litre: what it means, and the density it takes."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import msgspec

from latewood.calculators.wash.inputs import STOCK, STRENGTH, Inputs, PercentOf, WashStage
from latewood.declare import Share
from latewood.formulas import washing
from latewood.problems import Fault, conflict
from latewood.provenance import Ledger, Severity
from latewood.provenance.ledger import MATTERS
from latewood.quantities import units
from latewood.records import WashAgent
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Fields that take a percentage, with their bounds in g/L.
_BOUNDS: Final = {"strength": STRENGTH, "stock_strength": STOCK}
OTHERS: Final[tuple[PercentOf, ...]] = ("available-chlorine", "trade")
_MEANINGS: Final[dict[PercentOf, str]] = {
    "weight": "by weight",
    "available-chlorine": "of available chlorine",
    "trade": "in trade percent",
}


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
        detail = "percent_of has no effect without a percentage"
        faults.append(conflict(f"{at}/percent_of", detail, "stock_strength in %"))
    chlorine = agent.chemistry == "hypochlorite"
    if stage.percent_of not in (None, "weight") and not chlorine:
        faults.append(conflict(f"{at}/percent_of", f"{agent.title} holds no available chlorine", "weight"))
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
        detail = f"{_percent(share)} comes to {_grams(found)}"
        limits = f"{_BOUNDS[name][0]:g} to {_BOUNDS[name][1]:g} g/L"
        faults.append(Fault(pointer=at, code="out-of-range", detail=detail, expected=limits))
        return None
    if stage.percent_of is None:
        note = "the usual meaning of a percentage; a label may mean another"
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
        detail = f"the density of {agent.title.lower()} is not known here"
        return conflict(at, detail, "a weight in a litre, such as 30 g/L")
    most = max(map(int, agent.densities))
    strongest = spread.high(share) * (washing.HYPOCHLORITE_PER_CHLORINE if means == "available-chlorine" else 1.0)
    if 100 * strongest <= most * (1 + 1e-9):
        return None
    detail = f"the density of {agent.title.lower()} is known up to {most} % by weight"
    return Fault(pointer=at, code="out-of-range", detail=detail, expected="a weaker one, or a weight in a litre")


def _find(index: int, stage: WashStage, share: Number, found: Number, at: str, ledger: Ledger) -> None:
    """Say what a percentage came to, and what it would be if the label means another."""
    agent, means = stage.agent, stage.percent_of or "weight"
    message = f"Stage {index + 1}: {_percent(share)} {_MEANINGS[means]} is {_grams(found)}"
    if means == "weight":
        density = units.show(spread.central(found) / spread.central(share), "kg/L", "concentration")
        message += f" at a density of {density:.3g} kg/L"
    if agent.chemistry != "hypochlorite" or stage.percent_of is not None:
        ledger.find("percent-in-weight", "note", f"{message}.", pointer=at, agent=agent.id)
        return
    others, effect = [], 0.0
    for other in OTHERS:
        if _beyond(agent, share, other, at) is None:
            weight = _in_litre(agent, share, other, Ledger.scratch(), "")
            effect = max(effect, abs(spread.central(weight) / spread.central(found) - 1))
            others.append(f"{_MEANINGS[other]} it is {_grams(weight)}")
    rest = ", ".join(others)
    told = f"{message}. {rest[:1].upper()}{rest[1:]}. {agent.label} Read the label and say which it means."
    severity: Severity = "warning" if effect > MATTERS else "note"
    ledger.find("percent-by-weight", severity, told, pointer=at, agent=agent.id, effect=round(effect, 4))


def _percent(share: Number) -> str:
    low, high = 100 * spread.low(share), 100 * spread.high(share)
    return f"{low:.4g} %" if high - low < 1e-9 else f"{low:.4g} to {high:.4g} %"


def _grams(found: Number) -> str:
    """Return a weight in a litre in words."""
    low, high = (units.show(end, "g/L", "concentration") for end in (spread.low(found), spread.high(found)))
    return f"{low:.3g} g/L" if high - low < 1e-6 * high else f"{low:.3g} to {high:.3g} g/L"
