"""Inputs that are each right by themselves and cannot hold together."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.cure_windows.compute.cells import seconds
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.problems import Fault, InputProblem, conflict, missing, repeated


def check(x: Inputs) -> None:
    """Raise `InputProblem` with every conflict."""
    InputProblem.raise_any(_conflicts(x))


def _conflicts(x: Inputs) -> Iterator[Fault]:
    if (x.latitude is None) != (x.longitude is None):
        gone = "latitude" if x.latitude is None else "longitude"
        yield missing(f"/{gone}", "a place has both latitude and longitude")
    if x.steps and x.laying_time is not None:
        yield conflict("/laying_time", "the steps say how long each coat takes")
    yield from repeated([step.id for step in x.steps], "/steps/{}/id", "two steps are named {}")
    for index, shade in enumerate(x.shade):
        if seconds(shade.comes) >= seconds(shade.goes):
            yield conflict(f"/shade/{index}/goes", "shade goes before it comes")
    if x.shift is not None and seconds(x.shift.opens) >= seconds(x.shift.closes):
        expected = "a later time of the same day; for work over midnight 00:00 to 24:00, not by daylight only"
        yield conflict("/shift/closes", "the day ends before it starts", expected)
