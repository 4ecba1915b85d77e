"""The catalogue as data: lists of what an engine knows, and each entry whole."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterable
from importlib import import_module
from typing import Any

import msgspec

from latewood import formulas
from latewood.declare import Calculator, Formula
from latewood.plugin.loader import LoadedPlugin
from latewood.problems import fold, nearest
from latewood.provenance import Sourced
from latewood.quantities import units
from latewood.records import Names, Record, Source
from latewood.records.fields import Meaning
from latewood.registry import Registry
from latewood.wire import Components, flat, outputs, schema, struct_reader
from latewood.wire.options import System


def formulas_of(shelf: Registry) -> dict[str, Formula]:
    """Return every formula by id: the engine's own topics and those plugins' calculators name."""
    found: dict[str, Formula] = {}
    for module in pkgutil.iter_modules(formulas.__path__):
        values = vars(import_module(f"{formulas.__name__}.{module.name}")).values()
        found |= {value.id: value for value in values if isinstance(value, Formula)}
    for calculator in shelf.calculators.values():
        found |= {formula.id: formula for formula in calculator.formulas}
    return found


def list_items(shelf: Registry, kind: str, *, whole: bool = False) -> dict[str, Any]:
    """Return ``{"items": [{"id", "title", "summary"}], "count"}`` of a kind, in order of id."""
    items: list[dict[str, Any]]
    match kind:
        case "calculators":
            items = [_entry(c.id, c.title, _first(c.question)) for c in shelf.calculators.values()]
        case "formulas":
            items = [_formula(f, whole=whole) for f in formulas_of(shelf).values()]
        case "models":
            items = [
                _entry(f"{k}-{n}", m.title or n, f"a {k} model") | ({"source": m.source} if whole else {})
                for (k, n), m in shelf.models().items()
            ]
        case "messages":
            items = [_entry(one["id"], one["text"], _sort(one)) | one for one in shelf.texts.listed()]
        case "plugins":
            items = [_plugin(p, whole=whole) for p in shelf.plugins]
        case _:
            items = [_entry(r.id, r.title, r.summary) for r in shelf.records(kind).values()]
    items.sort(key=lambda entry: str(entry["id"]))
    return {"items": items, "count": len(items)}


def _sort(text: dict[str, Any]) -> str:
    """Return what kind of text it is."""
    return "a refusal" if "code" in text else "a finding" if "severity" in text else "part of a sentence"


def search_items(shelf: Registry, kind: str, text: str) -> dict[str, Any]:
    """Return the entries of a kind that go by a name like this, the best first, each with the name that matched.

    Case, accents and hyphens do not count; every word must be found, whole or in part. A name that several woods share
    is no answer: ``ambiguous`` lists what it may mean, and those on the shelf come first. Where nothing matches,
    ``nearest`` names an entry that is spelt much like it.
    """
    listed = {entry["id"]: entry for entry in list_items(shelf, kind)["items"]}
    records = shelf.records(kind)
    names = {id: records[id].spoken if id in records else (id, e["title"]) for id, e in listed.items()}
    shared = shelf.ambiguous(text) if kind == "species" else None
    may_mean = {wood.id: shared.title for wood in shared.candidates if wood.id in names} if shared else {}
    matched = {id: match for id, spoken in names.items() if (match := _match(spoken, fold(text))) is not None}
    best = sorted(matched.keys() - may_mean.keys(), key=lambda id: (matched[id][0], id))
    found = [listed[id] | {"matched": may_mean.get(id) or matched[id][1]} for id in (*may_mean, *best)]
    answer: dict[str, Any] = {"items": found, "count": len(found)}
    if shared:
        answer["ambiguous"] = _entry(shared.id, shared.title, shared.summary) | {"candidates": _woods(shared, shelf)}
    folded = {fold(name): id for id, spoken in names.items() for name in spoken}
    if not found and (close := nearest(fold(text), folded)) is not None:
        answer["nearest"] = folded[close]
    return answer


def _woods(shared: Names, shelf: Registry) -> list[dict[str, Any]]:
    """Return what a shared name may mean, each with whether there is a record of it."""
    held = shelf.records("species")
    return [msgspec.to_builtins(wood) | {"on_shelf": wood.id in held} for wood in shared.candidates]


def _match(spoken: Iterable[str], wanted: str) -> tuple[int, str] | None:
    """Return how well the best of an entry's names matches, the least number best, and that name."""
    best = None
    for name in spoken if wanted else ():
        have = fold(name)
        if not all(word in have for word in wanted.split()):
            continue
        rank = 0 if have == wanted else 1 if have.startswith(wanted) else 2 if f" {wanted}" in have else 3
        if best is None or rank < best[0]:
            best = rank, name
    return best


def _entry(id: str, title: str, summary: str) -> dict[str, Any]:
    return {"id": id, "title": title, "summary": summary}


def _first(text: str) -> str:
    return text.strip().split("\n")[0]


def _formula(formula: Formula, *, whole: bool) -> dict[str, Any]:
    entry = _entry(formula.id, formula.words, formula.symbols)
    if whole:
        entry |= {"source": formula.source, "where": formula.where, "holds": formula.holds}
        entry["arguments"] = [{"name": n, "symbol": s.symbol, "unit": s.unit} for n, s in formula.arguments.items()]
        entry["result"] = {"symbol": formula.result.symbol, "unit": formula.result.unit}
    return entry


def _plugin(plugin: LoadedPlugin, *, whole: bool) -> dict[str, Any]:
    brings: dict[str, list[Any]] = {
        "records": plugin.records,
        "models": plugin.models,
        "calculators": plugin.calculators,
    }
    left_out = f"left out: {plugin.error}" if plugin.error else ""
    state = left_out or ", ".join(f"{len(those)} {what}" for what, those in brings.items() if those or not plugin.own)
    entry = _entry(plugin.name, plugin.distribution, state)
    if whole:
        entry |= {"distribution": plugin.distribution, "version": plugin.version}
        if plugin.error:
            entry["error"] = plugin.error
    return entry


def record_item(shelf: Registry, kind: str, id: str, system: System) -> dict[str, Any]:
    """Return a record as its file says it, its numbers as they are computed with, and the sources they are from."""
    record: Record = shelf.record(kind, id)
    item = _entry(record.id, record.title, record.summary)
    item |= {"record": kind, "plugin": shelf.owner(kind, id), "content": record.raw}
    item["numbers"] = [_number(number, record.meanings[path], system) for path, number in record.numbers.items()]
    item["sources"] = [_source(shelf.record("source", source)) for source in sorted(_sources(record))]
    if isinstance(record, Names):
        item["candidates"] = _woods(record, shelf)
    if kind == "source":
        everything = (other for kind in shelf.kinds() for other in shelf.records(kind).values())
        item["used_by"] = sorted(other.path for other in everything if id in _sources(other))
    return item


def _number(number: Sourced, meaning: Meaning, system: System) -> dict[str, Any]:
    shown: dict[str, Any] = {"path": number.path, "title": meaning.doc, "given": number.given}
    ends = {"value": number.si, "low": number.low, "high": number.high}
    unit = meaning.unit
    if unit is None:
        shown |= {name: end for name, end in ends.items() if end is not None}
    else:
        unit = unit if system == "metric" else units.us_of(unit, meaning.dimension)
        shown |= {name: units.show(end, unit, meaning.dimension) for name, end in ends.items() if end is not None}
        shown["unit"] = unit
    shown |= {"kind": number.evidence, "source": number.source}
    shown |= {name: text for name in ("where", "note") if (text := getattr(number, name))}
    if number.starts is not None:
        shown["starts"] = number.starts.isoformat()
    return shown


def _sources(record: Record) -> set[str]:
    return {named.id for named in record.references if named.kind == "source"}


def _source(source: Source) -> dict[str, Any]:
    told = {name: getattr(source, name) for name in ("publisher", "by", "year", "url", "where", "read", "note")}
    return _entry(source.id, source.title, source.summary) | {name: text for name, text in told.items() if text}


def calculator_item(calculator: Calculator) -> dict[str, Any]:
    """Return what a calculator takes and answers."""
    parts = Components()
    required = {f.name: f for f in schema.flat_fields(calculator, parts)}
    inputs = [
        {"name": name, "title": reader.doc, "required": required[name].required}
        | ({"example": str(required[name].example)} if required[name].example is not None else {})
        for name, reader, _ in flat.names(struct_reader(calculator.inputs))
    ]
    return _entry(calculator.id, calculator.title, _first(calculator.question)) | {
        "plugin": calculator.plugin,
        "since": calculator.since,
        "inputs": inputs,
        "outputs": list(outputs.declared(calculator.result)),
        "formulas": [formula.id for formula in calculator.formulas],
        "example": dict(calculator.example),
    }
