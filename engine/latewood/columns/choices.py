"""What may be said about a table beside its rows: its form, the columns to add, the columns to leave alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal, Self

from latewood.declare import F, meanings
from latewood.messages import Code, Count, refusal
from latewood.problems import Fault, InputProblem, suggestion
from latewood.wire.options import CHOICES, Options, System, given_twice, unknown_choice

DELIMITERS: Final[Mapping[str, str]] = {"comma": ",", "semicolon": ";", "tab": "\t"}
#: The options a table takes beside ``units`` and ``decimal``, each with its meaning.
DOCS: Final[Mapping[str, str]] = meanings(
    delimiter=F("What separates the cells. Found from the header where it is left out."),
    decimal=F(
        "Decimal mark of the table, in and out. Where it is left out it is a point beside commas; elsewhere it "
        "is found from the first rows, and refused where they could be read both ways."
    ),
    unit_row=F("Whether the first row under the header holds units. Found from that row where it is left out."),
    outputs=F("Names of the outputs to add, separated by commas; all that are single values where it is left out."),
    carry=F("Header of a column to carry through without reading it. Given once for each such column."),
)
_WORDS: Final[Mapping[str, tuple[str, ...]]] = {"delimiter": tuple(DELIMITERS), "unit_row": ("true", "false")}
_ONCE: Final = frozenset({"delimiter", "unit_row", "outputs"})
MAX_NAMES: Final = 1000


@dataclass(frozen=True, slots=True)
class Choices:
    """What was said about a table; None is for what is to be found out from the table itself."""

    system: System = "metric"
    decimal: Literal[".", ","] | None = None
    delimiter: str | None = None
    unit_row: bool | None = None
    outputs: tuple[str, ...] | None = None
    carry: frozenset[str] = frozenset()
    lang: str | None = None

    @classmethod
    def read(cls, pairs: Sequence[tuple[str, str]], languages: Sequence[str] = CHOICES["lang"]) -> Self:
        """Read the choices from name=value pairs; raise `InputProblem` with every fault in them."""
        faults: list[Fault] = []
        own = [pair for pair in pairs if _of_table(pair[0])]
        try:
            options, rest = Options.split([pair for pair in pairs if not _of_table(pair[0])], languages)
        except InputProblem as wrong:
            faults.extend(wrong.faults)
            options, rest = Options(), []
        known = ("units", "lang", *DOCS)
        for name, _ in rest:
            close = suggestion(name, known, faults)
            faults.append(refusal("no-such-parameter", f"/{name[:80]}", name=Code(repr(name[:80])), nearest=close))
        said = _own(own, faults)
        if faults:
            raise InputProblem(faults)
        stated = any(name == "decimal" for name, _ in pairs)
        return cls(
            system=options.system,
            lang=options.lang,
            decimal=options.decimal if stated else None,
            delimiter=DELIMITERS[said["delimiter"]] if "delimiter" in said else None,
            unit_row=said["unit_row"] == "true" if "unit_row" in said else None,
            outputs=tuple(said["outputs"].split(",")) if "outputs" in said else None,
            carry=frozenset(value for name, value in own if name == "carry"),
        )


def _of_table(name: str) -> bool:
    return name in DOCS and name not in CHOICES


def _own(pairs: Sequence[tuple[str, str]], faults: list[Fault]) -> dict[str, str]:
    said: dict[str, str] = {}
    for name, value in pairs:
        if name in said and name in _ONCE:
            faults.append(given_twice(name))
        elif name in _WORDS and value not in _WORDS[name]:
            faults.append(unknown_choice(name, value, _WORDS[name]))
        elif value.count(",") >= MAX_NAMES:
            faults.append(refusal("too-many-names", f"/{name}", most=Count(MAX_NAMES)))
        said[name] = value
    return said
