"""Cautions are looked up by facts; conditions nobody can meet are refused when the file is read."""

import re

import pytest
from tests.bundled import bundled

from latewood.records import BadRecord, Caution, read_record

CAUTION = """
schema = 1
record = "caution"
id = "demo"
title = "Demonstration caution"
summary = "Invented for this test."
severity = "warning"
message = "Mind the demonstration."
brief = ["Step back."]
do = ["Step back.", "Ask."]
source = "demo"
see_also = ["other-demo"]

[when]
binder = ["drying-oil", "unknown"]
material = "wood"
year_built = { at_least = 1950, below = 2004 }
"""


def faults_of(text: str) -> list[str]:
    with pytest.raises(BadRecord) as caught:
        read_record(text, "demo")
    return [line.removeprefix("demo: ") for line in str(caught.value).splitlines()]


@pytest.mark.parametrize(
    ("change", "holds"),
    [
        ({}, True),
        ({"binder": "unknown"}, True),
        ({"binder": "acrylic"}, False),
        ({"material": "composite"}, False),
        ({"year_built": 1949}, False),
        ({"year_built": 1950}, True),
        ({"year_built": 2003}, True),
        ({"year_built": 2004}, False),
        ({"year_built": None}, False),
        ({"binder": None}, False),
    ],
)
def test_a_caution_holds_where_all_its_conditions_do(change, holds):
    caution = read_record(CAUTION, "demo")
    assert isinstance(caution, Caution)
    assert (
        caution.holds({"binder": "drying-oil", "material": "wood", "year_built": 1990, "film": False} | change) is holds
    )


def test_a_fact_nobody_stated_does_not_call_for_a_caution():
    caution = read_record(CAUTION, "demo")
    assert not caution.holds({"binder": "drying-oil", "material": "wood"})
    assert not caution.holds({})


def test_a_caution_shows_what_to_do_and_for_what():
    shown = read_record(CAUTION, "demo").show(("floor", "guard"))
    assert (shown.id, shown.severity, shown.source) == ("demo", "warning", "demo")
    assert (shown.brief, shown.do) == (("Step back.",), ("Step back.", "Ask."))
    assert shown.places == ("floor", "guard")
    references = read_record(CAUTION, "demo").references
    assert {named.id for named in references if named.kind == "source"} == {"demo", "other-demo"}


GRAVER = CAUTION.replace("[when]", '[danger_when]\nfilm = true\nheat_index = { at_least = "91 degF" }\n\n[when]')


@pytest.mark.parametrize(
    ("change", "severity"),
    [
        # 91 degF are 32.778 degC: (91 - 32) / 1.8.
        ({"film": True, "heat_index": 273.15 + 32.78}, "danger"),
        ({"film": True, "heat_index": 273.15 + 32.77}, "warning"),
        ({"film": False, "heat_index": 320.0}, "warning"),
        ({"heat_index": 320.0}, "warning"),
        ({"film": True}, "warning"),
    ],
)
def test_further_facts_make_a_warning_a_danger(change, severity):
    caution = read_record(GRAVER, "demo")
    assert isinstance(caution, Caution)
    facts = {"binder": "drying-oil", "material": "wood", "year_built": 1990} | change
    assert caution.graver(facts) is (severity == "danger")
    assert caution.show((), graver=caution.graver(facts)).severity == severity
    assert not caution.graver(facts | {"binder": "acrylic"}), "what the caution itself asks for must hold too"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("binder =", "bindr =", "when.bindr: there is no such field here; did you mean binder?"),
        ('"unknown"]', '"unkown"]', "when.binder: 'unkown' is not known here"),
        ('["drying-oil", "unknown"]', "[]", "when.binder: the list is empty"),
        ('material = "wood"', "film = 1", "when.film: 1 is not known here; expected one or a list of true, false"),
        ("at_least =", "atleast =", "when.year_built.atleast: there is no such field here; did you mean at_least?"),
        ("below = 2004", 'below = "2004"', "when.year_built.below: text was given; expected a plain number"),
        (
            "year_built = { at_least = 1950, below = 2004 }",
            "year_built = 1950",
            "when.year_built: a whole number was given",
        ),
        ('severity = "warning"', 'severity = "note"', "severity: 'note' is not known here"),
        ('["Step back."]', "[]", "brief: there are 0; expected one to 2 lines"),
        ('["Step back."]', '["A.", "B.", "C."]', "brief: there are 3; expected one to 2 lines"),
        ('["Step back."]', f'["{"a" * 91}"]', "brief.0: it has 91 characters; expected 90 at most"),
        ('brief = ["Step back."]', "", "brief: "),
        ('source = "demo"', "source = 1", "source: a whole number was given; expected the id of a source record"),
    ],
)
def test_a_bad_caution_is_refused(old, new, said):
    assert old in CAUTION
    found = faults_of(CAUTION.replace(old, new, 1))
    assert any(said in line for line in found), found


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"91 degF"', "91", "danger_when.heat_index.at_least: a whole number was given; expected text with a unit"),
        ('"91 degF"', '"91 m"', "danger_when.heat_index.at_least: "),
        ('severity = "warning"', 'severity = "danger"', "danger_when: it is a danger whatever else holds"),
        ("film = true", "flim = true", "danger_when.flim: there is no such field here; did you mean film?"),
    ],
)
def test_what_cannot_make_it_graver_is_refused(old, new, said):
    assert old in GRAVER
    found = faults_of(GRAVER.replace(old, new, 1))
    assert any(said in line for line in found), found


def test_a_caution_without_conditions_is_refused():
    text = re.sub(r"\[when\].*", "[when]\n", CAUTION, flags=re.DOTALL)
    assert any(line.startswith("when: ") for line in faults_of(text))


def test_every_bundled_caution_has_a_short_title_and_its_own_rank():
    """At most eight words: hazard and effect. What kills at once stands before lasting harm: judgement, no source."""
    cautions = bundled().shelf.records("caution").values()
    assert [one.id for one in cautions if len(one.title.split()) > 8] == []
    ranks = {one.id: one.rank for one in cautions}
    assert len(set(ranks.values())) == len(ranks)
    assert max(ranks.values()) < 1000
    assert ranks["structure-in-doubt"] < ranks["self-heating-waste"] < ranks["sensitising-dust"] < ranks["noise"]
