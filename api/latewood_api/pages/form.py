"""A form to try a calculator: plain HTML, asked by GET, so that it works without script and its address can be kept."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.wire import Components, schema
from latewood.wire.options import CHOICES, DOCS
from latewood.wire.schema import FlatField


def form(lw: Catalogue, calculator: Calculator, given: Mapping[str, str]) -> str:
    """Return the form with what was given in its fields. What belongs to lists and tables is folded away."""
    parts = Components()
    fields = list(schema.flat_fields(calculator, parts))
    open_part = "\n".join(_field(f, parts, given) for f in fields if "." not in f.name)
    folded = "\n".join(_field(f, parts, given) for f in fields if "." in f.name)
    shown = " open" if any("." in name for name in given) else ""
    inside = f'<summary>Lists and tables</summary><div class="more">{folded}</div>'
    more = f"<details{shown}>{inside}</details>" if folded else ""
    return (
        f'<form action="/docs/{escape(calculator.id)}#answer" method="get">{open_part}\n'
        f"{_choice('units', DOCS['units'], CHOICES['units'], given)}\n{more}\n"
        f"<button>Calculate</button></form>\n{_known(lw, fields, parts)}"
    )


def _field(f: FlatField, parts: Components, given: Mapping[str, str]) -> str:
    wanted = _followed(f.schema, parts)
    if wanted.get("type") == "boolean":
        return _choice(f.name, f.doc, ("true", "false"), given)
    if "enum" in wanted:
        return _choice(f.name, f.doc, [str(word) for word in wanted["enum"]], given, required=f.required)
    like = f' placeholder="{escape(str(f.example))}"' if f.example is not None else ""
    known = f' list="known-{escape(wanted["x-catalogue"])}"' if "x-catalogue" in wanted else ""
    kind = "date" if wanted.get("format") == "date" else "text"
    value = f' value="{escape(given[f.name])}"' if f.name in given else ""
    name = escape(f.name)
    must = " required" if f.required else ""
    entry = f'<input type="{kind}" id="f-{name}" name="{name}" autocomplete="off"{like}{known}{value}{must}>'
    return _row(f.name, f.doc, entry)


def _choice(name: str, doc: str, words: Any, given: Mapping[str, str], *, required: bool = False) -> str:
    chosen = given.get(name)
    options = "".join(
        f"<option{' selected' if word == chosen else ''}>{escape(word)}</option>" for word in ("", *words)
    )
    must = " required" if required else ""
    return _row(name, doc, f'<select id="f-{escape(name)}" name="{escape(name)}"{must}>{options}</select>')


def _row(name: str, doc: str, entry: str) -> str:
    label = f'<label for="f-{escape(name)}"><code>{escape(name)}</code></label>'
    return f"{label}<div>{entry}<small>{escape(doc)}</small></div>"


def _followed(wanted: dict[str, Any], parts: Components) -> dict[str, Any]:
    """Return the schema itself; a list is entered as its first item."""
    if "$ref" in wanted:
        wanted = parts.found[wanted["$ref"].rpartition("/")[2]]
    return _followed(wanted["items"], parts) if wanted.get("type") == "array" else wanted


def _known(lw: Catalogue, fields: list[FlatField], parts: Components) -> str:
    """Return the ids there are of each kind a field asks for, for the browser to offer."""
    kinds = {str(kind) for f in fields if (kind := _followed(f.schema, parts).get("x-catalogue"))}

    def offered(kind: str) -> str:
        entries = lw.items(kind)["items"]
        return "".join(f'<option value="{escape(entry["id"])}">{escape(entry["title"])}</option>' for entry in entries)

    return "\n".join(f'<datalist id="known-{escape(kind)}">{offered(kind)}</datalist>' for kind in sorted(kinds))
