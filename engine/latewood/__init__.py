"""latewood: calculations for people who refinish weathered exterior wood decks."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from latewood.undisturbed import undisturbed

__all__ = ["Answer", "Catalogue", "InputProblem", "NotFound", "Plan", "load"]

_PLACES = {
    "Answer": "latewood.answer_objects",
    "Catalogue": "latewood.catalogue",
    "InputProblem": "latewood.problems",
    "NotFound": "latewood.problems",
    "Plan": "latewood.answer_objects",
    "load": "latewood.catalogue",
}

if TYPE_CHECKING:
    from latewood.answer_objects import Answer, Plan
    from latewood.catalogue import Catalogue, load
    from latewood.problems import InputProblem, NotFound
else:
    # A type checker that saw it would take any name for one of the package.
    def __getattr__(name):
        """Import the engine once something of it is asked for: the command's help does without."""
        if name not in _PLACES:
            raise AttributeError(f"{__name__}.{name}")
        with undisturbed():
            value = globals()[name] = getattr(import_module(_PLACES[name]), name)
        return value


def __dir__() -> list[str]:
    return __all__
