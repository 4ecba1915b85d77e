"""What one calculation rests on, collected while it runs."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any, Final, ParamSpec, Protocol, TypeVar

import msgspec
import numpy as np

from latewood.messages import (
    Clause,
    Code,
    Measure,
    Message,
    Prose,
    Severity,
    Share,
    Style,
    Word,
    clause,
    in_english,
    shipped,
)
from latewood.messages.values import literal
from latewood.provenance import written
from latewood.provenance.effects import HERE, Again, change
from latewood.provenance.formula import Formula
from latewood.provenance.shown import Finding, Raised, Reasoned, Remarked, Shown, SIValue, Used
from latewood.provenance.sourced import Evidence, Sourced
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

P = ParamSpec("P")
T = TypeVar("T")

#: A default whose alternatives would move the answer by more than this is a finding (design §5).
MATTERS = 0.10

#: What goes before the name of a dotted field: which zone it is stands in the pointer.
_LISTED: Final = re.compile(r"(?:(?:zones|stairs|guards|extras|faces)\.\d+|fastening)\.")

#: A default that is a word of the engine, not a number, a size or a day.
_CHOICE: Final = re.compile(r"[a-z][a-z-]*")


def _assumed(given: str) -> Measure | Word | Code:
    """Return a default as it is written for people: a quantity in the units asked for, a word by its label."""
    if (measure := literal(given)) is not None:
        return measure
    return Word("choice", given) if _CHOICE.fullmatch(given) else Code(given)


class CautionRecord(Protocol):
    """What the ledger needs to know of a caution."""

    id: str
    when: Mapping[str, Any]

    def holds(self, facts: Mapping[str, Any]) -> bool:
        """Say whether the facts call for it."""
        ...

    def graver(self, facts: Mapping[str, Any]) -> bool:
        """Say whether the facts call for it and make it a danger."""
        ...

    def show(self, places: tuple[str, ...], *, graver: bool = False) -> Shown:
        """Return it as an answer carries it."""
        ...


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One line of working: a formula, the numbers put in, and what came out, all at their median."""

    formula: Formula
    numbers: dict[str, float]
    value: float
    about: str | Clause


class Ledger:
    """Collects what one calculation rests on: numbers, choices, findings, facts and, when asked, its working."""

    def __init__(
        self,
        calculator: str,
        *,
        working: bool = False,
        messages: Mapping[str, Message] | None = None,
        at_medians: bool = False,
    ) -> None:
        """Start one; ``messages`` are those of the engine and its plugins, the engine's own where they are left out."""
        self.calculator = calculator
        self._messages = shipped().messages if messages is None else messages
        self.steps: list[Step] | None = [] if working else None
        self._used: dict[str, Used] = {}
        self._raised: dict[tuple[str, str | None], Raised] = {}
        self._facts: dict[str, dict[str, Any]] = {"": {}}
        self._done: dict[Hashable, Any] = {}
        self._at_medians = at_medians
        #: How an output comes out with another value of a field; None where nothing can be computed again.
        self.again: Again | None = None

    def aside(self) -> Ledger:
        """Return one to compute with again at medians, beside this one; it writes no basis, and weighs no default."""
        return Ledger("aside", messages=self._messages, at_medians=True)

    @classmethod
    def scratch(cls) -> Ledger:
        """Return one to compute with beside an answer: what it collects is dropped."""
        return cls("aside")

    def take(self, number: Sourced) -> Number:
        """Return a record's number for computing and write it into the basis."""
        if self._at_medians:
            return number.si
        if number.path not in self._used:
            si = SIValue(value=number.si, low=number.low, high=number.high, unit=number.unit)
            told: dict[str, Any] = {
                "path": number.path,
                "given": number.given,
                "kind": number.evidence,
                "si": si,
                "source": number.source or None,
                "where": number.where or None,
                "note": number.note or None,
                "used_by": (self.calculator,),
            }
            self._used[number.path] = Remarked(**told, remarks=number.remarks) if number.remarks else Used(**told)
        return number.number

    def value(self, number: Sourced) -> float:
        """Return a record's number by its median, and write it into the basis."""
        return spread.value(self.take(number))

    def use(
        self, path: str, given: str | Clause, kind: Evidence, *, note: str | Clause = "", si: SIValue | None = None
    ) -> None:
        """Write into the basis something that no record holds: an input, a default, a rule that was chosen."""
        if self._at_medians or path in self._used:
            return
        clauses = {name: one for name, one in (("given", given), ("note", note)) if isinstance(one, Clause)}
        told = given if isinstance(given, str) else in_english(given)
        plain = None if isinstance(note, Clause) else note or None
        line: dict[str, Any] = {"path": path, "given": told, "kind": kind, "si": si, "note": plain}
        line["used_by"] = (self.calculator,)
        self._used[path] = Reasoned(**line, clauses=clauses) if clauses else Used(**line)

    def default(
        self,
        field: str,
        given: str | Clause,
        *,
        effect: float | None = None,
        others: Sequence[Any] = (),
        by: Callable[[Any], Number | None] | None = None,
        output: str = "",
        why: str | Clause,
    ) -> None:
        """Write a default into the basis; say so as a finding where an alternative moves the answer enough.

        ``others`` are the likely values that move it most, as the inputs hold them, and ``output`` is what they move:
        the calculator's first, if left out. It is computed again with each, by ``by`` where a part of the calculator
        does, which takes `HERE` for the value that was assumed. ``effect`` is the largest relative change where it is
        known already, or `UNWEIGHED`. ``given`` is the value as a request sends it, or a clause where none can.
        """
        path = f"input/{field.replace('.', '/')}"
        if self._at_medians or path in self._used:
            return
        self.use(path, given, "default", note=why)
        output = output or self.calculator
        again = by or (self.again and partial(self.again, field, output))
        if others and again:
            effect = change(again, HERE, others)
        if effect is None or effect <= MATTERS:
            return
        told = given if isinstance(given, str) else in_english(given)
        params: dict[str, Any] = {"assumed": told}
        values: dict[str, Any] = {}
        if math.isfinite(effect):
            params["effect"], values["effect"] = round(effect, 4), Share(effect)
        self.find(
            f"default-{field.replace('.', '-').replace('_', '-')}",
            text="assumed" if values else "assumed-unweighed",
            pointer=f"/{field.replace('.', '/')}",
            params=params,
            label=Word("field", _LISTED.sub("", field)),
            value=_assumed(given) if isinstance(given, str) else given,
            output=Word("output", output),
            field=Code(field),
            given=Code(told),
            why=[why if isinstance(why, Clause) else clause("as-said", words=Code(why))],
            **values,
        )

    def find(
        self,
        id: str,
        severity: Severity | None = None,
        *,
        pointer: str | None = None,
        params: Any = None,
        text: Any = None,
        foremost: bool = False,
        **values: Any,
    ) -> None:
        """Add a finding once for each place: an id of a ``messages.toml``, and the values its text shows.

        ``params`` are plain data for clients. ``text`` names another text than the id's own; ``severity`` is given
        where it depends on the case. The ``foremost`` stands before all others.
        """
        declared = self._messages.get(text or id)
        if declared is None or declared.severity is None:
            raise LookupError(f"there is no message {text or id!r}")
        self._raise(
            Raised(
                id=id,
                severity=severity or declared.severity,
                text=text or id,
                values=values,
                pointer=pointer,
                params=_plain(params or {}),
            ),
            foremost=foremost,
        )

    def advise(self, record: Any, field: str, advice: Any, *, pointer: str | None, **params: Any) -> None:
        """Add as a finding what a record advises; ``field`` is the list in the record that it stands in."""
        prose: Prose = record.prose(advice.message, field, advice.id, "message")
        self._raise(Raised(id=advice.id, severity=advice.severity, text=prose, pointer=pointer, params=_plain(params)))

    def _raise(self, raised: Raised, *, foremost: bool = False) -> None:
        key = raised.id, raised.pointer
        if foremost and key not in self._raised:
            self._raised = {key: raised, **self._raised}
        self._raised.setdefault(key, raised)

    def fact(self, name: str, value: Any, *, of: str = "") -> None:
        """State a fact that cautions are looked up by, of the whole job or of one component."""
        self._facts.setdefault(of, {})[name] = value

    def step(self, formula: Formula, about: str | Clause = "", **numbers: Number) -> Number:
        """Compute with a formula and, when working is asked for, write the step down."""
        result: Number = formula.function(**numbers)
        if self.steps is not None:
            at_median = {name: spread.central(number) for name, number in numbers.items()}
            self.steps.append(Step(formula=formula, numbers=at_median, value=spread.central(result), about=about))
        return result

    def once(self, key: Hashable, work: Callable[P, T], *given: P.args, **named: P.kwargs) -> T:
        """Return what work comes to that was done for this key before; done again where each step is written down.

        What it computes and takes depends on the key alone.
        """
        if self.steps is not None:
            return work(*given, **named)
        if key not in self._done:
            self._done[key] = work(*given, **named)
        done: T = self._done[key]
        return done

    @property
    def basis(self) -> list[Used]:
        """The numbers and choices used, in the order they were first taken."""
        return list(self._used.values())

    @property
    def raised(self) -> list[Raised]:
        """The findings, in the order they arose, as ids and values."""
        return list(self._raised.values())

    @property
    def findings(self) -> list[Finding]:
        """The findings as an answer in English and metric units carries them."""
        return written.findings(self.raised, shipped().speaker(Style()))

    def cautions(self, records: Iterable[CautionRecord]) -> list[Shown]:
        """Return the cautions the stated facts call for, each naming the components it is about.

        One that is a danger to some of them and a warning to others is shown as a danger.
        """
        whole = self._facts[""]
        every = {of: whole | facts for of, facts in self._facts.items() if of}
        stated = set[str]().union(*self._facts.values())
        shown = []
        for record in (one for one in records if one.when.keys() <= stated):
            parts = {of: facts for of, facts in every.items() if record.holds(facts)}
            everywhere = record.holds(whole)
            if everywhere or parts:
                graver = any(record.graver(facts) for facts in (whole, *parts.values()))
                shown.append(record.show(() if everywhere else tuple(parts), graver=graver))
        return shown


def _plain(params: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value.item() if isinstance(value, np.generic) else value for name, value in params.items()}
