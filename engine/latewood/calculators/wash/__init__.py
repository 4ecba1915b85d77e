"""What is old wood washed with, how strong, how long, and what must never be done."""

from __future__ import annotations

import msgspec

from latewood.calculators.wash.compute import mixed
from latewood.calculators.wash.findings import advice
from latewood.calculators.wash.findings.clashes import clashes, solvents
from latewood.calculators.wash.findings.prohibitions import prohibited
from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.resolve import Jet, limits_of, resolve, wetting_of
from latewood.calculators.wash.resolve.percent import in_weights
from latewood.calculators.wash.result import Result
from latewood.calculators.wash.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import washing
from latewood.formulas import waste as waste_formulas
from latewood.provenance import Ledger
from latewood.rules.hazards import worst
from latewood.rules.waste import by_volume
from latewood.uncertainty import spread


@calculator(
    "wash",
    "Washing, stripping and brightening",
    since="0.3",
    example={
        "area": "320 ft2",
        "species": "western-redcedar",
        "treatment": "none",
        "old_coating": "none",
        "year_built": 2011,
        "jurisdiction": "US-NY",
        "near": ["plants"],
    },
    formulas=(
        washing.wash_volume,
        washing.active_mass,
        washing.product_mass,
        washing.hypochlorite_of_chlorine,
        washing.density_between,
        washing.strength_of_liquid,
        washing.strength_of_trade_percent,
        washing.stock_volume,
        washing.dilution_water,
        washing.rinse_volume,
        waste_formulas.mass_of_volume,
    ),
    costs=(Cost(0.01, 1024), Cost(0.1, 8192)),
    outputs={"pressure": "pressure_ceiling", "wetted-depth": "wetting.wetted_depth"},
)
def wash(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Say what to wash a surface with: agents in order, strength by weight per litre, dwell, rinse and pressure.

    A percentage on a label becomes a weight in a litre by the density of the liquid; what it means is said or asked.

    Chemicals that poison together, bleach or pressure on wood that may hold arsenic, and a wash after the final sanding
    are hard stops. How long the wood then takes to dry is not reckoned here: the wetting is handed on.
    """
    x, percents = in_weights(x, ledger)
    check(x, percents)
    r = resolve(x, known, ledger)
    hazards = r.hazards
    advice.unwashed(x, r, ledger)
    advice.state(x, r, ledger)
    solvents(x, r, ledger)
    gas = clashes(r.stages, ledger)
    stop = prohibited(x, r, ledger) or gas
    limits = Jet()
    if not stop:
        limits = limits_of(x, hazards, known, ledger)
        advice.pressure(x, hazards, limits, ledger)
    stopped = Result(
        verdict="stop",
        arsenical=hazards.arsenical,
        frame_arsenical=hazards.frame_arsenical,
        lead_paint=hazards.lead,
        stages=(),
        protection=(),
    )
    if stop or any(finding.severity == "stop" for finding in ledger.raised):
        return stopped
    advice.strengths(x, ledger)
    advice.unread_labels(r.stages, ledger)
    if r.stages:
        advice.only_by_hand(hazards, ledger)
    rows = tuple(mixed(number, one, x.area, ledger) for number, one in enumerate(r.stages, 1))
    advice.effects(r.stages, ledger)
    advice.after(x, r.stages, ledger)
    rinse = spread.total([row.rinse_volume for row in rows])
    water = spread.total([rinse, *(row.water_volume for row in rows)])
    wetting = wetting_of(x, rows, known, ledger) if rows else None
    if rows:
        advice.wetted(ledger)
    feared = worst(hazards.arsenic_in_water, hazards.lead)
    return msgspec.structs.replace(
        stopped,
        verdict="go",
        stages=rows,
        water_volume=water,
        rinse_volume=rinse,
        pressure_start=limits.start,
        pressure_ceiling=limits.ceiling,
        fan_angle=limits.fan_angle,
        standoff=limits.standoff,
        protection=tuple(advice.protection(x, hazards)),
        wetting=wetting,
        waste=(by_volume("wash-water", water, ledger, known, hazardous=feared),) if rows else (),
    )


__all__ = ["Inputs", "Result", "wash"]
