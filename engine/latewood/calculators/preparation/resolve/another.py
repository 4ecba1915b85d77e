"""What another crew, or other heads, would change: the routes once more, on the floor as it was sanded."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import Any

from latewood.calculators.preparation.compute.comparison import Case, assessed, best_and_chosen, ruled_out
from latewood.calculators.preparation.compute.estimate import Estimator
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.resolve import ALONE, resolve
from latewood.calculators.preparation.resolve.heads import heads_before
from latewood.declare import RecordLookup
from latewood.messages import Count, clause
from latewood.provenance import HERE, Ledger
from latewood.running import replaced
from latewood.uncertainty.spread import Number


class Another:
    """Computes again at medians for those fields that neither sanding nor drying rests on."""

    def __init__(self, x: Inputs, known: RecordLookup, estimator: Estimator) -> None:
        self.x, self.known, self.ledger, self.grades = x, known, estimator.ledger.aside(), estimator.chosen

    def __call__(self, field: str, output: str, value: Any) -> Number | None:
        """Return an output with another value of a field."""
        chosen = self._here if value is HERE else self._with(replaced(self.x, field, value))
        if chosen is None:
            return None
        return chosen.estimate.elapsed if output == "ready-after" else chosen.estimate.work_time

    @cached_property
    def _estimator(self) -> Estimator:
        r = resolve(self.x, self.known, self.ledger)
        r = replace(r, works=tuple(work for work in r.works if not ruled_out(work, r)))
        return Estimator(r, self.ledger, self.grades)

    @cached_property
    def _here(self) -> Case | None:
        return self._with(self.x)

    def _with(self, x: Inputs) -> Case | None:
        estimator = self._estimator.with_crew(x.crew or ALONE)
        return best_and_chosen(estimator.r, cases_of(x, estimator, self.known))[1]


def cases_of(x: Inputs, estimator: Estimator, known: RecordLookup) -> list[Case]:
    """Return the routes one by one, with what is done to heads before each."""
    r, heads = estimator.r, heads_before(x, estimator, known)
    return [assessed(r, work, estimator.estimate(work, heads[work.route.id])) for work in r.works]


def assume_crew(x: Inputs, ledger: Ledger) -> None:
    """Write down that one person works where no crew is told."""
    if x.crew is None:
        people, why = clause("crew-of", people=Count(ALONE)), clause("two-halve-the-time")
        ledger.default("crew", people, others=(2 * ALONE,), output="ready-after", why=why)
