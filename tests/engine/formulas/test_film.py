"""Volume solids and film thickness, held against printed worked examples."""

import pytest

from latewood.formulas import film, loss
from latewood.quantities import units
from latewood.uncertainty import spread


def rate(solids: float, dry: str, unit: str) -> float:
    got = film.rate_from_film(volume_solids=solids, dry_film_thickness=units.read(dry, "length"))
    return units.show(got, unit, "spreading-rate")


def test_coverage_note_65_percent_5_mil():
    """Scribd, document 343849341: 1604 × 0.65/5 = 208.52 ft2/gal. It rounds 1604.17 to 1604: 0.0104 % low."""
    assert rate(0.65, "5 mil", "ft2/us_gal") == pytest.approx(208.52, rel=1.1e-4)
    assert rate(0.65, "5 mil", "ft2/us_gal") == pytest.approx(208.5417, rel=1e-6)


def test_coverage_note_65_percent_125_um():
    """The same note: 1000 × 0.65/125 = 5.2 m2/L, exact. (It prints its formula once with 100: a slip.)"""
    assert rate(0.65, "125 um", "m2/L") == pytest.approx(5.2, rel=1e-12)


def test_column_of_october_2003_52_percent_transfer_30():
    """paintcenter.org/rj/oct03e: 1604 × 1 × 0.52 × 0.30/1.5 = 167 ft2, printed to whole square feet."""
    theoretical = film.rate_from_film(volume_solids=0.52, dry_film_thickness=units.read("1.5 mil", "length"))
    # A transfer efficiency of 30 % is a loss of 70 % of what is drawn: the area of one gallon is r·(1 − L).
    gallon = units.read("1 us_gal", "volume")
    area = gallon * theoretical * (gallon / loss.drawn_with_loss_of_applied(laid_on=gallon, loss=0.7))
    assert units.show(area, "ft2", "area") == pytest.approx(167, abs=0.5)


@pytest.mark.parametrize(("solids", "printed"), [(0.46, 294), (0.56, 358)])
def test_trade_article_rounds_the_constant(solids, printed):
    """paintpro.net, article PP504: 2.5 mil dry at 46 and 56 % gives 294 and 358 ft2/gal.

    Both follow from 1600 for 1604.17 with the decimals cut off (294.4 and 358.4), so it may be up to 0.5 % low.
    """
    assert int(rate(solids, "2.5 mil", "ft2/us_gal") * 1600 / (231 / 0.144)) == printed
    assert rate(solids, "2.5 mil", "ft2/us_gal") == pytest.approx(printed, rel=5e-3)


def test_thinned_ten_percent():
    """sorwarchem.blogspot.com, April 2022: 50/1.10 = 45.45 %; at 60 um 7.57 m2/L; at 30 % loss 5.299 m2/L."""
    solids = film.thinned_solids(volume_solids=0.5, thinning=0.1)
    assert solids == pytest.approx(0.4545, abs=5e-5)
    theoretical = film.rate_from_film(volume_solids=solids, dry_film_thickness=60e-6)
    assert theoretical * 1e-3 == pytest.approx(7.576, abs=5e-4)
    practical = 1 / loss.drawn_with_loss_of_applied(laid_on=1 / theoretical, loss=0.3)
    # It goes on with the rounded 7.57, which is 0.08 % low.
    assert practical * 1e-3 == pytest.approx(5.299, rel=1e-3)
    assert practical * 1e-3 == pytest.approx(5.303, abs=5e-4)


@pytest.mark.parametrize(
    ("dry", "solids", "thinner", "printed"),
    # Scribd, document 394060368 (Paint Calculation): 154 and 185 um; document 476982351 (tech note 5.3): 176 um.
    # Printed to whole micrometres; the first document rounds the thinned solids to 54 % on its second way.
    [(100, 0.65, 0.0, 154), (100, 0.65, 0.2, 185), (125, 0.71, 0.0, 176), (50, 0.40, 0.0, 125)],
)
def test_wet_film_for_a_dry_one(dry, solids, thinner, printed):
    as_used = film.thinned_solids(volume_solids=solids, thinning=thinner)
    wet = film.wet_film_for(dry_film_thickness=dry * 1e-6, volume_solids=as_used)
    assert wet * 1e6 == pytest.approx(printed, abs=0.5)
    assert film.dry_film_thickness(wet_film_thickness=wet, volume_solids=as_used) == pytest.approx(dry * 1e-6)


@pytest.mark.parametrize(
    ("solids", "row"),
    # A coating maker's leaflet (scribd, document 290710110, address known, name withheld): theoretical spreading rate
    # by volume solids at 25, 50, 75, 100, 125, 150, 200 and 400 um, one decimal.
    [
        (1.00, (40.0, 20.0, 13.3, 10.0, 8.0, 6.7, 5.0, 2.5)),
        (0.65, (26.0, 13.0, 8.7, 6.5, 5.2, 4.3, 3.3, 1.6)),
        (0.45, (18.0, 9.0, 6.0, 4.5, 3.6, 3.0, 2.3, 1.1)),
    ],
)
def test_leaflet_table_of_spreading_rates(solids, row):
    for dry, printed in zip((25, 50, 75, 100, 125, 150, 200, 400), row, strict=True):
        got = film.rate_from_film(volume_solids=solids, dry_film_thickness=dry * 1e-6) * 1e-3
        # One decimal, and halves are rounded down as often as up (1.625 is printed 1.6, 2.25 is printed 2.3).
        assert got == pytest.approx(printed, abs=0.0501)


def test_thinning_takes_no_more_product():
    """The solids are the same, so the product drawn for a dry film does not depend on the thinner. Identity."""
    for thinner in (0.0, 0.1, 0.5):
        solids = film.thinned_solids(volume_solids=0.4, thinning=thinner)
        mixture = 50.0 / film.rate_from_film(volume_solids=solids, dry_film_thickness=60e-6)
        product = film.volume_before_thinning(mixture=mixture, thinning=thinner)
        assert product == pytest.approx(50.0 * 60e-6 / 0.4, rel=1e-12)


def test_an_uncertain_film_gives_an_uncertain_rate():
    dry = spread.from_range("test/dry", 40e-6, 90e-6)
    got = film.rate_from_film(volume_solids=0.36, dry_film_thickness=dry)
    assert (spread.low(got), spread.value(got), spread.high(got)) == pytest.approx((4e3, 6e3, 9e3))
