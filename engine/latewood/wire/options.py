"""The options every route takes: they change how an answer looks, never a number in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal, Self

from latewood.declare import F, meanings
from latewood.messages import Code, Count, Style, malformed, refusal
from latewood.messages.sources import own
from latewood.problems import Fault, InputProblem, Malformed, nearest, suggestion

System = Literal["metric", "us"]

#: option → the words it takes; ``_`` is a cache-buster that is accepted and ignored.
CHOICES: Final[Mapping[str, tuple[str, ...]]] = {
    "units": ("metric", "us"),
    "working": ("true", "false"),
    "decimal": (".", ","),
    #: The engine's own; a plugin may bring more.
    "lang": tuple(manner.id for manner in own().manners),
    "on_error": ("status", "text"),
}
#: Those a call in Python takes by name beside its fields.
OF_PYTHON: Final = ("units", "working", "decimal", "lang")
#: No field may have the name of an option, nor one of those kept for options to come.
RESERVED: Final = frozenset({*CHOICES, "_", "digits", "book"})
DOCS: Final[Mapping[str, str]] = meanings(
    units=F("Units of the answer."),
    working=F("Add the worked steps to the answer."),
    decimal=F("Decimal mark of quantities in the request and of text answers."),
    lang=F(
        "Language of the texts of the answer. Where it is left out: the one that Accept-Language prefers, "
        "else English in the spelling of the units' country."
    ),
    on_error=F("With text, a cell answers faults with status 200 and one line of text."),
)


def unknown_choice(name: str, value: str, words: Sequence[str]) -> Fault:
    """Return the fault of an option's word that is none of those it takes."""
    return refusal(
        "unknown-choice",
        f"/{name}",
        given=Code(repr(value[:40])),
        words=[Code(word) for word in words],
        nearest=nearest(value, words),
    )


def no_such_field(at: str, name: str, known: Iterable[str], faults: Sequence[Fault], *, top: bool) -> Fault:
    """Return the fault of a name that is no field; at the top of a request an option may have been meant."""
    shown = Code(repr(name[:80]))
    if name in CHOICES:
        return refusal("option-as-field", at, name=shown)
    close = suggestion(name, (*known, *CHOICES) if top else known, faults)
    return refusal("no-such-field", at, name=shown, nearest=close)


def unknown_parameters(names: Iterable[str], known: Sequence[str]) -> list[Fault]:
    """Return a fault for each name that is none of those known here."""
    faults: list[Fault] = []
    for name in names:
        if name not in known:
            close = suggestion(name, known, faults)
            faults.append(refusal("unknown-parameter", f"/{name[:80]}", name=Code(repr(name[:80])), nearest=close))
    return faults


def given_twice(name: str) -> Fault:
    """Return the fault of a parameter that has one value and was given more."""
    return refusal("given-twice", f"/{name}")


def query_not_utf8() -> Malformed:
    """Return what to raise for a query whose bytes are no text."""
    return malformed("query-not-utf8")


def no_such_width(given: str, least: int, most: int) -> Fault:
    """Return the fault of a width that no page has."""
    return refusal("no-such-width", "/width", given=Code(repr(given[:40])), least=Count(least), most=Count(most))


def not_searched(text: str, most: int) -> Fault | None:
    """Return the fault of a text that nothing is searched for, or None."""
    if len(text) > most:
        return refusal("text-too-long", "/search", length=Count(len(text)), most=Count(most))
    return None if text else refusal("nothing-to-search", "/search")


@dataclass(frozen=True, slots=True)
class Options:
    """How an answer is to be written."""

    units: System | None = None
    working: bool = False
    decimal: Literal[".", ","] = "."
    lang: str | None = None
    on_error: Literal["status", "text"] = "status"

    @property
    def style(self) -> Style:
        """How texts are written."""
        return Style.of(self.lang, self.system, self.decimal)

    @property
    def system(self) -> System:
        """The unit system asked for; metric where none was asked."""
        return self.units or "metric"

    def or_units(self, units: System | None) -> Self:
        """Return these options with a job's own default for units, which a query overrules."""
        return self if self.units or units is None else replace(self, units=units)

    def or_lang(self, lang: str | None) -> Self:
        """Return these options with the language that a header or a job prefers, which a query overrules."""
        return self if self.lang or lang is None else replace(self, lang=lang)

    @classmethod
    def split(
        cls, pairs: Sequence[tuple[str, str]], languages: Sequence[str] = CHOICES["lang"]
    ) -> tuple[Self, list[tuple[str, str]]]:
        """Take the options out of a query; raise `InputProblem` for an option given twice or wrongly."""
        choices = {**CHOICES, "lang": languages}
        chosen: dict[str, Any] = {}
        rest: list[tuple[str, str]] = []
        faults: list[Fault] = []
        for name, value in pairs:
            if name == "_":
                continue
            if name not in choices:
                rest.append((name, value))
            elif name in chosen:
                faults.append(given_twice(name))
            elif value not in choices[name]:
                faults.append(unknown_choice(name, value, choices[name]))
            else:
                chosen[name] = value == "true" if name == "working" else value
        if faults:
            raise InputProblem(faults)
        return cls(**chosen), rest
