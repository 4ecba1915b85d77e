"""Which routes suit this surface, and which are forbidden on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from latewood.calculators.preparation.fields import Damage
from latewood.calculators.preparation.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import ConditionRule, Route
from latewood.rules.hazards_found import Found
from latewood.rules.new_wood import bead_wait, left, new_and_treated
from latewood.rules.sign_actions import Measured, stops, unscuffed
from latewood.rules.signs import ROUGH
from latewood.rules.surface_layers import Covering, covering_of
from latewood.rules.wash_recipe import sands_down, strips
from latewood.rules.weathering import Told, Weathering, shows_grey, told_by, weathering
from latewood.rules.wording import words
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class Surface:
    """What is to be prepared: what covers it, whether grey shows, how weathered it is, and the hazards in it.

    ``beads`` is how long new treated wood waits first because water beads on it, s; None where it does not.
    ``halt`` is what stops it altogether, ``unscuffed`` why a light pass is not enough, both by what is seen.
    """

    state: Covering
    grey: bool
    hazards: Found
    weathering: Weathering
    beads: Number | None
    halt: tuple[str, ...]
    unscuffed: tuple[str, ...]


def surface_of(x: Inputs, hazards: Found, first: date | None, ledger: Ledger, known: RecordLookup) -> Surface:
    """Return what the surface is on the first morning, from the old coating, its age and what is seen."""
    state = covering_of(x.old_coating, x.signs)
    as_of = x.as_of or x.start
    told = told_by(x, as_of=as_of, age=x.new_wood_age)
    found = weathering(told, known, ledger)
    grey = shows_grey(state, found, x.signs)
    rule: ConditionRule = known.record("condition-rule", "usual")
    measured = Measured(x.affected, x.underside_moisture, x.cup_depth)
    halt = tuple(stops(x.signs, measured, rule, ledger))
    unscuffable = tuple(unscuffed(x.signs, measured, rule, ledger))
    return Surface(state, grey, hazards, found, _beads(x, state, told, first, ledger, known), halt, unscuffable)


def _beads(
    x: Inputs, state: Covering, told: Told, first: date | None, ledger: Ledger, known: RecordLookup
) -> Number | None:
    """Return how long the wood waits before it is tested again, None where water does not bead on it, or it is old."""
    stands = x.beading in ("beads", "in-part") and x.material != "composite"
    if not stands or not new_and_treated(x.treatment, x.species, told, known, ledger, coated=state != "bare"):
        return None
    wait = bead_wait(x.new_wood_wait, known, ledger)
    if x.beading_since is None or first is None:
        return wait
    return left(wait, (first - x.beading_since).total_seconds())


def forbidden(route: Route, x: Inputs, surface: Surface, heads: str) -> Iterator[str]:
    """Yield the hazards that forbid a route, each with the reason. ``heads`` is why no disc may go over them."""
    if x.material == "composite":
        yield "composite is not prepared like wood"
    yield from surface.halt
    hazards = surface.hazards
    if hazards.no_work:
        yield f"{hazards.no_work}: no work is planned on it"
        return
    if route.sands:
        yield from hazards.not_sanded(x.extraction)
    if not route.sands and route.wets and hazards.lead != "no":
        yield (
            "the old coating holds lead: look up who may take it off, and how, by the rule of the place"
            if hazards.lead == "yes"
            else "lead is not ruled out: nothing is washed off until it is tested"
        )
    if route.sands and x.profile == "grooved":
        yield "a flat pad cannot sand grooved boards: wash them, or turn them smooth side up"
    if heads:
        yield heads


def unsuitable(route: Route, x: Inputs, surface: Surface) -> Iterator[str]:
    """Yield why a route does not do what is needed here."""
    if surface.state not in route.suits:
        why = {
            "film": "it does not take off a film",
            "oil": "there is no film to take off" if "film" in route.suits else "it is for bare wood",
            "bare": "there is no old coating for it to work on",
        }
        yield why[surface.state]
    if only_scuffs(route):
        yield from surface.unscuffed
        if surface.weathering.ground == "default" and surface.state == "oil":
            yield "nothing was said of its face, so it counts as grey: put drops of water on it, and look for grey"
        if x.beading == "soaks-in":
            yield "drops soak in everywhere: the old coat is gone, so the wood is restored and not refreshed"
    if route.last_resort:
        yield f"it leaves {words(route.leaves)}: only where machines are ruled out"


def damage(route: Route, x: Inputs, surface: Surface) -> tuple[Damage, tuple[str, ...]]:
    """Return how likely the wood is harmed, and by what."""
    reasons: list[tuple[int, str]] = []
    soft = x.species is None or x.species.group == "softwood"
    rough = bool(ROUGH & set(x.signs))
    if route.wets:
        jet = any(step.does in ("wash", "strip") for step in route.steps)
        if soft and rough and jet:
            reasons.append((2, "pressure deepens furrows and tears or furs soft grain that is rough already"))
        elif soft and jet:
            reasons.append((1, "pressure furs and furrows soft grain where the jet is too near or too strong"))
        else:
            reasons.append((0, "washing raises the grain"))
    if strips(route):
        reasons.append((2 if surface.state == "bare" else 1, "caustic pulps wood and darkens tannin"))
    if route.sands:
        deep = any(step.layer in ("old-film", "raised-grain", "splintered") for step in route.steps)
        reasons.append((1, "coarse grades dig in where a sander rests") if deep else (0, "swirls where discs are worn"))
    worst = max((level for level, _ in reasons), default=0)
    levels: tuple[Damage, ...] = ("low", "medium", "high")
    return levels[worst], tuple(reason for _, reason in sorted(reasons, reverse=True))


def only_scuffs(route: Route) -> bool:
    """Say whether a route only goes lightly over an old coat."""
    return route.sands and not sands_down(route)
