"""Verdicts on legal limits, and the rules that may be stricter."""

import pytest

from latewood.messages import in_english
from latewood.records import read_record
from latewood.rules import law

RULE = """
schema = 1
record = "voc-limits"
id = "{id}"
title = "{id}"
summary = "Invented for this test."
jurisdictions = ["{place}"]
automatic = {automatic}
basis = "product"
limits = {{ stains = [{{ from = 2007-01-01, value = "500 g/L", source = "demo", kind = "judgement" }}] }}
"""
MAY = 'stricter = { parts = "may", look_up = "the rule of the part", source = "demo", kind = "judgement" }\n'
MAY_NOT = 'stricter = { parts = "may-not", source = "demo", kind = "judgement" }\n'


def rule(id, place, words="", automatic="true"):
    return read_record(RULE.format(id=id, place=place, automatic=automatic) + words, "demo")


@pytest.mark.parametrize(
    ("broken", "wanting", "told"),
    [
        (False, [], ("yes", ())),
        (False, ["the rule", "the place", "the rule"], ("unknown", ("the rule", "the place"))),
        (True, [], ("no", ())),
        (True, ["the rule"], ("no", ())),
    ],
)
def test_a_broken_limit_decides_and_an_open_one_names_what_is_wanting(broken, wanting, told):
    assert law.verdict(broken=broken, wanting=wanting) == told


@pytest.mark.parametrize(("content", "kept"), [(250.0, True), (250.0 * (1 + 1e-12), True), (250.01, False)])
def test_a_content_at_the_limit_keeps_it(content, kept):
    assert law.keeps(content, 250.0) is kept


def test_the_rule_of_the_smallest_place_comes_first_and_answers():
    country, state = rule("country", "XA", MAY), rule("state", "XA-N", MAY_NOT)
    district = rule("district", "XA-N", MAY, automatic="false")
    rules = law.most_local_first([country, state, district])
    assert [one.id for one in rules] == ["district", "state", "country"]
    assert [in_english(one) for one in law.missing([country], "XA-N")] == ["the rule of the part"]
    assert law.missing([state, country], "XA-N") == ()
    assert [in_english(one) for one in law.missing(rules, "XA-N")] == ["the rule of the part"]


def test_a_rule_that_says_nothing_of_stricter_ones_promises_nothing():
    (named,) = law.missing([rule("country", "XA")], "XA-N")
    assert "country" in in_english(named)


def test_a_rule_of_a_part_concerns_the_whole():
    state = rule("state", "XA-N")
    assert [law.concerns(state, place) for place in ("XA", "XA-N", "XA-S", "XB")] == [True, True, False, False]
