"""What must be said of the route that is taken, and of having none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from latewood import spread, units
from latewood.calculators._preparation.compare import Compared
from latewood.calculators._preparation.suit import Surface
from latewood.formulas import sorption
from latewood.provenance import Ledger

if TYPE_CHECKING:
    from latewood.calculators.preparation import Inputs


def say(x: Inputs, surface: Surface, compared: Compared, ledger: Ledger) -> None:
    """Write what the reader must know of the choice into the ledger."""
    _route(x, compared, ledger)
    _left(x, surface, compared, ledger)
    _wait(compared, ledger)
    _hazards(x, surface, ledger)
    if "shadow-patches" in x.signs and compared.chosen is not None:
        remain = "shadow-patches" in compared.chosen.route.leaves
        message = (
            "Patches under mats and pots remain with this route: only sanding to sound wood evens them."
            if remain
            else "Patches under mats and pots are sanded out; stripes after the first pass mean: go on, never coat."
        )
        ledger.find("shadow-patches", "warning" if remain else "note", message, pointer="/signs")


def _route(x: Inputs, compared: Compared, ledger: Ledger) -> None:
    if compared.best is None:
        why = "; ".join(dict.fromkeys(reason for row in compared.rows for reason in row.reasons[:1]))
        message = f"No route may be taken as things stand: {why}. Nothing is planned until that changes."
        ledger.find("no-route", "stop", message)
    if x.route is None or compared.chosen is None:
        return
    chosen = compared.chosen
    if chosen.standing == "forbidden":
        message = f"{chosen.route.title} is forbidden here: {'; '.join(chosen.against)}."
        ledger.find("route-forbidden", "stop", message, pointer="/route")
    elif chosen.standing != "possible":
        message = f"{chosen.route.title} was chosen against what is known: {'; '.join(chosen.against)}."
        ledger.find("route-unsuitable", "warning", message, pointer="/route", standing=chosen.standing)
    elif compared.best is not None and compared.best.route.id != chosen.route.id:
        message = f"{chosen.route.title} was chosen; {compared.best.route.title.lower()} would be recommended."
        ledger.find("route-not-recommended", "note", message, pointer="/route")


def _left(x: Inputs, surface: Surface, compared: Compared, ledger: Ledger) -> None:
    """Say what a coat would go over: grey that is left goes dark and blotchy, film that is left peels."""
    if compared.chosen is None or (x.coating is not None and x.coating.bare):
        return
    route = compared.chosen.route
    grey_left = "grey" in route.leaves or (
        surface.grey and not route.wets and all(s.does != "sand" for s in route.steps)
    )
    if surface.grey and grey_left:
        message = (
            "A coat over grey that is left goes dark and blotchy and does not hold: only sound wood takes it evenly."
        )
        ledger.find("coating-over-grey", "warning", message, pointer="/route", route=route.id)
    if surface.state == "film" and "film" not in route.suits:
        message = "A coat over film that is left peels with it, and an oil does not get in: the film comes off first."
        ledger.find("coating-over-film", "warning", message, pointer="/route", route=route.id)


def _wait(compared: Compared, ledger: Ledger) -> None:
    chosen, wait = compared.chosen, compared.dry.wait
    settled = f"{compared.climate.settled:.1%}"
    if wait is None:
        driest = sorption.equilibrium_humidity(temperature=compared.climate.temperature, moisture=compared.limit)
        message = (
            f"In this climate wood settles at {settled}: a washed floor never gets to {compared.limit:.0%} here. At "
            f"this temperature the mean humidity would have to be below {float(driest):.0%}."
        )
        ledger.find("never-dry", "warning", message, pointer="/relative_humidity", humidity=round(float(driest), 3))
    elif chosen is not None and chosen.route.wets:
        low, high = (units.show(end, "d", "time") for end in (spread.low(wait), spread.high(wait)))
        message = (
            f"Washing wets the floor: by the drying model it then waits {low:.2g} to {high:.2g} days to "
            f"{compared.limit:.0%}. Common practice waits 3 to 4 days, which no source confirms. A meter decides."
        )
        ledger.find("wash-waits", "note", message, low=round(low, 2), high=round(high, 2))


def _hazards(x: Inputs, surface: Surface, ledger: Ledger) -> None:
    if surface.lead != "no" and x.extraction == "shroud-hepa":
        message = (
            "A shroud and a HEPA extractor are not enough by themselves: where lead is not ruled out the rule of the "
            "place may ask for certified people, sheets and a clean-up that is checked."
        )
        ledger.find("lead-licensed-work", "warning", message, pointer="/extraction")
    if x.old_coating is not None and x.old_coating != "none" and x.old_coating.binder == "unknown":
        message = "The old coating is not known and counts as a film; find out, and the routes change."
        ledger.find("old-coating-unknown", "note", message, pointer="/old_coating")
    if x.old_coating is None and surface.state == "bare":
        message = "Nothing was said of an old coating, so the wood was taken for bare."
        ledger.find("taken-for-bare", "note", message, pointer="/old_coating")
