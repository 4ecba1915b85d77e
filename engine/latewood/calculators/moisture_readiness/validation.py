"""What moisture-readiness cannot answer, told before anything is computed."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.problems import Fault, InputProblem


def refuse(x: Inputs) -> None:
    """Refuse zones named twice, what lies in no zone or below it, drops that say nothing, and two climates."""
    faults = [*_drops(x), *_depths(x)]
    names = [zone.id for zone in x.zones]
    for place, name in enumerate(names):
        if name in names[:place]:
            detail = f"zone {name} is there twice"
            faults.append(Fault(pointer=f"/zones/{place}/id", code="repeated", detail=detail, expected="another name"))
    named: dict[str, list[str | None]] = {
        "readings": [reading.zone for reading in x.readings],
        "drop_tests": [test.zone for test in x.drop_tests],
        "wettings": [event.zone for event in x.wettings],
    }
    for field, zones in named.items():
        for place, zone in enumerate(zones):
            if zone is not None and zone not in names:
                detail, expected = f"there is no zone {zone}", "one of " + ", ".join(names[:10])
                pointer = f"/{field}/{place}/zone"
                faults.append(Fault(pointer=pointer, code="conflict", detail=detail, expected=expected))
    if x.weather is not None and (x.temperature, x.relative_humidity, x.wind_speed) != (None, None, None):
        detail = "the weather is given, and a mean climate too"
        faults.append(Fault(pointer="/temperature", code="conflict", detail=detail, expected="one of both"))
    if x.weather is not None and x.method == "closed-form":
        detail = "the closed form goes by a mean climate, not by hours of weather"
        faults.append(Fault(pointer="/method", code="conflict", detail=detail, expected="numerical, or a mean climate"))
    if faults:
        raise InputProblem(faults)


def _drops(x: Inputs) -> Iterator[Fault]:
    for place, test in enumerate(x.drop_tests):
        if test.beads and test.soak_time is not None:
            detail = "a drop that beads does not soak in, yet a time is given"
            pointer = f"/drop_tests/{place}/soak_time"
            yield Fault(pointer=pointer, code="conflict", detail=detail, expected="beads or soak_time")
        elif test.beads is None and test.soak_time is None:
            detail = "nothing is said of the drop"
            yield Fault(pointer=f"/drop_tests/{place}", code="missing", detail=detail, expected="soak_time, or beads")


def _depths(x: Inputs) -> Iterator[Fault]:
    for place, zone in enumerate(x.zones):
        thickness = zone.thickness or x.thickness
        wetted = ("/wetted_depth", x.wetted_depth)
        if zone.wetted_depth is not None:
            wetted = (f"/zones/{place}/wetted_depth", zone.wetted_depth)
        for pointer, depth in (wetted, ("/outer_depth", x.outer_depth)):
            if thickness is not None and depth is not None and depth > thickness:
                detail = f"it lies deeper than the boards are thick, {thickness * 1000:g} mm"
                yield Fault(pointer=pointer, code="conflict", detail=detail, expected="at most the thickness")
