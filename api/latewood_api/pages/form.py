"""A form to try a calculator: plain HTML, asked by GET, so that it works without script and its address can be kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.problems import Fault
from latewood.wire import Components, schema
from latewood.wire.options import CHOICES, DOCS
from latewood.wire.schema import FlatField
from latewood_api.pages.layout import fragment


@dataclass(frozen=True)
class Entry:
    """One field of the form."""

    name: str
    doc: str
    required: bool
    value: str
    example: str = ""
    date: bool = False
    known: str = ""
    choices: Sequence[str] = ()
    faults: Sequence[Fault] = ()

    @property
    def first(self) -> bool:
        """Whether it is shown before the rest is unfolded."""
        return self.required or bool(self.value) or bool(self.faults)


def form(lw: Catalogue, calculator: Calculator, given: Mapping[str, str], faults: Iterable[Fault] = ()) -> Markup:
    """Return the form with what was given in its fields, each fault at its field; what was left out is folded."""
    parts = Components()
    fields = list(schema.flat_fields(calculator, parts))
    wrong = list(faults)
    by_name = {f.name: _entry(f, parts, given, wrong) for f in fields}
    units = Entry("units", DOCS["units"], False, given.get("units", ""), choices=CHOICES["units"])
    kinds = sorted({entry.known for entry in by_name.values() if entry.known})
    flat = [entry for name, entry in by_name.items() if "." not in name]
    lists = [entry for name, entry in by_name.items() if "." in name]
    return fragment(
        "form",
        calculator=calculator,
        first=[entry for entry in flat if entry.first],
        rest=[units, *(entry for entry in flat if not entry.first)],
        lists=lists,
        opened=any(entry.faults for entry in lists),
        known={kind: lw.items(kind)["items"] for kind in kinds},
    )


def _entry(f: FlatField, parts: Components, given: Mapping[str, str], wrong: Sequence[Fault]) -> Entry:
    wanted = _followed(f.schema, parts)
    at = "/" + f.name.replace(".", "/")
    choices = ("true", "false") if wanted.get("type") == "boolean" else wanted.get("enum", ())
    return Entry(
        name=f.name,
        doc=f.doc,
        required=f.required,
        value=given.get(f.name, ""),
        example="" if f.example is None else str(f.example),
        date=wanted.get("format") == "date",
        known=str(wanted.get("x-catalogue", "")),
        choices=[str(word) for word in choices],
        faults=[fault for fault in wrong if fault.pointer == at or fault.pointer.startswith(f"{at}/")],
    )


def _followed(wanted: dict[str, Any], parts: Components) -> dict[str, Any]:
    """Return the schema itself; a list is entered as its first item."""
    if "$ref" in wanted:
        wanted = parts.found[wanted["$ref"].rpartition("/")[2]]
    return _followed(wanted["items"], parts) if wanted.get("type") == "array" else wanted
