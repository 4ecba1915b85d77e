"""What to mix for one stage, and what it does besides."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.wash.fields import WashStage, WashStageResult
from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.percent import weight
from latewood.calculators.wash.recipe_choice import Planned, acts_on
from latewood.declare import RecordLookup
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger, Severity
from latewood.quantities import units
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import frame_faults, lead_test_faults, proof_faults
from latewood.rules.wash_recipe import Strengths, amounts
from latewood.uncertainty import spread


def refuse(x: Inputs, percents: Sequence[Fault]) -> None:
    """Raise `InputProblem` with every stage that cannot be mixed as it is given, its percentages among them."""
    faults = [*lead_test_faults(x, today=x.as_of), *built_ahead(x.year_built, x.as_of), *proof_faults(x)]
    faults += [*frame_faults(x.frame, "/frame"), *percents]
    for index, stage in enumerate(x.stages):
        if stage.agent.never_mixed:
            continue
        at = f"/stages/{index}"
        liquid = stage.agent.stock_strength is not None
        if liquid and stage.active is not None:
            detail = f"{stage.agent.title} is sold as a liquid, which is diluted and not weighed out"
            faults.append(Fault(pointer=f"{at}/active", code="conflict", detail=detail, expected="stock_strength"))
        given = weight(stage.strength)
        strongest = spread.high(stage.agent.told("strength").number if given is None else given)
        stock = _stock(stage)
        if stock is not None and stock < strongest * (1 - 1e-9):
            shown = f"{strongest:.4g} g/L"
            detail = f"the stock is weaker than the {shown} it is to be mixed to"
            faults.append(
                Fault(pointer=f"{at}/stock_strength", code="conflict", detail=detail, expected=f"at least {shown}")
            )
    if faults:
        raise InputProblem(faults)


def mixed(number: int, planned: Planned, x: Inputs, ledger: Ledger, known: RecordLookup) -> WashStageResult:
    """Return what to mix for a stage."""
    stage, agent, about = planned.stage, planned.stage.agent, f"stage {number}"
    given = Strengths(weight(stage.strength), stage.active, _sold(stage))
    taken = amounts(agent, x.area, about, ledger, given)
    for effect in agent.effects:
        if acts_on(effect, x, known):
            ledger.find(effect.id, effect.severity, f"{agent.title}: {effect.message}", agent=agent.id)
    return WashStageResult(
        id=str(number),
        agent=agent,
        role=agent.role,
        chemistry=agent.chemistry,
        strength=taken.strength,
        stock_strength=taken.stock_strength,
        solution_volume=taken.solution,
        product_mass=taken.mass,
        stock_volume=taken.stock,
        water_volume=taken.water,
        dwell=stage.dwell if stage.dwell is not None else ledger.take(agent.told("dwell")),
        rinse_volume=taken.rinse,
        why=planned.why,
    )


def _sold(stage: WashStage) -> float | None:
    """Return the strength of the liquid as sold by the caller's word."""
    given = weight(stage.stock_strength)
    return None if given is None else spread.value(given)


def _stock(stage: WashStage) -> float | None:
    """Return the strength of the liquid as sold, None of a powder."""
    if (given := _sold(stage)) is not None:
        return given
    return None if stage.agent.stock_strength is None else stage.agent.stock_strength.si


def say_strengths(x: Inputs, ledger: Ledger) -> None:
    """Say where a strength lies outside what anybody is known to use."""
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
