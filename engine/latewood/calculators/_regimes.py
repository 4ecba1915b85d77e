"""How a coating is laid and wiped: once in a flood, or twice wet on wet. Windows and the rhythm of wiping share it."""

from __future__ import annotations

from latewood.declare import Known
from latewood.provenance import Ledger
from latewood.records import Coating, Species, WipingRegime


def regime_of(
    coating: Coating, species: Species | None, asked: WipingRegime | None, ledger: Ledger, known: Known
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
