"""Which routes suit this surface, and which are forbidden on it."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.preparation.fields import Damage
from latewood.calculators.preparation.resolved import Resolved
from latewood.messages import in_english
from latewood.records import Route
from latewood.rules.signs import ROUGH
from latewood.rules.wash_recipe import sands_down, strips
from latewood.rules.wording import words


def forbidden(route: Route, r: Resolved, heads: str) -> Iterator[str]:
    """Yield the hazards that forbid a route, each with the reason. ``heads`` is why no disc may go over them."""
    if r.material == "composite":
        yield "composite is not prepared like wood"
    yield from map(in_english, r.surface.halt)
    hazards = r.surface.hazards
    if hazards.no_work is not None:
        yield f"{in_english(hazards.no_work)}: no work is planned on it"
        return
    if route.sands:
        yield from map(in_english, hazards.not_sanded(r.extraction))
    if (strips(route) or (route.wets and not route.sands)) and hazards.not_washed_off is not None:
        yield in_english(hazards.not_washed_off)
    if route.sands and r.grooved:
        yield "a flat pad cannot sand grooved boards: wash them, or turn them smooth side up"
    if heads:
        yield heads


def unsuitable(route: Route, r: Resolved) -> Iterator[str]:
    """Yield why a route does not do what is needed here."""
    if r.surface.state not in route.suits:
        why = {
            "film": "it does not take off a film",
            "oil": "there is no film to take off" if "film" in route.suits else "it is for bare wood",
            "bare": "there is no old coating for it to work on",
        }
        yield why[r.surface.state]
    if only_scuffs(route):
        yield from map(in_english, r.surface.unscuffed)
        if r.surface.weathering.ground == "default" and r.surface.state == "oil":
            yield "nothing was said of its face, so it counts as grey: put drops of water on it, and look for grey"
        if r.beading == "soaks-in":
            yield "drops soak in everywhere: the old coat is gone, so the wood is restored and not refreshed"
    if route.sands and r.surface.too_hollow is not None:
        yield in_english(r.surface.too_hollow)
    if route.last_resort:
        yield f"it leaves {words(route.leaves)}: only where machines are ruled out"


def damage(route: Route, r: Resolved) -> tuple[Damage, tuple[str, ...]]:
    """Return how likely the wood is harmed, and by what."""
    reasons: list[tuple[int, str]] = []
    soft = r.group == "softwood"
    rough = bool(ROUGH & set(r.signs))
    if route.wets:
        jet = any(step.does in ("wash", "strip") for step in route.steps)
        if soft and rough and jet:
            reasons.append((2, "pressure deepens furrows and tears or furs soft grain that is rough already"))
        elif soft and jet:
            reasons.append((1, "pressure furs and furrows soft grain where the jet is too near or too strong"))
        else:
            reasons.append((0, "washing raises the grain"))
    if strips(route):
        reasons.append((2 if r.surface.state == "bare" else 1, "caustic pulps wood and darkens tannin"))
    if route.sands:
        deep = any(step.layer in ("old-film", "raised-grain", "splintered") for step in route.steps)
        reasons.append((1, "coarse grades dig in where a sander rests") if deep else (0, "swirls where discs are worn"))
    worst = max((level for level, _ in reasons), default=0)
    levels: tuple[Damage, ...] = ("low", "medium", "high")
    return levels[worst], tuple(reason for _, reason in sorted(reasons, reverse=True))


def only_scuffs(route: Route) -> bool:
    """Say whether a route only goes lightly over an old coat."""
    return route.sands and not sands_down(route)
