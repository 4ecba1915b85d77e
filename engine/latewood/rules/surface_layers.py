"""What lies on an old surface: which covering, and which layer a sander meets first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, Literal

from latewood.records import Condition
from latewood.rules.hazard_fields import Old
from latewood.rules.signs import FILM, Sign

#: What covers the wood: nothing, an oil in it, or a film on it.
Covering = Literal["bare", "oil", "film"]

#: What signs say of the layer, the one that takes most to get off first. Common practice, no source.
_LAYERS: Final[tuple[tuple[frozenset[Sign], Condition], ...]] = (
    (FILM, "old-film"),
    (frozenset({"splinters", "cupping", "worn-tracks"}), "splintered"),
    (frozenset({"raised-grain", "furrows", "furred"}), "raised-grain"),
    (frozenset({"grey", "mildew", "algae"}), "grey"),
)


#: Layers of wood itself, which neither a wash nor a stripper takes off. Common practice, no source.
NOT_WASHED_OFF: Final[frozenset[Condition]] = frozenset({"splintered", "raised-grain"})


def harder(one: Condition, other: Condition) -> bool:
    """Say whether a layer takes more to get off than another."""
    order = [layer for _, layer in _LAYERS]
    return one in order and (other not in order or order.index(one) < order.index(other))


def layer_seen(signs: Iterable[Sign]) -> Condition | None:
    """Return the layer that signs speak of, the one that takes most to get off; None where they speak of none."""
    seen = frozenset(signs)
    return next((layer for layer_signs, layer in _LAYERS if layer_signs & seen), None)


def covering_of(old: Old | None, signs: Iterable[Sign] = ()) -> Covering:
    """Return what covers the wood. An unknown coating counts as a film, and a film that is seen is one."""
    if FILM & set(signs):
        return "film"
    if old is None or old == "none":
        return "bare"
    return "film" if old.film or old.binder == "unknown" else "oil"


def unnamed(old: Old | None) -> bool:
    """Say whether it is still open which coating is on the wood: none was spoken of, or it is not known."""
    return old is None or (old != "none" and old.binder == "unknown")


def layer_met(signs: Iterable[Sign], covering: Covering, *, grey: bool) -> Condition:
    """Return the layer a sander meets: what is seen, else a film, grey, or an oil that has merely faded."""
    seen = layer_seen(signs)
    if seen is not None:
        return seen
    return "old-film" if covering == "film" else "grey" if grey else "faded-oil"
