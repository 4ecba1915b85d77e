"""The stored values of libraries in the shipped checks on air and drying, found anew by the libraries they name."""

import numpy as np
import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from scipy.integrate import solve_ivp

from latewood.formulas import air, diffusion, sorption
from latewood.quantities import units
from latewood.uncertainty import spread

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


def fine_grid(
    density, depth, celsius, humidity, hours, *, film=0.1, filled=0.6, exchange=8.2 * 0.621945 / 101325 / 1006
):
    """Return the mean of the outer 6 mm at these hours after a wash, by even cells and SciPy's stiff BDF.

    The same equations of diffusion, sorption and film, none of the same numerics: 100 even cells of 0.25 mm, the face
    solved by halving at every moment, no time steps of our own.
    """
    thickness, cells, t = 0.025, 100, celsius + ZERO
    size = thickness / cells
    settled = sorption.equilibrium_moisture(temperature=t, relative_humidity=humidity)
    saturated = air.saturation_pressure_over_water(temperature=t)
    vapour = humidity * saturated
    bulb = air.wet_bulb(temperature=t, relative_humidity=humidity, pressure=101325.0)
    covered = film / (exchange * (air.saturation_pressure_over_water(temperature=bulb) - vapour))

    def out(cell, diffusivity):
        low, high, inward = settled, cell, 0.0
        for _ in range(40):
            face = (low + high) / 2
            inward = density * diffusivity * (cell - face) / (size / 2)
            outward = exchange * (saturated * sorption.equilibrium_humidity(temperature=t, moisture=face) - vapour)
            low, high = (face, high) if inward > outward else (low, face)
        return inward

    def change(_, moisture, open_face):
        bound = np.minimum(moisture, 0.288)
        d = diffusion.transverse_diffusivity(temperature=t, moisture=bound, basic_density=density)
        between = density * (moisture[1:] - moisture[:-1]) / (size / 2 * (1 / d[1:] + 1 / d[:-1]))
        first = out(moisture[0], d[0]) if open_face else 0.0
        return np.diff(np.concatenate(([first], between, [-out(moisture[-1], d[-1])]))) / (density * size)

    start = np.full(cells, settled)
    start[: round(depth / size)] = filled
    accuracy = {"rtol": 1e-6, "atol": 1e-8}
    wet = solve_ivp(change, (0, covered), start, "BDF", args=(False,), **accuracy).y[:, -1]
    times = np.asarray(hours) * 3600.0
    dry = solve_ivp(change, (covered, times[-1]), wet, "BDF", times, args=(True,), **accuracy).y
    return dry[: round(0.006 / size)].mean(axis=0)


# SciPy's BDF leaves its table of differences unset at first, and subtracts in rows it has not filled yet.
@pytest.mark.filterwarnings("ignore:.* encountered in subtract:RuntimeWarning")
def test_fine_grid(engine):
    """0.05 points between the stored value and the one found anew."""
    found = [c for c in engine.shelf.records("check").values() if c.source == "scipy-solve-ivp"]
    assert len(found) == 1
    for case in found[0].cases:
        density = spread.value(engine.shelf.record("species", case.input["species"]).basic_density.number)
        depth = given(case, "wetted_depth", "length")
        celsius = given(case, "temperature", "temperature") - ZERO
        hours = [int(name.split(".")[3]) for name in case.expected]
        again = fine_grid(density, depth, celsius, given(case, "relative_humidity", "fraction"), hours)
        stored = [units.read(text, "fraction") for text in case.expected.values()]
        assert 100 * again == pytest.approx(100 * np.array(stored), abs=0.05), case.id
