"""What signs say of faces to be sanded: the layer on them, whether boards are cupped, and what stops a face."""

from __future__ import annotations

from latewood.calculators.abrasive_sequence.fields import SandFace
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.records import Condition
from latewood.rules.signs import FILM, Sign
from latewood.rules.surface_layers import layer_seen


def signs_on(face: SandFace, x: Inputs) -> tuple[Sign, ...]:
    """Return what is seen on a face: its own signs, else those of all."""
    return face.signs or x.signs


def condition_of(face: SandFace) -> Condition | None:
    """Return what a face is like by what is said or seen of it; None where only something is said of all."""
    return face.condition or layer_seen(face.signs)


def condition_of_all(x: Inputs) -> Condition | None:
    """Return what all faces are like by what is said or seen."""
    return x.condition or layer_seen(x.signs)


def cupped(face: SandFace, x: Inputs) -> bool | None:
    """Say whether boards are cupped; None where that was not looked at."""
    said = x.cupped if face.cupped is None else face.cupped
    seen = signs_on(face, x)
    return said if said is not None or not seen else "cupping" in seen


def film_seen(face: SandFace, x: Inputs) -> tuple[Sign, ...]:
    """Return the signs of a film on a face, said in whatever way."""
    seen = tuple(sign for sign in signs_on(face, x) if sign in FILM)
    by_layer: tuple[Sign, ...] = ("film-sound",) if (face.condition or x.condition) == "old-film" else ()
    return seen or by_layer
