"""What moisture-readiness cannot answer, told before anything is computed."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.messages import Length, Name, refusal, repeats
from latewood.problems import Fault, InputProblem


def check(x: Inputs) -> None:
    """Find zones named twice, what lies in no zone or below it, drops that say nothing, and two climates."""
    names = [zone.id for zone in x.zones]
    faults = [*_drops(x), *_depths(x), *repeats("zone-named-twice", names, "/zones/{}/id")]
    for field in ("readings", "drop_tests", "wettings"):
        for place, row in enumerate(getattr(x, field)):
            if row.zone is not None and row.zone not in names:
                zones = [Name(name) for name in names[:10]]
                faults.append(refusal("zone-unknown", f"/{field}/{place}/zone", zone=Name(row.zone), zones=zones))
    if x.weather is not None and (x.temperature, x.relative_humidity, x.wind_speed) != (None, None, None):
        faults.append(refusal("weather-and-climate", "/temperature"))
    if x.weather is not None and x.method == "closed-form":
        faults.append(refusal("closed-form-of-hours", "/method"))
    InputProblem.raise_any(faults)


def _drops(x: Inputs) -> Iterator[Fault]:
    for place, test in enumerate(x.drop_tests):
        if test.beads and test.soak_time is not None:
            yield refusal("beads-and-soak-time", f"/drop_tests/{place}/soak_time")
        elif test.beads is None and test.soak_time is None:
            yield refusal("drop-without-outcome", f"/drop_tests/{place}")


def _depths(x: Inputs) -> Iterator[Fault]:
    for place, zone in enumerate(x.zones):
        thickness = zone.thickness or x.thickness
        wetted = ("/wetted_depth", x.wetted_depth)
        if zone.wetted_depth is not None:
            wetted = (f"/zones/{place}/wetted_depth", zone.wetted_depth)
        for pointer, depth in (wetted, ("/outer_depth", x.outer_depth)):
            if thickness is not None and depth is not None and depth > thickness:
                yield refusal("deeper-than-boards", pointer, thickness=Length(thickness))
