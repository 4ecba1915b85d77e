"""Area, spreading rate, volume and wet film, held against printed conversions and identities."""

import numpy as np
import pytest

from latewood.formulas import spreading
from latewood.quantities import units
from latewood.uncertainty import spread

LITRE = 1e-3
#: NIST Handbook 44, Appendix C: the US gallon is 231 cubic inches, the foot 0.3048 m, both exactly.
FT2, US_GAL = 0.3048**2, 231 * 0.0254**3


def test_one_gallon_on_one_square_foot_is_1604_mil():
    """Printed as 1,604 ft2 mil/gal in coating texts (a coverage note on scribd, document 343849341, and others)."""
    wet = spreading.wet_film_thickness(spreading_rate=FT2 / US_GAL)
    assert units.show(wet, "mil", "length") == pytest.approx(231 / 0.001 / 144, rel=1e-8)
    # Printed to four digits: half a unit of the last is 0.03 %.
    assert units.show(wet, "mil", "length") == pytest.approx(1604, abs=0.5)


def test_one_litre_at_one_micrometre_covers_a_thousand_square_metres():
    assert spreading.volume_laid_on(area=1000.0, spreading_rate=1 / 1e-6) == pytest.approx(LITRE, rel=1e-12)
    assert spreading.wet_film_thickness(spreading_rate=10 / LITRE) == pytest.approx(100e-6, rel=1e-12)


@pytest.mark.parametrize(("us", "printed"), [(200, 4.9), (400, 9.8), (100, 2.4)])
def test_the_handbook_prints_the_same_rate_in_both_units(us, printed):
    """Wood Handbook, FPL-GTR-190, p. 375 of the copy read: 200-400 ft2/gal is 4.9-9.8 m2/L; 100 is 2.4 (two digits)."""
    assert units.read(f"{us} ft2/us_gal", "spreading-rate") * LITRE == pytest.approx(printed, abs=0.055)


@pytest.mark.parametrize(("us", "metric"), [(1, 24.5424e-3), (200, 4.908), (400, 9.817)])
def test_square_feet_per_gallon_in_metric(us, metric):
    """Hand-worked from the exact definitions of foot and gallon; printed to four digits or more."""
    rate = units.read(f"{us} ft2/us_gal", "spreading-rate") * LITRE
    assert rate == pytest.approx(us * FT2 / US_GAL * LITRE, rel=1e-12)
    assert rate == pytest.approx(metric, rel=1e-4)


@pytest.mark.parametrize(("us", "um"), [(200, 203.7), (400, 101.9)])
def test_wet_film_of_the_handbook_rates(us, um):
    """Hand-worked: 231 in3 on 200 and on 400 ft2, to four digits."""
    rate = units.read(f"{us} ft2/us_gal", "spreading-rate")
    assert spreading.wet_film_thickness(spreading_rate=rate) * 1e6 == pytest.approx(um, abs=0.05)


def test_laid_on_is_retained_and_wiped_off():
    """Volume balance, for any share wiped off, and back from the rate of what is retained."""
    for share in (0.0, 0.1, 0.35, 0.9):
        off = spreading.volume_wiped_off(applied=5.0, wiped_off=share)
        stays = spreading.volume_retained(applied=5.0, wiped_off=share)
        assert off + stays == pytest.approx(5.0, rel=1e-12)
        rate = spreading.rate_as_applied(retained_rate=40.0 / stays, wiped_off=share)
        assert spreading.volume_laid_on(area=40.0, spreading_rate=rate) == pytest.approx(5.0, rel=1e-12)


def test_overall_rate_is_the_harmonic_mean_not_the_arithmetic_one():
    """10 m2 at 5 m2/L and 10 m2 at 10 m2/L take 3 L, so 20/3 m2/L, not 7.5."""
    rates = np.array([5e3, 10e3])
    volume = spreading.volume_laid_on(area=10.0, spreading_rate=rates).sum()
    assert spreading.overall_spreading_rate(area=20.0, volume=volume) == pytest.approx(20e3 / 3, rel=1e-12)


def test_arrays_and_uncertain_quantities_pass():
    rate = spread.from_range("test/rate", 4e3, 9e3)
    volume = spreading.volume_laid_on(area=36.0, spreading_rate=rate)
    assert (spread.low(volume), spread.value(volume), spread.high(volume)) == pytest.approx((4e-3, 6e-3, 9e-3))
    share = np.array([0.6, 0.8])
    assert spreading.later_coat_volume(first_coat=2.0, share=share) == pytest.approx([1.2, 1.6])
