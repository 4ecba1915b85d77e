"""What a coating family and the product's data sheet ask of the weather: limits, stages, dwell, and the models."""

from __future__ import annotations

from typing import Final

import msgspec

from latewood.calculators.cure_windows.fields import CureProduct
from latewood.calculators.cure_windows.resolved import Family, Span
from latewood.declare import RecordLookup
from latewood.messages import Code, Titled, refusal
from latewood.problems import InputProblem
from latewood.provenance import Ledger, Sourced
from latewood.records import Coating, Species
from latewood.records.curing import Limits, Stages
from latewood.rules.wiping import (
    laid_twice,
    note_raised,
    regime_of,
    second_coat_times,
    usual_hottest,
    wipe_times,
)
from latewood.uncertainty import spread

#: Limit of the family → field of the data sheet, where they are named differently.
_FIELDS: Final = {"humidity": "highest_humidity", "spread": "dew_point_spread", "wind": "highest_wind"}


def family_of(
    coating: Coating,
    product: CureProduct | None,
    ledger: Ledger,
    known: RecordLookup,
    *,
    species: Species | None = None,
) -> Family:
    """Return the family with what the data sheet says in its place; refuse one that says nothing of curing."""
    sheet = product or CureProduct()
    models = coating.models
    gone = [kind for kind in ("cure-clock", "gates") if kind not in models]
    if coating.bare:
        raise InputProblem([refusal("coating-is-none", "/coating", coating=Titled(coating))])
    if gone:
        without = [Code(kind) for kind in gone]
        raise InputProblem([refusal("coating-without-models", "/coating", coating=Titled(coating), models=without)])
    regime = None
    if "dwell" in models and (coating.dwell is not None or sheet.regime is not None):
        regime = regime_of(coating, species, sheet.regime, ledger, known)
    usual = regime is None or regime.wet_on_wet == laid_twice(coating)
    wipe: Span | None = None
    longest = 0.0
    if sheet.wipe is not None or regime is not None:
        wipe, longest = wipe_times(coating, regime, ledger, wipe=sheet.wipe, longest=sheet.longest_wipe)
    if wipe is not None and wipe[0] == wipe[1]:
        # A single figure, about an hour, is when wiping begins: it is not the very minute.
        wipe = wipe[0], longest
    limits = limits_of(coating.limits, ledger)
    stated = {limit: getattr(sheet, _FIELDS.get(limit, limit)) for limit in Limits.__struct_fields__}
    if usual_hottest(coating, sheet.hottest) is not None and sheet.hottest is not None:
        note_raised(coating, limits["hottest"], sheet.hottest, sheet.wipe, ledger, wiped=wipe is not None)
        if wipe is not None and sheet.wipe is None:
            stated["hottest"] = limits["hottest"]
    limits |= {limit: number for limit, number in stated.items() if number is not None}
    if "hottest" in limits and limits["hottest"] <= limits.get("coldest", 0.0):
        field = "hottest" if sheet.hottest is not None else "coldest"
        raise InputProblem([refusal("hottest-not-above-coldest", f"/product/{field}")])
    stages = _stages(coating, sheet, ledger)
    second_coat = second_coat_times(coating, regime, ledger, stated=sheet.second_coat)
    bare_open = sheet.bare_open
    if bare_open is None and coating.bare_open is not None:
        bare_open = spread.value(ledger.take(coating.bare_open))
    return Family(
        limits=limits,
        stages=stages,
        wipe=wipe,
        longest_wipe=longest,
        second_coat=second_coat,
        bare_open=bare_open,
        coats=None if usual or regime is None else 1 + regime.wet_on_wet,
        clock=known.model("cure-clock", models["cure-clock"]),
        gates=known.model("gates", models["gates"]),
        dwell=known.model("dwell", models["dwell"]) if wipe is not None and "dwell" in models else None,
    )


def limits_of(limits: Limits | None, ledger: Ledger) -> dict[str, float]:
    """Return the limits of a record by name, in SI, those that apply."""
    numbers = {} if limits is None else msgspec.structs.asdict(limits)
    return {name: spread.value(ledger.take(number)) for name, number in numbers.items() if number is not None}


def _stages(coating: Coating, sheet: CureProduct, ledger: Ledger) -> dict[str, Span]:
    """Return how long each stage takes; every one but the next coat must be known."""
    found: dict[str, Span] = {}
    faults = []
    for stage in Stages.__struct_fields__:
        field = "full_cure" if stage == "full" else stage
        given = getattr(sheet, field)
        number = None if coating.stages is None else getattr(coating.stages, stage)
        if given is not None:
            found[field] = (spread.low(given), spread.high(given))
        elif number is not None:
            found[field] = _span(number, ledger)
        elif stage != "next_coat":
            faults.append(refusal("stage-unknown", f"/product/{field}", coating=Titled(coating)))
    InputProblem.raise_any(faults)
    return found


def _span(number: Sourced, ledger: Ledger) -> Span:
    taken = ledger.take(number)
    return spread.low(taken), spread.high(taken)
