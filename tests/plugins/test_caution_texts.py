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
