"""Quantities a message carries: floats in SI that know their kind and the unit their JSON form is written in."""

from __future__ import annotations

from functools import cache
from typing import ClassVar

from latewood.quantities import units


class Measure(float):
    """A quantity in SI. ``unit`` is the metric unit its JSON form is written in."""

    __slots__ = ()
    kind: ClassVar[str]
    dimension: ClassVar[str]
    unit: ClassVar[str]


class Area(Measure):
    """A surface."""

    __slots__ = ()
    kind, dimension, unit = "area", "area", "m2"


class Length(Measure):
    """A length, a depth or a gap."""

    __slots__ = ()
    kind, dimension, unit = "length", "length", "m"


class Volume(Measure):
    """A volume of finish, water or waste."""

    __slots__ = ()
    kind, dimension, unit = "volume", "volume", "L"


class Mass(Measure):
    """A weight."""

    __slots__ = ()
    kind, dimension, unit = "mass", "mass", "kg"


class Time(Measure):
    """A span of time."""

    __slots__ = ()
    kind, dimension, unit = "time", "time", "h"


class Temperature(Measure):
    """A temperature on its scale."""

    __slots__ = ()
    kind, dimension, unit = "temperature", "temperature", "degC"


class Difference(Measure):
    """A span of temperature."""

    __slots__ = ()
    kind, dimension, unit = "difference", "temperature-difference", "K"


class Share(Measure):
    """A part of a whole; 1 is all of it."""

    __slots__ = ()
    kind, dimension, unit = "share", "fraction", "%"


class Speed(Measure):
    """A speed of wind or water."""

    __slots__ = ()
    kind, dimension, unit = "speed", "speed", "m/s"


class Rain(Measure):
    """How fast rain falls."""

    __slots__ = ()
    kind, dimension, unit = "rain", "speed", "mm/h"


class Pace(Measure):
    """Area worked in a span of time."""

    __slots__ = ()
    kind, dimension, unit = "pace", "area-rate", "m2/h"


class Rate(Measure):
    """Area that a volume covers."""

    __slots__ = ()
    kind, dimension, unit = "rate", "spreading-rate", "m2/L"


class Concentration(Measure):
    """Weight in a volume of product."""

    __slots__ = ()
    kind, dimension, unit = "concentration", "concentration", "g/L"


class Density(Measure):
    """Weight of a volume of wood or water."""

    __slots__ = ()
    kind, dimension, unit = "density", "concentration", "kg/m3"


class Pressure(Measure):
    """A pressure of water or air."""

    __slots__ = ()
    kind, dimension, unit = "pressure", "pressure", "bar"


class Flow(Measure):
    """A volume in a span of time."""

    __slots__ = ()
    kind, dimension, unit = "flow", "volume-flow", "L/min"


class Angle(Measure):
    """An angle."""

    __slots__ = ()
    kind, dimension, unit = "angle", "angle", "deg"


MEASURES: dict[str, type[Measure]] = {m.kind: m for m in Measure.__subclasses__()}
#: The first kind of each dimension: what a text such as ``125 mm`` is read as.
BY_DIMENSION: dict[str, type[Measure]] = {m.dimension: m for m in reversed(MEASURES.values())}


@cache
def unit_of(kind: str, system: str) -> str:
    """Return the unit a kind of quantity has in JSON."""
    measure = MEASURES[kind]
    return measure.unit if system == "metric" else units.us_of(measure.unit, measure.dimension)
