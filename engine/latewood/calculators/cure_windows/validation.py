"""Inputs that are each right by themselves and cannot hold together."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.cure_windows.cells import seconds
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.problems import Fault, InputProblem


def refuse(x: Inputs) -> None:
    """Raise `InputProblem` with every conflict."""
    if faults := list(_conflicts(x)):
        raise InputProblem(faults)


def _conflicts(x: Inputs) -> Iterator[Fault]:
    if (x.latitude is None) != (x.longitude is None):
        gone = "latitude" if x.latitude is None else "longitude"
        yield Fault(pointer=f"/{gone}", code="missing", detail="a place has both latitude and longitude")
    if x.steps and x.laying_time is not None:
        yield Fault(pointer="/laying_time", code="conflict", detail="the steps say how long each coat takes")
    names = [step.id for step in x.steps]
    for index, name in enumerate(names):
        if name in names[:index]:
            yield Fault(pointer=f"/steps/{index}/id", code="repeated", detail=f"two steps are named {name}")
    for index, shade in enumerate(x.shade):
        if seconds(shade.comes) >= seconds(shade.goes):
            yield Fault(pointer=f"/shade/{index}/goes", code="conflict", detail="shade goes before it comes")
    if x.shift is not None and seconds(x.shift.opens) >= seconds(x.shift.closes):
        yield Fault(
            pointer="/shift/closes",
            code="conflict",
            detail="the day ends before it starts",
            expected="a later time of the same day; for work over midnight 00:00 to 24:00, not by daylight only",
        )
