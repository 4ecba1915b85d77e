"""Waste of each calculator: kind, mass and container, what it is where lead or arsenic may be in it, and its end."""

import pytest

from latewood.messages import in_english
from latewood.records import Waste, read_pack
from latewood.uncertainty import spread

WASTES = [record for record in read_pack("latewood_plugins") if isinstance(record, Waste)]
LAID = {"coating": "clear-penetrating-oil", "course_length": "4 m", "pitch": "150 mm", "courses": 40, "appliers": 1}
LAID |= {"wipers": 1, "species": "ipe"}


@pytest.mark.parametrize("record", WASTES, ids=lambda one: one.id)
def test_no_waste_ends_in_a_drain_or_dries_in_a_bin(record):
    """Common practice, no source: never down a drain, never in a bin to dry, and a collector at the end."""
    said = " ".join(record.ending).casefold()
    assert "drain" in said or "bin to dry" in said
    assert any(word in said for word in ("none", "never"))
    assert any(word in said for word in ("collector", "authority", "collection point", "local rules"))
    assert all(len(action.split()) <= 20 for action in record.ending)


def test_oily_cloths_are_counted_weighed_and_kept_wet(run):
    result, _ = run("wipe-cadence", **LAID)
    (row,) = result.waste
    assert (row.id, row.hazardous) == ("oily-cloths", "no")
    # Judgement: a cloth of 100 g with the finish in it.
    assert spread.value(row.waste_mass) == pytest.approx(result.cloths * 0.1, rel=1e-6)
    assert row.container_count >= 1
    assert "tight lid" in in_english(row.container)
    ending = " ".join(in_english(action) for action in row.ending)
    assert "spread them flat outdoors until hard" in ending
    assert ending in in_english(next(duty.message for duty in result.duties if duty.id == "end-of-day"))


LEADED = {"treatment": "none", "old_coating": "paint", "year_built": 1965, "extraction": "shroud-hepa"}


@pytest.mark.parametrize(
    ("given", "kind", "hazardous"),
    [
        ({"treatment": "none", "old_coating": "none"}, "sanding-dust", "no"),
        ({"treatment": "none", "old_coating": "clear-penetrating-oil", "year_built": 2019}, "oiled-dust", "no"),
        # Lead paint before 1978 in the United States, sanded with a shroud and HEPA: 40 CFR 745.83, 745.85(a)(3).
        ({**LEADED, "lead_test": "not-tested"}, "hazardous-dust", "suspected"),
        ({**LEADED, "lead_test": "found"}, "hazardous-dust", "yes"),
    ],
)
def test_dust_goes_by_what_is_in_it(run, given, kind, hazardous):
    faces = [{"zone": "main", "part": "field", "area": "38 m2"}]
    result, _ = run("abrasive-sequence", faces=faces, species="ipe", jurisdiction="US-NY", **given)
    (row,) = result.waste
    assert (row.id, row.hazardous) == (kind, hazardous)
    assert spread.value(row.waste_mass) == pytest.approx(spread.value(result.dust_mass))
    # Judgement: dust lies at about 200 kg/m3, so that 12.6 kg are 63 L, two or three bags of 25 to 30 L.
    litres = spread.value(row.waste_volume) * 1000
    # The median of a quotient of uneven spreads lies a few hundredths off the quotient of their medians.
    assert litres == pytest.approx(spread.value(row.waste_mass) / 200 * 1000, rel=0.05)
    assert row.container_count >= litres / 25


@pytest.mark.parametrize(
    ("given", "kind", "hazardous"),
    [
        ({"old_coating": "none"}, "wash-water", "no"),
        ({"old_coating": "paint", "year_built": 1965, "jurisdiction": "US-NY"}, "hazardous-wash-water", "suspected"),
    ],
)
def test_wash_water_is_led_away_or_caught(run, given, kind, hazardous):
    asked = {"area": "30 m2", "species": "ipe", "treatment": "none", "stages": [{"agent": "detergent"}], **given}
    asked |= {"frame": {"material": "metal"}}
    result, _ = run("wash", **asked)
    (row,) = result.waste
    assert (row.id, row.hazardous, result.verdict) == (kind, hazardous, "go")
    # A litre of water weighs a kilogram.
    assert spread.value(row.waste_mass) == pytest.approx(spread.value(result.water_volume) * 1000)
    assert (row.container_count is None) is (kind == "wash-water")
    run_off = in_english(next(one.message for one in result.protection if one.id == "run-off"))
    assert "storm drain" in run_off


def test_a_wash_that_stops_leaves_nothing(run):
    asked = {"area": "30 m2", "species": "ipe", "treatment": "none", "stages": [{"agent": "dichloromethane"}]}
    assert run("wash", **asked)[0].waste == ()


@pytest.mark.parametrize(("year", "kind"), [(1965, "hazardous-film"), (2015, "masking-film")])
def test_masking_film_goes_by_its_area(run, year, kind):
    border = {"id": "house", "adjoins": "painted-wall", "length": "5 m"}
    asked = {"works": ["sanding"], "borders": [border], "area": "20 m2", "below": "paving", "old_coating": "none"}
    result, _ = run("masking", **asked, wall_coating="paint", year_built=year, jurisdiction="US-NY")
    (row,) = result.waste
    area = spread.value(result.sheet_area) + spread.value(result.cover_area)
    assert row.id == kind
    # Polyethylene at 920 kg/m3, 100 µm: 92 g/m2.
    assert spread.value(row.waste_mass) == pytest.approx(area * 0.092, rel=0.02)


def test_finish_that_is_left_over_stays_in_its_can(run):
    faces = [{"zone": "main", "part": "field", "area": "30 m2"}]
    result, _ = run("coverage", faces=faces, species="ipe", coating="clear-penetrating-oil", jurisdiction="US-NY")
    (row,) = result.waste
    assert row.id == "leftover-finish"
    assert spread.value(row.waste_volume) == pytest.approx(spread.value(result.purchase.left_over))
    assert run("coverage", faces=faces, species="ipe", coating="leave-to-grey")[0].waste == ()
