"""What wash cannot answer: stages that cannot be mixed as they are given, tests and years that cannot be."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve.percent import stock, weight
from latewood.messages import Concentration, Titled, refusal
from latewood.problems import Fault, InputProblem
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import frame_faults, lead_test_faults, proof_faults
from latewood.uncertainty import spread


def check(x: Inputs, percents: Sequence[Fault]) -> None:
    """Find every fault between fields, those of percentages among them."""
    faults: list[Fault] = [*lead_test_faults(x, today=x.as_of), *built_ahead(x.year_built, x.as_of), *proof_faults(x)]
    faults += [*frame_faults(x.frame, "/frame"), *percents]
    for index, stage in enumerate(x.stages):
        if stage.agent.never_mixed:
            continue
        at, sold = f"/stages/{index}", stock(stage)
        if stage.agent.stock_strength is not None and stage.active is not None:
            faults.append(refusal("liquid-not-weighed-out", f"{at}/active", agent=Titled(stage.agent)))
        given = weight(stage.strength)
        strongest = spread.high(stage.agent.told("strength").number if given is None else given)
        if sold is not None and sold < strongest * (1 - 1e-9):
            mixed = Concentration(strongest)
            faults.append(refusal("stock-weaker-than-mix", f"{at}/stock_strength", strength=mixed))
    InputProblem.raise_any(faults)
