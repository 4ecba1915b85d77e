"""Findings and sentences of wipe-cadence."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.wipe_cadence.compute import Found
from latewood.calculators.wipe_cadence.compute.changes import bands_of
from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.run_plan import RunPlan
from latewood.calculators.wipe_cadence.fields import CadenceChange
from latewood.calculators.wipe_cadence.resolved import Resolved
from latewood.messages import Between, Clause, Count, Length, Name, Temperature, Time, Titled, clause
from latewood.provenance import Ledger

#: Wood wiped sooner than this short of its time is worth a word.
_EARLY = 0.25


def find(r: Resolved, setting: Setting, found: Found, ledger: Ledger) -> None:
    """Find what holds whatever the crew does, the deadline; whether the crew keeps up, and what to do if not."""
    wipe = setting.wipe
    ledger.find(
        "wipe-deadline",
        params={"wipe_after": round(wipe.due, 3), "wipe_by": round(wipe.by, 3)},
        temperature=Temperature(r.temperature),
        when=Between(Time(wipe.due), Time(wipe.by)),
    )
    _outcome(setting, found.plan, found.changes, ledger)


def find_beyond(r: Resolved, ledger: Ledger) -> Clause | None:
    """Find where boards are too warm or too cold for the finish, and return that as the answer; None where not."""
    if r.beyond is None:
        return None
    name, bound = r.beyond
    why = clause(
        "boards-too-warm" if name == "hottest" else "boards-too-cold",
        temperature=Temperature(r.temperature),
        coating=Titled(r.coating),
        limit=Temperature(bound),
    )
    id = "boards-beyond-hottest" if name == "hottest" else "boards-beyond-coldest"
    ledger.find(id, pointer="/surface_temperature", why=why)
    return clause("nothing-laid", why=why)


def _outcome(setting: Setting, found: RunPlan, others: Sequence[CadenceChange], ledger: Ledger) -> None:
    if found.verdict == "no":
        ledger.find("crew-cannot-keep-up", why=_refusal(found, setting), advice=_advice(others))
        return
    if found.verdict == "at-risk":
        ledger.find("slow-crew-is-late", first=_first_band(found), advice=_advice(others))
    least = found.least_dwell
    if least < (1 - _EARLY) * setting.wipe.due:
        ledger.find("field-wiped-early", params={"least_dwell": round(least, 3)}, dwell=Time(least))
    sure = (part.chosen for part in found.segments if 0 < part.chosen.most < part.chosen.typical_most)
    if found.verdict == "yes" and (chosen := next(sure, None)) is not None:
        ledger.find(
            "measure-the-first-band",
            bands=bands_of(chosen.most),
            typical=Count(chosen.typical_most),
            first=_first_band(found),
        )


def _first_band(found: RunPlan) -> Clause:
    """Return how long laying the first band may take; asked for only where there is one."""
    chosen = found.segments[0].chosen
    count = chosen.bands[0]
    laid = 0.0 if chosen.simulated is None else chosen.simulated.timings[count - 1].laid
    return clause("first-band-takes", courses=Count(count), laid=Time(laid))


def _refusal(found: RunPlan, setting: Setting) -> Clause:
    part = next(part for part in found.segments if part.chosen.verdict == "no")
    asked = setting.asked
    width = clause("of-single-course") if asked is None else clause("of-courses", courses=Count(asked))
    if part.chosen.limited_by == "reach":
        pitch = Length(part.segment.courses[0].pitch)
        return clause("bands-beyond-reach", width=width, reach=Length(setting.arm_reach), pitch=pitch)
    return clause("bands-late", run=Name(part.segment.run), width=width, by=Time(setting.wipe.by))


def _advice(others: Sequence[CadenceChange]) -> Clause:
    return others[0].text if others else clause("no-change-helps")


def sentence(r: Resolved, setting: Setting, result: Found) -> Clause:
    """Return the answer in a sentence or two."""
    found, wipe = result.plan, setting.wipe
    if found.verdict == "no":
        return clause("cadence-no", why=_refusal(found, setting), advice=_advice(result.changes))
    return clause(
        "crew-keeps-up" if found.verdict == "yes" else "crew-keeps-up-at-typical-pace",
        regime=Titled(r.regime),
        bands=bands_of(found.narrowest),
        when=Between(Time(wipe.due), Time(wipe.by)),
        duration=Time(found.duration),
    )
