"""What must be said of an answer about the weather, beside its numbers."""

from __future__ import annotations

from typing import Final

import numpy as np

from latewood.calculators.cure_windows.compute import BREEZE, Found
from latewood.calculators.cure_windows.compute.assessment import Assessed
from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.compute.gates import ForecastCase
from latewood.calculators.cure_windows.compute.search import Fit
from latewood.calculators.cure_windows.compute.timeline import Laid, dwell_at
from latewood.calculators.cure_windows.compute.windows import MOST_ROWS
from latewood.calculators.cure_windows.fields import RainRisk
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.formulas import heat
from latewood.provenance import Ledger
from latewood.rules.work import state_heat, state_mains, state_sanding
from latewood.weather import Hours
from latewood.weather.face import LIGHT_AIR
from latewood.weather.hours import Flags

#: Wiping within less than this is a race for one person with a cloth. Judgement.
SHORT_WIPE: Final = 600.0
#: Slower than the nominal time by more than this is said.
SLOWER: Final = 1.10

_BREAKS: Final = {
    "colder": "it gets colder than forecast",
    "warmer": "it gets warmer than forecast",
    "damper": "the air is damper than forecast",
    "wetter": "rain is likelier than forecast",
    "rain-just-then": "the rain of the day falls in just these hours",
    "rain-before": "it rains in the hours before, so look before you start",
    "rain-unknown": "it rains, of which the weather given says nothing",
    "boards-unknown": "sun heats the boards or a clear sky cools them, of which nothing given tells",
}


def find(r: Resolved, found: Found, ledger: Ledger) -> None:
    """Find what the weather leaves open, what stands in the way, and what the start that is answered for means."""
    cells = found.case.cells
    _conditions(r, cells, ledger)
    if r.lit and not r.by_air:
        _assumed(r.hours, ledger)
    for way, fit in (("shade", found.shady), ("breeze", found.airy)):
        if fit is not None and fit.whole.any():
            _would_do(way, fit, cells, ledger)
    if found.least_risk is not None:
        least = found.least_risk
        message = (
            f"Only the chance of rain stops it. It is least, {least.chance:.0%}, for a start on "
            f"{least.starts:%a %d %b %H:%M}; the limit is {cells.chance_limit:.0%}. {_range(least)} Look at an hourly "
            "forecast, or wait."
        )
        _rain("rain-chance-stops", message, least, ledger)
    if found.risk is not None and found.risk.chance_most > 0:
        risk = found.risk
        message = (
            f"Rain: {risk.chance:.0%} from the first coat until the last is safe, {risk.ends:%a %d %b %H:%M}, each "
            f"day's chance spread evenly. {_range(risk)}"
        )
        _rain("rain-chance-by-day", message, risk, ledger)
    _outcome(found, ledger)
    _state(found, ledger)
    if not r.brief and len(r.hours) > MOST_ROWS:
        message = f"the weather has {len(r.hours)} steps; rows are written for up to {MOST_ROWS}"
        ledger.find("hours-left-out", "note", message, pointer="/weather", steps=len(r.hours))


def _conditions(r: Resolved, cells: Cells, ledger: Ledger) -> None:
    """Find what the weather leaves open."""
    family = r.family
    if cells.wind is None and "wind" in family.limits:
        message = "the weather says nothing of wind; its gate was left out"
        ledger.find("wind-not-recorded", "note", message, pointer="/weather")
    if not r.place.known and r.hours.irradiance is None:
        message = (
            "Without latitude and longitude, sunrise and sunset are not known: the sun was left out, and daylight was "
            "assumed from 06:00 to 18:00. Give the place"
        )
        ledger.find("daylight-assumed", "note", message, pointer="/latitude")
    if not r.place.known and r.hours.irradiance is not None and np.any(r.boards.shade) and not r.by_air:
        message = (
            "Without latitude and longitude, shade on the boards was left out: they count as sunny. Give the place"
        )
        ledger.find("shade-not-counted", "warning", message, pointer="/shade")
    if cells.sheltered:
        message = "under a roof the boards were taken to stay dry and as warm as the air; driven rain was not counted"
        ledger.find("roofed", "note", message, pointer="/exposure")
    elif r.dry_so_far is None and cells.rain is not None and "dry_before" in family.limits:
        message = (
            f"how long it had been dry when the weather given begins was not said; it was taken as long enough "
            f"({family.limits['dry_before'] / 3600:.0f} h)"
        )
        ledger.find("before-not-known", "note", message, pointer="/dry_so_far")
    message = "these are gates of the weather; whether the wood itself is dry enough is for moisture-readiness to say"
    ledger.find("wood-moisture-apart", "note", message)


def _assumed(hours: Hours, ledger: Ledger) -> None:
    """Find what was taken for wind and cloud where the temperature of the boards hangs on them."""
    taken = []
    if hours.wind_speed is None:
        taken.append(f"wind, for which light air of {LIGHT_AIR:.0f} m/s was taken")
    if hours.cloud is None and hours.irradiance is None:
        taken.append("cloud, for which a clear sky was taken")
    elif hours.cloud is None:
        taken.append("cloud, for which a clear sky was taken at night")
    if taken:
        message = (
            f"the weather says nothing of {', nor of '.join(taken)}. Boards then come out at their warmest by day, "
            "which closes sunny hours and lets a coat dry sooner, and at their coldest by night, which lets dew fall. "
            "Give what the forecast says of it, or a temperature measured on the boards"
        )
        gone = [name for name in ("wind_speed", "cloud") if getattr(hours, name) is None]
        ledger.find("boards-at-extremes", "warning", message, pointer="/weather", not_recorded=gone)


def _would_do(way: str, fit: Fit, cells: Cells, ledger: Ledger) -> None:
    """Find where only the sun on the boards stands in the way, or a wind that was not recorded."""
    first = cells.at(float(fit.starts[int(np.argmax(fit.whole))]))
    could = f"the work could start on {first:%A %d %B} at {first:%H:%M}"
    at, message = "/shade", f"it is the sun on the boards that stops it: with all of them in shade {could}. "
    message += "Follow the shade round the deck, or stretch an awning well above it"
    if way == "breeze":
        at, wind = "/weather", f"in a light breeze of {BREEZE:.0f} m/s"
        message = f"it hangs on the wind, which was not recorded: {wind} {could}. "
        message += "Look up the forecast of wind at the site and ask again"
    ledger.find(f"{way}-would-do", "note", message, pointer=at, start=first.isoformat(timespec="seconds"))


def _range(risk: RainRisk) -> str:
    """Return what the chance is at least and at most, and which rain makes it so."""
    return f"One short shower a day makes it {risk.chance_least:.0%}, rain in just these hours {risk.chance_most:.0%}."


def _rain(id: str, message: str, risk: RainRisk, ledger: Ledger) -> None:
    numbers = {"chance": risk.chance, "least": risk.chance_least, "most": risk.chance_most}
    ledger.find(id, "note", message, pointer="/weather", **{name: round(value, 4) for name, value in numbers.items()})


def _outcome(found: Found, ledger: Ledger) -> None:
    """Find what the start that is answered for means."""
    chosen, case, handed = found.chosen, found.case, found.hand_over
    if chosen.asked and chosen.verdict == "no":
        message = "the start asked for does not work: " + "; ".join(chosen.why)
        ledger.find("start-fails", "stop", message, pointer="/start", gates=list(chosen.gates))
    if chosen.breaks:
        message = "it works as forecast, but not if " + reasons(chosen)
        ledger.find("forecast-risk", "warning", message, breaks=list(chosen.breaks))
    if chosen.laid is None:
        return
    _bare(chosen.laid, case, ledger)
    _wiping(chosen.laid, case, ledger)
    if case.r.coats and not handed:
        message = "in this weather it never cures: no hour of it is warm and dry enough"
        ledger.find("never-cures", "stop", message, pointer="/weather")
    for line in handed:
        stage = case.r.family.stages["walk"]
        if line.id == "walk" and line.after > SLOWER * stage[1]:
            low, high = (figure / 3600 for figure in stage)
            nominal = f"{low:.0f} to {high:.0f}" if high > low else f"{high:.0f}"
            message = (
                f"it can be walked on {line.after / 3600:.0f} h after the last coat, not after the {nominal} h of "
                "23 °C and 50 %: it cures more slowly here, and hours of dew, rain and cold do not count"
                + ("" if case.r.night_counts else ", nor do nights")
            )
            ledger.find("cures-slowly", "note", message, after=round(line.after / 3600, 1))
    if any(line.estimated for line in handed):
        message = "the later times lie beyond the weather given; they hold if it goes on as it is on average"
        ledger.find("hand-over-estimated", "note", message, pointer="/weather")


def _bare(laid: Laid, case: ForecastCase, ledger: Ledger) -> None:
    """Find where sanded boards wait for their coat, and whether they get wet meanwhile."""
    cells, kinds = case.cells, [step.kind for step in case.r.steps]
    if "sand" not in kinds or "coat" not in kinds[kinds.index("sand") :]:
        return
    coat = kinds.index("coat", kinds.index("sand"))
    sand = max(place for place in range(coat) if kinds[place] == "sand")
    span = slice(int(laid.ends[sand]), int(laid.begins[coat]))
    if span.stop <= span.start:
        return
    rain = np.zeros(0) if cells.rain is None else cells.rain[span]
    wet, unsure = bool((rain > 0).any()), bool(np.isnan(rain).any())
    dew = bool((np.nan_to_num(cells.spread[span], nan=-1.0) <= 0).any())
    chance = _chance(cells, span)
    likely = chance >= cells.chance_limit and not wet
    if wet or unsure or dew or likely:
        falls = (
            ("rain", wet),
            ("rain, for all that is known,", unsure and not wet),
            (f"rain with a chance of {chance:.0%}", likely),
            ("dew", dew),
        )
        what = " and ".join(word for word, holds in falls if holds)
        message = (
            f"{what} falls on the sanded boards before they are coated: read their moisture again, feel for raised "
            "grain with a finger, and scuff it off before coating"
        )
        ledger.find("bare-boards-wetted", "warning", message, rain=wet, dew=dew)
    elif not cells.daylight[span].all():
        dry = f"rain has a chance of {chance:.0%} meanwhile" if chance > 0 else "it stays dry"
        message = f"the boards lie bare overnight between sanding and coating; {dry}"
        ledger.find("bare-overnight", "note", message)


def _chance(cells: Cells, span: slice) -> float:
    """Return the chance of rain in a stretch of cells by the chances of days; none where there are no such chances."""
    if cells.day_chance is None:
        return 0.0
    ends = np.array([float(span.start)]), np.array([float(span.stop)])
    return float(np.nan_to_num(cells.day_chance.between(*ends), nan=0.0)[0])


def _wiping(laid: Laid, case: ForecastCase, ledger: Ledger) -> None:
    if not case.r.family.wiped:
        return
    coats = case.r.coats
    ends = {cell for place in coats for cell in (int(laid.begins[place]), max(int(laid.ends[place]) - 1, 0))}
    if not ends:
        return
    until, celsius = min((dwell_at(case, cell)[1], float(case.cells.face[cell]) - 273.15) for cell in ends)
    if until < SHORT_WIPE:
        message = (
            f"on boards of {celsius:.0f} °C the excess must be off within {until / 60:.0f} min: work in shade, in "
            "smaller bands, or at a cooler hour"
        )
        ledger.find("wipe-soon", "warning", message, within=round(until / 60, 1))


def reasons(chosen: Assessed) -> str:
    """Return what would close the start that is answered for."""
    return " or ".join(_BREAKS.get(word, word) for word in chosen.breaks)


def _state(found: Found, ledger: Ledger) -> None:
    """State what the work brings with it, where there is a start that may be taken."""
    laid, cells, at_work, r = found.chosen.laid, found.case.cells, found.at_work, found.case.r
    if laid is None or found.chosen.verdict == "no":
        return
    busy = _busy(laid, cells, at_work)
    if busy.any():
        index = heat.heat_index(temperature=cells.air[busy], relative_humidity=cells.humidity[busy])
        state_heat(ledger, float(np.nanmax(index)))
    ledger.fact("after_dark", bool((busy & ~cells.daylight).any()) or _wiped_late(laid, found.case))
    if not r.shift.daylight_only and (at_work & ~cells.daylight).any():
        # Windows are looked for at night too: another start of the list may lie there.
        ledger.fact("after_dark", True)
    kinds = {step.kind for step in r.steps}
    rains = cells.rain is not None and bool((np.nan_to_num(cells.rain) > 0).any()) and not cells.sheltered
    if "sand" in kinds:
        state_sanding(ledger, wet=rains or "clean" in kinds)
    if "clean" in kinds:
        ledger.fact("washing", True)
        state_mains(ledger, "wet")


def _busy(laid: Laid, cells: Cells, at_work: Flags) -> Flags:
    """Say in which cells people are at work, from the first step to the last."""
    busy = np.zeros(len(cells), dtype=bool)
    for begin, end in zip(laid.begins, laid.ends, strict=True):
        busy[int(begin) : int(np.ceil(end))] = True
    return busy & at_work


def _wiped_late(laid: Laid, case: ForecastCase) -> bool:
    """Say whether what was laid last is wiped when the sun is down."""
    cells = case.cells
    for place in case.r.coats if case.r.family.wiped else ():
        last = min(max(int(np.ceil(laid.ends[place])) - 1, 0), len(cells) - 1)
        done = laid.ends[place] + dwell_at(case, last)[1] / cells.step
        if not cells.daylight[min(int(np.ceil(done)) - 1, len(cells) - 1)]:
            return True
    return False
