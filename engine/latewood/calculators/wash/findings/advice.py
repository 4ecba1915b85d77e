"""What is said of a wash that may be done: of its agents, its pressure, what comes after it, and what stands near."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from latewood.calculators.wash.findings.clashes import poisons
from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve import Jet, Planned, Resolved
from latewood.calculators.wash.resolve.percent import weight
from latewood.calculators.wash.result import Protection
from latewood.messages import in_english
from latewood.messages.binding import capital
from latewood.provenance import Ledger, Severity
from latewood.quantities import units
from latewood.records import PressureRule
from latewood.rules.hazards import there
from latewood.rules.hazards_found import Found
from latewood.rules.surface_layers import covering_of
from latewood.rules.wash_chemistry import by_hand, reached
from latewood.rules.wash_recipe import is_last_resort
from latewood.rules.wording import words
from latewood.rules.work import state_film, state_mains
from latewood.uncertainty import spread

_PROTECTION: Final = {
    "plants": "Water plants and their soil before, cover leaves with sheet that breathes, uncover and water again.",
    "pond": "Dam off the run-off and lead it away; cover the pond, and take out nothing but when it is clear again.",
    "aluminium": "Tape and sheet over frames, flashings, gutters and rail fittings; rinse splashes at once.",
    "painted-surfaces": "Wet walls and trim before, sheet them down to the ground, rinse splashes at once.",
    "glass": "Wet panes before, and rinse them before anything dries on them.",
    "stone": "Wet paving and walls before, keep acid off them, rinse at once.",
    "neighbours": "Tell whoever lives there the day; shut windows and doors on that side; stop when it blows over.",
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
        message = f"No agent that is chosen unasked takes off {words(left)} here; name one, or sand it off."
        if r.recipe.kept_out:
            message = f"Detergent and water leave {words(left)} on the wood, and nothing else may be used here."
        ledger.find("soil-left", "warning", message, pointer="/soil", soil=list(left))
    if not r.stages:
        message = "No agent is planned: nothing named here is washed off this wood. Leave the wash out."
        ledger.find("nothing-to-wash", "note", message, pointer="/route" if x.route is not None else "/soil")


def pressure(x: Inputs, hazards: Found, limits: Jet, ledger: Ledger) -> None:
    """Say why no pressure is given, or that the pressure asked for is over its limits."""
    lead = hazards.lead
    if by_hand(hazards):
        message = f"{_there(hazards)}, so no pressure is given: rinse with a hose, by hand."
        ledger.find("rinse-by-hose", "warning", message)
        if lead != "no":
            caught = "all of it and its rinse water are caught on sheets, and none runs into soil or drains."
            message = (
                f"What is washed or stripped off the old coating holds lead: {caught}"
                if lead == "yes"
                else "What is washed or stripped off an old coating may hold lead. Have it tested before it gets wet; "
                f"if it is lead, {caught}"
            )
            ledger.find("lead-in-run-off", "warning", message, pointer="/old_coating")
    elif is_last_resort(x.route):
        message = f"{x.route.title}: scrub by hand and rinse with a hose. No pressure is given."
        ledger.find("rinse-by-hose", "warning" if x.pressure else "note", message, pointer="/route")
    elif x.pressure and limits.rule is not None:
        _over(x.pressure, limits.ceiling or 0.0, limits.rule, ledger)


def _there(hazards: Found) -> str:
    """Say what is in the wood, its coating or its frame, and what is only not ruled out."""
    if said := _feared(hazards):
        return said.capitalize()
    kind = "preservative" if hazards.frame is None else hazards.frame.counted
    return f"{kind.capitalize()} is in the frame"


def _feared(hazards: Found) -> str:
    return ", and ".join(in_english(one) for one in there(arsenic=hazards.arsenic_in_water, lead=hazards.lead))


def _over(pressure: float, ceiling: float, rule: PressureRule, ledger: Ledger) -> None:
    """Say how far over the ceiling a pressure is, and what that does."""
    erosion, damage = ledger.value(rule.erosion), ledger.value(rule.damage)
    shown = f"{units.show(pressure, 'psi', 'pressure'):.0f} psi"
    # Sources print whole psi: a bar rounded to tenths must not be over.
    if pressure > erosion * 1.002:
        message = f"{shown} wears the wood away ({rule.erosion.given} and above) and leaves it furrowed and furred."
        ledger.find("pressure-erodes", "stop", message, pointer="/pressure", erosion=rule.erosion.given)
    elif pressure > ceiling * 1.002:
        above = pressure > damage * 1.002
        what = "Damage is seen above " + rule.damage.given if above else "The grain furs and has to be sanded"
        message = f"{shown} is over the ceiling of {rule.title.lower()} for this wood. {what}."
        ledger.find("pressure-over-ceiling", "warning", message, pointer="/pressure", rule=rule.id)


def strengths(x: Inputs, ledger: Ledger) -> None:
    """Say where a strength lies outside what is known to be used."""
    for index, stage in enumerate(x.stages):
        usual = stage.agent.told("strength")
        strength = weight(stage.strength)
        given = None if strength is None else spread.central(strength)
        if given is None or usual.low is None or usual.high is None or usual.low <= given <= usual.high:
            continue
        shown = f"{units.show(given, 'g/L', 'concentration'):.4g} g/L"
        word = "stronger" if given > usual.high else "weaker"
        message = f"{stage.agent.title} at {shown} is {word} than the usual {usual.given}; try it on a hidden spot."
        severity: Severity = "warning" if given > usual.high else "note"
        ledger.find("strength-unusual", severity, message, pointer=f"/stages/{index}/strength", usual=usual.given)


def effects(stages: Sequence[Planned], ledger: Ledger) -> None:
    """Say what agents do besides to this wood, or to what stands near."""
    for one in stages:
        for effect in one.effects:
            title = one.stage.agent.title
            ledger.find(effect.id, effect.severity, f"{title}: {effect.message}", agent=one.stage.agent.id)


def after(x: Inputs, stages: Sequence[Planned], ledger: Ledger) -> None:
    """Say what has to come after: an acid after alkali, a rinse before an acid, a reading after a spot."""
    agents = [one.stage.agent for one in stages]
    alkaline = [index for index, agent in enumerate(agents) if agent.reaction == "alkaline"]
    if alkaline and not any(agent.reaction == "acid" for agent in agents[alkaline[-1] :]):
        severity: Literal["warning", "note"] = "warning" if agents[alkaline[-1]].role == "stripper" else "note"
        message = (
            f"{agents[alkaline[-1]].title} leaves the wood alkaline, which darkens it and attacks the next coat. "
            "Follow it by an acid brightener."
        )
        ledger.find("not-neutralised", severity, message, pointer="/stages")
    if poisons(stages):
        message = (
            "Rinse in full between bleach and acid or ammonia, gaps and underside too, whatever comes between: what is "
            "left of one gives off poisonous gas with the other."
        )
        ledger.find("rinse-bleach-in-full", "warning", message, pointer="/stages")
    if x.sanded:
        message = "Rinse the spot, let it dry, read its moisture again and scuff the raised grain before the coat."
        ledger.find("spot-then-scuff", "warning", message, pointer="/spot")


def only_by_hand(hazards: Found, ledger: Ledger) -> None:
    """Say why detergent and water by hand is all there is, and what would settle it."""
    here = reached(hazards)
    if here is None:
        return
    settle = (
        "For anything else have the wood tested, or find its end tag."
        if hazards.arsenical == "suspected"
        else "For anything else have the frame tested, or give its end tag."
        if hazards.arsenical == "no" and hazards.frame_arsenical == "suspected"
        else "Use nothing else on it."
    )
    message = (
        f"{capital(in_english(here.what))}. Only detergent and water by hand are planned: "
        f"catch the run-off, and keep children and pets off the boards while they are wet. {settle}"
    )
    at = "/treatment_evidence" if hazards.arsenical != "no" else "/frame"
    ledger.find("detergent-by-hand", "danger", message, pointer=at)


def wetted(ledger: Ledger) -> None:
    """Say that the wood has to dry after the wash."""
    message = (
        "The wash wets the wood: it is sanded and coated only when it is dry again. Hand the wetting to "
        "moisture-readiness; weathered, checked boards wait days."
    )
    ledger.find("dry-after-wash", "note", message)


def protection(x: Inputs, hazards: Found) -> Iterator[Protection]:
    """Yield what to do for what stands near, for people, and for the run-off."""
    here = reached(hazards)
    for near in dict.fromkeys(x.near):
        yield Protection(id=near, message=_PROTECTION[near])
    if here is not None:
        message = "Keep children and pets off the boards, and off the ground below, until they are dry."
        yield Protection(id="people", message=message)
    feared = _feared(hazards)
    if feared or here is not None:
        why = feared.capitalize() or (capital(in_english(here.what)) if here is not None else "")
        message = (
            f"{why}. Block drains first and sweep up solids. Catch all of the rinse water; let none of it into soil, a "
            "storm drain, a well or a pond."
        )
    else:
        message = (
            "Block drains first and sweep up solids. Lead the rinse water onto watered soil where local rules allow; "
            "let none of it into a storm drain, a well or a pond."
        )
    yield Protection(id="run-off", message=message)
