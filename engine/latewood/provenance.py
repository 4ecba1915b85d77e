"""Where each number came from, carried from the record that holds it to the answer that used it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from functools import cached_property
from typing import Any, Literal, Protocol, get_args

import msgspec
import numpy as np

from latewood import spread
from latewood.formula import Formula
from latewood.spread import Number, Uncertain

Evidence = Literal[
    "published",
    "derived",
    "common-practice",
    "judgement",
    "recalled",
    "product-sheet",
    "firm",
    "reported",
    "input",
    "default",
]
#: A danger can injure people or destroy the house; at a stop the engine refuses to plan.
Severity = Literal["note", "warning", "danger", "stop"]
Danger = Literal["caution", "warning", "danger"]

#: A default whose alternatives would move the answer by more than this is a finding (design §5).
MATTERS = 0.10


class Sourced(msgspec.Struct, frozen=True, kw_only=True, dict=True):
    """A number in SI, the words its source gives it in, and the place it was taken from.

    ``low`` and ``high`` are P10 and P90. ``unknown`` is the path whose draw it shares: its own, unless a record
    says the number moves with another.
    """

    path: str
    given: str
    si: float
    low: float | None = None
    high: float | None = None
    unit: str
    evidence: Evidence
    source: str
    where: str = ""
    note: str = ""
    unknown: str = ""
    symmetric: bool = False
    starts: date | None = None

    @cached_property
    def number(self) -> Number:
        """The float, or the uncertain quantity, a formula may compute with."""
        if self.low is None or self.high is None:
            return self.si
        make = spread.normal if self.symmetric else spread.lognormal
        return make(self.unknown or self.path, self.low, self.si, self.high)


class SIValue(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A number as it was computed with, in SI."""

    value: float
    unit: str
    low: float | None = None
    high: float | None = None


class Used(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One line of an answer's basis: a number or a choice it rests on, and where that came from."""

    path: str
    given: str
    kind: Evidence
    si: SIValue | None = None
    source: str | None = None
    where: str | None = None
    note: str | None = None
    used_by: tuple[str, ...] = ()


class Finding(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Something the reader of an answer must know about it."""

    id: str
    severity: Severity
    message: str
    pointer: str | None = None
    params: dict[str, Any] = {}
    step: str | None = None


class Shown(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A caution as an answer carries it."""

    id: str
    severity: Danger
    message: str
    do: tuple[str, ...]
    source: str
    applies_to: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()


class CautionRecord(Protocol):
    """What the ledger needs to know of a caution."""

    id: str

    def holds(self, facts: Mapping[str, Any]) -> bool:
        """Say whether the facts call for it."""
        ...

    def graver(self, facts: Mapping[str, Any]) -> bool:
        """Say whether the facts call for it and make it a danger."""
        ...

    def show(self, applies_to: tuple[str, ...], *, graver: bool = False) -> Shown:
        """Return it as an answer carries it."""
        ...


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One line of working: a formula, the numbers put in, and what came out, all at their median."""

    formula: Formula
    numbers: dict[str, float]
    value: float
    about: str


class Ledger:
    """Collects what one calculation rests on: numbers, choices, findings, facts and, when asked, its working."""

    def __init__(self, calculator: str, *, working: bool = False) -> None:
        self.calculator = calculator
        self.steps: list[Step] | None = [] if working else None
        self._used: dict[str, Used] = {}
        self._findings: dict[tuple[str, str | None], Finding] = {}
        self._facts: dict[str, dict[str, Any]] = {"": {}}

    def take(self, number: Sourced) -> Number:
        """Return a record's number for computing and write it into the basis."""
        if number.path not in self._used:
            si = SIValue(value=number.si, low=number.low, high=number.high, unit=number.unit)
            self._used[number.path] = Used(
                path=number.path,
                given=number.given,
                kind=number.evidence,
                si=si,
                source=number.source or None,
                where=number.where or None,
                note=number.note or None,
                used_by=(self.calculator,),
            )
        return number.number

    def use(self, path: str, given: str, kind: Evidence, *, note: str = "", si: SIValue | None = None) -> None:
        """Write into the basis something that no record holds: an input, a default, a rule that was chosen."""
        self._used.setdefault(
            path, Used(path=path, given=given, kind=kind, si=si, note=note or None, used_by=(self.calculator,))
        )

    def default(self, field: str, given: str, *, effect: float | None, why: str) -> None:
        """Write a default into the basis; say so as a finding where an alternative moves the answer enough.

        ``effect`` is the largest relative change of the answer that another likely choice would bring.
        """
        self.use(f"input/{field.replace('.', '/')}", given, "default", note=why)
        if effect is not None and effect > MATTERS:
            self.find(
                f"default-{field.replace('.', '-').replace('_', '-')}",
                "note",
                f"{field} was not given; {given} was assumed ({why}). Another choice would change the answer "
                f"by up to {effect:.0%}.",
                pointer=f"/{field.replace('.', '/')}",
                assumed=given,
                effect=round(effect, 4),
            )

    def find(self, id: str, severity: Severity, message: str, *, pointer: str | None = None, **params: Any) -> None:
        """Add a finding once for each place."""
        plain = {name: value.item() if isinstance(value, np.generic) else value for name, value in params.items()}
        finding = Finding(id=id, severity=severity, message=message, pointer=pointer, params=plain)
        self._findings.setdefault((id, pointer), finding)

    def fact(self, name: str, value: Any, *, of: str = "") -> None:
        """State a fact that cautions are looked up by, of the whole job or of one component."""
        self._facts.setdefault(of, {})[name] = value

    def step(self, formula: Formula, about: str = "", **numbers: Number) -> Number:
        """Compute with a formula and, when working is asked for, write the step down."""
        result: Number = formula(**numbers)
        if self.steps is not None:
            at_median = {name: spread.central(number) for name, number in numbers.items()}
            self.steps.append(Step(formula=formula, numbers=at_median, value=spread.central(result), about=about))
        return result

    @property
    def basis(self) -> list[Used]:
        """The numbers and choices used, in the order they were first taken."""
        return list(self._used.values())

    @property
    def findings(self) -> list[Finding]:
        """The findings, in the order they arose."""
        return list(self._findings.values())

    def cautions(self, records: Iterable[CautionRecord]) -> list[Shown]:
        """Return the cautions the stated facts call for, each naming the components it is about.

        One that is a danger to some of them and a warning to others is shown as a danger.
        """
        whole = self._facts[""]
        shown = []
        for record in records:
            parts = {of: whole | facts for of, facts in self._facts.items() if of and record.holds(whole | facts)}
            everywhere = record.holds(whole)
            if everywhere or parts:
                graver = any(record.graver(facts) for facts in (whole, *parts.values()))
                shown.append(record.show(() if everywhere else tuple(parts), graver=graver))
        return shown


#: Dangers from the least to the worst.
_WORSE: tuple[Danger, ...] = get_args(Danger)


def merge_cautions(cautions: Iterable[Shown]) -> list[Shown]:
    """Join the cautions of several steps: each once, as its worst, naming every component and step that calls for it.

    One that names no component is of the whole job, and stays so whatever components other steps name.
    """
    merged: dict[str, Shown] = {}
    for caution in cautions:
        have = merged.get(caution.id, caution)
        partly = have.applies_to and caution.applies_to
        merged[caution.id] = msgspec.structs.replace(
            have,
            severity=max(have.severity, caution.severity, key=_WORSE.index),
            applies_to=tuple(dict.fromkeys((*have.applies_to, *caution.applies_to))) if partly else (),
            steps=tuple(dict.fromkeys((*have.steps, *caution.steps))),
        )
    return sorted(merged.values(), key=lambda one: -_WORSE.index(one.severity))


def merge_basis(ledgers: Iterable[Iterable[Used]]) -> list[Used]:
    """Join the bases of several steps: each number once, naming all that used it."""
    merged: dict[str, Used] = {}
    for used in (line for ledger in ledgers for line in ledger):
        have = merged.get(used.path)
        users = used.used_by if have is None else (*have.used_by, *(u for u in used.used_by if u not in have.used_by))
        merged[used.path] = msgspec.structs.replace(have or used, used_by=users)
    return list(merged.values())


__all__ = [
    "CautionRecord",
    "Danger",
    "Evidence",
    "Finding",
    "Ledger",
    "Number",
    "SIValue",
    "Severity",
    "Shown",
    "Sourced",
    "Step",
    "Uncertain",
    "Used",
    "merge_basis",
    "merge_cautions",
]
