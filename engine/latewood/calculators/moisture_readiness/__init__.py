"""Is the wood dry enough to be coated, and when will it be? Readings, wettings and weather, zone by zone."""

from __future__ import annotations

from latewood.calculators.moisture_readiness.compute.assessment import worst
from latewood.calculators.moisture_readiness.compute.forecast import together
from latewood.calculators.moisture_readiness.findings import wet_zones
from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.calculators.moisture_readiness.resolve import resolve
from latewood.calculators.moisture_readiness.result import Result
from latewood.calculators.moisture_readiness.validation import check
from latewood.calculators.moisture_readiness.zones import readiness
from latewood.declare import RecordLookup, calculator
from latewood.formulas import air, diffusion, meter, movement, sampling, sorption
from latewood.provenance import Ledger


@calculator(
    "moisture-readiness",
    "Moisture readiness",
    since="0.2",
    example={
        "zones": [{"id": "main", "area": "18 m2", "weathered": False}],
        "species": "ipe",
        "coating": "clear-penetrating-oil",
        "readings": [
            {
                "zone": "main",
                "reading": "13 %",
                "wood_temperature": "22 degC",
                "pin_depth": "7 mm",
                "position": "shade",
            },
            {
                "zone": "main",
                "reading": "12 %",
                "wood_temperature": "26 degC",
                "pin_depth": "7 mm",
                "position": "end-grain",
            },
            {"zone": "main", "reading": "12.5 %", "wood_temperature": "25 degC", "pin_depth": "7 mm"},
        ],
        "temperature": "20 degC",
        "relative_humidity": "65 %",
    },
    formulas=(
        sorption.equilibrium_moisture,
        sorption.equilibrium_humidity,
        sorption.greatest_moisture,
        meter.corrected_by_rule,
        meter.corrected_by_pfaff_garrahan,
        meter.corrected_for_species,
        sampling.upper_bound,
        movement.basic_density_from,
        air.saturation_pressure_over_water,
        air.vapour_pressure,
        air.standard_pressure,
        air.wet_bulb,
        diffusion.bound_water_diffusivity,
        diffusion.transverse_diffusivity,
    ),
)
def moisture_readiness(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Find whether each zone is dry enough for its coating, and if not, when it will be and when to read again.

    Readings are put right for temperature and species; above what a meter can tell there is no number. Each zone goes
    by its highest reading and its scatter, never by the mean of the deck. A reading overrules the model of drying only
    if it was taken after the last wetting, at a stated depth, in a known species without salts or old coating;
    otherwise the wetter of the two counts. Water on the surface stops coating at any reading. How deep weathered boards
    are wetted was set by the 3 to 4 days of common practice at 15 °C and 70 %; in drier air the model is sooner done.
    """
    check(x)
    shared = resolve(x, known, ledger)
    rows = together([readiness(x, place, shared, known, ledger) for place in range(len(x.zones))])
    wet_zones([(zone, seen) for _, zone, seen in rows], shared, ledger)
    readings = {int(reading.id): reading for _, _, seen in rows for reading in seen.rows}
    return Result(
        verdict=worst([zone.verdict for zone, _, _ in rows]),
        zones=tuple(zone for zone, _, _ in rows),
        readings=tuple(readings[place] for place in sorted(readings)),
    )


__all__ = ["Inputs", "Result", "moisture_readiness"]
