"""What to mix for each stage."""

from __future__ import annotations

from latewood.calculators.wash.resolve import Planned
from latewood.calculators.wash.resolve.percent import sold, weight
from latewood.calculators.wash.result import WashStageResult
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.rules.wash_recipe import Strengths, amounts


def mixed(number: int, planned: Planned, area: float, ledger: Ledger) -> WashStageResult:
    """Return what to mix for a stage."""
    stage, agent = planned.stage, planned.stage.agent
    assumed = planned.assumed_stock
    stock = sold(stage) if assumed is None else ledger.take(assumed)
    given = Strengths(weight(stage.strength), stage.active, stock)
    taken = amounts(agent, area, f"stage {number}", ledger, given)
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
        why=clause("several-reasons", reasons=list(planned.why)),
    )
