"""What must be said of an answer about the weather, beside its numbers."""

from __future__ import annotations

from typing import Final

import numpy as np

from latewood.calculators.cure_windows.compute import BREEZE, Found
from latewood.calculators.cure_windows.compute.assessment import Assessed
from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.compute.gates import ForecastCase
from latewood.calculators.cure_windows.compute.timeline import Laid, dwell_at, waits_in
from latewood.calculators.cure_windows.compute.windows import MOST_ROWS
from latewood.calculators.cure_windows.fields import RainRisk
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.formulas import heat
from latewood.messages import Between, Clause, Count, Moment, Share, Speed, Temperature, Time, Word, clause
from latewood.provenance import Ledger
from latewood.rules.work import state_heat, state_mains, state_sanding
from latewood.weather import Hours
from latewood.weather.face import LIGHT_AIR
from latewood.weather.hours import Flags

#: Wiping within less than this is a race for one person with a cloth. Judgement.
SHORT_WIPE: Final = 600.0
#: Proposals that a finding has room for; the answer lists all.
MOST_WAYS: Final = 1
#: Slower than the nominal time by more than this is said.
SLOWER: Final = 1.10


def find(r: Resolved, found: Found, ledger: Ledger) -> None:
    """Find what the weather leaves open, what stands in the way, and what the start that is answered for means."""
    cells = found.case.cells
    _proposals(found, ledger)
    _conditions(r, cells, ledger)
    if r.lit and not r.by_air:
        _assumed(r.hours, ledger)
    if found.airy is not None and found.airy.whole.any():
        first = cells.at(float(found.airy.starts[int(np.argmax(found.airy.whole))]))
        start, params = Moment(first), {"start": first.isoformat(timespec="seconds")}
        ledger.find("breeze-would-do", pointer="/weather", params=params, wind=Speed(BREEZE), start=start)
    if found.least_risk is not None:
        least = found.least_risk
        ledger.find(
            "rain-chance-stops",
            pointer="/weather",
            params=_rounded(least),
            chance=Share(least.chance),
            start=Moment(least.starts),
            limit=Share(cells.chance_limit),
            least=Share(least.chance_least),
            most=Share(least.chance_most),
        )
    if found.risk is not None and found.risk.chance_most > 0:
        risk = found.risk
        ledger.find(
            "rain-chance-by-day",
            pointer="/weather",
            params=_rounded(risk),
            chance=Share(risk.chance),
            safe=Moment(risk.ends),
            least=Share(risk.chance_least),
            most=Share(risk.chance_most),
        )
    _outcome(found, ledger)
    _state(found, ledger)
    if not r.brief and len(r.hours) > MOST_ROWS:
        steps, most = Count(len(r.hours)), Count(MOST_ROWS)
        ledger.find("hours-left-out", pointer="/weather", params={"steps": len(r.hours)}, steps=steps, most=most)


def _conditions(r: Resolved, cells: Cells, ledger: Ledger) -> None:
    """Find what the weather leaves open."""
    family = r.family
    if cells.wind is None and "wind" in family.limits:
        ledger.find("wind-not-recorded", pointer="/weather")
    if not r.place.known and r.hours.irradiance is None:
        ledger.find("daylight-assumed", pointer="/latitude")
    if not r.place.known and r.hours.irradiance is not None and np.any(r.boards.shade) and not r.by_air:
        ledger.find("shade-not-counted", pointer="/shade")
    if cells.sheltered:
        ledger.find("roofed", pointer="/exposure")
    elif r.dry_so_far is None and cells.rain is not None and "dry_before" in family.limits:
        ledger.find("before-not-known", pointer="/dry_so_far", dry=Time(family.limits["dry_before"]))
    ledger.find("wood-moisture-apart")


def _assumed(hours: Hours, ledger: Ledger) -> None:
    """Find what was taken for wind and cloud where the temperature of the boards hangs on them."""
    taken = []
    if hours.wind_speed is None:
        taken.append(clause("wind-taken", wind=Speed(LIGHT_AIR)))
    if hours.cloud is None and hours.irradiance is None:
        taken.append(clause("clear-sky-taken"))
    elif hours.cloud is None:
        taken.append(clause("clear-night-taken"))
    if taken:
        gone = [name for name in ("wind_speed", "cloud") if getattr(hours, name) is None]
        ledger.find("boards-at-extremes", pointer="/weather", params={"not_recorded": gone}, taken=taken)


def opens(found: Found) -> list[Clause]:
    """Return what to change where no start works, or starts have little room; nothing where they have enough."""
    room, proposed = found.room, found.proposals
    if proposed is None or (room is not None and not proposed):
        return []
    ways = [one.text for one in proposed]
    if room is not None and not room.span:
        return [clause("starts-but-once", start=Moment(room.first), ways=ways)]
    if room is not None:
        return [clause("starts-fit-only", first=Moment(room.first), last=Moment(room.last), ways=ways)]
    return [clause("what-opens", ways=ways) if ways else clause("nothing-opens")]


def _proposals(found: Found, ledger: Ledger) -> None:
    """Find first of all what opens a window, or that nothing does."""
    room, proposed = found.room, found.proposals
    if proposed is None or (found.chosen.asked and room is not None):
        return
    ways = [one.text for one in proposed[:MOST_WAYS]]
    params = {"proposals": [one.id for one in proposed]}
    if room is not None and ways and not room.span:
        ledger.find("one-start-fits", foremost=True, params=params, start=Moment(room.first), ways=ways)
    elif room is not None and ways:
        first, last = Moment(room.first), Moment(room.last)
        ledger.find("little-room", foremost=True, params=params, first=first, last=last, ways=ways)
    elif ways:
        ledger.find("window-opens", foremost=True, params=params, ways=ways)
    elif room is None:
        ledger.find("nothing-opens-window", foremost=True, pointer="/weather")


def _rounded(risk: RainRisk) -> dict[str, float]:
    numbers = {"chance": risk.chance, "least": risk.chance_least, "most": risk.chance_most}
    return {name: round(number, 4) for name, number in numbers.items()}


def _outcome(found: Found, ledger: Ledger) -> None:
    """Find what the start that is answered for means."""
    chosen, case, handed = found.chosen, found.case, found.hand_over
    if chosen.asked and chosen.verdict == "no":
        ledger.find("start-fails", pointer="/start", params={"gates": list(chosen.gates)}, why=chosen.why)
    if chosen.breaks:
        ledger.find("forecast-risk", params={"breaks": list(chosen.breaks)}, breaks=breaks_of(chosen))
    if chosen.laid is None:
        return
    _bare(chosen.laid, case, ledger)
    _wiping(chosen.laid, case, ledger)
    if case.r.coats and not handed:
        ledger.find("never-cures", pointer="/weather")
    for line in handed:
        stage = case.r.family.stages["walk"]
        if line.id == "walk" and line.after > SLOWER * stage[1]:
            ledger.find(
                "cures-slowly",
                text="cures-slowly" if case.r.night_counts else "cures-slowly-by-day",
                params={"after": round(line.after / 3600, 1)},
                after=Time(line.after),
                nominal=Between(Time(stage[0]), Time(stage[1])),
            )
    if any(line.estimated for line in handed):
        ledger.find("hand-over-estimated", pointer="/weather")


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
            (clause("falls-rain"), wet),
            (clause("falls-rain-perhaps"), unsure and not wet),
            (clause("falls-rain-by-chance", chance=Share(chance)), likely),
            (clause("falls-dew"), dew),
        )
        what = [word for word, holds in falls if holds]
        ledger.find("bare-boards-wetted", params={"rain": wet, "dew": dew}, what=what)
    elif not cells.daylight[span].all():
        meanwhile = clause("rain-meanwhile", chance=Share(chance)) if chance > 0 else clause("dry-meanwhile")
        ledger.find("bare-overnight", meanwhile=meanwhile)


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
    ends = {waits_in(case, cell) for cell in ends}
    until, face = min((dwell_at(case, cell)[1], float(case.cells.face[cell])) for cell in ends)
    if until < SHORT_WIPE:
        params = {"within": round(until / 60, 1)}
        ledger.find("wipe-soon", params=params, temperature=Temperature(face), until=Time(until))


def breaks_of(chosen: Assessed) -> list[Word]:
    """Return what would close the start that is answered for."""
    return [Word("break", one) for one in chosen.breaks]


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
        done = laid.ends[place] + dwell_at(case, waits_in(case, last))[1] / cells.step
        if not cells.daylight[min(int(np.ceil(done)) - 1, len(cells) - 1)]:
            return True
    return False
