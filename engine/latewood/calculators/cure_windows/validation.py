"""Inputs that are each right by themselves and cannot hold together."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.cure_windows.compute.cells import seconds
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.messages import refusal, repeats
from latewood.problems import Fault, InputProblem


def check(x: Inputs) -> None:
    """Raise `InputProblem` with every conflict."""
    InputProblem.raise_any(_conflicts(x))


def _conflicts(x: Inputs) -> Iterator[Fault]:
    if (x.latitude is None) != (x.longitude is None):
        gone = "latitude" if x.latitude is None else "longitude"
        yield refusal("half-a-place", f"/{gone}")
    if x.steps and x.laying_time is not None:
        yield refusal("laying-time-and-steps", "/laying_time")
    yield from repeats("step-named-twice", [step.id for step in x.steps], "/steps/{}/id")
    for index, shade in enumerate(x.shade):
        if seconds(shade.comes) >= seconds(shade.goes):
            yield refusal("shade-goes-first", f"/shade/{index}/goes")
    if x.shift is not None and seconds(x.shift.opens) >= seconds(x.shift.closes):
        yield refusal("shift-ends-first", "/shift/closes")
