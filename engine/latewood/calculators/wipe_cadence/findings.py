"""Findings and sentences of wipe-cadence."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.wipe_cadence.defaults import Settled
from latewood.calculators.wipe_cadence.fields import CadenceChange
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.calculators.wipe_cadence.run_plan import RunPlan
from latewood.provenance import Ledger
from latewood.uncertainty import spread

#: What is lost in turning units, in K: a limit itself is not beyond it.
_HAIR = 1e-6
#: Wood wiped sooner than this short of its time is worth a word.
_EARLY = 0.25


def conditions(settled: Settled, ledger: Ledger) -> None:
    """Say what holds whatever the crew does: the deadline."""
    wipe, celsius = settled.setting.wipe, settled.temperature - 273.15
    ledger.find(
        "wipe-deadline",
        "note",
        f"On boards of {celsius:.0f} °C the excess comes off {wipe.due / 60:.3g} to {wipe.by / 60:.3g} min after the "
        "first stroke, by the fast clock. Early wiping costs a little colour, late wiping costs a strip.",
        wipe_after=round(wipe.due, 3),
        wipe_by=round(wipe.by, 3),
    )


def beyond(x: Inputs, settled: Settled, ledger: Ledger) -> str:
    """Say where boards are too warm or too cold for the finish, and return that in a sentence; empty where not.

    The limits are those the windows go by: the family's, or the data sheet's in their place.
    """
    celsius = settled.temperature - 273.15
    for name, wrong, words in (("hottest", 1, "too warm"), ("coldest", -1, "too cold")):
        bound = _limit(name, x, ledger)
        if bound is None or wrong * (settled.temperature - bound) <= _HAIR:
            continue
        when = "in shade, early, or on a cooler day" if wrong > 0 else "on a warmer day"
        message = (
            f"Boards of {celsius:.1f} °C are {words} for {x.coating.title.lower()}: its limit is "
            f"{bound - 273.15:.0f} °C. Coat {when}."
        )
        ledger.find(f"boards-beyond-{name}", "stop", message, pointer="/surface_temperature")
        return message
    return ""


def _limit(name: str, x: Inputs, ledger: Ledger) -> float | None:
    given: float | None = None if x.product is None else getattr(x.product, name)
    if given is not None:
        ledger.use(f"input/product/{name}", "as the data sheet says", "product-sheet")
        return given
    number = None if x.coating.limits is None else getattr(x.coating.limits, name)
    return None if number is None else spread.value(ledger.take(number))


def outcome(found: RunPlan, settled: Settled, others: Sequence[CadenceChange], ledger: Ledger) -> None:
    """Say whether the crew keeps up, and what to do if not."""
    if found.verdict == "no":
        ledger.find("crew-cannot-keep-up", "stop", f"{_refusal(found, settled)} {_advice(others)}".strip())
        return
    if found.verdict == "at-risk":
        message = (
            "At the typical pace no wood is wiped late; at the slow end of the paces some is, however narrow the bands "
            "are. "
            f"Measure the first band: {_measure(found, settled)}. {_advice(others)}"
        )
        ledger.find("slow-crew-is-late", "warning", message.strip())
    least = found.least_dwell
    if least < (1 - _EARLY) * settled.setting.wipe.due:
        message = (
            f"Where edges are cut in before the field, the clock of a course starts at its edge: some field is wiped "
            f"{least / 60:.0f} min after it is laid, which costs a little colour."
        )
        ledger.find("field-wiped-early", "note", message, least_dwell=round(least, 3))
    if found.verdict == "yes" and any(_fewer(leg.chosen.most, leg.chosen.typical_most) for leg in found.legs):
        leg = next(leg for leg in found.legs if _fewer(leg.chosen.most, leg.chosen.typical_most))
        message = (
            f"{bands_of(leg.chosen.most).capitalize()} hold also for a slow crew; at the typical pace "
            f"{leg.chosen.typical_most} would. Measure the first band: {_measure(found, settled)}; "
            "then give your own paces."
        )
        ledger.find("measure-the-first-band", "note", message)


def _fewer(sure: int, typical: int) -> bool:
    return 0 < sure < typical


def _measure(found: RunPlan, settled: Settled) -> str:
    """Say how long laying the first band may take."""
    leg = found.legs[0]
    if leg.chosen.played is None:
        return ""
    count = leg.chosen.bands[0]
    typical = leg.chosen.played.beats[count - 1].laid
    first = "one course takes" if count == 1 else f"{count} courses take"
    return f"{first} {typical / 60:.1f} min to lay at the typical pace"


def _refusal(found: RunPlan, settled: Settled) -> str:
    leg = next(leg for leg in found.legs if leg.chosen.verdict == "no")
    course = leg.stretch.courses[0]
    asked = settled.setting.asked
    bands = "of a single course" if asked is None else f"of {asked} courses"
    if leg.chosen.limited_by == "reach":
        return (
            f"Bands {bands} are wider than the {settled.setting.arm_reach:.2f} m that somebody reaches across, "
            f"with boards every {course.pitch * 1000:.0f} mm."
        )
    return (
        f"On {leg.stretch.run} even bands {bands} are late at the typical pace: wood there must be wiped within "
        f"{settled.setting.wipe.by / 60:.3g} min of its first stroke. No plan is given for that."
    )


def _advice(others: Sequence[CadenceChange]) -> str:
    if not others:
        return "Nothing that was tried helps enough: come with several people more, or lay shorter courses."
    return f"What helps most: {others[0].text}"


def bands_of(courses: int) -> str:
    """Return how wide bands are, in words."""
    return "bands of a single course" if courses == 1 else f"bands of up to {courses} courses"


def sentence(found: RunPlan, settled: Settled, others: Sequence[CadenceChange]) -> str:
    """Return the answer in a sentence or two."""
    if found.verdict == "no":
        return f"No: {_refusal(found, settled)} {_advice(others)}".strip()
    wipe = settled.setting.wipe
    widths = bands_of(found.narrowest)
    keeps = "keeps up" if found.verdict == "yes" else "keeps up only at the typical pace"
    return (
        f"{settled.regime.title}: {widths}, wiped {wipe.due / 60:.3g} min after the first stroke and by "
        f"{wipe.by / 60:.3g} min at the latest; the crew {keeps}, {found.duration / 3600:.1f} h in all."
    )
