"""Quantities of pint and numbers of NumPy count as what a request sends in their place."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import msgspec
import numpy as np
import pint
import pytest

from latewood.declare import Q
from latewood.problems import InputProblem
from latewood.quantities.spellings import DIMENSIONS
from latewood.wire import MISSING, Context
from latewood.wire.quantity_reader import QuantityReader

#: Not the registry pint calls the application's, nor one another's.
OURS = pint.UnitRegistry(cache_folder=None)
DECIMAL = pint.UnitRegistry(non_int_type=Decimal, cache_folder=None)
FRACTION = pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)
SMALL = pint.UnitRegistry(None, cache_folder=None)
SMALL.define("meter = [length] = m")
SMALL.define("pace = 0.75 * meter")

COVERAGE = {"species": "ipe", "coating": "clear-penetrating-oil"}
HOURS = 24


def coverage(lw, **fields):
    return msgspec.json.encode(lw.calculate("coverage", **(COVERAGE | fields)))


def faults(lw, name, **fields):
    with pytest.raises(InputProblem) as raised:
        lw.calculate(name, **fields)
    return {fault.pointer: (fault.code, fault.detail, fault.expected) for fault in raised.value.faults}


def read_as(dimension, value):
    """Return the SI value of a field of this dimension, and the faults of it."""
    ctx = Context(None)
    unit = next(iter(DIMENSIONS[dimension].canonical))
    return QuantityReader.of(Q(unit, "Doc", dimension=dimension)).read(value, "/here", ctx), ctx.faults


@pytest.fixture
def read():
    def read(dimension, value):
        found, faults = read_as(dimension, value)
        assert not faults
        return found

    return read


@pytest.fixture
def refused():
    def refused(dimension, value):
        found, [fault] = read_as(dimension, value)
        assert found is MISSING
        return fault

    return refused


def of(registry, number, unit):
    return registry.Quantity(registry.non_int_type(number), unit)


@pytest.mark.parametrize("registry", [OURS, DECIMAL, FRACTION, pint.get_application_registry()])
@pytest.mark.parametrize(
    ("number", "unit", "text"),
    [
        ("400", "foot**2", "400 ft2"),
        ("37.2", "m**2", "37.2 m2"),
        ("0.1", "yard*yard", "0.1 yd2"),
    ],
)
def test_a_quantity_of_any_registry_gives_the_bytes_of_its_text(lw, registry, number, unit, text):
    assert coverage(lw, area=of(registry, number, unit)) == coverage(lw, area=text)


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_every_unit_has_the_value_of_its_text(read, dimension):
    for expression, (text, *_) in DIMENSIONS[dimension].expressions.items():
        assert read(dimension, OURS.Quantity(7.3, expression)) == read(dimension, f"7.3 {text}")


def test_units_that_texts_do_not_have_are_converted(read):
    # By definition: an international acre-foot apart, 1 dm2 = 0.01 m2, 1 furlong = 660 ft (to 2 ppm, as surveyors have
    # it), 1 turn = 360 degrees, 1 Hz = 1/s; 491.67 °R is the freezing point of water.
    assert read("area", OURS.Quantity(3, "dm**2")) == pytest.approx(0.03, rel=1e-15)
    assert read("length", OURS.Quantity(1, "furlong")) == pytest.approx(201.168, rel=3e-6)
    assert read("length", SMALL.Quantity(4, "pace")) == 3.0
    assert read("angle", OURS.Quantity(0.25, "turn")) == pytest.approx(np.pi / 2, rel=1e-15)
    assert read("count-rate", OURS.Quantity(2, "Hz")) == pytest.approx(2, rel=1e-15)
    assert read("temperature", OURS.Quantity(491.67, "degR")) == pytest.approx(273.15, rel=1e-15)
    assert read("area", of(DECIMAL, "3", "dm**2")) == pytest.approx(0.03, rel=1e-15)
    assert read("power", OURS.Quantity(30, "dBm")) == pytest.approx(1, rel=1e-12)


def test_a_share_may_be_a_number_without_unit(read):
    assert read("fraction", OURS.Quantity(0.12, "")) == pytest.approx(0.12, rel=1e-15)
    assert read("fraction", OURS.Quantity(12, "percent")) == 0.12


@pytest.mark.parametrize(
    ("dimension", "quantity", "code", "detail"),
    [
        ("area", OURS.Quantity(400, "foot"), "wrong-dimension", "'ft' measures a length, not an area"),
        ("area", OURS.Quantity(4, "furlong"), "wrong-dimension", "'m' measures a length, not an area"),
        ("area", OURS.Quantity(3, "candela"), "unknown-unit", "'cd' is not a unit known here"),
        ("area", OURS.Quantity(3, ""), "wrong-dimension", "'%' measures a percentage, not an area"),
        ("area", SMALL.Quantity(4, "pace"), "wrong-dimension", "'m' measures a length, not an area"),
        ("temperature", OURS.Quantity(3, "delta_degC"), "wrong-dimension", None),
        ("temperature-difference", OURS.Quantity(3, "degC"), "wrong-dimension", None),
        ("power", OURS.Quantity(3, "VA"), "wrong-dimension", None),
        ("fraction", OURS.Quantity(45, "degree"), "wrong-dimension", "'deg' measures an angle, not a percentage"),
        ("angle", OURS.Quantity(0.5, ""), "wrong-dimension", "'%' measures a percentage, not an angle"),
        ("area", OURS.Quantity(float("nan"), "m**2"), "out-of-range", "'nan' is not a finite number"),
        ("area", OURS.Quantity(10**400, "m**2"), "out-of-range", None),
        ("area", OURS.Quantity(10**400, "dm**2"), "bad-number", None),
        ("area", OURS.Quantity(1 + 2j, "m**2"), "bad-number", None),
        ("area", OURS.Quantity(np.arange(4.0), "m**2"), "bad-number", None),
        ("area", OURS.Quantity([1.0, 2.0], "m**2"), "bad-number", "value must be a number"),
    ],
)
def test_a_quantity_that_does_not_fit_is_our_fault_not_pints(refused, dimension, quantity, code, detail):
    fault = refused(dimension, quantity)
    assert fault.code == code
    assert fault.pointer == "/here"
    if detail is not None:
        assert fault.detail == detail


def test_faults_name_every_place_and_what_is_expected(lw):
    found = faults(lw, "coverage", **COVERAGE, area=OURS.Quantity(3, "hour"), residue=OURS.Quantity(3, "m"))
    assert set(found) == {"/area", "/residue"}
    assert all(expected for _, _, expected in found.values())


def test_a_field_without_a_unit_takes_no_quantity(lw):
    found = faults(
        lw, "coverage", **COVERAGE | {"coating": OURS.Quantity(3, "L")}, area="10 m2", coats=OURS.Quantity(2, "")
    )
    assert {at: said[1] for at, said in found.items()} == dict.fromkeys(
        ("/coating", "/coats"), "a quantity with a unit was given"
    )


def test_money_and_board_sizes_are_texts(lw):
    dollars = pint.UnitRegistry(cache_folder=None)
    dollars.define("USD = [currency]")
    container = {"size": "1 L", "price": dollars.Quantity(54, "USD")}
    given = COVERAGE | {"containers": [container]}
    price = faults(lw, "coverage", **given, area="10 m2")["/containers/0/price"]
    assert price == ("wrong-type", "a quantity with a unit was given", "an amount such as 54.00 USD")
    size = faults(lw, "area", length="4 m", width="3 m", boards={"size": OURS.Quantity(145, "mm")})["/boards/size"]
    assert size == ("wrong-type", "a quantity with a unit was given", "a size such as 5/4x6 or 21x145 mm")


def test_an_array_of_two_or_three_is_a_range(lw):
    rate = OURS.Quantity(np.array([8, 12]), "m**2/L")
    assert coverage(lw, area="10 m2", product={"spreading_rate": rate}) == coverage(
        lw, area="10 m2", product={"spreading_rate": "8-12 m2/L"}
    )
    three = {"low": 8, "value": 9, "high": 12, "unit": "m2/L"}
    assert coverage(lw, area="10 m2", product={"spreading_rate": OURS.Quantity([8, 9, 12], "m**2/L")}) == coverage(
        lw, area="10 m2", product={"spreading_rate": three}
    )


@pytest.mark.parametrize("number", [np.int64(2), np.int8(2), np.float32(2)])
def test_numbers_of_numpy_count_as_numbers(lw, number):
    assert coverage(lw, area={"value": number, "unit": "m2"}, coats=number) == coverage(lw, area="2 m2", coats=2)
    assert faults(lw, "coverage", **COVERAGE, area=number)["/area"][0] == "unit-missing"


def test_texts_flags_and_tuples_count_too(lw):
    face = {"zone": "north", "part": "field", "area": "2 m2"}
    assert coverage(lw, faces=(face,), coating=np.str_("clear-penetrating-oil")) == coverage(lw, faces=[face])


def hours(lw, temperature):
    columns = {
        "air_temperature": temperature,
        "relative_humidity": {"unit": "%", "values": [60] * HOURS},
        "rain": {"unit": "mm", "values": [0] * HOURS},
        "wind_speed": {"unit": "m/s", "values": [2] * HOURS},
    }
    weather = {"start": "2026-05-04T06:00:00-04:00", "step": "1 h", "stamp": "start", "columns": columns}
    place = {"latitude": "41.2 deg", "longitude": OURS.Quantity(-73.9, "degree"), "timezone": "America/New_York"}
    asked = {"coating": "clear-penetrating-oil", "laying_time": "3 h", **place, "weather": weather}
    return msgspec.json.encode(lw.calculate("cure-windows", **asked))


def test_a_series_takes_an_array(lw):
    degrees = np.linspace(12, 25, HOURS)
    as_sent = hours(lw, {"unit": "degC", "values": degrees.tolist()})
    assert hours(lw, OURS.Quantity(degrees, "degC")) == as_sent
    assert hours(lw, {"unit": "degC", "values": degrees}) == as_sent
    assert hours(lw, {"unit": "degC", "values": list(degrees.astype(np.float32))}) != b""


def test_a_series_with_a_gap_of_numpy_has_not_recorded_it(lw):
    degrees = np.full(HOURS, 18.0)
    degrees[3] = np.nan
    gap = [None if np.isnan(one) else one for one in degrees.tolist()]
    assert hours(lw, OURS.Quantity(degrees, "degC")) == hours(lw, {"unit": "degC", "values": gap})


def test_a_series_refuses_what_does_not_fit(lw):
    with pytest.raises(InputProblem) as raised:
        hours(lw, OURS.Quantity(np.full(HOURS, 18.0), "mm"))
    assert [(one.pointer, one.code) for one in raised.value.faults] == [
        ("/weather/columns/air_temperature/unit", "unknown-unit")
    ]
    with pytest.raises(InputProblem) as raised:
        hours(lw, OURS.Quantity(18.0, "degC"))
    assert [one.pointer for one in raised.value.faults] == ["/weather/columns/air_temperature/values"]
