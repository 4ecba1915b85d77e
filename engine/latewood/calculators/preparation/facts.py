"""Facts by which cautions are looked up: what the chosen route brings with it, and what its days are like."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from latewood.calculators.preparation.compute.comparison import Case
from latewood.calculators.preparation.compute.drying import climate_of
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.resolved import Resolved
from latewood.formulas import heat
from latewood.provenance import Ledger
from latewood.records import Route
from latewood.rules.new_wood import tested_after
from latewood.rules.wash_recipe import strips
from latewood.rules.work import daylight, proud_steel, state_film, state_heat, state_mains, state_sanding


def state(x: Inputs, r: Resolved, chosen: Case | None, ledger: Ledger) -> None:
    """State what a surface and the route it is prepared by bring with them."""
    if r.surface.halt:
        ledger.fact("structure", "doubt")
    goes = chosen if chosen is not None and chosen.standing != "forbidden" else None
    _film(r, None if goes is None else goes.route, ledger)
    if goes is not None:
        _work(x, goes.route, ledger)
        _day(x, r, goes, ledger)
    if chosen is not None and chosen.route.wets:
        r.surface.hazards.state_frame(ledger)


def _film(r: Resolved, route: Route | None, ledger: Ledger) -> None:
    """State whether an old film comes off: where no route may be taken people reach for heat or a stripper."""
    if r.material == "composite":
        return
    film = r.surface.state == "film" and (route is None or "film" not in route.leaves)
    lead = r.surface.hazards.lead
    state_film(ledger, film=film, lead=lead if route is None or route.sands or route.wets else "no")


def _work(x: Inputs, route: Route, ledger: Ledger) -> None:
    """State what the chosen route brings with it, for the cautions."""
    if route.sands:
        state_sanding(ledger, proud=proud_steel(x.signs, x.fastener_cover), wet=route.wets)
    if route.wets:
        ledger.fact("washing", True)
        state_mains(ledger, "wet")
    if strips(route):
        ledger.fact("stripper", "chemical")


def _day(x: Inputs, r: Resolved, chosen: Case, ledger: Ledger) -> None:
    """State how hot it gets from the first day of work to the last, and whether a working day outlasts the light."""
    hours, waits = r.climate.hours, tested_after(r.surface.beads)
    first = None if r.first is None else r.first + timedelta(days=waits)
    worked = np.zeros(0, dtype=bool)
    if hours is not None and first is not None:
        begins = (first - hours.at(0).date()).days
        days = max((chosen.day or 1) - waits, 1)
        worked = (hours.day >= begins) & (hours.day < begins + days) & ~np.isnan(hours.air_temperature)
        worked &= ~np.isnan(hours.relative_humidity)
    if hours is not None and worked.any():
        index = heat.heat_index(
            temperature=hours.air_temperature[worked], relative_humidity=hours.relative_humidity[worked]
        )
        state_heat(ledger, float(np.max(index)))
    else:
        mean = r.climate if hours is None else climate_of(hours)
        warm = heat.heat_index(temperature=mean.temperature, relative_humidity=mean.relative_humidity)
        state_heat(ledger, float(warm))
    if x.latitude is not None and first is not None and (x.start is not None or hours is not None):
        last = first + timedelta(days=max((chosen.day or 1) - waits - 1, 0))
        light = min(daylight(day, x.latitude) for day in (first, last))
        ledger.fact("after_dark", r.day_length > light)
