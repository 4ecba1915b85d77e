"""Cautions of the shelf as texts: short titles, one action a line, and the line that defers to local rules last."""

import pytest

from latewood.records import Caution, read_pack

CAUTIONS = [record for record in read_pack("latewood_plugins") if isinstance(record, Caution)]
LAST = "Local rules and the product's safety data sheet come before this advice."


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda one: one.id)
def test_every_caution_defers_to_local_rules(caution):
    assert caution.do[-1] == LAST


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda one: one.id)
def test_titles_and_actions_are_short(caution):
    assert len(caution.title.split()) <= 8
    assert [action for action in caution.do if len(action.split()) > 20] == []


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda one: one.id)
def test_every_danger_names_where_it_is_known_from(caution):
    assert caution.source
    assert caution.where


@pytest.mark.parametrize(
    ("id", "first"),
    [
        # What protects at once stands first; where it comes from stands with the lines of `do`.
        ("arsenical-treatment", "Do not machine-sand"),
        ("lead-paint", "Do not sand"),
        ("creosote-treatment", "Do not sand"),
        ("self-heating-waste", "Drop every oily cloth"),
        ("wash-chemicals", "Never mix bleach with acid"),
        ("structure-in-doubt", "Keep people and loads off"),
        ("mains-near-wet-boards", "Use a tested ground-fault"),
        ("fall-from-edge", "Put up a temporary guardrail"),
    ],
)
def test_the_most_protective_line_is_first(id, first):
    caution = next(one for one in CAUTIONS if one.id == id)
    assert caution.brief[0].startswith(first)
