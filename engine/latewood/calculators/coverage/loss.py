"""How much must be drawn from the containers for what is laid on: loss, and thinner that comes from elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from latewood.calculators.coverage.face_groups import theoretical
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.rates import said
from latewood.declare import Formula, RecordLookup
from latewood.formulas.film import volume_before_thinning
from latewood.formulas.loss import drawn_with_loss_of_applied, drawn_with_loss_on_top
from latewood.provenance import Ledger, SIValue
from latewood.provenance.ledger import MATTERS
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Ways of putting on by hand, whose loss is in every rate that practice tabulates.
HAND: Final = frozenset({"brush", "roller", "pad"})

_CONVENTIONS: Final = {"of-applied": drawn_with_loss_of_applied, "on-top": drawn_with_loss_on_top}


@dataclass(frozen=True)
class Draw:
    """The loss settled: how a volume laid on becomes a volume ready to use, and that a volume of product."""

    loss: Number
    convention: Formula
    thinning: float

    def ready(self, laid_on: Number, ledger: Ledger | None = None, about: str = "") -> Number:
        """Return the volume ready to use, thinned or not, that must be drawn."""
        if not isinstance(self.loss, spread.Uncertain) and self.loss == 0:
            return laid_on
        return _run(self.convention, ledger, about, laid_on=laid_on, loss=self.loss)

    def product(self, laid_on: Number, ledger: Ledger | None = None, about: str = "") -> Number:
        """Return the volume that comes from the containers."""
        ready = self.ready(laid_on, ledger, about)
        if not self.thinning:
            return ready
        return _run(volume_before_thinning, ledger, about, mixture=ready, thinning=self.thinning)


def _run(formula: Formula, ledger: Ledger | None, about: str, **numbers: Number) -> Number:
    if ledger is not None:
        return ledger.step(formula, about, **numbers)
    result: Number = formula(**numbers)
    return result


def settle(x: Inputs, ledger: Ledger, known: RecordLookup) -> Draw:
    """Return the loss to count, by the convention asked for."""
    if x.coating.bare:
        return Draw(0.0, drawn_with_loss_of_applied, 0.0)
    loss = _loss(x, ledger, known)
    convention = x.loss_convention or "of-applied"
    median = spread.value(loss)
    if median > 0 and x.loss_convention is None:
        effect = abs((1 + median) * (1 - median) - 1)
        why = "a share of what is drawn, as data sheets count it; the other convention, on-top, draws less"
        ledger.default("loss_convention", convention, effect=effect, why=why)
    elif median > 0:
        ledger.use("input/loss_convention", convention, "input")
    thinning = (x.product.thinning if x.product is not None else None) or 0.0
    if thinning:
        note = "thinner is not drawn from the product's containers"
        ledger.use("input/product/thinning", said(thinning, "%", "fraction"), "product-sheet", note=note)
    return Draw(loss, _CONVENTIONS[convention], thinning)


def _loss(x: Inputs, ledger: Ledger, known: RecordLookup) -> Number:
    if x.loss is not None:
        low, high = (spread.low(x.loss), spread.high(x.loss)) if isinstance(x.loss, spread.Uncertain) else (None, None)
        si = SIValue(value=spread.value(x.loss), low=low, high=high, unit="1")
        ledger.use("input/loss", said(x.loss, "%", "fraction"), "input", si=si)
        return x.loss
    if not theoretical(x):
        if x.application is None or x.application.id in HAND:
            why = "the rate is one of practice: what brush, roller or pad loses is in it"
            ledger.default("loss", "0 %", effect=None, why=why)
            return 0.0
        return ledger.take(x.application.loss)
    if x.application is not None:
        return ledger.take(x.application.loss)
    methods = known.records("application")
    brush = methods["brush"].loss
    effect = max(abs((1 - brush.si) / (1 - method.loss.si) - 1) for method in methods.values())
    why = "the rate is computed from the film, so a loss comes on top; by hand it is the smallest"
    ledger.default("application", "brush", effect=effect if effect > MATTERS else None, why=why)
    return ledger.take(brush)
