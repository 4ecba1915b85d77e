"""Which faces, rates, loss and containers hold for a request, and what was assumed for want of an answer."""

from __future__ import annotations

from typing import Final

from latewood.calculators.coverage.fields import Product
from latewood.calculators.coverage.findings import advise
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolve.faces import faces_of
from latewood.calculators.coverage.resolve.purchase import CONFIDENCE, EVEN_CHANCE, offers_of
from latewood.calculators.coverage.resolve.rates import NO_SHEET, by_family, from_sheet, groups_of, quoted
from latewood.calculators.coverage.resolved import Resolved
from latewood.declare import Formula, RecordLookup
from latewood.formulas.loss import drawn_with_loss_of_applied, drawn_with_loss_on_top
from latewood.messages import Titled, clause
from latewood.provenance import Ledger, SIValue
from latewood.rules.work import drifts
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Ways of putting on by hand, whose loss is in every rate that practice tabulates.
HAND: Final = frozenset({"brush", "roller", "pad"})

_CONVENTIONS: Final = {"of-applied": drawn_with_loss_of_applied, "on-top": drawn_with_loss_on_top}


def resolve(x: Inputs, ledger: Ledger, known: RecordLookup) -> Resolved:
    """Return what the volumes and the purchase are computed with."""
    coating, product = x.coating, x.product or NO_SHEET
    faces = faces_of(x, ledger, known)
    coats = _coats(x, product, ledger)
    advise(x, faces, coats, ledger, spray=drifts(x.application, known))
    loss, convention = _loss(x, product, ledger, known)
    groups = groups_of(x, faces, coats, ledger, known)
    if groups and product.volume_solids is not None:
        from_sheet(ledger, "volume_solids", product.volume_solids, "%", clause("sheet-before-thinning"))
    offers, elsewhere = offers_of(x, ledger, known)
    model = coating.models.get("spreading") if by_family(product) else None
    return Resolved(
        faces=faces,
        groups=groups,
        coats=coats,
        film=coating.film,
        product=product,
        model=None if model is None else known.model("spreading", model),
        loss=loss,
        convention=convention,
        offers=offers,
        elsewhere=elsewhere,
        confidence=CONFIDENCE if x.confidence is None else x.confidence,
        other_confidence=EVEN_CHANCE if x.confidence is None and not coating.bare else None,
        on_hand=x.on_hand or 0.0,
    )


def _coats(x: Inputs, product: Product, ledger: Ledger) -> int:
    """Return the number of coats: none of a finish that is none, the caller's, the data sheet's, or the family's."""
    if x.coating.bare:
        ledger.take(x.coating.coats)
        return 0
    if x.coats is not None:
        return x.coats
    if product.coats is not None:
        ledger.use("input/product/coats", str(product.coats), "product-sheet")
        return product.coats
    count = round(spread.value(ledger.take(x.coating.coats)))
    if count and not x.coating.wiped:
        # One coat more or less is a likely choice, but for a finish that is wiped: there a second does not go in.
        others = [one for one in (count - 1, count + 1) if one]
        ledger.default("coats", str(count), others=others, why=clause("usual-coats", coating=Titled(x.coating)))
    return count


def _loss(x: Inputs, product: Product, ledger: Ledger, known: RecordLookup) -> tuple[Number, Formula]:
    """Return the loss to count, and the convention it is counted by."""
    convention = x.loss_convention or "of-applied"
    if x.coating.bare:
        return 0.0, _CONVENTIONS[convention]
    loss = _share_lost(x, product, ledger, known)
    median = spread.value(loss)
    if median > 0 and x.loss_convention is None:
        ledger.default("loss_convention", convention, others=("on-top",), why=clause("loss-of-applied"))
    elif median > 0:
        ledger.use("input/loss_convention", convention, "input")
    if product.thinning:
        note = clause("thinner-apart")
        ledger.use("input/product/thinning", quoted(product.thinning, "%"), "product-sheet", note=note)
    return loss, _CONVENTIONS[convention]


def _share_lost(x: Inputs, product: Product, ledger: Ledger, known: RecordLookup) -> Number:
    if x.loss is not None:
        ledger.use("input/loss", quoted(x.loss, "%"), "input", si=SIValue.of(x.loss, "1"))
        return x.loss
    by_film = product.spreading_rate is None and product.dry_film_thickness is not None
    if not by_film and (x.application is None or x.application.id in HAND):
        why = clause("loss-in-rate")
        ledger.default("loss", "0 %", why=why)
        return 0.0
    if x.application is not None:
        return ledger.take(x.application.loss)
    methods = known.records("application")
    brush = methods["brush"].loss
    ledger.default("application", "brush", others=tuple(methods.values()), why=clause("loss-by-hand"))
    return ledger.take(brush)
