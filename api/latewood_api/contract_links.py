"""Links of the contract: what may be asked next with what an answer says. No calculator is named here."""

from __future__ import annotations

from typing import Any

from latewood.wire.options import CHOICES
from latewood_api.contract_parameters import Parameters
from latewood_api.contract_parts import Json, ref

_FIRST = "$response.body#/items/0/id"


def add_links(paths: Json, asked: Parameters) -> None:
    """Add the links from kinds to entries, from an entry to its calculation, and between the forms of a calculation."""
    kinds, kind, entry = (paths[f"/v1/catalogue{rest}"]["get"] for rest in ("", "/{kind}", "/{kind}/{id}"))
    _link(kinds, kind, "The entries of a kind.", kind=_FIRST)
    _link(kind, entry, "One of them, whole.", kind="$request.path.kind", id=_FIRST)
    for path, methods in paths.items():
        before, _, name = path.rpartition("/")
        if before != "/v1/calculate":
            continue
        send = methods["post"]
        row = paths[f"/v1/row/{name}"]["get"]
        cell = paths[f"/v1/cell/{name}/{{output}}"]["get"]
        _link(entry, send, f"The example of the entry calculators/{name}.", body="$response.body#/example")
        for answered in (send, row):
            _links(answered)[entry["operationId"]] = ref("links", "Calculator")
        _link(send, row, "The same, asked by query.", **_repeated(row, asked, "$request.body#/"))
        shown = next(p["example"] for p in cell["parameters"] if p.get("name") == "output")
        _link(row, cell, "One output of the same.", output=shown, **_repeated(row, asked, "$request.query."))


def links(paths: Json) -> Json:
    """Return the link that every answer of a calculator has."""
    entry = paths["/v1/catalogue/{kind}/{id}"]["get"]["operationId"]
    about = "What the calculator reads, answers and rests on."
    named = {"kind": "calculators", "id": "$response.body#/calculator"}
    return {"Calculator": {"operationId": entry, "description": about, "parameters": named}}


def _repeated(row: Json, asked: Parameters, source: str) -> dict[str, str]:
    """Return the fields of a row that are one value with one name; what lies in lists has no expression of its own."""
    fields = (p for p in map(asked.of, row["parameters"]) if p["schema"].get("type") != "array")
    return {p["name"]: f"{source}{p['name']}" for p in fields if "." not in p["name"] and p["name"] not in CHOICES}


def _link(source: Json, target: Json, description: str, *, body: str | None = None, **parameters: str) -> None:
    found: dict[str, Any] = {"operationId": target["operationId"], "description": description}
    if parameters:
        found["parameters"] = parameters
    if body is not None:
        found["requestBody"] = body
    _links(source)[target["operationId"]] = found


def _links(operation: Json) -> Json:
    held: Json = operation["responses"]["200"].setdefault("links", {})
    return held
