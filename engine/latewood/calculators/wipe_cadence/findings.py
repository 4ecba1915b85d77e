"""Findings and sentences of wipe-cadence."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.wipe_cadence.compute import Found
from latewood.calculators.wipe_cadence.compute.changes import bands_of
from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.run_plan import RunPlan
from latewood.calculators.wipe_cadence.fields import CadenceChange
from latewood.calculators.wipe_cadence.resolved import Resolved
from latewood.provenance import Ledger

#: Wood wiped sooner than this short of its time is worth a word.
_EARLY = 0.25


def find(r: Resolved, setting: Setting, found: Found, ledger: Ledger) -> None:
    """Find what holds whatever the crew does, the deadline; whether the crew keeps up, and what to do if not."""
    wipe, celsius = setting.wipe, r.temperature - 273.15
    ledger.find(
        "wipe-deadline",
        "note",
        f"On boards of {celsius:.0f} °C the excess comes off {wipe.due / 60:.3g} to {wipe.by / 60:.3g} min after the "
        "first stroke, by the fast clock. Early wiping costs a little colour, late wiping costs a strip.",
        wipe_after=round(wipe.due, 3),
        wipe_by=round(wipe.by, 3),
    )
    _outcome(setting, found.plan, found.changes, ledger)


def find_beyond(r: Resolved, ledger: Ledger) -> str:
    """Find where boards are too warm or too cold for the finish, and return that in a sentence; empty where not."""
    if r.beyond is None:
        return ""
    name, bound = r.beyond
    words, when = "too cold", "on a warmer day"
    if name == "hottest":
        words, when = "too warm", "in shade, early, or on a cooler day"
    message = (
        f"Boards of {r.temperature - 273.15:.1f} °C are {words} for {r.coating.title.lower()}: its limit is "
        f"{bound - 273.15:.0f} °C. Coat {when}."
    )
    ledger.find(f"boards-beyond-{name}", "stop", message, pointer="/surface_temperature")
    return message


def _outcome(setting: Setting, found: RunPlan, others: Sequence[CadenceChange], ledger: Ledger) -> None:
    if found.verdict == "no":
        ledger.find("crew-cannot-keep-up", "stop", f"{_refusal(found, setting)} {_advice(others)}".strip())
        return
    if found.verdict == "at-risk":
        message = (
            "At the typical pace no wood is wiped late; at the slow end of the paces some is, however narrow the bands "
            "are. "
            f"Measure the first band: {_measure(found)}. {_advice(others)}"
        )
        ledger.find("slow-crew-is-late", "warning", message.strip())
    least = found.least_dwell
    if least < (1 - _EARLY) * setting.wipe.due:
        message = (
            f"Where edges are cut in before the field, the clock of a course starts at its edge: some field is wiped "
            f"{least / 60:.0f} min after it is laid, which costs a little colour."
        )
        ledger.find("field-wiped-early", "note", message, least_dwell=round(least, 3))
    if found.verdict == "yes" and any(_fewer(part.chosen.most, part.chosen.typical_most) for part in found.segments):
        part = next(part for part in found.segments if _fewer(part.chosen.most, part.chosen.typical_most))
        message = (
            f"{bands_of(part.chosen.most).capitalize()} hold also for a slow crew; at the typical pace "
            f"{part.chosen.typical_most} would. Measure the first band: {_measure(found)}; "
            "then give your own paces."
        )
        ledger.find("measure-the-first-band", "note", message)


def _fewer(sure: int, typical: int) -> bool:
    return 0 < sure < typical


def _measure(found: RunPlan) -> str:
    """Say how long laying the first band may take."""
    part = found.segments[0]
    if part.chosen.simulated is None:
        return ""
    count = part.chosen.bands[0]
    typical = part.chosen.simulated.timings[count - 1].laid
    first = "one course takes" if count == 1 else f"{count} courses take"
    return f"{first} {typical / 60:.1f} min to lay at the typical pace"


def _refusal(found: RunPlan, setting: Setting) -> str:
    part = next(part for part in found.segments if part.chosen.verdict == "no")
    course = part.segment.courses[0]
    asked = setting.asked
    bands = "of a single course" if asked is None else f"of {asked} courses"
    if part.chosen.limited_by == "reach":
        return (
            f"Bands {bands} are wider than the {setting.arm_reach:.2f} m that somebody reaches across, "
            f"with boards every {course.pitch * 1000:.0f} mm."
        )
    return (
        f"On {part.segment.run} even bands {bands} are late at the typical pace: wood there must be wiped within "
        f"{setting.wipe.by / 60:.3g} min of its first stroke. No plan is given for that."
    )


def _advice(others: Sequence[CadenceChange]) -> str:
    if not others:
        return "Nothing that was tried helps enough: come with several people more, or lay shorter courses."
    return f"What helps most: {others[0].text}"


def sentence(r: Resolved, setting: Setting, result: Found) -> str:
    """Return the answer in a sentence or two."""
    found, wipe = result.plan, setting.wipe
    if found.verdict == "no":
        return f"No: {_refusal(found, setting)} {_advice(result.changes)}".strip()
    widths = bands_of(found.narrowest)
    keeps = "keeps up" if found.verdict == "yes" else "keeps up only at the typical pace"
    return (
        f"{r.regime.title}: {widths}, wiped {wipe.due / 60:.3g} min after the first stroke and by "
        f"{wipe.by / 60:.3g} min at the latest; the crew {keeps}, {found.duration / 3600:.1f} h in all."
    )
