"""The volume to draw from the containers, where some never reaches the wood.

Two conventions are in use and give different volumes for the same figure: at 30 % the first draws 1.4286 times the
volume laid on, the second 1.30 times. A loss without its convention is not a number one can compute with.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number


@formula(
    symbols="V_d = V/(1 − L)",
    source="practical spreading rate = theoretical spreading rate × (1 − loss), as coating data sheets print it",
    where="convention of-applied: the loss is a share of what is drawn",
    holds="L below 1",
)
def drawn_with_loss_of_applied(
    laid_on: Annotated[Number, Symbol("V", "L")], loss: Annotated[Number, Symbol("L", "%")]
) -> Annotated[Number, Symbol("V_d", "L")]:
    """Divide what reaches the wood by the share that does: the volume drawn."""
    return laid_on / (1 - loss)


@formula(
    symbols="V_d = V·(1 + L)",
    source="practical consumption = theoretical consumption × (1 + loss), as estimators' tables print it",
    where="convention on-top: the loss is an addition to what is laid on",
    holds="L of 0 or more",
)
def drawn_with_loss_on_top(
    laid_on: Annotated[Number, Symbol("V", "L")], loss: Annotated[Number, Symbol("L", "%")]
) -> Annotated[Number, Symbol("V_d", "L")]:
    """Add to what reaches the wood a further share of it: the volume drawn."""
    return laid_on * (1 + loss)
