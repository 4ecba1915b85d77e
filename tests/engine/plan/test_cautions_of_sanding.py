"""A caution about sanders names exactly the parts that one is planned on. Common practice, no source."""

from __future__ import annotations

import pytest
from tests.adversarial.cases import every, read
from tests.engine.plan.deck_parts import Deck
from tests.plans import EXAMPLES, example, planned

JOBS = {name: example(name) for name in EXAMPLES}
JOBS |= {c.id: c.tree for c in every(read()) if c.calculator is None and "refused" not in c.expect}


@pytest.fixture
def told(lw):
    """Return the parts that are sanded, and those each caution about sanders names."""
    about = [one.id for one in lw.shelf.records("caution").values() if "powered_sanding" in one.when]
    assert {"noise", "wood-dust-fire"} <= set(about)

    def told(job):
        deck = Deck(job, planned(job))
        rows = [row for _, result in deck.results("abrasive-sequence") for row in result["rows"]]
        ran = any(step["calculator"] == "abrasive-sequence" for step in deck.plan["steps"])
        sanded = {deck.owner(row) for row in rows if row["status"] == "planned"}
        return ran, sanded, {c["id"]: set(c["places"]) for c in deck.plan["cautions"] if c["id"] in about}

    return told


def test_over_all_examples_and_jobs(told):
    seen = 0
    for name, job in JOBS.items():
        ran, sanded, named = told(job)
        if not ran:
            continue
        seen += bool(sanded)
        assert named.get("noise", set()) == sanded, name
        assert all(parts <= sanded for parts in named.values()), (name, named)
    assert seen > 50


def test_a_floor_that_is_coated_as_it_is_names_no_sander(told):
    said = {"species": "western-redcedar", "treatment": "none", "old_coating": "none", "signs": ["grey"]}
    said |= {"coating": "semi-transparent-oil-stain", "structure": "sound"}
    said |= {"boards": {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}}
    zones = [
        {"id": "main", "length": "4 m", "width": "3 m", "surface": "weathered"},
        {"id": "low", "length": "3 m", "width": "2 m", "level": "-1 m", "surface": "sanded"},
    ]
    job = {"schema": 1, "site": {"jurisdiction": "US-NY", "year_built": 2019}, "defaults": said, "zones": zones}
    ran, sanded, named = told(job)
    assert (ran, sanded, named["noise"]) == (True, {"low"}, {"low"})
