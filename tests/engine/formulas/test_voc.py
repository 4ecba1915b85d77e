"""VOC content on both bases, held against the formula a state prints and worked values."""

import pytest

from latewood.formulas import voc


def regulatory(content: float, water: float, exempt: float, exempt_density: float, water_density: float) -> float:
    """Contents in kg/L, densities in kg/L, as the worked table has them; returned in g/L."""
    return voc.regulatory_voc_content(
        voc_content=content * 1e3,
        water_content=water * 1e3,
        water_density=water_density * 1e3,
        exempt_content=exempt * 1e3,
        exempt_density=exempt_density * 1e3,
    )


@pytest.mark.parametrize(
    ("content", "water", "exempt", "density", "at_995", "at_1000"),
    # Hand-worked from A/(1 - B/0.995 - C/D), Maryland COMAR 26.11.19.02, to one decimal.
    [
        (0.100, 0.600, 0.0, 1.0, 251.9, 250.0),
        (0.050, 0.500, 0.0, 1.0, 100.5, 100.0),
        (0.120, 0.700, 0.0, 1.0, 404.7, 400.0),
        (0.250, 0.0, 0.0, 1.0, 250.0, 250.0),
        (0.100, 0.300, 0.200, 0.79, 224.6, None),
    ],
)
def test_less_water_and_exempt_compounds(content, water, exempt, density, at_995, at_1000):
    assert regulatory(content, water, exempt, density, 0.995) == pytest.approx(at_995, abs=0.05)
    assert regulatory(content, water, exempt, density, 0.995) == pytest.approx(
        1e3 * content / (1 - water / 0.995 - exempt / density), rel=1e-12
    )
    if at_1000 is not None:
        assert regulatory(content, water, exempt, density, 1.0) == pytest.approx(at_1000, abs=0.05)


def test_water_density_alone_decides_a_limit_of_250():
    assert regulatory(0.100, 0.600, 0.0, 1.0, 1.0) <= 250 * (1 + 1e-12)
    assert regulatory(0.100, 0.600, 0.0, 1.0, 0.995) > 250


def test_regulatory_is_never_below_product_content():
    for water in (0.0, 0.2, 0.6):
        for exempt in (0.0, 0.1):
            assert regulatory(0.1, water, exempt, 0.79, 0.997) >= 100 * (1 - 1e-12)


def test_mass_and_content_are_inverse():
    mass = voc.voc_mass(volume=5e-3, voc_content=400.0)
    assert mass == pytest.approx(2.0)
    assert voc.product_voc_content(voc_mass=mass, volume=5e-3) == pytest.approx(400.0)
