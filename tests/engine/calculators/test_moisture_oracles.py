"""The stored values of libraries in the shipped checks on air and drying, found anew by the libraries they name."""

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI

from latewood import units

ZERO = 273.15


OURS = {f"formula:{name}" for name in ("saturation-pressure-over-water", "dew-point", "frost-point", "wet-bulb")}


def cases(engine, source):
    groups = [c for c in engine.shelf.records("check").values() if c.source == source and c.calculator in OURS]
    return [(check.calculator, case) for check in groups for case in check.cases]


def given(case, name, dimension):
    return units.read(case.input[name], dimension)


def test_psychrolib(engine):
    psychrolib.SetUnitSystem(psychrolib.SI)
    found = cases(engine, "psychrolib")
    assert len(found) >= 38
    for calculator, case in found:
        t = given(case, "temperature", "temperature") - ZERO
        if calculator == "formula:saturation-pressure-over-water":
            assert units.read(case.expected["value"], "pressure") == pytest.approx(
                psychrolib.GetSatVapPres(t), abs=0.01
            )
            continue
        h = given(case, "relative_humidity", "fraction")
        stored = units.read(case.expected["value"], "temperature") - ZERO
        if calculator == "formula:wet-bulb":
            assert stored == pytest.approx(psychrolib.GetTWetBulbFromRelHum(t, h, 101325.0), abs=1e-3)
        else:
            assert stored == pytest.approx(psychrolib.GetTDewPointFromRelHum(t, h), abs=1e-3)


def test_coolprop(engine):
    found = cases(engine, "coolprop")
    assert len(found) >= 30
    for calculator, case in found:
        t = given(case, "temperature", "temperature")
        if calculator == "formula:saturation-pressure-over-water":
            stored = units.read(case.expected["value"], "pressure")
            assert stored == pytest.approx(PropsSI("P", "T", t, "Q", 0, "Water"), abs=0.01)
            continue
        h = given(case, "relative_humidity", "fraction")
        pressure = given(case, "pressure", "pressure") if "pressure" in case.input else 101325.0
        wanted = "B" if calculator == "formula:wet-bulb" else "D"
        stored = units.read(case.expected["value"], "temperature")
        assert stored == pytest.approx(HAPropsSI(wanted, "T", t, "R", h, "P", pressure), abs=1e-3)
