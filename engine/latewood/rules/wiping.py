"""How a coating is laid and wiped: once in a flood, or twice wet on wet. Windows and the rhythm of wiping share it."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import F, Q, RecordLookup
from latewood.messages import Clause, Temperature, Titled, clause, refusal
from latewood.problems import InputProblem
from latewood.provenance import Ledger, Sourced
from latewood.records import Coating, Species, WipingRegime
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

Span = tuple[float, float]
#: Temperatures that differ by less are the same (K).
_HAIR = 1e-6

#: What a data sheet says of wiping, for the rhythm and for the windows.
SheetRegime = Annotated[WipingRegime, F("How it is laid and wiped", example="one-flood-coat")]
SheetWipe = Annotated[
    Number, Q("min", "From laying on to wiping off", ge=1, le=240, example="15-20 min", uncertain=True)
]
SheetLongestWipe = Annotated[float, Q("min", "Longest time to wiping, in the cold", ge=1, le=480, example="30 min")]
SheetColdest = Annotated[float, Q("degC", "Lowest temperature of air and boards", ge=-20, le=40, example="10 degC")]
SheetHottest = Annotated[float, Q("degC", "Highest temperature of the boards", ge=0, le=90, example="35 degC")]
SheetSecondCoat = Annotated[
    Number, Q("min", "From the first coat to the second, wet on wet", ge=1, le=240, example="20-60 min", uncertain=True)
]
LaidOn = Annotated[Species, F("Wood species, which decides with the family how it is laid", example="ipe")]


def regime_of(
    coating: Coating, species: Species | None, asked: WipingRegime | None, ledger: Ledger, known: RecordLookup
) -> WipingRegime:
    """Return the data sheet's regime, else that of family and wood: never one that would be liked better."""
    if asked is not None:
        ledger.use(f"{asked.path}/chosen", _titled(asked), "product-sheet", note=clause("regime-of-data-sheet"))
        return asked
    twice = laid_twice(coating)
    wet = twice and _absorbs(species)
    regime: WipingRegime = known.record("wiping-regime", "wet-on-wet" if wet else "one-flood-coat")
    if wet:
        why = clause("laid-twice-on-softwood")
    elif twice and species is None:
        why = clause("laid-once-on-unknown-wood")
        ledger.find("species-not-given", pointer="/species", regime=Titled(regime))
    elif twice:
        why = clause("laid-once-on-dense-wood")
    else:
        why = clause("laid-once")
    ledger.use(f"{regime.path}/chosen", _titled(regime), "common-practice", note=why)
    return regime


def _titled(regime: WipingRegime) -> Clause:
    return clause("titled", record=Titled(regime))


def laid_twice(coating: Coating) -> bool:
    """Say whether a family knows a second coat on the wet first, on wood that takes it up."""
    return coating.dwell is not None and coating.dwell.second_coat is not None


def wipe_times(
    coating: Coating,
    regime: WipingRegime | None,
    ledger: Ledger,
    *,
    wipe: Number | None,
    longest: float | None,
) -> tuple[Span, float]:
    """Return when a coat is wiped at 23 °C and the longest that may take: as the sheet, the family or the regime says.

    The regime's times are for families that are usually laid otherwise; a coat of which nothing says it is refused.
    """
    of = coating.dwell
    if regime is not None and (of is None or regime.wet_on_wet != laid_twice(coating)):
        first, last = regime.wipe, regime.longest
    else:
        first, last = (None, None) if of is None else (of.wipe, of.longest)
    if wipe is None:
        if first is None:
            at, of_it = "/product/wipe", Titled(coating)
            if regime is None:
                raise InputProblem([refusal("wipe-time-unknown", at, coating=of_it)])
            laid = Titled(regime)
            raise InputProblem([refusal("wipe-time-unknown-of-regime", at, coating=of_it, regime=laid)])
        wipe = ledger.take(first)
    if longest is None:
        longest = 0.0 if last is None else spread.value(ledger.take(last))
    # A product that is wiped later than its family is wiped as late as it says.
    return (spread.low(wipe), spread.high(wipe)), max(longest, spread.high(wipe))


def usual_hottest(coating: Coating, stated: float | None) -> Sourced | None:
    """Return the family's limit for hot boards where a data sheet goes beyond it; None where it does not."""
    usual = None if coating.limits is None else coating.limits.hottest
    return usual if usual is not None and stated is not None and stated > usual.si + _HAIR else None


def note_raised(
    coating: Coating, usual: float, stated: float, wipe: Number | None, ledger: Ledger, *, wiped: bool = True
) -> None:
    """Name the limit of the family and the higher one of the data sheet.

    The time to wipe of the family does not hold above its own limit: without one of the sheet there is none.
    """
    text = "sheet-raises-hottest-and-wipe-unknown" if wipe is None else "sheet-raises-hottest-of-wiped"
    ledger.find(
        "sheet-raises-hottest",
        text=text if wiped else "sheet-raises-hottest",
        pointer="/product/hottest",
        stated=Temperature(stated),
        usual=Temperature(usual),
        coating=Titled(coating),
    )


def second_coat_times(
    coating: Coating, regime: WipingRegime | None, ledger: Ledger, *, stated: Number | None
) -> Span | None:
    """Return when a second coat goes on the wet first at 23 °C; None where there is no such coat."""
    if regime is None or not regime.wet_on_wet:
        return None
    if stated is None:
        if coating.dwell is None or coating.dwell.second_coat is None:
            fault = refusal("second-coat-time-unknown", "/product/second_coat", coating=Titled(coating))
            raise InputProblem([fault])
        stated = ledger.take(coating.dwell.second_coat)
    return spread.low(stated), spread.high(stated)


def _absorbs(species: Species | None) -> bool:
    return species is not None and species.group == "softwood" and species.absorbency != "low"
