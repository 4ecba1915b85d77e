"""A place that is on no record is said, with what the answer goes by: by every calculator, in a table and in a plan."""

import pytest
from tests.bundled import bundled

from latewood.columns import Choices
from latewood.wire import Options

#: What each calculator that takes a place is asked besides.
ASKED = {
    "wash": {"area": "10 m2"},
    "preparation": {"area": "10 m2"},
    "abrasive-sequence": {"area": "10 m2"},
    "masking": {"works": ["sanding"]},
    "condition": {"components": [{"id": "floor", "part": "boards"}]},
    "coverage": {"area": "10 m2", "species": "ipe", "coating": "clear-penetrating-oil"},
}
ZONE = {"id": "main", "length": "4 m", "width": "3 m", "coating": "clear-penetrating-oil", "signs": ["grey"]}


@pytest.fixture(scope="module")
def engine():
    return bundled()


def said(answer):
    return [finding for finding in answer["findings"] if finding.id == "place-not-known"]


def test_every_calculator_that_takes_a_place_is_among_these(engine):
    takes = {name for name, c in engine.calculators.items() if "jurisdiction" in c.inputs.__struct_fields__}
    assert takes == set(ASKED)


@pytest.mark.parametrize("name", ASKED)
@pytest.mark.parametrize("place", ["XX", "XX-1", "JP"])
def test_a_place_on_no_record_is_said_once_with_what_is_assumed(engine, name, place):
    """XX is a code that ISO 3166-1 leaves to its users; JP is a country whose rules are not on record."""
    (finding,) = said(engine.calculate(name, **ASKED[name], jurisdiction=place))
    assert (finding.severity, finding.pointer) == ("warning", "/jurisdiction")
    assert finding.params["jurisdiction"] == place
    assert place in finding.message
    assert finding.values["assumed"] == [{"id": "no-limit-of-place" if name == "coverage" else "no-year-of-place"}]
    assert finding.message.endswith("or look up the local rules.")


@pytest.mark.parametrize("name", ASKED)
@pytest.mark.parametrize("place", ["US", "US-NY", "US-PR", "CA-QC", "AU-NSW", "GB-SCT", "NZ-AUK", "EU", "DE-BY", None])
def test_a_place_on_record_is_not_spoken_of(engine, name, place):
    given = {} if place is None else {"jurisdiction": place}
    assert said(engine.calculate(name, **ASKED[name], **given)) == []


@pytest.mark.parametrize("place", ["US-NW", "US-1", "CA-US", "AU-AUK"])
def test_a_part_that_a_country_does_not_have_is_said(engine, place):
    """ISO 3166-2, from memory: 50 states, the district and 6 outlying areas; 13 in Canada; 8 in Australia."""
    (finding,) = said(engine.calculate("wash", **ASKED["wash"], jurisdiction=place))
    assert f"no part {place} is on record" in finding.message
    assert place in finding.message


def test_the_year_rules_nothing_out_where_the_place_is_not_known(engine):
    """What the finding says is so: a year that rules lead out in the United States does not where nothing is known."""
    asked = {**ASKED["wash"], "old_coating": "paint", "year_built": 2015}
    lead = {
        place: engine.calculate("wash", **asked, jurisdiction=place)["result"]["lead_paint"] for place in ("US", "XX")
    }
    assert lead == {"US": "no", "XX": "suspected"}


def test_a_plan_says_it_once_and_at_the_place_in_the_job(engine):
    for place, times in (("XX", 1), ("US-NW", 1), ("US-NY", 0)):
        plan = engine.plan({"schema": 1, "site": {"jurisdiction": place}, "zones": [ZONE]}, Options())
        found = said(plan)
        assert [one.pointer for one in found] == ["/site/jurisdiction"] * times


def test_a_row_of_a_table_says_it(engine):
    table = engine.table("wash", Choices())
    text = b"area,jurisdiction\n10 m2,XX\n10 m2,US-NY\n"
    lines = b"".join([*table.feed(text), *table.finish()]).decode().splitlines()
    assert ["place-not-known" in line for line in lines[1:]] == [True, False]


def test_a_question_for_the_place_is_asked_only_where_none_is_given(engine):
    asked = {"components": [{"id": "floor", "part": "boards", "old_coating": "paint"}]}
    topics = {
        place: {q["topic"] for q in engine.calculate("condition", **asked, **given)["result"]["questions"]}
        for place, given in (("none", {}), ("XX", {"jurisdiction": "XX"}))
    }
    assert "jurisdiction" in topics["none"]
    assert "jurisdiction" not in topics["XX"]
