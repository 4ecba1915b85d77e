"""What is said of a wash that may be done: of its agents, its pressure, what comes after it, and what stands near."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from latewood.calculators.wash.findings.clashes import poisons
from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve import Jet, Planned, Resolved
from latewood.calculators.wash.resolve.percent import weight
from latewood.calculators.wash.result import Protection
from latewood.messages import Between, Clause, Concentration, Limit, Pressure, Titled, Word, clause
from latewood.provenance import Ledger, Severity
from latewood.records import PressureRule
from latewood.rules.hazards import there
from latewood.rules.hazards_found import Found
from latewood.rules.surface_layers import covering_of
from latewood.rules.wash_chemistry import by_hand, reached
from latewood.rules.wash_recipe import is_last_resort, soil_words
from latewood.rules.work import state_film, state_mains
from latewood.uncertainty import spread

_PROTECTION: Final = {
    "plants": "protect-plants",
    "pond": "protect-pond",
    "aluminium": "protect-aluminium",
    "painted-surfaces": "protect-painted-surfaces",
    "glass": "protect-glass",
    "stone": "protect-stone",
    "neighbours": "protect-neighbours",
}


def state(x: Inputs, r: Resolved, ledger: Ledger) -> None:
    """State what cautions are looked up by."""
    ledger.fact("washing", True)
    ledger.fact("material", x.material or "wood")
    r.hazards.state(ledger)
    r.hazards.state_frame(ledger)
    state_mains(ledger, "wet")
    stripped = any(one.stage.agent.role == "stripper" for one in r.stages)
    state_film(ledger, film=stripped and covering_of(r.old_coating) == "film", lead=r.hazards.lead)


def unwashed(x: Inputs, r: Resolved, ledger: Ledger) -> None:
    """Say what the recipe leaves on the wood, and where it has no agent at all."""
    if r.recipe is None:
        return
    if left := r.recipe.left:
        text = "soil-left-by-detergent" if r.recipe.kept_out else "soil-left"
        ledger.find("soil-left", text=text, pointer="/soil", params={"soil": list(left)}, soil=soil_words(left))
    if not r.stages:
        ledger.find("nothing-to-wash", pointer="/route" if x.route is not None else "/soil")


def pressure(x: Inputs, hazards: Found, limits: Jet, ledger: Ledger) -> None:
    """Say why no pressure is given, or that the pressure asked for is over its limits."""
    if by_hand(hazards):
        ledger.find("rinse-by-hose", there=[_there(hazards)])
        if hazards.lead != "no":
            text = "lead-in-run-off" if hazards.lead == "yes" else "lead-may-be-in-run-off"
            ledger.find("lead-in-run-off", text=text, pointer="/old_coating")
    elif is_last_resort(x.route):
        severity: Severity = "warning" if x.pressure else "note"
        route = Titled(x.route)
        ledger.find("rinse-by-hose", severity, text="last-resort-rinse", pointer="/route", route=route)
    elif x.pressure and limits.rule is not None:
        _over(x.pressure, limits.ceiling or 0.0, limits.rule, ledger)


def _there(hazards: Found) -> Clause:
    """Say what is in the wood, its coating or its frame, and what is only not ruled out."""
    if (said := _feared(hazards)) is not None:
        return said
    if hazards.frame is None:
        return clause("preservative-in-frame")
    return clause("something-in-frame", treatment=Word("treatment", hazards.frame.counted))


def _feared(hazards: Found) -> Clause | None:
    return there(arsenic=hazards.arsenic_in_water, lead=hazards.lead)


def _over(pressure: float, ceiling: float, rule: PressureRule, ledger: Ledger) -> None:
    """Say how far over the ceiling a pressure is, and what that does."""
    erosion, damage = ledger.value(rule.erosion), ledger.value(rule.damage)
    asked, at = Pressure(pressure), "/pressure"
    # Sources print whole psi: a bar rounded to tenths must not be over.
    if pressure > erosion * 1.002:
        params, limit = {"erosion": rule.erosion.given}, Limit(rule.erosion.given, Pressure(erosion))
        ledger.find("pressure-erodes", pointer=at, params=params, pressure=asked, erosion=limit)
    elif pressure > ceiling * 1.002:
        what = clause("grain-furs")
        if pressure > damage * 1.002:
            what = clause("damage-seen-above", damage=Limit(rule.damage.given, Pressure(damage)))
        name = Titled(rule)
        ledger.find("pressure-over-ceiling", pointer=at, params={"rule": rule.id}, pressure=asked, rule=name, what=what)


def strengths(x: Inputs, ledger: Ledger) -> None:
    """Say where a strength lies outside what is known to be used."""
    for index, stage in enumerate(x.stages):
        usual = stage.agent.told("strength")
        strength = weight(stage.strength)
        given = None if strength is None else spread.central(strength)
        if given is None or usual.low is None or usual.high is None or usual.low <= given <= usual.high:
            continue
        text = "strength-over-usual" if given > usual.high else "strength-under-usual"
        ledger.find(
            "strength-unusual",
            text=text,
            pointer=f"/stages/{index}/strength",
            params={"usual": usual.given},
            agent=Titled(stage.agent),
            strength=Concentration(given),
            usual=Between(Concentration(usual.low), Concentration(usual.high)),
        )


def unread_labels(stages: Sequence[Planned], ledger: Ledger) -> None:
    """Ask for the label of a liquid that shops sell in unlike strengths."""
    for index, one in enumerate(stages):
        number = one.assumed_stock
        if number is None or number.low is None or number.high is None:
            continue
        ledger.find(
            "strength-not-given",
            pointer=f"/stages/{index}/stock_strength",
            params={"assumed": number.given},
            agent=Titled(one.stage.agent),
            assumed=Between(Concentration(number.low), Concentration(number.high)),
        )


def effects(stages: Sequence[Planned], ledger: Ledger) -> None:
    """Say what agents do besides to this wood, or to what stands near."""
    for agent, effect in ((one.stage.agent, effect) for one in stages for effect in one.effects):
        said = agent.prose(effect.message, "effects", effect.id, "message")
        ledger.find(
            effect.id,
            effect.severity,
            text="agent-effect",
            params={"agent": agent.id},
            agent=Titled(agent),
            effect=said,
        )


def after(x: Inputs, stages: Sequence[Planned], ledger: Ledger) -> None:
    """Say what has to come after: an acid after alkali, a rinse before an acid, a reading after a spot."""
    agents = [one.stage.agent for one in stages]
    alkaline = [index for index, agent in enumerate(agents) if agent.reaction == "alkaline"]
    if alkaline and not any(agent.reaction == "acid" for agent in agents[alkaline[-1] :]):
        last = agents[alkaline[-1]]
        severity: Severity = "warning" if last.role == "stripper" else "note"
        ledger.find("not-neutralised", severity, pointer="/stages", agent=Titled(last))
    if poisons(stages):
        ledger.find("rinse-bleach-in-full", pointer="/stages")
    if x.sanded:
        ledger.find("spot-then-scuff", pointer="/spot")


def only_by_hand(hazards: Found, ledger: Ledger) -> None:
    """Say why detergent and water by hand is all there is, and what would settle it."""
    here = reached(hazards)
    if here is None:
        return
    settle = clause("use-nothing-else")
    if hazards.arsenical == "suspected":
        settle = clause("test-wood-for-more")
    elif hazards.arsenical == "no" and hazards.frame_arsenical == "suspected":
        settle = clause("test-frame-for-more")
    at = "/treatment_evidence" if hazards.arsenical != "no" else "/frame"
    ledger.find("detergent-by-hand", pointer=at, what=[here.what], settle=settle)


def wetted(ledger: Ledger) -> None:
    """Say that the wood has to dry after the wash."""
    ledger.find("dry-after-wash")


def protection(x: Inputs, hazards: Found) -> Iterator[Protection]:
    """Yield what to do for what stands near, for people, and for the run-off."""
    here = reached(hazards)
    for near in dict.fromkeys(x.near):
        yield Protection(id=near, message=clause(_PROTECTION[near]))
    if here is not None:
        yield Protection(id="people", message=clause("protect-people"))
    why = _feared(hazards)
    if why is None and here is not None:
        why = here.what
    run_off = clause("lead-run-off-away") if why is None else clause("catch-run-off", why=[why])
    yield Protection(id="run-off", message=run_off)
