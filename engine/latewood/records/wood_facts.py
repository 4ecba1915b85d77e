"""What is known of a wood in words rather than numbers: durability, what comes out of it, and its dust."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Final, Literal

from latewood.records.stated import Stated

#: Grades of resistance to decay, best first. EN 350 grades heartwood from 1 (very durable) to 5 (not durable). The
#: Wood Handbook groups heartwood of woods in North America in words.
SCALES: Final[Mapping[str, Sequence[str]]] = {
    "en-350": ("1", "2", "3", "4", "5"),
    "wood-handbook": ("exceptionally-high", "resistant", "moderately-resistant", "slightly-resistant"),
}


class Durability(Stated, frozen=True, kw_only=True):
    """Resistance to decay on a published scale. It is no service life, and no promise of one."""

    scale: Literal["en-350", "wood-handbook"]
    best: Annotated[str, "Best grade in the range; the only one where `worst` is left out"]
    worst: Annotated[str, "Worst grade in the range"] = ""
    part: Annotated[Literal["heartwood", "sapwood", "whole"], "What it is said of"] = "heartwood"
    holds: Annotated[str, "Which trees, where they differ: old forest, plantation, a country"] = ""


class Extractive(Stated, frozen=True, kw_only=True):
    """What the wood gives off or what it reacts with, and how much."""

    id: Literal["iron-stain", "bleed", "alkali-colour", "oily-surface", "resin", "fastener-corrosion"]
    level: Annotated[Literal["strong", "slight", "none-noticed"], "How much, where the source speaks of it"]
    message: Annotated[str, "What happens, in words for whoever does the work"]


class Dust(Stated, frozen=True, kw_only=True):
    """A reported effect of the dust; what is not listed has not been looked up, and is not ruled out."""

    id: Literal["irritant", "sensitiser", "carcinogen"]
    certainty: Annotated[Literal["reported", "suspected"], "Suspected where the wood itself is in doubt"] = "reported"
    affects: Annotated[tuple[Literal["skin", "eyes", "airways", "nose"], ...], "Where it acts"] = ()
    message: str = ""


class Preserved(Stated, frozen=True, kw_only=True):
    """Whether decks of this wood are usually treated with a preservative against decay."""

    usually: Literal["yes", "no"]
