"""Models of plugins as they are called: one that fails, or returns what its kind does not, names its plugin."""

from __future__ import annotations

from dataclasses import replace
from functools import wraps
from typing import Any

from latewood.blame import blaming
from latewood.plugin.models import Model
from latewood.plugin.shapes import check_form


def guarded(model: Model, plugin: str) -> Model:
    """Return a model that names its plugin where it fails."""
    function, part = model.function, f"model {model.kind}/{model.name}"

    @wraps(function)
    def call(**given: Any) -> Any:
        with blaming(plugin, part):
            result = function(**given)
            check_form(model.kind, given, result)
        return result

    return replace(model, function=call)
