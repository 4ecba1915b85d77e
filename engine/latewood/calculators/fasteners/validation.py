"""What fasteners cannot answer: none or two counts of heads, zones named twice, and what cannot be of fasteners."""

from __future__ import annotations

from latewood.calculators.fasteners.inputs import Inputs
from latewood.messages import refusal, repeats
from latewood.problems import Fault, InputProblem
from latewood.rules.heads import fastening_faults


def check(x: Inputs) -> None:
    """Find every fault between fields."""
    faults: list[Fault] = []
    if (x.fasteners is None) == (not x.zones):
        id = "no-fasteners" if x.fasteners is None else "fasteners-and-zones"
        faults.append(refusal(id, "/zones" if x.zones else "/fasteners"))
    faults += repeats("fastener-zone-twice", [zone.id for zone in x.zones], "/zones/{}/id")
    InputProblem.raise_any([*faults, *fastening_faults(x)])
