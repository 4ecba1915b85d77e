"""What masking cannot answer: names used twice, and what says nothing by itself or contradicts itself."""

from __future__ import annotations

from latewood.calculators.masking.inputs import Inputs
from latewood.problems import InputProblem, conflict, missing, repeated
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults


def check(x: Inputs) -> None:
    """Find every fault between fields."""
    faults = [
        fault
        for table in ("works", "borders", "plants")
        for fault in repeated([one.id for one in getattr(x, table)], f"/{table}/{{}}", "{} stands twice", "each once")
    ]
    if x.post_girth is not None and x.posts is None:
        detail = "a girth says nothing without the number of posts"
        faults.append(missing("/posts", detail, "how many posts stand in it"))
    painted = [border.id for border in x.borders if border.adjoins == "painted-wall"]
    if painted and x.wall_coating == "none":
        detail = f"{painted[0]} is a painted wall, so something is on it"
        faults.append(conflict("/wall_coating", detail, "its coating, or unknown"))
    faults += [*lead_test_faults(x, today=x.as_of), *lead_test_faults(x, of="wall_", today=x.as_of)]
    InputProblem.raise_any([*faults, *built_ahead(x.year_built, x.as_of)])
