"""What moisture-readiness cannot answer, told before anything is computed."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.problems import Fault, InputProblem, conflict, missing, repeated


def check(x: Inputs) -> None:
    """Find zones named twice, what lies in no zone or below it, drops that say nothing, and two climates."""
    names = [zone.id for zone in x.zones]
    faults = [*_drops(x), *_depths(x), *repeated(names, "/zones/{}/id", "zone {} is there twice", "another name")]
    for field in ("readings", "drop_tests", "wettings"):
        for place, row in enumerate(getattr(x, field)):
            if row.zone is not None and row.zone not in names:
                expected = "one of " + ", ".join(names[:10])
                faults.append(conflict(f"/{field}/{place}/zone", f"there is no zone {row.zone}", expected))
    if x.weather is not None and (x.temperature, x.relative_humidity, x.wind_speed) != (None, None, None):
        faults.append(conflict("/temperature", "the weather is given, and a mean climate too", "one of both"))
    if x.weather is not None and x.method == "closed-form":
        detail = "the closed form goes by a mean climate, not by hours of weather"
        faults.append(conflict("/method", detail, "numerical, or a mean climate"))
    InputProblem.raise_any(faults)


def _drops(x: Inputs) -> Iterator[Fault]:
    for place, test in enumerate(x.drop_tests):
        if test.beads and test.soak_time is not None:
            detail = "a drop that beads does not soak in, yet a time is given"
            yield conflict(f"/drop_tests/{place}/soak_time", detail, "beads or soak_time")
        elif test.beads is None and test.soak_time is None:
            yield missing(f"/drop_tests/{place}", "nothing is said of the drop", "soak_time, or beads")


def _depths(x: Inputs) -> Iterator[Fault]:
    for place, zone in enumerate(x.zones):
        thickness = zone.thickness or x.thickness
        wetted = ("/wetted_depth", x.wetted_depth)
        if zone.wetted_depth is not None:
            wetted = (f"/zones/{place}/wetted_depth", zone.wetted_depth)
        for pointer, depth in (wetted, ("/outer_depth", x.outer_depth)):
            if thickness is not None and depth is not None and depth > thickness:
                detail = f"it lies deeper than the boards are thick, {thickness * 1000:g} mm"
                yield conflict(pointer, detail, "at most the thickness")
