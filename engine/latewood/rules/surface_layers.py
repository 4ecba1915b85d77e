"""Which layer lies on top of an old surface, by what is seen on it: what a sander meets first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from latewood.records import Condition
from latewood.rules.signs import FILM, Sign

#: What signs say of the layer, the one that takes most to get off first. Common practice, no source.
_LAYERS: Final[tuple[tuple[frozenset[Sign], Condition], ...]] = (
    (FILM, "old-film"),
    (frozenset({"splinters", "cupping", "worn-tracks"}), "splintered"),
    (frozenset({"raised-grain", "furrows", "furred"}), "raised-grain"),
    (frozenset({"grey", "mildew", "algae"}), "grey"),
)


def layer_seen(signs: Iterable[Sign]) -> Condition | None:
    """Return the layer that signs speak of, the one that takes most to get off; None where they speak of none."""
    seen = frozenset(signs)
    return next((layer for layer_signs, layer in _LAYERS if layer_signs & seen), None)
