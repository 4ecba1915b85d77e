"""Naming the plugin whose code fails while it answers, so that a fault of its is not taken for one of the engine."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, Final

from latewood.problems import InputProblem, Malformed, NotFound

#: The engine's own plugin, whose faults are the engine's.
OWN: Final = "latewood"
#: What refuses an input, or tells of the machine: no fault of who raises it.
_NO_FAULT: Final = (InputProblem, Malformed, NotFound, MemoryError)
_elsewhere: Final[ContextVar[bool]] = ContextVar("elsewhere", default=False)


class PluginFailed(RuntimeError):
    """Code of a plugin failed: whose it is, which part of what it brings, and what happened there."""

    def __init__(self, plugin: str, part: str, cause: str) -> None:
        self.plugin = plugin
        self.part = part
        self.cause = cause
        super().__init__(f"plugin {plugin}: {part} failed: {cause}")

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.plugin, self.part, self.cause)


class Elsewhere(RuntimeError):
    """Code of a plugin is called where none may run."""


@contextmanager
def no_plugins_here() -> Iterator[None]:
    """Raise `Elsewhere` where code of a plugin is called meanwhile."""
    token = _elsewhere.set(True)
    try:
        yield
    finally:
        _elsewhere.reset(token)


@contextmanager
def blaming(plugin: str, part: str) -> Iterator[None]:
    """Raise `PluginFailed` for whatever fails meanwhile, except for what refuses an input."""
    if plugin == OWN:
        yield
        return
    if _elsewhere.get():
        raise Elsewhere(f"{part} of plugin {plugin}")
    try:
        yield
    except (*_NO_FAULT, PluginFailed, Elsewhere):
        raise
    except (Exception, SystemExit) as error:
        raise PluginFailed(plugin, part, f"{type(error).__name__}: {error}") from error
