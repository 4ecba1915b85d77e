"""What condition cannot answer: names used twice, tests without a result, days that are still to come."""

from __future__ import annotations

from latewood.calculators.condition.inputs import Inputs
from latewood.messages import repeats
from latewood.problems import Fault, InputProblem
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults, proof_faults


def check(x: Inputs) -> None:
    """Find every fault between fields."""
    names = [one.id for one in x.components]
    faults: list[Fault] = [*repeats("component-name-taken", names, "/components/{}/id")]
    for index, one in enumerate(x.components):
        at = f"/components/{index}"
        faults += [*lead_test_faults(one, at, today=x.as_of), *proof_faults(one, at)]
        faults += built_ahead(one.year_built, x.as_of, f"{at}/year_built")
    faults += built_ahead(x.year_built, x.as_of)
    if faults:
        raise InputProblem(faults)
