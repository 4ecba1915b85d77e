"""Limits with dates, and what is sold where."""

from datetime import date

import pytest

from latewood.records import BadRecord, Dated, Region, read_record


def faults_of(text: str) -> list[str]:
    with pytest.raises(BadRecord) as caught:
        read_record(text, "demo")
    return str(caught.value).splitlines()


LIMITS = """
schema = 1
record = "voc-limits"
id = "demo"
title = "Demonstration limits"
summary = "Invented for this test."
jurisdictions = ["XA", "XB-C"]
automatic = true
basis = "product"

[[limits.stains]]
from = 2007-01-01
value = "500 g/L"
source = "demo"
kind = "judgement"

[[limits.stains]]
from = 2010-01-01
value = "400 g/L"
source = "demo"
kind = "judgement"
"""


@pytest.mark.parametrize(
    ("day", "limit"),
    [
        ("2006-12-31", None),
        ("2007-01-01", 500),
        ("2009-12-31", 500),
        ("2010-01-01", 400),
        ("2030-01-01", 400),
        (None, 400),
    ],
)
def test_a_dated_number_is_the_one_in_force(day, limit):
    dated = read_record(LIMITS, "demo").limits["stains"]
    assert isinstance(dated, Dated)
    found = dated.on(date.fromisoformat(day) if day else None)
    assert (found and found.si) == limit


def test_each_entry_of_a_dated_number_has_its_own_path():
    assert list(read_record(LIMITS, "demo").numbers) == [
        "voc-limits/demo/limits/stains/2007-01-01",
        "voc-limits/demo/limits/stains/2010-01-01",
    ]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("2007-01-01", "2011-01-01", "limits.stains: the entries do not follow one another"),
        ("2007-01-01", "2010-01-01", "limits.stains: the entries do not follow one another"),
        ("from = 2007-01-01\n", "", "limits.stains.0.from: the field is missing"),
        ("from = 2007-01-01", "from = 2007", "limits.stains.2007.from: a whole number was given; expected a date"),
        ('"XA"', '"Xanadu"', "jurisdictions.0: 'Xanadu' does not have the right form; expected an ISO 3166 code"),
    ],
)
def test_a_bad_dated_number_is_refused(old, new, said):
    assert old in LIMITS
    assert any(said in line for line in faults_of(LIMITS.replace(old, new, 1)))


def test_a_country_takes_in_its_parts_and_not_the_other_way():
    limits = read_record(LIMITS, "demo")
    assert [limits.covers(place) for place in ("XA", "XA-N", "XB-C", "XB", "XB-D", "XAB")] == [True, True, True] + [
        False
    ] * 3


STRICTER = """
[stricter]
parts = "may"
look_up = "the rule of the part"
source = "demo"
kind = "judgement"
rules = [{ jurisdictions = ["XA-N"], title = "Rule of the north", source = "demo", kind = "judgement" }]
"""


def test_a_rule_names_the_rules_of_its_parts():
    stricter = read_record(LIMITS + STRICTER, "demo").stricter
    assert (stricter.parts, stricter.look_up) == ("may", "the rule of the part")
    assert [(rule.jurisdictions, rule.title) for rule in stricter.rules] == [(("XA-N",), "Rule of the north")]
    # Silence is no promise that nobody is stricter.
    assert read_record(LIMITS, "demo").stricter is None


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('look_up = "the rule of the part"\n', "", "stricter.look_up: a part may be stricter, and what to look up"),
        ('parts = "may"', 'parts = "may-not"', "stricter.rules: rules of parts are named, and none may be stricter"),
        ('parts = "may"', 'parts = "perhaps"', "stricter.parts: 'perhaps' is not known here"),
    ],
)
def test_a_bad_word_on_stricter_rules_is_refused(old, new, said):
    assert old in STRICTER
    assert any(said in line for line in faults_of(LIMITS + STRICTER.replace(old, new, 1)))


def test_a_category_for_few_solids_has_a_limit():
    few = '[low_solids_category]\nstains = "{}"\n'
    assert read_record(LIMITS + few.format("stains"), "demo").low_solids_category == {"stains": "stains"}
    said = "low_solids_category.stains: there is no limit for 'stain'"
    assert any(said in line for line in faults_of(LIMITS + few.format("stain")))


def test_a_category_split_by_carrier_has_both_limits():
    split = '[by_carrier.finish]\nwater = "stains"\nsolvent = "{}"\n'
    rule = read_record(LIMITS + split.format("stains"), "demo")
    assert rule.rows("finish", "water") == (("stains", "water"),)
    assert rule.rows("finish", None) == (("stains", "water"), ("stains", "solvent"))
    assert (rule.rows("stains", "water"), rule.rows("other", None)) == ((("stains", None),), ())
    said = "by_carrier.finish.solvent: there is no limit for 'stain'"
    assert any(said in line for line in faults_of(LIMITS + split.format("stain")))


def test_a_category_split_by_gloss_has_a_limit_for_each():
    split = '[by_gloss.finish]\nflat = "stains"\nnonflat = "stains"\nhigh_gloss = "{}"\n'
    rule = read_record(LIMITS + split.format("stains"), "demo")
    assert rule.rows("finish", "water", "high-gloss") == (("stains", None),)
    assert rule.rows("finish", None) == (("stains", None),)
    assert (rule.divides("finish"), rule.divides("stains")) == ("gloss", None)
    said = "by_gloss.finish.high_gloss: there is no limit for 'stain'"
    assert any(said in line for line in faults_of(LIMITS + split.format("stain")))
    both = split.format("stains") + '[by_carrier.finish]\nwater = "stains"\nsolvent = "stains"\n'
    assert any("by carrier and by gloss" in line for line in faults_of(LIMITS + both))


REGION = """
schema = 1
record = "region"
id = "demo"
title = "Demonstration market"
summary = "Invented for this test."
jurisdictions = ["XA"]
currency = "XTS"
units = "metric"

[[container_sizes]]
id = "can"
size = { value = "2.5 L", source = "demo", kind = "judgement" }
fill = { value = "2.4 L", source = "demo", kind = "judgement" }

[[container_sizes]]
id = "drum"
size = { value = "10 L", source = "demo", kind = "judgement" }
"""


def test_a_container_holds_its_fill_where_that_is_given():
    region = read_record(REGION, "demo")
    assert isinstance(region, Region)
    assert [container.content.si for container in region.container_sizes] == pytest.approx([2.4e-3, 10e-3])
    assert region.container_sizes[0].content.path == "region/demo/container_sizes/can/fill"


def test_two_entries_of_a_list_may_not_share_an_id():
    assert any("container_sizes.can: two entries" in line for line in faults_of(REGION.replace("drum", "can")))


def test_a_region_that_lists_no_parts_lacks_none():
    assert not read_record(REGION, "demo").lacks("XA-N")
    listed = read_record(REGION.replace("currency", 'parts = ["XA-N"]\ncurrency'), "demo")
    assert [listed.lacks(place) for place in ("XA", "XA-N", "XA-S")] == [False, False, True]
