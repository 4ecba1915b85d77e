"""The engine that the committed contract is of."""

from latewood.catalogue import Catalogue, load
from latewood.plugin.loader import installed


def bundled() -> Catalogue:
    """Return an engine with the bundled plugins only, whatever else is installed."""
    return load([entry for entry in installed() if entry.name == "latewood"], strict=True)
