"""What to mix for one stage, and what it does besides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from latewood import spread, units
from latewood.calculators._wash.choose import Planned, acts_on
from latewood.calculators._wash.fields import WashStage, WashStageResult
from latewood.declare import Known
from latewood.formulas import washing
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger, Severity
from latewood.rules.hazard_fields import frame_faults, lead_test_faults
from latewood.spread import Number

if TYPE_CHECKING:
    from latewood.calculators.wash import Inputs


def refuse(x: Inputs) -> None:
    """Raise `InputProblem` with every stage that cannot be mixed as it is given."""
    faults = [*lead_test_faults(x), *frame_faults(x.frame, "/frame")]
    for index, stage in enumerate(x.stages):
        if stage.agent.never_mixed:
            continue
        at = f"/stages/{index}"
        liquid = stage.agent.stock_strength is not None
        if liquid and stage.active is not None:
            detail = f"{stage.agent.title} is sold as a liquid, which is diluted and not weighed out"
            faults.append(Fault(pointer=f"{at}/active", code="conflict", detail=detail, expected="stock_strength"))
        strongest = spread.high(stage.agent.told("strength").number if stage.strength is None else stage.strength)
        stock = _stock(stage)
        if stock is not None and stock < strongest * (1 - 1e-9):
            shown = f"{strongest:.4g} g/L"
            detail = f"the stock is weaker than the {shown} it is to be mixed to"
            faults.append(
                Fault(pointer=f"{at}/stock_strength", code="conflict", detail=detail, expected=f"at least {shown}")
            )
    if faults:
        raise InputProblem(faults)


def mixed(number: int, planned: Planned, x: Inputs, ledger: Ledger, known: Known) -> WashStageResult:
    """Return what to mix for a stage."""
    stage, agent, about = planned.stage, planned.stage.agent, f"stage {number}"
    strength = stage.strength if stage.strength is not None else ledger.take(agent.told("strength"))
    volume = ledger.step(washing.wash_volume, about, area=x.area, coverage=ledger.take(agent.told("coverage")))
    stock = _stock(stage)
    mass: Number | None = None
    liquid: Number | None = None
    water = volume
    if stock is not None:
        if stage.stock_strength is None and agent.stock_strength is not None:
            stock = spread.value(ledger.take(agent.stock_strength))
        liquid = ledger.step(washing.stock_volume, about, volume=volume, strength=strength, stock_strength=stock)
        water = ledger.step(washing.dilution_water, about, volume=volume, stock_volume=liquid)
    else:
        active = ledger.step(washing.active_mass, about, volume=volume, strength=strength)
        share: Number = stage.active or 1.0
        if stage.active is None and agent.active is not None:
            share = ledger.take(agent.active)
        mass = ledger.step(washing.product_mass, about, mass=active, active=share)
    rinse = ledger.step(washing.rinse_volume, about, area=x.area, rinse_depth=ledger.take(agent.told("rinse_depth")))
    for effect in agent.effects:
        if acts_on(effect, x, known):
            ledger.find(effect.id, effect.severity, f"{agent.title}: {effect.message}", agent=agent.id)
    return WashStageResult(
        id=str(number),
        agent=agent,
        role=agent.role,
        chemistry=agent.chemistry,
        strength=strength,
        solution_volume=volume,
        product_mass=mass,
        stock_volume=liquid,
        water_volume=water,
        dwell=stage.dwell if stage.dwell is not None else ledger.take(agent.told("dwell")),
        rinse_volume=rinse,
        why=planned.why,
    )


def _stock(stage: WashStage) -> float | None:
    """Return the strength of the liquid as sold, None of a powder."""
    if stage.stock_strength is not None:
        return stage.stock_strength
    return None if stage.agent.stock_strength is None else stage.agent.stock_strength.si


def say_strengths(x: Inputs, ledger: Ledger) -> None:
    """Say where a strength lies outside what anybody is known to use."""
    for index, stage in enumerate(x.stages):
        usual = stage.agent.told("strength")
        given = None if stage.strength is None else spread.central(stage.strength)
        if given is None or usual.low is None or usual.high is None or usual.low <= given <= usual.high:
            continue
        shown = f"{units.show(given, 'g/L', 'concentration'):.4g} g/L"
        word = "stronger" if given > usual.high else "weaker"
        message = f"{stage.agent.title} at {shown} is {word} than the usual {usual.given}; try it on a hidden spot."
        severity: Severity = "warning" if given > usual.high else "note"
        ledger.find("strength-unusual", severity, message, pointer=f"/stages/{index}/strength", usual=usual.given)
