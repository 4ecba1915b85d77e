"""Everything a running engine knows, gathered once at start: records, models and calculators of all plugins."""

from __future__ import annotations

import hashlib
import pkgutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from importlib import import_module
from importlib.metadata import EntryPoint
from types import MappingProxyType
from typing import Any, Self

import msgspec

from latewood import calculators as own
from latewood.calling import try_calculator, try_models
from latewood.declare import Calculator
from latewood.messages import BadText, Texts, shipped
from latewood.plugin.guard import guarded
from latewood.plugin.loader import BadPlugin, LoadedPlugin, Outcomes, Tell, bring_all, installed, untold
from latewood.plugin.references import check_references
from latewood.problems import same_name
from latewood.records import KINDS, Names, Pairing, Record
from latewood.wire import options
from latewood.wire.structs import component_name, struct_reader


def own_calculators() -> list[Calculator]:
    """Return the engine's calculators: one in each public module of `latewood.calculators`."""
    found = []
    for module in pkgutil.iter_modules(own.__path__):
        if not module.name.startswith("_"):
            values = vars(import_module(f"{own.__name__}.{module.name}")).values()
            found += [value for value in values if isinstance(value, Calculator)]
    return found


class Registry:
    """Records by kind and id, models by kind and name, calculators by id, and how each plugin fared."""

    def __init__(self) -> None:
        self.calculators: dict[str, Calculator] = {}
        self.plugins: list[LoadedPlugin] = []
        self._records: dict[str, dict[str, Record]] = {}
        self._models: dict[tuple[str, str], Any] = {}
        self._owner: dict[tuple[str, str], str] = {}
        #: Ids by what their records are called, by kind, once one was asked for.
        self._names: dict[str, dict[str, list[str]]] = {}
        self.texts = shipped()

    @classmethod
    def fill(
        cls,
        entries: Iterable[EntryPoint] | None = None,
        *,
        strict: bool = False,
        outcomes: Outcomes | None = None,
        tell: Tell = untold,
        brought: Callable[[Iterable[tuple[str, str]]], None] = lambda ids: None,
    ) -> Self:
        """Load every installed plugin; ``strict`` raises `BadPlugin` where one would be left out.

        What a plugin brings is called here, unless ``outcomes`` says how it fared elsewhere.
        """
        shelf = cls()
        shelf.calculators = {c.id: c for c in own_calculators()}
        for loaded in bring_all(installed() if entries is None else entries, outcomes, tell):
            if loaded.error is None:
                loaded.error = shelf._conflict_of(loaded)
            if loaded.error is None and not loaded.own:
                brought(loaded.ids())
                tried = None if outcomes is None else outcomes.get(loaded.name)
                loaded.error = shelf._failing(loaded, tell) if tried is None else tried.error
            if loaded.error is not None and strict:
                raise BadPlugin(f"plugin {loaded.name} ({loaded.distribution}): {loaded.error}")
            if loaded.error is None:
                shelf._take(loaded)
            shelf.plugins.append(loaded)
        return shelf

    def _conflict_of(self, loaded: LoadedPlugin) -> str | None:
        """Return why this plugin's goods cannot go on the shelf beside what is there, or None."""
        try:
            self._check_ids(loaded)
            self._check_references(loaded)
            self._check_pairings(loaded)
            for calculator in loaded.calculators:
                self._check_calculator(calculator)
            if loaded.texts and not loaded.own:
                self._copy()._take(loaded)
        except (BadPlugin, BadText) as error:
            return str(error)
        except Exception as error:  # a plugin's declarations may fail in any way, and none may reach the others
            return f"{type(error).__name__}: {error}"
        return None

    def _failing(self, loaded: LoadedPlugin, tell: Tell) -> str | None:
        """Call all it brings, on a shelf that holds it; return which part does not answer, and why, or None."""
        trial = self._copy()
        trial._take(loaded)
        try:
            try_models(loaded, tell)
            for calculator in loaded.calculators:
                try_calculator(loaded, calculator, trial, tell)
        except BadPlugin as error:
            return str(error)
        return None

    def _check_ids(self, loaded: LoadedPlugin) -> None:
        named = [(r.KIND, r.id) for r in loaded.records] + [("calculators", c.id) for c in loaded.calculators]
        named += [("model", f"{m.kind}/{m.name}") for m in loaded.models]
        if doubled := sorted({f"{kind}/{id}" for kind, id in named if named.count((kind, id)) > 1}):
            raise BadPlugin(f"it brings {', '.join(doubled)} twice")
        replaced = {(r.KIND, r.id) for r in loaded.records if r.replaces == f"{r.KIND}/{r.id}"}
        for key in set(named) - replaced:
            if key in self._owner or (key[0] == "calculators" and key[1] in self.calculators):
                owner = self._owner.get(key, "the engine")
                raise BadPlugin(
                    f"{key[0]}/{key[1]} is already provided by {owner}; to override it, say "
                    f'replaces = "{key[0]}/{key[1]}" in the record'
                )

    def _check_references(self, loaded: LoadedPlugin) -> None:
        gone = {record.path for record in loaded.records}
        kept = [record for records in self._records.values() for record in records.values() if record.path not in gone]
        check_references(loaded.records, kept, {*self._models, *((m.kind, m.name) for m in loaded.models)})

    def _check_pairings(self, loaded: LoadedPlugin) -> None:
        """See to it that one record alone speaks of a coating on a species; else the order of loading would decide."""
        own = [record for record in loaded.records if isinstance(record, Pairing)]
        kept = [record for record in self.records("pairing").values() if record.id not in {r.id for r in own}]
        speaks: dict[tuple[str, str], str] = {record.pair: record.id for record in kept}
        for record in own:
            if record.pair in speaks:
                pair = " on ".join(record.pair)
                raise BadPlugin(f"pairing/{record.id}: pairing/{speaks[record.pair]} speaks of {pair} already")
            speaks[record.pair] = record.id

    def _check_calculator(self, calculator: Calculator) -> None:
        reader = struct_reader(calculator.inputs)
        if reserved := sorted(options.RESERVED & set(reader.entries)):
            raise BadPlugin(f"calculator {calculator.id}: {', '.join(reserved)} are names of options")
        names = {component_name(c.inputs) for c in self.calculators.values()}
        if component_name(calculator.inputs) in names:
            raise BadPlugin(f"calculator {calculator.id}: its inputs share a schema name with another calculator")

    def _copy(self) -> Self:
        copy = type(self)()
        copy.calculators = dict(self.calculators)
        copy._records = {kind: dict(records) for kind, records in self._records.items()}
        copy._models = dict(self._models)
        copy._owner = dict(self._owner)
        copy.texts = self.texts
        return copy

    def _take(self, loaded: LoadedPlugin) -> None:
        for record in loaded.records:
            self._records.setdefault(record.KIND, {})[record.id] = record
        self._names.clear()
        if loaded.texts:
            self.texts = Texts([*self.texts.bundles, *(bundle.held(self.find) for bundle in loaded.texts)])
        for model in loaded.models:
            self._models[model.kind, model.name] = model if loaded.own else guarded(model, loaded.name)
        for calculator in loaded.calculators:
            self.calculators[calculator.id] = replace(calculator, plugin=loaded.name)
        self._owner |= dict.fromkeys(loaded.ids(), loaded.name)

    def records(self, kind: str) -> Mapping[str, Any]:
        """Return all records of a kind by id."""
        return MappingProxyType(self._records.get(kind, {}))

    def record(self, kind: str, id: str) -> Any:
        """Return a record that is certain to exist."""
        return self._records[kind][id]

    def model(self, kind: str, name: str) -> Any:
        """Return the function of a named model."""
        return self._models[kind, name].function

    def models(self) -> Mapping[tuple[str, str], Any]:
        """Return all models by kind and name."""
        return MappingProxyType(self._models)

    def kinds(self) -> Sequence[str]:
        """Return every kind of record, also those of which the shelf holds none."""
        return sorted({*KINDS, *self._records})

    def owner(self, kind: str, id: str) -> str:
        """Return the plugin that brought this."""
        return self._owner.get((kind, id), "latewood")

    def find(self, kind: str, id: str) -> Any | None:
        """Return the record, or None."""
        return self._records.get(kind, {}).get(id)

    def ids(self, kind: str) -> Iterable[str]:
        """Return the ids of a kind."""
        return self._records.get(kind, {}).keys()

    def candidates(self, kind: str, name: str) -> list[str]:
        """Return what an ambiguous name may mean; those without a record here are marked so."""
        known, named = self.records(kind), self._named(kind, name)
        if kind == "species" and (shared := self.ambiguous(name)) is not None:
            listed = [c.id if c.id in known else f"{c.id} (not on this shelf)" for c in shared.candidates]
            return [*listed, *(id for id in named if id not in listed)]
        wanted = same_name(name)
        loose = [r.id for r in known.values() if wanted in map(same_name, r.loose_names)]
        return loose or (named if len(named) > 1 else [])

    def ambiguous(self, name: str) -> Names | None:
        """Return the record of a name that several woods share, however it is written."""
        wanted = same_name(name)
        return next((one for one in self.records("names").values() if same_name(one.id) == wanted), None)

    def meant(self, kind: str, name: str) -> str | None:
        """Return the id of the one record that goes by this name, however it is written."""
        named = self._named(kind, name)
        return named[0] if len(named) == 1 else None

    def _named(self, kind: str, name: str) -> list[str]:
        """Return the ids of all records that go by this name."""
        if kind not in self._names:
            self._names[kind] = {}
            for record in self.records(kind).values():
                for key in {same_name(spoken) for spoken in record.spoken}:
                    self._names[kind].setdefault(key, []).append(record.id)
        wanted = same_name(name)
        return self._names[kind].get(wanted, []) if wanted else []

    def missing_because(self, kind: str, id: str) -> str | None:
        """Name the left-out plugin that would have brought this id, or may have."""
        broken = [plugin for plugin in self.plugins if plugin.error]
        sure = [plugin for plugin in broken if (kind, id) in plugin.ids()]
        if sure:
            return f"plugin {sure[0].name} would bring it but was left out ({sure[0].error})"
        unasked = [plugin.name for plugin in broken if not plugin.ids()]
        return f"plugins left out at start: {', '.join(unasked)}" if unasked else None

    def digest(self) -> str:
        """Return a digest of every record, so that an answer says what it was computed from."""
        content = {kind: {id: r.raw for id, r in sorted(rs.items())} for kind, rs in sorted(self._records.items())}
        return "sha256:" + hashlib.sha256(msgspec.json.encode(content, order="sorted")).hexdigest()
