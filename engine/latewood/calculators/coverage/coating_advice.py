"""What must be said of the coating chosen for these faces."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolved import ResolvedFace
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.rules.faces import WALKED
from latewood.rules.work import drifts


def advise(x: Inputs, faces: Sequence[ResolvedFace], coats: int, ledger: Ledger, known: RecordLookup) -> None:
    """State the facts that cautions go by, and find what is wrong with this coating here."""
    coating = x.coating
    for fact in ("binder", "film", "wiped"):
        ledger.fact(fact, getattr(coating, fact))
    if drifts(x.application, known) and not coating.bare:
        # What lies round the deck is not asked here.
        ledger.fact("spray", "unsaid")
    for advice in coating.advice:
        ledger.find(advice.id, advice.severity, advice.message, pointer="/coating")
    if coating.binder == "unknown":
        message = (
            "The coating is not known, so its waste counts as self-heating and no VOC limit can be looked up for it."
        )
        ledger.find("coating-unknown", "warning", message, pointer="/coating")
    _floor(x, faces, ledger)
    _coats(x, faces, coats, ledger)


def _floor(x: Inputs, faces: Sequence[ResolvedFace], ledger: Ledger) -> None:
    walked = sorted({f"{spot.zone}: {spot.part}" for spot in faces if spot.part in WALKED and spot.side is None})
    if x.coating.floors == "suitable" or not walked:
        return
    taken = " A bare area counts as floor." if x.area is not None else ""
    if x.coating.film:
        why = "a film on a walked floor wears through, peels and holds water under it (Wood Handbook ch. 16)"
        ledger.find(
            "film-on-floor",
            "warning",
            f"{x.coating.title} is advised against here: {why}.{taken}",
            pointer="/coating",
            faces=walked,
        )
    else:
        message = f"{x.coating.title} is advised against on surfaces that are walked on.{taken}"
        ledger.find("not-for-floors", "warning", message, pointer="/coating", faces=walked)


def _coats(x: Inputs, faces: Sequence[ResolvedFace], coats: int, ledger: Ledger) -> None:
    """Warn of coats that cannot be: on wood left bare, of a wiped clear oil, of any wiped finish on dense wood."""
    if x.coating.bare and x.coats is not None:
        message = f"{x.coating.title} takes no coat; coats = {x.coats} does not count here."
        ledger.find("coats-not-taken", "warning", message, pointer="/coats", coats=x.coats)
    if coats < 2 or not x.coating.wiped:
        return
    dense = any(spot.absorbency == "low" for spot in faces)
    if x.coating.pigment == "none" or dense:
        what = "clear oil" if x.coating.pigment == "none" else "dense wood"
        message = (
            f"One flood coat, wiped, is common practice for {what}; {coats} coats were counted. What does not soak in "
            "stays on top, turns sticky and goes black."
        )
        ledger.find("coats-on-wiped", "warning", message, pointer="/coats", coats=coats)
