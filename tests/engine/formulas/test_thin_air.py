"""Drying high up: pressures and wet bulbs by psychrolib, after ASHRAE Handbook, Fundamentals 2017, ch. 1."""

from __future__ import annotations

import pytest
from tests.bundled import bundled
from tests.truth.thin_air import HEIGHTS, High, at

from latewood.formulas import diffusion


@pytest.fixture(scope="module")
def found() -> list[High]:
    lw = bundled()
    return [at(lw, height) for height in HEIGHTS]


def test_pressure_and_wet_bulb_are_those_of_psychrolib(found: list[High]) -> None:
    """The same equation for the pressure; another curve of saturation, so 0.1 K for the bulb."""
    for one in found:
        assert one.pressure == pytest.approx(one.pressure_by, rel=1e-4)
        assert one.bulb == pytest.approx(one.bulb_by, abs=0.1)
        assert one.film == pytest.approx(one.film_by, rel=0.02)


def test_what_thin_air_gains_in_exchange_it_lacks_in_heat(found: list[High]) -> None:
    """The wet bulb is colder and less heat comes to it: a film lasts a little longer, and inside wood nothing changes.

    By psychrolib's wet bulbs 4.20 K at sea level and 4.65 K at 2500 m, by the root of the pressure 0.859 of the heat:
    1/(0.859 × 4.65/4.20) = 1.05.
    """
    low, high = found
    assert high.film / low.film == pytest.approx(1.05, abs=0.01)
    assert high.wait / low.wait == pytest.approx(1.0, abs=0.01)
    assert high.wait != low.wait


def test_exchange_goes_with_the_root_of_the_pressure_upside_down() -> None:
    """Lewis: β = h·0.622/(p·c_p); laminar flow along a plate: h ∝ ρ^½ (textbooks of heat transfer, recalled)."""
    ratio = diffusion.vapour_exchange(8.2, 101325.0 / 4) / diffusion.vapour_exchange(8.2)
    assert ratio == pytest.approx(2.0)
    assert diffusion.vapour_exchange(8.2) == pytest.approx(5e-8, rel=0.01)


def test_preparation_dries_in_the_air_of_its_height() -> None:
    lw = bundled()
    asked = {"area": "30 m2", "species": "ipe", "temperature": "20 degC", "relative_humidity": "65 %"}
    answers = [lw.calculate("preparation", **asked, elevation=height) for height in ("0 m", "2500 m")]
    waits = [answer["result"]["drying_time"]["value"] for answer in answers]
    assert waits[0] < waits[1] < 1.01 * waits[0]
