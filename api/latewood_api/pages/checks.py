"""What a calculator is held against, as `latewood verify` finds it on this very server."""

from __future__ import annotations

from markupsafe import Markup

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.verify import ENOUGH, Group, Outcome, groups, targets
from latewood_api.pages.layout import fragment, source_of


def checks(lw: Catalogue, outcomes: list[Outcome], calculator: Calculator) -> Markup:
    """Return a sentence on what the groups amount to, and a table of them."""
    own = [outcome for outcome in outcomes if outcome.calculator in targets(calculator)]
    found = groups(own)
    independent = sum(group.independent for group in found)
    amount = f"{independent} groups of independent evidence about an answer, all met"
    return fragment(
        "checks",
        verdict=amount if independent >= ENOUGH else f"Not validated: {amount}; {ENOUGH} are wanted{_why(found)}",
        missed=[name for group in found for name in group.missed],
        groups=[(source_of(lw, group.first.source, group.first.where), group) for group in found],
        apart=[(source_of(lw, row.source, row.where), row) for row in own if row.disagrees],
    )


def _why(found: list[Group]) -> str:
    """Say what there is instead, as practice is mostly told without a name."""
    told = sum(group.against == "reported" and group.about_an_answer and not group.missed for group in found)
    return f". {told} more are only reported: without a name or a year, or retold" if told else ""
