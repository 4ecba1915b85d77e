"""Heads before sanding: whether any must be set or replaced first, in how many hours, and where that cannot be."""

from __future__ import annotations

from collections.abc import Mapping

from latewood.calculators.preparation.compute.estimate import Estimator
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.resolved import Heads
from latewood.declare import RecordLookup
from latewood.messages import Area, Clause, Length, clause
from latewood.provenance import Ledger, Sourced
from latewood.records import Route
from latewood.rules.heads import Fastening, HeadWork, practice_of, replaced_for, share_proud, shares_of
from latewood.rules.wash_recipe import sands_down
from latewood.rules.work import proud_steel
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def heads_before(x: Inputs, estimator: Estimator, known: RecordLookup) -> Mapping[str, Heads]:
    """Return what is done to heads before each route, by how deep it sands."""
    r, ledger, least = estimator.r, estimator.ledger, estimator.r.condition_rule.cover
    cover = spread.value(least.number if x.fastener_cover is None else ledger.take(least))
    removals = estimator.removals()
    # Boards whose hollows are too deep are turned; shallow hollows are sanded out, down to their bottom.
    hollow = 0.0 if r.surface.too_hollow else x.cup_depth or 0.0
    found = {}
    for work in r.works:
        route, removal = work.route, removals[work.route.id]
        deepest = max(spread.high(removal), hollow) if sands_down(route) else spread.high(removal)
        found[route.id] = _heads(route, deepest, x, cover, known, ledger)
    return found


def _heads(route: Route, removal: float, x: Inputs, cover: float, known: RecordLookup, ledger: Ledger) -> Heads:
    """Return what is done to heads before a route sands. ``cover`` is the wood to leave above them.

    A scuff takes off hardly anything: it only has to miss the heads. All heads are looked at, some are treated.
    """
    held = x.fastening or Fastening()
    # Acid and water draw stain from plain steel: what stains is replaced before either.
    steel_first = route.wets and "iron-stain" in replaced_for(held, x.signs)
    if not route.sands and not steel_first:
        return Heads()
    asked = cover if sands_down(route) else 0.0
    above = x.fastener_cover
    thin = route.sands and above is not None and 0 <= above < (removal + asked) * (1 - 1e-9)
    proud = route.sands and proud_steel(x.signs, above)
    if held.fastener == "hidden-clip":
        return Heads(prohibition_reason=clause("clip-lip-too-thin") if thin else None)
    if not (thin or proud or replaced_for(held, x.signs)):
        return Heads()
    if held.heads_can_be_set is False:
        return Heads(prohibition_reason=_in_the_way(thin=thin, proud=proud, asked=asked))
    how = practice_of(held, ledger, known)
    count = _count(x, how.record.area_per_fastener, ledger)
    moved: Number = (
        1.0 if thin else 0.0 if not route.sands else share_proud(held, round(count), how.record, ledger, "fastening.")
    )
    work = HeadWork(count, shares_of(held, x.signs, moved, how.record, ledger), how, f"{route.id}: heads", ledger)
    return Heads(time=spread.total(work.times(look=True)), before_water=steel_first)


def _in_the_way(*, thin: bool, proud: bool, asked: float) -> Clause | None:
    if thin:
        return clause("too-little-wood-above-heads", wood=Length(asked))
    return clause("heads-in-the-way") if proud else None


def _count(x: Inputs, each: Sourced, ledger: Ledger) -> float:
    """Return how many fasteners there are: as counted, else by the floor that one usually holds."""
    if x.fasteners is not None:
        return float(x.fasteners)
    area = spread.value(ledger.take(each))
    given = clause("one-fastener-on", area=Area(each.si))
    others = [round(x.area / end) for end in (each.low, each.high) if end is not None]
    ledger.default("fasteners", given, others=others, why=clause("usual-boards-and-joists"))
    return x.area / area
