"""What a calculator is held against, as `latewood verify` finds it on this very server."""

from __future__ import annotations

from dataclasses import dataclass, field
from html import escape

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.verify import OUTSIDE, Outcome
from latewood_api import html
from latewood_api.pages.answer import source_of

#: Fewer groups held against something outside, and a calculator says that it is not validated.
ENOUGH = 5


@dataclass
class Group:
    """The cells of one table or example of a source."""

    first: Outcome
    cells: int = 0
    missed: list[str] = field(default_factory=list)


def groups(outcomes: list[Outcome], calculator: Calculator) -> list[Group]:
    """Return the groups of a calculator and of its formulas, in the order of the records."""
    wanted = {calculator.id, *(f"formula:{formula.id}" for formula in calculator.formulas)}
    found: dict[tuple[str, str, str], Group] = {}
    for outcome in outcomes:
        if outcome.calculator in wanted:
            key = (outcome.calculator, outcome.source, outcome.where)
            group = found.setdefault(key, Group(outcome))
            group.cells += 1
            if not outcome.passed:
                group.missed.append(outcome.id)
    return list(found.values())


def checks(lw: Catalogue, outcomes: list[Outcome], calculator: Calculator) -> str:
    """Return a table of the groups, and a sentence on what they amount to."""
    found = groups(outcomes, calculator)
    outside = [group for group in found if group.first.against in OUTSIDE and not group.missed]
    amount = f"{len(outside)} groups of values from outside this project, all met"
    verdict = amount if len(outside) >= ENOUGH else f"Not validated: {amount}; {ENOUGH} are wanted"
    missed = [html.note("missed", f"{name} is not met on this server.") for group in found for name in group.missed]
    rows = [
        (
            source_of(lw, group.first.source, group.first.where),
            escape(group.first.calculator),
            escape(group.first.against),
            f"{group.cells - len(group.missed)} of {group.cells}",
            escape(f"{group.first.tolerance}: {group.first.reason}"),
        )
        for group in found
    ]
    table = html.table(["Source", "Of", "Kind", "Met", "Tolerance and why"], rows)
    return "\n".join([html.text(f"{verdict}."), *missed, table])
