"""Loading plugins one by one: a broken one is left out whole and named, and never takes another with it.

Faults of pluggy that touch us:

- one broken entry point stops all (154) -> own loader, one plugin at a time. Tests:
  `plugins/test_loader::test_a_broken_plugin_is_left_out_whole_and_named`
- a misspelt hook is silent -> checked for after each. Tests:
  `plugins/test_loader::test_a_broken_plugin_is_left_out_whole_and_named`
- a hook that raises loses the others' answers -> asked one by one, at start only. Tests:
  `plugins/test_left_out::test_answers_are_the_same_as_without_it`
- of two plugins of one name one is skipped in silence -> each is asked by itself; an id there is already leaves the
  later one out, named. Tests: `plugins/test_loader::test_a_broken_plugin_is_left_out_whole_and_named`
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from importlib.metadata import EntryPoint, entry_points
from types import ModuleType
from typing import Any, Final

import msgspec
import pluggy

from latewood import blame
from latewood.declare import Calculator
from latewood.messages import Bundle
from latewood.plugin import hooks
from latewood.plugin.models import Model
from latewood.records import BadRecord, Record

#: Name and module of the engine's own plugin.
OWN: Final = (blame.OWN, "latewood_plugins")


class BadPlugin(ValueError):
    """A plugin that cannot be used, and why."""


class Outcome(msgspec.Struct, frozen=True):
    """How a plugin fared in a process of its own: why it cannot be used, if it cannot, and what it would bring.

    One that is not ``safe`` to ask again ended that process, or did not end itself.
    """

    name: str
    error: str | None = None
    safe: bool = True
    ids: tuple[tuple[str, str], ...] = ()


Outcomes = Mapping[str, Outcome]
#: Told the plugin, and what of it is called next.
Tell = Callable[[str, str], None]


def untold(name: str, part: str) -> None:
    """Tell nobody."""


@dataclass
class LoadedPlugin:
    """What one plugin brings, or why it was left out."""

    name: str
    distribution: str
    version: str
    records: list[Record] = field(default_factory=list)
    models: list[Model] = field(default_factory=list)
    calculators: list[Calculator] = field(default_factory=list)
    texts: list[Bundle] = field(default_factory=list)
    error: str | None = None
    #: What it would bring, where it could not be asked here.
    unasked: frozenset[tuple[str, str]] = frozenset()

    @property
    def own(self) -> bool:
        """Whether it is the engine's own, which tests hold instead of each start."""
        return self.name == OWN[0]

    def ids(self) -> set[tuple[str, str]]:
        """Return kind and id of all it brings."""
        return set(self.unasked) | (
            {(r.KIND, r.id) for r in self.records}
            | {("model", f"{m.kind}/{m.name}") for m in self.models}
            | {("calculators", c.id) for c in self.calculators}
        )


def installed() -> list[EntryPoint]:
    """Return the installed plugins, the engine's own first, then by name."""
    return sorted(entry_points(group=hooks.GROUP), key=lambda e: (e.name != OWN[0], e.name))


def bring_all(
    entries: Iterable[EntryPoint], outcomes: Outcomes | None = None, tell: Tell = untold
) -> Iterator[LoadedPlugin]:
    """Ask the plugins one by one, except those that are not safe to ask.

    A name that several of them go by is refused once, for all of them.
    No reader could tell them apart in an answer, and which of them came first would depend on the folder they stand in.
    The engine's own name stays its own.
    """
    named: dict[str, list[EntryPoint]] = {}
    for entry in entries:
        named.setdefault(entry.name, []).append(entry)
    for name, sharing in named.items():
        own = [entry for entry in sharing if (name, entry.value) == OWN]
        others = [entry for entry in sharing if entry not in own]
        yield from (bring(entry, tell) for entry in own)
        if name == OWN[0]:
            yield from (_nameless(entry) for entry in others)
        elif len(others) == 1:
            outcome = (outcomes or {}).get(name)
            yield bring(others[0], tell) if outcome is None or outcome.safe else _unsafe(others[0], outcome)
        else:
            yield _shared(name, others)


def _unsafe(entry: EntryPoint, outcome: Outcome) -> LoadedPlugin:
    return LoadedPlugin(entry.name, *_origin(entry), error=outcome.error, unasked=frozenset(outcome.ids))


def _nameless(entry: EntryPoint) -> LoadedPlugin:
    distribution, version = _origin(entry)
    error = f"its entry point is named {entry.name}, which is the engine's own; it needs a name of its own"
    return LoadedPlugin(f"{entry.name}-{distribution}", distribution, version, error=error)


def _shared(name: str, entries: Sequence[EntryPoint]) -> LoadedPlugin:
    origins = sorted(_origin(entry) for entry in entries)
    distributions = " and ".join(distribution for distribution, _ in origins)
    error = f"{distributions} both have an entry point of this name; each plugin needs a name of its own"
    return LoadedPlugin(name, distributions, " and ".join(version for _, version in origins), error=error)


def _origin(entry: EntryPoint) -> tuple[str, str]:
    return (entry.dist.name, entry.dist.version) if entry.dist else ("unknown", "unknown")


def bring(entry: EntryPoint, tell: Tell = untold) -> LoadedPlugin:
    """Ask one plugin what it brings; whatever goes wrong becomes its ``error``."""
    loaded = LoadedPlugin(entry.name, *_origin(entry))
    try:
        tell(entry.name, "its import")
        module = entry.load()
        caller = _caller(module, entry.name)

        def ask(hook: str, kind: type) -> list[Any]:
            tell(entry.name, f"its hook {hook}")
            return _ask(caller, hook, kind)

        loaded.records = ask("latewood_records", Record)
        loaded.models = ask("latewood_models", Model)
        loaded.calculators = ask("latewood_calculators", Calculator)
        loaded.texts = ask("latewood_texts", Bundle)
    except BadRecord as error:
        newer = "it needs a newer latewood: " if error.newer else f"{type(error).__name__}: "
        loaded.error = f"{newer}{error}"
    except (Exception, SystemExit) as error:
        loaded.error = f"{type(error).__name__}: {error}"
    return loaded


def _caller(module: ModuleType, name: str) -> pluggy.PluginManager:
    """Return a manager of this one plugin, so that nothing it does can reach another."""
    manager = pluggy.PluginManager(hooks.GROUP)
    manager.add_hookspecs(hooks)
    manager.register(module, name=name)
    manager.check_pending()
    for caller in manager.get_hookcallers(module) or ():
        for implementation in caller.get_hookimpls():
            function: Callable[..., Any] = implementation.function
            if inspect.iscoroutinefunction(function):
                raise BadPlugin(f"{caller.name} is a coroutine; hooks are plain functions")
            if inspect.signature(function).parameters:
                raise BadPlugin(f"{caller.name} takes no arguments")
    return manager


def _ask(manager: pluggy.PluginManager, hook: str, kind: type) -> list[Any]:
    answers: Sequence[Iterable[Any]] = getattr(manager.hook, hook)()
    found: list[Any] = []
    for answer in answers:
        if isinstance(answer, str) or not isinstance(answer, Iterable):
            raise BadPlugin(f"{hook} must return a list of {kind.__name__}, not {type(answer).__name__}")
        found.extend(answer)
    for one in found:
        if not isinstance(one, kind):
            raise BadPlugin(f"{hook} returned {one!r:.80}, which is not a {kind.__name__}")
    return found
