"""The unit spellings people may write, by dimension; whatever is not here is refused with the nearest that is.

Each unit is listed under the expression its factor is generated from, its canonical spelling first. The same spelling
may stand in two dimensions (``K`` is a temperature and a temperature difference), so it is always looked up in one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

Units = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Dimension:
    """A kind of quantity: ``si`` is the unit it is computed in. What people call it is in ``words.dimension``."""

    id: str
    si: str
    example: str
    expressions: Units

    @cached_property
    def canonical(self) -> dict[str, str]:
        """Every accepted spelling, with the one it is answered in."""
        return {text: texts[0] for texts in self.expressions.values() for text in texts}

    @cached_property
    def spellings(self) -> tuple[str, ...]:
        """Every accepted spelling, those of one unit together, the canonical one first."""
        return tuple(self.canonical)


def _pick(units: Units, *names: str) -> dict[str, tuple[str, ...]]:
    return {expression: texts for expression, texts in units.items() if texts[0] in names}


def _per(above: Units, below: Units) -> dict[str, tuple[str, ...]]:
    """Return every unit of the one by every unit of the other, as ``m2/L``."""
    return {f"{a}/({b})": tuple(f"{x}/{y}" for x in above[a] for y in below[b]) for a in above for b in below}


_LENGTH: Units = {
    "meter": ("m",),
    "centimeter": ("cm",),
    "millimeter": ("mm",),
    "micrometer": ("um", "µm", "\u03bcm"),
    "kilometer": ("km",),
    "foot": ("ft", "'", "\u2032", "feet", "foot"),
    "inch": ("in", '"', "\u2033", "inch", "inches"),
    "thou": ("mil", "mils"),
    "yard": ("yd",),
    "mile": ("mi", "mile", "miles"),
}
_AREA: Units = {
    "meter**2": ("m2", "m²", "m^2", "sq m", "sqm"),
    "centimeter**2": ("cm2", "cm²", "cm^2"),
    "millimeter**2": ("mm2", "mm²", "mm^2"),
    "foot**2": ("ft2", "ft²", "ft^2", "sq ft", "sqft"),
    "inch**2": ("in2", "in²", "in^2", "sq in"),
    "yard**2": ("yd2", "yd²", "yd^2", "sq yd"),
}
_VOLUME: Units = {
    "liter": ("L", "l"),
    "milliliter": ("mL", "ml"),
    "meter**3": ("m3", "m³", "m^3"),
    "centimeter**3": ("cm3", "cm³", "cm^3"),
    "US_liquid_gallon": ("us_gal",),
    "imperial_gallon": ("imp_gal",),
    "US_liquid_quart": ("us_qt",),
    "imperial_quart": ("imp_qt",),
    "US_pint": ("us_pt",),
    "imperial_pint": ("imp_pt",),
    "US_fluid_ounce": ("us_fl_oz",),
    "imperial_fluid_ounce": ("imp_fl_oz",),
    "foot**3": ("ft3", "ft³", "ft^3", "cu ft"),
    "inch**3": ("in3", "in³", "in^3", "cu in"),
    "yard**3": ("yd3", "yd³", "yd^3", "cu yd"),
}
_MASS: Units = {
    "kilogram": ("kg",),
    "gram": ("g",),
    "milligram": ("mg",),
    "microgram": ("ug", "µg", "\u03bcg"),
    "tonne": ("t", "tonne", "tonnes"),
    "pound": ("lb", "lbs"),
    "ounce": ("oz_mass",),
}
_TIME: Units = {
    "second": ("s", "sec"),
    "minute": ("min", "mins"),
    "hour": ("h", "hr", "hrs", "hour", "hours"),
    "day": ("d", "day", "days"),
    "week": ("week", "weeks"),
    "year": ("year", "years"),
}
_POWER: Units = {
    "watt": ("W",),
    "kilowatt": ("kW",),
    "horsepower": ("hp",),
    "Btu/hour": ("Btu/h", "BTU/h"),
}
_H: Units = {"second": ("s",), "minute": ("min",), "hour": ("h", "hr"), "day": ("d", "day")}
_M2 = {"meter**2": ("m2", "m²", "m^2")}
_FT2 = {"foot**2": ("ft2", "ft²", "ft^2", "sq ft", "sqft")}
_M3 = {"meter**3": ("m3", "m³", "m^3")}
_FT3 = {"foot**3": ("ft3", "ft³", "ft^3")}

_SPREADING_RATE: Units = {
    **_per(_M2, _pick(_VOLUME, "L", "mL")),
    **_per(_FT2, _pick(_VOLUME, "us_gal", "imp_gal", "us_qt", "imp_qt", "us_pt", "imp_pt", "L")),
    "1/meter": ("1/m",),
}
_CONCENTRATION: Units = {
    **_per(_pick(_MASS, "g", "kg", "mg"), _pick(_VOLUME, "L")),
    "gram/milliliter": ("g/mL", "g/ml"),
    "gram/centimeter**3": ("g/cm3", "g/cm³", "g/cm^3"),
    **_per(_pick(_MASS, "kg", "g", "mg", "ug"), _M3),
    **_per(_pick(_MASS, "lb"), {**_pick(_VOLUME, "us_gal", "imp_gal"), **_FT3}),
    "ounce/US_liquid_gallon": ("oz_mass/us_gal",),
    "ounce/imperial_gallon": ("oz_mass/imp_gal",),
}
_SPEED: Units = {
    **_per(_pick(_LENGTH, "m"), _H),
    **_per(_pick(_LENGTH, "mm"), _H),
    "kilometer/hour": ("km/h", "kph"),
    "mile/hour": ("mph",),
    "knot": ("kn",),
    **_per({"foot": ("ft",)}, _H),
    **_per({"inch": ("in",)}, _H),
}
_VOLUME_FLOW: Units = {
    **_per({"liter": ("L", "l"), "milliliter": ("mL", "ml")}, _H),
    **_per(_M3, _H),
    "foot**3/minute": ("cfm", "ft3/min", "ft³/min"),
    "foot**3/second": ("ft3/s", "ft³/s"),
    **_per(_pick(_VOLUME, "us_gal", "imp_gal"), _H),
}
_PRESSURE: Units = {
    "pascal": ("Pa",),
    "hectopascal": ("hPa",),
    "kilopascal": ("kPa",),
    "megapascal": ("MPa",),
    "bar": ("bar",),
    "millibar": ("mbar",),
    "psi": ("psi",),
    "pound_force/foot**2": ("psf", "lbf/ft2"),
    "inHg": ("inHg",),
    "mmHg": ("mmHg",),
    "inH2O": ("inH2O",),
}
_ENERGY: Units = {
    "joule": ("J",),
    "kilojoule": ("kJ",),
    "megajoule": ("MJ",),
    "watt*hour": ("Wh",),
    "kilowatt*hour": ("kWh",),
    "Btu": ("Btu", "BTU"),
}
_MASS_PER_AREA: Units = {
    **_per(_pick(_MASS, "kg", "g", "mg"), _M2),
    **_per({"pound": ("lb",), "ounce": ("oz_mass",)}, _FT2),
    "ounce/yard**2": ("oz_mass/yd2", "oz_mass/yd²"),
}

_DECLARED = (
    Dimension("length", "m", "24 ft", _LENGTH),
    Dimension("area", "m2", "320 ft2", _AREA),
    Dimension("volume", "m3", "2.5 L", _VOLUME),
    Dimension("mass", "kg", "1.5 kg", _MASS),
    Dimension("time", "s", "45 min", _TIME),
    Dimension(
        "temperature",
        "K",
        "20 degC",
        {"degree_Celsius": ("degC", "°C"), "degree_Fahrenheit": ("degF", "°F"), "kelvin": ("K",)},
    ),
    Dimension(
        "temperature-difference",
        "K",
        "3 K",
        {"kelvin": ("K",), "delta_degree_Celsius": ("delta_degC",), "delta_degree_Fahrenheit": ("delta_degF",)},
    ),
    Dimension("fraction", "1", "12 %", {"percent": ("%", "percent")}),
    Dimension("spreading-rate", "1/m", "8 m2/L", _SPREADING_RATE),
    Dimension("concentration", "kg/m3", "450 g/L", _CONCENTRATION),
    Dimension("speed", "m/s", "3 m/s", _SPEED),
    Dimension("area-rate", "m2/s", "12 m2/h", {**_per(_M2, _H), **_per(_FT2, _H)}),
    Dimension(
        "count-rate",
        "1/s",
        "30 1/h",
        {"1/hour": ("1/h", "1/hr"), "1/minute": ("1/min",), "1/second": ("1/s",), "1/day": ("1/d", "1/day")},
    ),
    Dimension("volume-flow", "m3/s", "30 L/s", _VOLUME_FLOW),
    Dimension("pressure", "Pa", "2 kPa", _PRESSURE),
    Dimension("power", "W", "1.2 kW", _POWER),
    Dimension(
        "apparent-power",
        "VA",
        "2 kVA",
        {"volt_ampere": ("VA",), "kilovolt_ampere": ("kVA",)},
    ),
    Dimension("energy", "J", "3 kWh", _ENERGY),
    Dimension("current", "A", "15 A", {"ampere": ("A",), "milliampere": ("mA",)}),
    Dimension("voltage", "V", "230 V", {"volt": ("V",), "kilovolt": ("kV",), "millivolt": ("mV",)}),
    Dimension(
        "resistance",
        "ohm",
        "0.3 ohm",
        {
            "ohm": ("ohm", "\u03a9", "\u2126"),
            "milliohm": ("mohm",),
            "kiloohm": ("kohm",),
            "megaohm": ("Mohm",),
        },
    ),
    Dimension(
        "irradiance",
        "W/m2",
        "650 W/m2",
        {"watt/meter**2": ("W/m2", "W/m²", "W/m^2"), "kilowatt/meter**2": ("kW/m2", "kW/m²", "kW/m^2")},
    ),
    Dimension("angle", "rad", "45 deg", {"degree": ("deg", "°"), "radian": ("rad",)}),
    Dimension("mass-per-area", "kg/m2", "80 g/m2", _MASS_PER_AREA),
    Dimension(
        "force",
        "N",
        "20 N",
        {"newton": ("N",), "kilonewton": ("kN",), "pound_force": ("lbf",)},
    ),
    Dimension("acceleration", "m/s2", "2.5 m/s2", {"meter/second**2": ("m/s2", "m/s²", "m/s^2")}),
    Dimension(
        "specific-energy",
        "J/kg",
        "2501 kJ/kg",
        {"joule/kilogram": ("J/kg",), "kilojoule/kilogram": ("kJ/kg",), "Btu/pound": ("Btu/lb", "BTU/lb")},
    ),
    Dimension(
        "heat-transfer",
        "W/m2/K",
        "10 W/m2/K",
        {"watt/meter**2/kelvin": ("W/m2/K", "W/m²/K", "W/m^2/K")},
    ),
    Dimension(
        "molar-energy",
        "J/mol",
        "66 kJ/mol",
        {"joule/mole": ("J/mol",), "kilojoule/mole": ("kJ/mol",)},
    ),
)

#: Every dimension by its id, in the order documents list them.
DIMENSIONS: dict[str, Dimension] = {dimension.id: dimension for dimension in _DECLARED}


def dimension_of(unit: str) -> str:
    """Return the first dimension this unit spelling belongs to; ambiguous spellings name theirs in the ``Q``."""
    for dimension in DIMENSIONS.values():
        if unit in dimension.spellings:
            return dimension.id
    raise ValueError(f"{unit!r} is not a unit spelling this engine knows")
