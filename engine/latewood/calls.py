"""Calculators as methods: ``lw.coverage(area="400 ft2", …)``; ``calls.pyi`` gives the bundled ones their types."""

from __future__ import annotations

import inspect
from abc import abstractmethod
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from latewood.answer_objects import Answer
from latewood.declare import Calculator
from latewood.wire import struct_reader
from latewood.wire.options import DOCS, OF_PYTHON


class Calls:
    """Finds a calculator by its id with underscores, plugins' too; what the engine has of that name comes first."""

    calculators: Mapping[str, Calculator]

    @abstractmethod
    def calculate(self, name: str, /, **given: Any) -> Answer:
        """Return the answer of a calculator."""
        ...

    def __getattr__(self, name: str) -> Callable[..., Answer]:
        known = vars(self).get("calculators", {})
        for id in (name, name.replace("_", "-")):
            if id in known:
                return _method(self, known[id])
        raise AttributeError(f"{type(self).__name__!r} object has no attribute {name!r}", name=name, obj=self)

    def __dir__(self) -> list[str]:
        return [*super().__dir__(), *map(method_name, self.calculators)]


def method_name(id: str) -> str:
    """Return the name of a calculator's method."""
    return id.replace("-", "_")


def documented(calculator: Calculator) -> str:
    """Return what a calculator answers, and each field by its meaning."""
    fields = struct_reader(calculator.inputs).entries.values()
    about = [
        *(f"{entry.name}: {entry.reader.doc}" for entry in fields),
        *(f"{name}: {DOCS[name].partition('.')[0]}" for name in OF_PYTHON),
    ]
    return "\n".join([calculator.title + ".", "", calculator.question, "", *about])


def _method(engine: Calls, calculator: Calculator) -> Callable[..., Answer]:
    def call(**given: Any) -> Answer:
        return engine.calculate(calculator.id, **given)

    call.__name__ = method_name(calculator.id)
    call.__doc__ = documented(calculator)
    call.__signature__ = inspect.Signature(list(_parameters(calculator)), return_annotation=Answer)  # type: ignore[attr-defined]
    return call


def _parameters(calculator: Calculator) -> Iterator[inspect.Parameter]:
    for entry in struct_reader(calculator.inputs).entries.values():
        default = inspect.Parameter.empty if entry.required else ...
        yield inspect.Parameter(entry.name, inspect.Parameter.KEYWORD_ONLY, default=default)
    for name in OF_PYTHON:
        yield inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=...)
