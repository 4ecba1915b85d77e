"""latewood: calculations for people who refinish weathered exterior wood decks."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from latewood.undisturbed import undisturbed

if TYPE_CHECKING:
    from latewood.catalogue import Catalogue, load
    from latewood.problems import InputProblem, NotFound

__all__ = ["Catalogue", "InputProblem", "NotFound", "load"]

_PLACES = {
    "Catalogue": "latewood.catalogue",
    "InputProblem": "latewood.problems",
    "NotFound": "latewood.problems",
    "load": "latewood.catalogue",
}


def __getattr__(name: str) -> Any:
    """Import the engine once something of it is asked for: the command's help does without."""
    if name not in _PLACES:
        raise AttributeError(f"{__name__}.{name}")
    with undisturbed():
        value = globals()[name] = getattr(import_module(_PLACES[name]), name)
    return value
