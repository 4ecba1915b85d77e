"""What fasteners cannot answer: none or two counts of heads, zones named twice, and what cannot be of fasteners."""

from __future__ import annotations

from latewood.calculators.fasteners.inputs import Inputs
from latewood.problems import InputProblem, conflict, repeated
from latewood.rules.heads import fastening_faults


def check(x: Inputs) -> None:
    """Find every fault between fields."""
    faults = []
    if (x.fasteners is None) == (not x.zones):
        detail = "no fasteners are given" if x.fasteners is None else "one number and a list of zones are both given"
        faults.append(conflict("/zones" if x.zones else "/fasteners", detail, "either fasteners or zones"))
    faults += repeated([zone.id for zone in x.zones], "/zones/{}/id", "zone {} stands twice", "each zone once")
    InputProblem.raise_any([*faults, *fastening_faults(x)])
