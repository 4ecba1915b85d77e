"""What coverage answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.coverage.fields import CoatVolume, ContainerCount, PartVolume, Purchase, Voc, ZoneVolume
from latewood.declare import F, Q
from latewood.rules.waste import Left
from latewood.uncertainty.spread import Number


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Volumes, what to buy, and VOC. Volumes are of the coating ready to use, but for `volume` and its parts."""

    volume: Annotated[
        Number, Q("L", "Volume of product drawn from the containers: laid on, plus loss, less any thinner")
    ]
    applied: Annotated[Number, Q("L", "Volume laid on the wood by all coats")]
    wiped_off: Annotated[Number, Q("L", "Volume wiped off again, part of what is laid on")]
    retained: Annotated[Number, Q("L", "Volume that stays on and in the wood")]
    spreading_rate: (
        Annotated[Number, Q("m2/L", "Area coated by a volume laid on, first coat, over all faces")] | None
    ) = None
    wet_film_thickness: Annotated[Number, Q("um", "Wet film of one coat; film-formers only")] | None = None
    dry_film_thickness: (
        Annotated[Number, Q("um", "Dry film of one coat; film-formers of known volume solids only")] | None
    ) = None
    coats: Annotated[tuple[CoatVolume, ...], F("The coats, from the first")]
    zones: Annotated[tuple[ZoneVolume, ...], F("The zones, in the order they were given")]
    parts: Annotated[tuple[PartVolume, ...], F("The parts of the deck, in the order they were given")]
    containers: Annotated[tuple[ContainerCount, ...], F("What to buy, by size")]
    purchase: Purchase
    voc: Voc | None = None
    waste: Left = ()
