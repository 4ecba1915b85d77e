"""The engine that the committed contract is of."""

from functools import cache

from latewood.catalogue import Catalogue, load
from latewood.plugin.loader import installed


@cache
def bundled() -> Catalogue:
    """Return an engine with the bundled plugins only, whatever else is installed: one for all that a process asks."""
    return load([entry for entry in installed() if entry.name == "latewood"], strict=True)
