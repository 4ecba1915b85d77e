"""How long washed, weathered boards wait in the climate of the usual figures, beside the climate they were set by."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.catalogue import Catalogue
from latewood.wire import Options

#: Temperature and humidity: of the tabulated summer, and of the mean spring that the wetted depth was chosen in.
SUMMER, SPRING = ("20 degC", "65 %"), ("15 degC", "70 %")


def wait(lw: Catalogue, species: str, climate: tuple[str, str], limit: str, **more: str) -> float:
    """Return the hours that a washed, weathered floor waits, at the median."""
    asked = {
        "zones": [{"id": "floor", "weathered": True}],
        "species": species,
        "moisture_limit": limit,
        "wettings": [{"cause": "washed"}],
        "temperature": climate[0],
        "relative_humidity": climate[1],
    }
    zone = lw.answer("moisture-readiness", {**asked, **more}, Options())["result"]["zones"][0]
    hours: float = zone["time_to_ready"]["value"]
    return hours


def waits(lw: Catalogue, climate: tuple[str, str], limit: str) -> list[float]:
    """Return the hours that each catalogued hardwood waits after a wash."""
    woods = lw.shelf.records("species").values()
    return sorted(
        wait(lw, wood.id, climate, limit) for wood in woods if wood.group == "hardwood" and wood.modification == "none"
    )


def lines(lw: Catalogue) -> Iterator[str]:
    """Yield the waits of hardwoods in both climates."""
    for climate in (SUMMER, SPRING):
        for limit in ("15 %", "16 %", "18 %"):
            found = waits(lw, climate, limit)
            yield f"{' and '.join(climate)}, to {limit}: {found[0]:5.1f} to {found[-1]:5.1f} h"
