"""How a coating is laid and wiped: once in a flood, or twice wet on wet. Windows and the rhythm of wiping share it."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import F, Q, RecordLookup
from latewood.provenance import Ledger
from latewood.records import Coating, Species, WipingRegime
from latewood.uncertainty.spread import Number

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


def regime_of(
    coating: Coating, species: Species | None, asked: WipingRegime | None, ledger: Ledger, known: RecordLookup
) -> WipingRegime:
    """Return the data sheet's regime, else that of family and wood: never one somebody would like better."""
    if asked is not None:
        ledger.use(f"{asked.path}/chosen", asked.title, "product-sheet", note="the data sheet says so")
        return asked
    twice = laid_twice(coating)
    wet = twice and _absorbs(species)
    regime: WipingRegime = known.record("wiping-regime", "wet-on-wet" if wet else "one-flood-coat")
    if wet:
        why = "a family with a second coat wet-on-wet, on softwood that takes it up"
    elif twice and species is None:
        why = "a second coat goes on absorbent softwood only; the wood is not known, so the shorter clock holds"
        message = (
            f"Without the species, {regime.title.lower()} was taken: the shorter clock. {why[0].upper()}{why[1:]}."
        )
        ledger.find("species-not-given", "warning", message, pointer="/species")
    elif twice:
        why = "dense or unabsorbent wood takes no second coat"
    else:
        why = "the family is laid once"
    ledger.use(f"{regime.path}/chosen", regime.title, "common-practice", note=why)
    return regime


def laid_twice(coating: Coating) -> bool:
    """Say whether a family knows a second coat on the wet first, on wood that takes it up."""
    return coating.dwell is not None and coating.dwell.second_coat is not None


def _absorbs(species: Species | None) -> bool:
    return species is not None and species.group == "softwood" and species.absorbency != "low"
