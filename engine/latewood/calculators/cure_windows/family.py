"""What a coating family and the product's data sheet ask of the weather: limits, stages, dwell, and the models."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import msgspec

from latewood.calculators.cure_windows.fields import CureProduct
from latewood.declare import RecordLookup
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger, Sourced
from latewood.records import Coating, Species, WipingRegime
from latewood.records.curing import Limits
from latewood.rules.wiping import laid_twice, regime_of
from latewood.uncertainty import spread

#: Field of the data sheet → limit of the family.
_LIMITS: Final = {
    "coldest": "coldest",
    "hottest": "hottest",
    "highest_humidity": "humidity",
    "dew_point_spread": "spread",
    "highest_wind": "wind",
    "dry_before": "dry_before",
    "hold": "hold",
    "hold_coldest": "hold_coldest",
    "cool_for": "cool_for",
}
#: Field of the data sheet → stage of the family.
_STAGES: Final = {
    "rain_safe": "rain_safe",
    "next_coat": "next_coat",
    "walk": "walk",
    "furniture": "furniture",
    "covers": "covers",
    "full_cure": "full",
}
#: Stages a family must know, or its data sheet say.
_NEEDED: Final = ("rain_safe", "walk", "furniture", "covers", "full_cure")

Span = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Family:
    """A coating as the weather meets it. SI; a span is the shorter and the longer figure.

    ``coats`` is how many the regime lays where the family usually lays another number.
    """

    title: str
    limits: Mapping[str, float]
    stages: Mapping[str, Span]
    wipe: Span | None
    longest_wipe: float
    second_coat: Span | None
    bare_open: float | None
    coats: int | None
    clock: Callable[..., Any]
    gates: Callable[..., Any]
    dwell: Callable[..., Any] | None

    @property
    def coldest(self) -> float:
        """Temperature below which nothing cures; absolute zero where the family names none."""
        return self.limits.get("coldest", 0.0)


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
    missing = [kind for kind in ("cure-clock", "gates") if kind not in models]
    if coating.bare or missing:
        why = "it is no coat at all" if coating.bare else f"its record names no model of {' and '.join(missing)}"
        detail = f"nothing is known of how {coating.title} answers the weather: {why}"
        raise InputProblem([Fault(pointer="/coating", code="conflict", detail=detail, expected="another family")])
    regime = None
    if "dwell" in models and (coating.dwell is not None or sheet.regime is not None):
        regime = regime_of(coating, species, sheet.regime, ledger, known)
    usual = regime is None or regime.wet_on_wet == laid_twice(coating)
    wipe = _wipe(coating, sheet, regime, ledger)
    longest = _longest(coating, sheet, regime, wipe, ledger)
    if wipe is not None and wipe[0] == wipe[1]:
        # A single figure, about an hour, is when wiping begins: nobody means the very minute.
        wipe = wipe[0], longest
    limits = limits_of(coating.limits, ledger) | _given(sheet, _LIMITS)
    if "hottest" in limits and limits["hottest"] <= limits.get("coldest", 0.0):
        field = "hottest" if sheet.hottest is not None else "coldest"
        detail = "boards may not be as warm as they must be: hottest is no more than coldest"
        raise InputProblem([Fault(pointer=f"/product/{field}", code="conflict", detail=detail)])
    return Family(
        title=coating.title,
        limits=limits,
        stages=_stages(coating, sheet, ledger),
        wipe=wipe,
        longest_wipe=longest,
        second_coat=_second_coat(coating, sheet, regime, ledger),
        bare_open=_bare_open(coating, sheet, ledger),
        coats=None if usual or regime is None else 1 + regime.wet_on_wet,
        clock=known.model("cure-clock", models["cure-clock"]),
        gates=known.model("gates", models["gates"]),
        dwell=known.model("dwell", models["dwell"]) if wipe is not None and "dwell" in models else None,
    )


def limits_of(limits: Limits | None, ledger: Ledger) -> dict[str, float]:
    """Return the limits of a record by name, in SI, those that apply."""
    if limits is None:
        return {}
    numbers = {field.name: getattr(limits, field.name) for field in msgspec.structs.fields(Limits)}
    return {name: spread.value(ledger.take(number)) for name, number in numbers.items() if number is not None}


def _given(sheet: CureProduct, names: Mapping[str, str]) -> dict[str, float]:
    return {limit: getattr(sheet, field) for field, limit in names.items() if getattr(sheet, field) is not None}


def _stages(coating: Coating, sheet: CureProduct, ledger: Ledger) -> dict[str, Span]:
    found: dict[str, Span] = {}
    faults = []
    for field, stage in _STAGES.items():
        given = getattr(sheet, field)
        if given is not None:
            found[field] = (spread.low(given), spread.high(given))
            continue
        span = None if coating.stages is None else _span(getattr(coating.stages, stage), ledger)
        if span is not None:
            found[field] = span
        elif field in _NEEDED:
            detail = f"{coating.title} does not say how long this takes"
            faults.append(Fault(pointer=f"/product/{field}", code="missing", detail=detail, expected="a time, 12-15 h"))
    if faults:
        raise InputProblem(faults)
    return found


def _wipe(coating: Coating, sheet: CureProduct, regime: WipingRegime | None, ledger: Ledger) -> Span | None:
    """Return when it is wiped: as the sheet says, else as the family does, or the regime where it is not the usual."""
    if sheet.wipe is not None:
        return spread.low(sheet.wipe), spread.high(sheet.wipe)
    if regime is None:
        return None
    if coating.dwell is not None and regime.wet_on_wet == laid_twice(coating):
        return _span(coating.dwell.wipe, ledger)
    if regime.wipe is None:
        raise _unsaid("wipe", f"nothing says when {coating.title} is wiped that is laid {regime.title.lower()}")
    return _span(regime.wipe, ledger)


def _longest(
    coating: Coating, sheet: CureProduct, regime: WipingRegime | None, wipe: Span | None, ledger: Ledger
) -> float:
    if wipe is None:
        return 0.0
    if sheet.longest_wipe is not None:
        return max(sheet.longest_wipe, wipe[1])
    if regime is None or regime.wet_on_wet == laid_twice(coating):
        number = None if coating.dwell is None else coating.dwell.longest
    else:
        number = regime.longest
    # A product that is wiped later than its family is wiped as late as it says.
    return max(0.0 if number is None else spread.value(ledger.take(number)), wipe[1])


def _second_coat(coating: Coating, sheet: CureProduct, regime: WipingRegime | None, ledger: Ledger) -> Span | None:
    """Return when a second coat goes on the wet first; None where there is no such coat."""
    if regime is None or not regime.wet_on_wet:
        return None
    if sheet.second_coat is not None:
        return spread.low(sheet.second_coat), spread.high(sheet.second_coat)
    span = None if coating.dwell is None else _span(coating.dwell.second_coat, ledger)
    if span is None:
        raise _unsaid("second_coat", f"nothing says when the second coat of {coating.title} goes on the wet first")
    return span


def _unsaid(field: str, detail: str) -> InputProblem:
    return InputProblem([Fault(pointer=f"/product/{field}", code="missing", detail=detail, expected="a time in min")])


def _bare_open(coating: Coating, sheet: CureProduct, ledger: Ledger) -> float | None:
    if sheet.bare_open is not None:
        return sheet.bare_open
    return None if coating.bare_open is None else spread.value(ledger.take(coating.bare_open))


def _span(number: Sourced | None, ledger: Ledger) -> Span | None:
    if number is None:
        return None
    taken = ledger.take(number)
    return spread.low(taken), spread.high(taken)
