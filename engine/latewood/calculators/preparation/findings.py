"""What must be said of the route that is taken, and of having none."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Final

import msgspec

from latewood.calculators.preparation.compute.comparison import Case, Compared
from latewood.calculators.preparation.fields import Open, RouteResult
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.resolved import Resolved
from latewood.formulas import sorption
from latewood.messages import Titled, clause, in_english
from latewood.provenance import Ledger, Severity
from latewood.quantities import units
from latewood.records.route import WETS
from latewood.rules.lead import coat_of, note_licensed
from latewood.rules.new_wood import THEN, tested_after, weeks
from latewood.rules.old_and_new_finish import note_pair, pair
from latewood.rules.wash_recipe import sands_down, strips
from latewood.rules.weathering import seen_weathered
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Area a disc does (m2) below which a film is stripped first. Common practice, no source.
_CLOGS: Final = 1.0
#: What is asked, as words go on after "find out".
_ASKED: Final[Mapping[Open, str]] = {
    "extent": "how many boards are damaged",
    "cupping": "how deep the cupped boards are hollow and how wet they are below",
    "lead": "whether the old coating holds lead",
    "preservative": "whether the wood holds arsenic",
    "frame-preservative": "whether the frame holds arsenic",
    "old-coating": "which coating is on it now",
    "beading": "whether drops of water bead on it",
}
#: Answers that may show that what is planned now harms people, or spoils the floor.
_GRAVE: Final[frozenset[Open]] = frozenset({"extent", "cupping", "lead", "preservative"})


def find(x: Inputs, r: Resolved, compared: Compared, ledger: Ledger) -> None:
    """Write what the reader must know of the choice into the ledger."""
    _unknown(compared, ledger)
    _route(x, compared, ledger)
    _beads(r, ledger)
    _left(x, r, compared, ledger)
    _wait(r, compared, ledger)
    _hazards(x, r, ledger)
    _holding(r, compared, ledger)
    _film(r, compared, ledger)
    if "shadow-patches" in x.signs and compared.chosen is not None:
        remain = "shadow-patches" in compared.chosen.route.leaves
        message = (
            "Patches under mats and pots remain with this route: only sanding to sound wood evens them."
            if remain
            else "Patches under mats and pots are sanded out; stripes after the first pass mean: go on, never coat."
        )
        ledger.find("shadow-patches", "warning" if remain else "note", message, pointer="/signs")


def _unknown(compared: Compared, ledger: Ledger) -> None:
    """Say which washes fall on days the weather given does not reach."""
    held = [
        case
        for case in compared.cases
        if case.standing != "forbidden" and case.estimate.dry and case.estimate.dry.unknown
    ]
    if not held:
        return
    after = min(case.estimate.washed_after or 0.0 for case in held)
    day = "" if compared.dryer.r.first is None else f" on {compared.dryer.r.first + timedelta(seconds=after):%a %d %b}"
    message = (
        f"{', '.join(case.route.title for case in held)}: the weather given does not reach the wash{day}. Drying is "
        "estimated at the mean of that weather. Ask again with the forecast of those days."
    )
    severity: Severity = "warning" if compared.chosen in held else "note"
    ledger.find("wash-beyond-weather", severity, message, pointer="/weather", routes=[case.route.id for case in held])


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
    elif chosen is not compared.best and chosen.standing != "possible":
        message = f"{chosen.route.title} was chosen against what is known: {'; '.join(chosen.against)}."
        ledger.find("route-unsuitable", "warning", message, pointer="/route", standing=chosen.standing)
    elif compared.best is not None and compared.best.route.id != chosen.route.id:
        message = f"{chosen.route.title} was chosen; {compared.best.route.title.lower()} would be recommended."
        ledger.find("route-not-recommended", "note", message, pointer="/route")


def test_again_on(first: date | None, wait: Number | None) -> date | None:
    """Return the earliest day to put drops on new treated wood again; None where no day is known, or none waits."""
    return None if first is None or wait is None else first + timedelta(days=tested_after(wait))


def _beads(r: Resolved, ledger: Ledger) -> None:
    if r.surface.untested:
        message = (
            "New treated wood may still shed water, and no test with drops is given. Put drops of water on several "
            f"boards before you buy: where they bead, wait some weeks, {in_english(THEN)}."
        )
        ledger.find("new-wood-untested", "warning", message, pointer="/beading")
    if r.surface.beads is None:
        return
    day = test_again_on(r.first, r.surface.beads)
    when = "" if day is None else f" on {day:%a %d %b}"
    message = (
        f"Water beads on new treated wood: wait {in_english(weeks(r.surface.beads))}, {in_english(THEN)}. "
        f"Every route counts from the earliest test{when}. Move it on where drops still stand then."
    )
    ledger.find("new-wood-beads", "warning", message, pointer="/beading")


def _left(x: Inputs, r: Resolved, compared: Compared, ledger: Ledger) -> None:
    """Say what a coat would go over: grey that is left goes dark and blotchy, film that is left peels."""
    if compared.chosen is None or (x.coating is not None and x.coating.bare):
        return
    route = compared.chosen.route
    grey_left = "grey" in route.leaves or not sands_down(route)
    # Splinters, furrows and cups speak of weathered wood, not of grey on it.
    unseen = r.surface.weathering.ground == "seen" or r.surface.state == "film"
    if r.surface.grey and grey_left and ("grey" in x.signs or not unseen):
        message = (
            "A coat over grey that is left goes dark and blotchy and does not hold: only sound wood takes it evenly."
        )
        ledger.find("coating-over-grey", "warning", message, pointer="/route", route=route.id)
    if r.surface.state != "film" or route.takes_film_off:
        return
    over = None if x.coating is None else pair(x.coating, r.old_coating, x.signs)
    if over is not None and over.refused:
        note_pair(
            over, ledger, pointer="/route", place=(clause("route-leaves-film", route=Titled(route)),), route=route.id
        )
    else:
        message = "A coat over film that is left peels with it, and an oil does not get in: the film comes off first."
        ledger.find("coating-over-film", "warning", message, pointer="/route", route=route.id)


def _wait(r: Resolved, compared: Compared, ledger: Ledger) -> None:
    chosen, wait = compared.chosen, compared.dry.wait
    climate, limit = compared.dry.climate, r.limit
    settled = f"{climate.settled:.1%}"
    if wait is None:
        driest = sorption.equilibrium_humidity(temperature=climate.temperature, moisture=limit)
        message = (
            f"In this climate wood settles at {settled}: a washed floor never gets to {limit:.0%} here. At "
            f"this temperature the mean humidity would have to be below {float(driest):.0%}."
        )
        ledger.find("never-dry", "warning", message, pointer="/relative_humidity", humidity=round(float(driest), 3))
    elif chosen is not None and chosen.route.wets:
        low, high = (units.show(end, "d", "time") for end in (spread.low(wait), spread.high(wait)))
        message = (
            f"Washing wets the floor: by the drying model it then waits {low:.2g} to {high:.2g} days to "
            f"{limit:.0%}. Common practice waits 3 to 4 days, which no source confirms. A meter decides."
        )
        ledger.find("wash-waits", "note", message, low=round(low, 2), high=round(high, 2))


def _holding(r: Resolved, compared: Compared, ledger: Ledger) -> None:
    """Say why a floor that is usually just sanded is washed here: its crew is small for it."""
    sanded = next((row for row in compared.rows if row.id == "sand"), None)
    best = compared.best
    if r.group != "hardwood" or r.surface.state != "bare" or best is None or not best.route.wets or sanded is None:
        return
    if any(step.does in WETS for step in sanded.steps):
        return
    if sanded.standing == "possible" and r.prefer == "soonest" and sanded.ready_morning is not None:
        message = (
            "Dry weathered hardwood is usually sanded and not washed: a crew that sands it in a working day waits for "
            f"nothing. This one is small for the floor: sanded only, coating begins on morning {sanded.ready_morning}, "
            "no sooner than a wash dries. More people, or the route sand, turn it round."
        )
        ledger.find("crew-small-for-sanding", "note", message, pointer="/crew")


def _film(r: Resolved, compared: Compared, ledger: Ledger) -> None:
    """Say what stripping would save where discs clog on the film that is to be sanded off."""
    chosen = compared.chosen
    life = r.method.practice.disc_life["film"]
    if r.surface.state != "film" or chosen is None or spread.value(life.number) >= _CLOGS:
        return
    if strips(chosen.route) or not (chosen.route.sands and chosen.route.takes_film_off):
        # Where no disc takes the film off none clogs on it: a scuff or a wash does another thing.
        return
    strip = next((row for row in compared.rows if row.id == "strip-and-sand"), None)
    if strip is None or strip.standing not in ("possible", "recommended"):
        return
    fewer = chosen.estimate.sanding.discs - strip.disc_count
    hours = units.show(spread.central(chosen.estimate.work_time) - spread.central(strip.work_time), "h", "time")
    later = (strip.ready_morning or 0) - (chosen.day or 0)
    days = "the same morning" if later == 0 else f"{abs(later)} {'day' if abs(later) == 1 else 'days'} "
    when = days if later == 0 else days + ("later" if later > 0 else "sooner")
    message = (
        f"Discs clog on a film: {life.given} to a disc is counted on. Stripping first takes {fewer} discs fewer and "
        f"{abs(hours):.2g} h {'less' if hours > 0 else 'more'} work, and is ready {when}. Try a square metre: "
        "where one disc does not do it, strip."
    )
    ledger.find("film-clogs-discs", "note", message, pointer="/route", fewer=fewer, later=later)


def _hazards(x: Inputs, r: Resolved, ledger: Ledger) -> None:
    if r.surface.hazards.lead != "no" and x.extraction == "shroud-hepa":
        note_licensed(r.surface.hazards.lead, r.surface.hazards.region, ledger)
    if r.old_coating is not None and r.old_coating != "none" and r.old_coating.binder == "unknown":
        message = "The old coating is not known, so it counts as a film."
        ledger.find("old-coating-unknown", "note", message, pointer="/old_coating")
    if r.old_coating is None and r.surface.state == "bare":
        # A test looked for lead in an old coat, whether or not the coat was named.
        ruled_out = coat_of(x).settled or r.years.lead() == "no"
        message = "Nothing was said of an old coating, so the wood was taken for bare"
        message += "." if ruled_out else ": lead in an old coat was not looked for, and no year rules it out."
        ledger.find(
            "taken-for-bare",
            "note" if ruled_out or seen_weathered(x.signs) else "warning",
            message,
            pointer="/old_coating",
        )


def find_open(title: str, topics: tuple[Open, ...], ledger: Ledger) -> None:
    """Say on which condition a route is chosen."""
    if topics:
        severity: Severity = "warning" if _GRAVE & set(topics) else "note"
        message = (
            f"{title} is chosen on condition: its hours and what is bought for it rest on what is not known. The route "
            f"may change. Find out first {'; '.join(_ASKED[one] for one in topics)}."
        )
        ledger.find("route-on-condition", severity, message, topics=list(topics))


def condition_of(topics: tuple[Open, ...]) -> tuple[str, ...]:
    """Return the same as a reason beside a route."""
    return (f"on condition: find out first {'; '.join(_ASKED[one] for one in topics)}",) if topics else ()


def on_condition(row: RouteResult, chosen: Case | None, asked: tuple[Open, ...]) -> RouteResult:
    """Return a route with what it rests on among its reasons, where the plan goes by it."""
    if chosen is None or row.id != chosen.route.id:
        return row
    return msgspec.structs.replace(row, reasons=(*row.reasons, *condition_of(asked)))
