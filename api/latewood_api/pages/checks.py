"""What a calculator is held against, as `latewood verify` finds it on this very server."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.verify import ENOUGH, Group, Outcome, groups, targets
from latewood_api import html
from latewood_api.pages.answer import source_of


def checks(lw: Catalogue, outcomes: list[Outcome], calculator: Calculator) -> str:
    """Return a table of the groups, and a sentence on what they amount to."""
    own = [outcome for outcome in outcomes if outcome.calculator in targets(calculator)]
    found = groups(own)
    independent = sum(group.independent for group in found)
    amount = f"{independent} groups of independent evidence about an answer, all met"
    verdict = amount if independent >= ENOUGH else f"Not validated: {amount}; {ENOUGH} are wanted{_why(found)}"
    missed = [html.note("missed", f"{name} is not met on this server.") for group in found for name in group.missed]
    rows = [
        (
            source_of(lw, group.first.source, group.first.where),
            escape(group.calculator),
            escape(group.against),
            f"{group.cells - len(group.missed)} of {group.cells}",
            escape(f"{group.first.tolerance}: {group.first.reason}"),
        )
        for group in found
    ]
    table = html.table(["Source", "Of", "Kind", "Met", "Tolerance and why"], rows)
    return "\n".join([html.text(f"{verdict}."), *missed, table, *_disagreements(lw, own)])


def _why(found: list[Group]) -> str:
    """Say what there is instead, as practice is mostly told without a name."""
    told = sum(group.against == "reported" and group.about_an_answer and not group.missed for group in found)
    return f". {told} more are only reported: without a name or a year, or retold" if told else ""


def _disagreements(lw: Catalogue, own: list[Outcome]) -> Iterator[str]:
    rows = [
        (
            source_of(lw, row.source, row.where),
            escape(row.expected),
            escape(f"{row.computed} {row.unit}".rstrip()),
            escape(row.miss),
            escape(row.disagrees),
        )
        for row in own
        if row.disagrees
    ]
    if rows:
        yield html.text("Here a source and this calculator differ by more than the source's rounding allows.")
        yield html.table(["Source", "It has", "Computed", "Difference", "Why it stays so"], rows)
