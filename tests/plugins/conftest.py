"""Plugins that are installed nowhere."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from importlib.metadata import EntryPoint
from types import ModuleType
from typing import Any

import pytest


@pytest.fixture
def plugin(monkeypatch: pytest.MonkeyPatch) -> Callable[[str, Mapping[str, Any]], EntryPoint]:
    """Make an entry point whose module holds what it is given."""

    def make(name: str, content: Mapping[str, Any]) -> EntryPoint:
        module = ModuleType(f"fake_{name}")
        vars(module).update(content)
        monkeypatch.setitem(sys.modules, module.__name__, module)
        return EntryPoint(name, module.__name__, "latewood")

    return make
