"""Routes and rates as records: what cannot be one is refused when the file is read."""

import pytest

from latewood.records import BadRecord, Rate, Route, read_pack, read_record
from latewood.records.route import SANDS, WETS

RECORDS = read_pack("latewood_plugins")
ROUTES = [record for record in RECORDS if isinstance(record, Route)]
RATES = [record for record in RECORDS if isinstance(record, Rate)]

HEAD = """
schema = 1
record = "route"
id = "demo"
title = "Demo"
summary = "Invented."
suits = ["bare"]
"""
WASH = """
[[steps]]
id = "wash"
does = "wash"
why = "invented"
rate = { any = "wash-and-rinse" }
"""
SAND = """
[[steps]]
id = "sand"
does = "sand"
why = "invented"
rate = { any = "sand-later" }
"""
DRY = """
[least_dry]
value = "12 h"
source = "judgement"
where = "invented"
kind = "judgement"

[sand_at]
value = "20 %"
source = "judgement"
where = "invented"
kind = "judgement"
"""


def faults(text):
    with pytest.raises(BadRecord) as caught:
        read_record(text, "demo")
    return {fault.pointer for fault in caught.value.faults}


def test_a_route_is_read():
    route = read_record(HEAD + WASH + SAND + DRY, "demo")
    assert isinstance(route, Route)
    assert (route.wets, route.sands) == (True, True)


def test_a_wash_after_the_final_sanding_is_refused():
    """Trade rule: no wash after final sanding."""
    assert faults(HEAD + SAND + WASH + DRY) == {"/steps/1/does"}
    assert faults(HEAD + WASH + SAND + WASH.replace('id = "wash"', 'id = "again"') + DRY) == {"/steps/2/does"}


def test_wet_wood_that_is_sanded_has_a_time_to_dry():
    assert faults(HEAD + WASH + SAND) == {"/least_dry", "/sand_at"}
    assert isinstance(read_record(HEAD + WASH, "demo"), Route)


@pytest.mark.parametrize("rate", ['{ softwood = "sand-later" }', '{ any = "sand-later", oak = "sand-later" }'])
def test_every_surface_has_a_rate(rate):
    assert faults(HEAD + SAND.replace('{ any = "sand-later" }', rate)) == {"/steps/0/rate"}


def test_only_sanding_is_paced_by_the_practice():
    """How fast a grade goes is the machine's and the practice's; whatever else is done has its rate."""
    assert isinstance(read_record(HEAD + SAND.replace('rate = { any = "sand-later" }', ""), "demo"), Route)
    assert faults(HEAD + WASH.replace('rate = { any = "wash-and-rinse" }', "")) == {"/steps/0/rate"}


@pytest.mark.parametrize("route", ROUTES, ids=lambda route: route.id)
def test_no_route_of_the_shelf_wets_what_is_sanded(route):
    kinds = [step.does for step in route.steps]
    sanded = [index for index, does in enumerate(kinds) if does in SANDS]
    wetted = [index for index, does in enumerate(kinds) if does in WETS]
    assert not sanded or not wetted or max(wetted) < max(sanded)
    assert kinds[-1] == "vacuum" or not sanded or "boards" not in route.serves


def test_the_shelf_has_the_routes_that_are_compared():
    wanted = {"sand", "wash-and-sand", "strip-and-sand", "sand-off-film", "refresh"}
    assert wanted <= {route.id for route in ROUTES}


def test_a_film_is_only_taken_on_by_what_takes_it_off():
    floors = [route for route in ROUTES if "boards" in route.serves]
    assert {route.id for route in floors if "film" in route.suits} == {"strip-and-sand", "sand-off-film"}


def test_a_rate_is_counted_in_one_way():
    text = """
schema = 1
record = "rate"
id = "demo"
title = "Demo"
summary = "Invented."
task = "invented"
"""
    number = '\nlow = "{0} {1}"\nhigh = "{2} {1}"\nspread = "p10-p90"\n'
    number += 'source = "judgement"\nwhere = "x"\nkind = "judgement"\n'
    by_area = "[area_pace]" + number.format(1, "m2/h", 2)
    assert isinstance(read_record(text + by_area, "demo"), Rate)
    assert faults(text) == {"/area_pace"}
    assert faults(text + by_area + "[time]" + number.format(1, "h", 2)) == {"/area_pace"}


@pytest.mark.parametrize("rate", RATES, ids=lambda rate: rate.id)
def test_every_rate_is_a_range_and_says_it_is_practice(rate):
    """No published rate was found for these tasks; what is derived says from what."""
    assert rate.pace.low < rate.pace.high
    assert rate.pace.evidence in ("common-practice", "judgement", "derived", "published")


def test_the_shelf_holds_the_paces_of_practice():
    """Common practice, no source: m2 an hour and person, slow, usual and fast."""
    by_id = {rate.id: rate.pace for rate in RATES}
    usual = {
        "sand-first-softwood": (5, 10, 15),
        "sand-first-hardwood": (3.5, 7, 11),
        "sand-first-film": (1.5, 3, 6),
        "sand-later": (8, 14, 20),
        "wash-and-rinse": (15, 30, 50),
        "vacuum-floor": (50, 90, 150),
    }
    for name, triple in usual.items():
        found = (by_id[name].low, by_id[name].si, by_id[name].high)
        assert tuple(3600 * number for number in found) == pytest.approx(triple)
