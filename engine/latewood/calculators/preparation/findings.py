"""What must be said of the route that is taken, and of having none."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

import msgspec

from latewood.calculators.preparation.compute.comparison import Case, Compared
from latewood.calculators.preparation.fields import Open, RouteResult
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.resolved import Resolved
from latewood.formulas import sorption
from latewood.messages import Area, Clause, Count, Moment, Share, Time, Titled, Word, clause
from latewood.provenance import Ledger, Severity
from latewood.quantities import units
from latewood.records.route import WETS, Route
from latewood.rules.lead import coat_of, note_licensed
from latewood.rules.new_wood import THEN, tested_after, weeks
from latewood.rules.old_and_new_finish import note_pair, pair
from latewood.rules.wash_recipe import sands_down, strips
from latewood.rules.weathering import seen_weathered
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Area a disc does (m2) below which a film is stripped first. Common practice, no source.
_CLOGS: Final = 1.0
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
        ledger.find("shadow-patches", text="shadow-patches" if remain else "shadow-patches-gone", pointer="/signs")


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
    first = compared.dryer.r.first
    severity: Severity = "warning" if compared.chosen in held else "note"
    ledger.find(
        "wash-beyond-weather",
        severity,
        pointer="/weather",
        params={"routes": [case.route.id for case in held]},
        routes=[clause("titled", record=Titled(case.route)) for case in held],
        on=_on(None if first is None else first + timedelta(seconds=after)),
    )


def _on(day: date | None) -> list[Clause]:
    return [] if day is None else [clause("wash-on-day", day=Moment(day))]


def _route(x: Inputs, compared: Compared, ledger: Ledger) -> None:
    if compared.best is None:
        ledger.find("no-route", why=[reason for row in compared.rows for reason in row.reasons[:1]])
    if x.route is None or compared.chosen is None:
        return
    chosen, route, at = compared.chosen, Titled(compared.chosen.route), "/route"
    if chosen.standing == "forbidden":
        ledger.find("route-forbidden", pointer=at, route=route, why=list(chosen.against))
    elif chosen is not compared.best and chosen.standing != "possible":
        params, why = {"standing": chosen.standing}, list(chosen.against)
        ledger.find("route-unsuitable", pointer=at, params=params, route=route, why=why)
    elif compared.best is not None and compared.best.route.id != chosen.route.id:
        ledger.find("route-not-recommended", pointer=at, route=route, best=Titled(compared.best.route))


def test_again_on(first: date | None, wait: Number | None) -> date | None:
    """Return the earliest day to put drops on new treated wood again; None where no day is known, or none waits."""
    return None if first is None or wait is None else first + timedelta(days=tested_after(wait))


def _beads(r: Resolved, ledger: Ledger) -> None:
    if r.surface.untested:
        ledger.find("new-wood-untested", pointer="/beading", then=THEN)
    if r.surface.beads is None:
        return
    on = _on(test_again_on(r.first, r.surface.beads))
    ledger.find("new-wood-beads", pointer="/beading", wait=weeks(r.surface.beads), then=THEN, on=on)


def _left(x: Inputs, r: Resolved, compared: Compared, ledger: Ledger) -> None:
    """Say what a coat would go over: grey that is left goes dark and blotchy, film that is left peels."""
    if compared.chosen is None or (x.coating is not None and x.coating.bare):
        return
    route = compared.chosen.route
    grey_left = "grey" in route.leaves or not sands_down(route)
    # Splinters, furrows and cups speak of weathered wood, not of grey on it.
    unseen = r.surface.weathering.ground == "seen" or r.surface.state == "film"
    if r.surface.grey and grey_left and ("grey" in x.signs or not unseen):
        ledger.find("coating-over-grey", pointer="/route", params={"route": route.id})
    if r.surface.state != "film" or route.takes_film_off:
        return
    over = None if x.coating is None else pair(x.coating, r.old_coating, x.signs)
    if over is not None and over.refused:
        note_pair(
            over, ledger, pointer="/route", place=(clause("route-leaves-film", route=Titled(route)),), route=route.id
        )
    else:
        ledger.find("coating-over-film", pointer="/route", params={"route": route.id})


def _wait(r: Resolved, compared: Compared, ledger: Ledger) -> None:
    chosen, wait = compared.chosen, compared.dry.wait
    climate, limit = compared.dry.climate, r.limit
    if wait is None:
        driest = float(sorption.equilibrium_humidity(temperature=climate.temperature, moisture=limit))
        ledger.find(
            "never-dry",
            pointer="/relative_humidity",
            params={"humidity": round(driest, 3)},
            settled=Share(climate.settled),
            limit=Share(limit),
            humidity=Share(driest),
        )
    elif chosen is not None and chosen.route.wets:
        low, high = (units.show(end, "d", "time") for end in (spread.low(wait), spread.high(wait)))
        ledger.find(
            "wash-waits",
            params={"low": round(low, 2), "high": round(high, 2)},
            low=Time(spread.low(wait)),
            high=Time(spread.high(wait)),
            limit=Share(limit),
        )


def _holding(r: Resolved, compared: Compared, ledger: Ledger) -> None:
    """Say why a floor that is usually just sanded is washed here: its crew is small for it."""
    sanded = next((row for row in compared.rows if row.id == "sand"), None)
    best = compared.best
    if r.group != "hardwood" or r.surface.state != "bare" or best is None or not best.route.wets or sanded is None:
        return
    if any(step.does in WETS for step in sanded.steps):
        return
    if sanded.standing == "possible" and r.prefer == "soonest" and sanded.ready_morning is not None:
        ledger.find("crew-small-for-sanding", pointer="/crew", morning=Count(sanded.ready_morning))


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
    hours = spread.central(chosen.estimate.work_time) - spread.central(strip.work_time)
    later = (strip.ready_morning or 0) - (chosen.day or 0)
    when = clause("same-morning")
    if later:
        when = clause("days-later" if later > 0 else "days-sooner", days=Count(abs(later)))
    ledger.find(
        "film-clogs-discs",
        text="film-clogs-discs-less-work" if hours > 0 else "film-clogs-discs-more-work",
        pointer="/route",
        params={"fewer": fewer, "later": later},
        life=Area(spread.value(life.number)),
        fewer=Count(fewer),
        hours=Time(abs(hours)),
        when=when,
    )


def _hazards(x: Inputs, r: Resolved, ledger: Ledger) -> None:
    if r.surface.hazards.lead != "no" and x.extraction == "shroud-hepa":
        note_licensed(r.surface.hazards.lead, r.surface.hazards.region, ledger)
    if r.old_coating is not None and r.old_coating != "none" and r.old_coating.binder == "unknown":
        ledger.find("old-coating-unknown", pointer="/old_coating")
    if r.old_coating is None and r.surface.state == "bare":
        # A test looked for lead in an old coat, whether or not the coat was named.
        ruled_out = coat_of(x).settled or r.years.lead() == "no"
        severity: Severity = "note" if ruled_out or seen_weathered(x.signs) else "warning"
        text = "taken-for-bare" if ruled_out else "taken-for-bare-lead-open"
        ledger.find("taken-for-bare", severity, text=text, pointer="/old_coating")


def find_open(route: Route, topics: tuple[Open, ...], ledger: Ledger) -> None:
    """Say on which condition a route is chosen."""
    if topics:
        severity: Severity = "warning" if _GRAVE & set(topics) else "note"
        params = {"topics": list(topics)}
        ledger.find("route-on-condition", severity, params=params, route=Titled(route), topics=_asked(topics))


def _asked(topics: tuple[Open, ...]) -> list[Word]:
    return [Word("open", one) for one in topics]


def condition_of(topics: tuple[Open, ...]) -> tuple[Clause, ...]:
    """Return the same as a reason beside a route."""
    return (clause("on-condition", topics=_asked(topics)),) if topics else ()


def on_condition(row: RouteResult, chosen: Case | None, asked: tuple[Open, ...]) -> RouteResult:
    """Return a route with what it rests on among its reasons, where the plan goes by it."""
    if chosen is None or row.id != chosen.route.id:
        return row
    return msgspec.structs.replace(row, reasons=(*row.reasons, *condition_of(asked)))
