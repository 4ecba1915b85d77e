"""Which routes suit this surface, and which are forbidden on it."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.preparation.fields import Damage
from latewood.calculators.preparation.resolved import Resolved
from latewood.messages import Clause, Word, clause
from latewood.records import Route
from latewood.rules.signs import ROUGH
from latewood.rules.wash_recipe import sands_down, strips


def forbidden(route: Route, r: Resolved, heads: Clause | None) -> Iterator[Clause]:
    """Yield the hazards that forbid a route, each with the reason. ``heads`` is why no disc may go over them."""
    if r.material == "composite":
        yield clause("composite-not-prepared")
    yield from r.surface.halt
    hazards = r.surface.hazards
    if hazards.no_work is not None:
        yield clause("no-work-planned", why=hazards.no_work)
        return
    if route.sands:
        yield from hazards.not_sanded(r.extraction)
    if (strips(route) or (route.wets and not route.sands)) and hazards.not_washed_off is not None:
        yield hazards.not_washed_off
    if route.sands and r.grooved:
        yield clause("grooved-under-pad")
    if heads is not None:
        yield heads


def unsuitable(route: Route, r: Resolved) -> Iterator[Clause]:
    """Yield why a route does not do what is needed here."""
    if r.surface.state not in route.suits:
        why = {
            "film": "film-stays",
            "oil": "no-film-to-take-off" if "film" in route.suits else "for-bare-wood",
            "bare": "no-old-coating-to-work-on",
        }
        yield clause(why[r.surface.state])
    if only_scuffs(route):
        yield from r.surface.unscuffed
        if r.surface.weathering.ground == "default" and r.surface.state == "oil":
            yield clause("face-not-said")
        if r.beading == "soaks-in":
            yield clause("drops-soak-in")
    if route.sands and r.surface.too_hollow is not None:
        yield r.surface.too_hollow
    if route.last_resort:
        yield clause("only-without-machines", what=[Word("leaves", one) for one in route.leaves])


def damage(route: Route, r: Resolved) -> tuple[Damage, tuple[Clause, ...]]:
    """Return how likely the wood is harmed, and by what."""
    reasons: list[tuple[int, str]] = []
    soft = r.group == "softwood"
    rough = bool(ROUGH & set(r.signs))
    if route.wets:
        jet = any(step.does in ("wash", "strip") for step in route.steps)
        if soft and rough and jet:
            reasons.append((2, "pressure-deepens-furrows"))
        elif soft and jet:
            reasons.append((1, "pressure-furs"))
        else:
            reasons.append((0, "washing-raises-grain"))
    if strips(route):
        reasons.append((2 if r.surface.state == "bare" else 1, "caustic-pulps"))
    if route.sands:
        deep = any(step.layer in ("old-film", "raised-grain", "splintered") for step in route.steps)
        reasons.append((1, "coarse-digs-in") if deep else (0, "swirls"))
    worst = max((level for level, _ in reasons), default=0)
    levels: tuple[Damage, ...] = ("low", "medium", "high")
    return levels[worst], tuple(clause(reason) for _, reason in sorted(reasons, reverse=True))


def only_scuffs(route: Route) -> bool:
    """Say whether a route only goes lightly over an old coat."""
    return route.sands and not sands_down(route)
