"""Equilibrium moisture, held against the Wood Handbook's table."""

import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import sorption

ZERO = 273.15

#: Wood Handbook, FPL-GTR-190, table 4-2: a column of every 20 °F, per cent. The whole table is in the shipped checks.
TABLE = {
    (30, 5): 1.4, (30, 50): 9.5, (30, 80): 16.5, (50, 20): 4.6, (50, 65): 12.3, (70, 30): 6.2, (70, 65): 12.0,
    (70, 85): 17.9, (90, 40): 7.4, (90, 75): 13.9, (110, 55): 9.2, (110, 85): 16.6, (130, 10): 2.0, (130, 70): 11.3,
}  # fmt: skip


@pytest.mark.parametrize(("cell", "percent"), TABLE.items())
def test_handbook_table(cell, percent):
    """0.07 points: the cells are rounded to 0.1, and the form in °C differs by up to 0.013 from that in °F."""
    t = (cell[0] - 32) / 1.8 + ZERO
    got = sorption.equilibrium_moisture(temperature=t, relative_humidity=cell[1] / 100)
    assert 100 * got == pytest.approx(percent, abs=0.07)


def test_the_constants_in_fahrenheit_give_the_same():
    """The same equation with the handbook's constants in °F, two independent source files; at most 0.015 points."""
    for f in range(30, 131, 10):
        h = np.arange(0.05, 0.96, 0.05)
        w = 330 + 0.452 * f + 0.00415 * f * f
        k = 0.791 + 0.000463 * f - 0.000000844 * f * f
        k1 = 6.34 + 0.000775 * f - 0.0000935 * f * f
        k2 = 1.09 + 0.0284 * f - 0.0000904 * f * f
        kh = k * h
        theirs = 1800 / w * (kh / (1 - kh) + (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2))
        ours = sorption.equilibrium_moisture(temperature=(f - 32) / 1.8 + ZERO, relative_humidity=h)
        assert np.abs(100 * ours - theirs).max() < 0.015


def test_a_known_slip_in_the_constants_is_not_ours():
    """A published source has K2 with 0.0171 for 0.0284, which gives 11.44 % at 70 °F and 65 %; the table says 12.0."""
    assert 100 * sorption.equilibrium_moisture(
        temperature=(70 - 32) / 1.8 + ZERO, relative_humidity=0.65
    ) == pytest.approx(11.96, abs=0.01)


def test_all_cells_of_the_table_are_shipped_as_checks():
    folder = Path(__file__).parents[3] / "plugins/latewood_plugins/checks"
    cells = [
        case
        for name in ("moisture_table", "moisture_table_recalled")
        for case in tomllib.loads((folder / f"{name}.toml").read_text())["cases"]
    ]
    assert len(cells) == 19 * 11
    assert len({(case["input"]["temperature"], case["input"]["relative_humidity"]) for case in cells}) == 19 * 11


@pytest.mark.parametrize(("percent", "humidity"), [(12, 65.0), (15, 76.8), (16, 79.9), (18, 85.0), (20, 89.1)])
def test_humidity_at_which_a_limit_is_met(percent, humidity):
    """20 °C, solved in another program by bisection: a 15 % limit cannot be met where it is damper than 76.8 %."""
    got = sorption.equilibrium_humidity(temperature=293.15, moisture=percent / 100)
    assert 100 * got == pytest.approx(humidity, abs=0.06)


def test_greatest_moisture():
    """Wood Handbook 2021, eq. 4-3: 157 % at 0.45, 53 % at 0.85, 258 % at 0.31."""
    got = sorption.greatest_moisture(basic_density=np.array([450.0, 850.0, 310.0]))
    assert np.round(100 * got).tolist() == [157, 53, 258]


@given(t=st.floats(253, 328), h=st.floats(0, 1))
def test_there_and_back(t, h):
    moisture = sorption.equilibrium_moisture(temperature=t, relative_humidity=h)
    assert sorption.equilibrium_humidity(temperature=t, moisture=moisture) == pytest.approx(h, abs=1e-9)


@given(t=st.floats(253, 328), h=st.floats(0, 0.99))
def test_damper_air_never_means_drier_wood(t, h):
    drier = sorption.equilibrium_moisture(temperature=t, relative_humidity=h)
    assert sorption.equilibrium_moisture(temperature=t, relative_humidity=h + 0.01) > drier


def test_wood_wetter_than_saturated_air_makes_it_is_at_saturation():
    assert sorption.equilibrium_humidity(temperature=293.15, moisture=0.6) == 1.0
