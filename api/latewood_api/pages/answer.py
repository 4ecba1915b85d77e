"""An answer as tables: what came out, what it rests on, what to be told, and what was wrong with a request."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Any

import msgspec

from latewood.catalogue import Catalogue
from latewood.problems import InputProblem
from latewood.wire import outputs
from latewood.wire.write import digits
from latewood_api import html
from latewood_api.answers import to_json


def answered(lw: Catalogue, given: dict[str, Any]) -> str:
    """Return the parts of an answer in the order a reader wants them."""
    answer = msgspec.json.decode(to_json(given))
    notes = [html.note(f["severity"], f["message"]) for f in answer["findings"]]
    notes += [html.note(c["severity"], " ".join([c["message"], *c.get("do", ())])) for c in answer["cautions"]]
    return "\n".join(
        [
            html.table(["Output", "Value", "Low (P10)", "High (P90)"], _outputs(answer["result"])),
            *notes,
            "<h3>Numbers it rests on</h3>",
            html.table(["Number", "As the source gives it", "Evidence", "Source"], _basis(lw, answer["basis"])),
        ]
    )


def refused(problem: InputProblem) -> str:
    """Return every fault with its place and what would be right."""
    rows = [
        (f"<code>{escape(f.pointer)}</code>", escape(f.detail), escape(f.nearest or f.expected or ""))
        for f in problem.faults
    ]
    return html.table(["Place", "What is wrong", "What would be right"], rows)


def _outputs(result: dict[str, Any]) -> Iterator[tuple[str, str, str, str]]:
    """Yield a row for each value, under the name a cell asks for it by."""
    for name, value in outputs.leaves(result):
        asked = f"<code>{escape(name)}</code>"
        if outputs.is_quantity(value):
            number, low, high = (escape(_number(value, key)) for key in ("value", "low", "high"))
            yield asked, number, low, high
        elif outputs.is_money(value):
            yield asked, escape(f"{value['amount']} {value['currency']}"), "", ""
        else:
            yield asked, escape(str(value)), "", ""


def _number(quantity: dict[str, Any], key: str) -> str:
    if key not in quantity:
        return ""
    return f"{digits(quantity[key])} {quantity['unit']}" if quantity[key] is not None else "not computed"


def _basis(lw: Catalogue, basis: list[dict[str, Any]]) -> Iterator[tuple[str, str, str, str]]:
    for used in basis:
        source = source_of(lw, used["source"], used.get("where", "")) if "source" in used else ""
        note = escape(used.get("note", ""))
        yield (
            f"<code>{escape(used['path'])}</code>",
            escape(used["given"]),
            escape(used["kind"]),
            "; ".join(part for part in (source, note) if part),
        )


def source_of(lw: Catalogue, id: str, where: str) -> str:
    """Return a source by its title, linked to its record, with the place in it."""
    known = lw.shelf.records("source")
    title = html.link(f"/docs/catalogue/source/{id}", known[id].title) if id in known else escape(id)
    return f"{title}, {escape(where)}" if where else title
