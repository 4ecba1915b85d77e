"""What in the inputs of preparation cannot be meant: every fault at once."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from latewood.calculators.preparation.inputs import Inputs
from latewood.problems import Fault, InputProblem
from latewood.rules.days import ahead, built_ahead
from latewood.rules.faces import FLOOR
from latewood.rules.hazard_fields import frame_faults, lead_test_faults, proof_faults
from latewood.rules.heads import fastening_faults
from latewood.rules.sanding_work.validation import sanding_faults


def check(x: Inputs, grades: Collection[str]) -> None:
    """Raise `InputProblem` with every fault between fields. ``grades`` are the ids of all in the catalogue."""
    today = x.as_of or x.start
    faults = [
        *_rates(x),
        *_dates(x),
        *built_ahead(x.year_built, today),
        *_since_when(x, today),
        *_means(x),
        *_floor_only(x),
        *sanding_faults(x, grades),
        *lead_test_faults(x, today=today),
        *proof_faults(x),
        *frame_faults(x.frame, "/frame"),
    ]
    if x.fastening is not None:
        faults += fastening_faults(x.fastening, "/fastening")
    if faults:
        raise InputProblem(faults)


def _rates(x: Inputs) -> Iterator[Fault]:
    for index, own in enumerate(x.rates):
        wanted, other = ("time", "area_pace") if own.rate.time is not None else ("area_pace", "time")
        if getattr(own, wanted) is None or getattr(own, other) is not None:
            detail = f"{own.rate.title} is given by its {wanted.replace('_', ' ')}"
            yield Fault(pointer=f"/rates/{index}/{wanted}", code="conflict", detail=detail, expected=wanted)


def _dates(x: Inputs) -> Iterator[Fault]:
    if x.ready_by is not None and x.start is None:
        detail = "a day to be ready by says nothing without a first day of work"
        yield Fault(pointer="/start", code="missing", detail=detail, expected="the first day of work")
    if x.start is not None and x.ready_by is not None and x.ready_by < x.start:
        detail = "it is to be ready before work begins"
        yield Fault(pointer="/ready_by", code="conflict", detail=detail, expected="a later day")


def _since_when(x: Inputs, today: date | None) -> Iterator[Fault]:
    """Find a day of beading that has no effect, or lies ahead."""
    if x.beading_since is not None and x.beading not in ("beads", "in-part"):
        detail = "beading_since has no effect where water is not said to bead"
        yield Fault(pointer="/beading_since", code="conflict", detail=detail, expected="beading = beads, or in-part")
    else:
        yield from ahead(x.beading_since, today, "/beading_since", "day")


def _means(x: Inputs) -> Iterator[Fault]:
    for name in ("temperature", "relative_humidity") if x.weather is not None else ():
        if getattr(x, name) is not None:
            detail = "weather and a mean of it are both given"
            yield Fault(pointer=f"/{name}", code="conflict", detail=detail, expected="either of them")


def _floor_only(x: Inputs) -> Iterator[Fault]:
    """Find what is said of parts that are not of the floor, or of zones that preparation does not know."""
    named = [(f"/parts/{index}", part.part) for index, part in enumerate(x.parts)]
    named += [(f"/patches/{index}", patch.part) for index, patch in enumerate(x.patches) if patch.part is not None]
    for at, part in named:
        if part not in FLOOR:
            detail = f"{part} is no part of the floor"
            yield Fault(pointer=f"{at}/part", code="conflict", detail=detail, expected="field or perimeter")
    for index, patch in enumerate(x.patches):
        if patch.zone is not None:
            detail = "zone has no effect: one floor is prepared"
            yield Fault(
                pointer=f"/patches/{index}/zone", code="conflict", detail=detail, expected="a patch without a zone"
            )
    if x.edge_strip is not None and x.edge_strip.area > x.area * (1 + 1e-9):
        detail = "the perimeter is larger than the floor it is part of"
        expected = "an area within the floor's"
        yield Fault(pointer="/edge_strip/area", code="conflict", detail=detail, expected=expected)
