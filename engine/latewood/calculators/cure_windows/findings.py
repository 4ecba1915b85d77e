"""What must be said of an answer about the weather, beside its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from latewood.calculators.cure_windows.assessment import Assessed
from latewood.calculators.cure_windows.cells import Cells
from latewood.calculators.cure_windows.family import Family
from latewood.calculators.cure_windows.fields import CureMiss, CureWindow, HandOver
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.calculators.cure_windows.search import Fit
from latewood.calculators.cure_windows.timeline import Laid, dwell_at
from latewood.provenance import Ledger
from latewood.weather import Hours
from latewood.weather.face import LIGHT_AIR

#: Wiping within less than this is a race for one person with a cloth. Judgement.
SOON: Final = 600.0
#: A light breeze, force 2 of the Beaufort scale: 1.6 to 3.3 m/s.
BREEZE: Final = 3.0
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


def conditions(x: Inputs, cells: Cells, family: Family, ledger: Ledger) -> None:
    """Say what the weather leaves open."""
    if cells.wind is None and "wind" in family.limits:
        message = "the weather says nothing of wind; its gate was left out"
        ledger.find("wind-not-recorded", "note", message, pointer="/weather")
    if cells.sheltered:
        message = "under a roof the boards were taken to stay dry and as warm as the air; driven rain was not counted"
        ledger.find("roofed", "note", message, pointer="/exposure")
    elif x.dry_so_far is None and cells.rain is not None and "dry_before" in family.limits:
        message = (
            f"how long it had been dry when the weather given begins was not said; it was taken as long enough "
            f"({family.limits['dry_before'] / 3600:.0f} h)"
        )
        ledger.find("before-not-known", "note", message, pointer="/dry_so_far")
    message = "these are gates of the weather; whether the wood itself is dry enough is for moisture-readiness to say"
    ledger.find("wood-moisture-apart", "note", message)


def assumed(hours: Hours, ledger: Ledger) -> None:
    """Say what was taken for wind and cloud where the temperature of the boards hangs on them."""
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


def breeze(airy: Fit, cells: Cells, ledger: Ledger) -> None:
    """Say where the work could start if the wind nobody recorded were a light breeze."""
    if not airy.whole.any():
        return
    first = cells.at(float(airy.starts[int(np.argmax(airy.whole))]))
    message = (
        f"it hangs on the wind, which was not recorded: in a light breeze of {BREEZE:.0f} m/s the work could start on "
        f"{first:%A %d %B} at {first:%H:%M}. Look up the forecast of wind at the site and ask again"
    )
    ledger.find("breeze-would-do", "note", message, pointer="/weather", start=first.isoformat(timespec="seconds"))


def shade(shady: Fit, cells: Cells, ledger: Ledger) -> None:
    """Say where only the sun on the boards stands in the way."""
    if not shady.whole.any():
        return
    first = cells.at(float(shady.starts[int(np.argmax(shady.whole))]))
    message = (
        "it is the sun on the boards that stops it: with all of them in shade the work could start on "
        f"{first:%A %d %B} at {first:%H:%M}. Follow the shade round the deck, or stretch an awning well above it"
    )
    ledger.find("shade-would-do", "note", message, pointer="/shade", start=first.isoformat(timespec="seconds"))


def outcome(
    x: Inputs,
    chosen: Assessed,
    handed: Sequence[HandOver],
    cells: Cells,
    family: Family,
    ledger: Ledger,
) -> None:
    """Say what the start that is answered for means."""
    if chosen.asked and chosen.verdict == "no":
        message = "the start asked for does not work: " + "; ".join(chosen.why)
        ledger.find("start-fails", "stop", message, pointer="/start", gates=list(chosen.gates))
    if chosen.breaks:
        message = "it works as forecast, but not if " + " or ".join(_BREAKS.get(word, word) for word in chosen.breaks)
        ledger.find("forecast-risk", "warning", message, breaks=list(chosen.breaks))
    if chosen.laid is None:
        return
    _bare(chosen.laid, cells, family, ledger)
    _wiping(chosen.laid, cells, family, ledger)
    if chosen.laid.coats and not handed:
        message = "in this weather it never cures: no hour of it is warm and dry enough"
        ledger.find("never-cures", "stop", message, pointer="/weather")
    for line in handed:
        if line.id == "walk" and line.after > SLOWER * family.stages["walk"][1]:
            low, high = (figure / 3600 for figure in family.stages["walk"])
            nominal = f"{low:.0f} to {high:.0f}" if high > low else f"{high:.0f}"
            message = (
                f"it can be walked on {line.after / 3600:.0f} h after the last coat, not after the {nominal} h of "
                "23 °C and 50 %: it cures more slowly here, and hours of dew, rain and cold do not count"
                + ("" if x.night == "counts" else ", nor do nights")
            )
            ledger.find("cures-slowly", "note", message, after=round(line.after / 3600, 1))
    if any(line.estimated for line in handed):
        message = "the later times lie beyond the weather given; they hold if it goes on as it is on average"
        ledger.find("hand-over-estimated", "note", message, pointer="/weather")


def _bare(laid: Laid, cells: Cells, family: Family, ledger: Ledger) -> None:
    """Say where sanded boards wait for their coat, and whether they get wet meanwhile."""
    kinds = [step.kind for step in laid.steps]
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


def _wiping(laid: Laid, cells: Cells, family: Family, ledger: Ledger) -> None:
    if family.dwell is None or family.wipe is None:
        return
    ends = {cell for place in laid.coats for cell in (int(laid.begins[place]), max(int(laid.ends[place]) - 1, 0))}
    if not ends:
        return
    until, celsius = min((dwell_at(cells, family, cell)[1], float(cells.face[cell]) - 273.15) for cell in ends)
    if until < SOON:
        message = (
            f"on boards of {celsius:.0f} °C the excess must be off within {until / 60:.0f} min: work in shade, in "
            "smaller bands, or at a cooler hour"
        )
        ledger.find("wipe-soon", "warning", message, within=round(until / 60, 1))


def sentence(
    first: Sequence[str],
    chosen: Assessed,
    windows: Sequence[CureWindow],
    miss: CureMiss | None,
    handed: Sequence[HandOver],
    cells: Cells,
) -> str:
    """Return the answer in a sentence or two."""
    if chosen.asked and chosen.verdict == "no":
        other = f" The best start is {windows[0].best_start:%A %d %B, %H:%M}." if windows else ""
        return "No: " + "; ".join(chosen.why) + "." + other
    if chosen.laid is None:
        return "No: there is no window in this weather." + (f" Nearest: {miss.text}." if miss is not None else "")
    begins = f"{cells.at(chosen.laid.begins[0]):%A %d %B, %H:%M}"
    walk = next((line for line in handed if line.id == "walk"), None)
    after = "" if walk is None else f" {walk.text}"
    if first:
        before = f"first {'; '.join(first)}. Then"
        risk = f" It fails if {_reasons(chosen)}." if chosen.breaks else ""
        return f"{'At risk' if chosen.breaks else 'Conditional'}: {before} start {begins}.{risk}{after}"
    if chosen.breaks:
        return f"At risk: start {begins}; it fails if {_reasons(chosen)}.{after}"
    return f"Yes: start {begins}.{after}"


def _reasons(chosen: Assessed) -> str:
    return " or ".join(_BREAKS.get(word, word) for word in chosen.breaks)
