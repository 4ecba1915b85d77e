"""A route that an open answer may turn round is chosen on condition, and says which. Common practice, no source."""

from __future__ import annotations

import pytest
from tests.engine.lead_tests import NO_LEAD

METAL = {"material": "metal"}
SURE = {
    "area": "30 m2",
    "species": "douglas-fir",
    "treatment": "none",
    "treatment_evidence": "test",
    "frame": METAL,
    "old_coating": "none",
    "year_built": 1990,
    "jurisdiction": "US-NY",
    "signs": ["grey"],
    "temperature": "20 degC",
    "relative_humidity": "55 %",
}
CUPPED = {"signs": ["grey", "cupping"]}
SHROUD = {"extraction": "shroud-hepa", "lead_test": "not-tested"}
OILED = {"old_coating": "clear-penetrating-oil", "signs": [], "weathered": False}


@pytest.mark.parametrize(
    ("open_", "topics", "answer"),
    [
        (CUPPED, {"cupping"}, {"cup_depth": "1 mm", "underside_moisture": "14 %"}),
        ({**CUPPED, "cup_depth": "1 mm"}, {"cupping"}, {"underside_moisture": "14 %"}),
        ({"signs": ["grey", "split"]}, {"extent"}, {"affected": "5 %"}),
        ({"treatment_evidence": "owner-says"}, {"preservative"}, {"treatment_evidence": "test"}),
        ({"old_coating": None}, {"old-coating"}, {"old_coating": "none"}),
        ({"old_coating": "unknown"}, {"old-coating"}, {"old_coating": "none"}),
        ({**OILED, "year_built": 1960, **SHROUD}, {"lead"}, NO_LEAD),
        (OILED, {"beading"}, {"beading": "in-part"}),
        ({"route": "wash-and-sand", "frame": {"treatment": "unknown"}}, {"frame-preservative"}, {"frame": METAL}),
    ],
)
def test_an_open_answer_is_a_condition_and_a_given_one_is_not(run, open_, topics, answer):
    def asked(given):
        given = {name: value for name, value in {**SURE, **given}.items() if value is not None}
        result, ledger = run("preparation", **given)
        reasons = next(row.reasons for row in result.routes if row.id == result.chosen)
        said = [f for f in ledger.findings if f.id == "route-on-condition"]
        assert [f.params["topics"] for f in said] == ([list(result.rests_on)] if result.rests_on else [])
        assert any(why.id == "on-condition" for why in reasons) is bool(result.rests_on)
        return result

    assert topics <= set(asked(open_).rests_on)
    settled = asked({**open_, **answer})
    assert settled.chosen != "none"
    assert not topics & set(settled.rests_on)


@pytest.mark.parametrize(
    ("open_", "worse"),
    [
        # Emmerich et al. 2020: 25 % is the threshold for decay.
        (CUPPED, {"underside_moisture": "28 %"}),
        ({"signs": ["grey", "split"]}, {"affected": "60 %"}),
        ({"old_coating": None}, {"old_coating": "paint"}),
        ({"treatment_evidence": "owner-says"}, {"treatment_evidence": "test"}),
        ({**OILED, "beading": None}, {"beading": "soaks-in"}),
    ],
)
def test_what_is_called_open_does_turn_the_route(run, open_, worse):
    def chosen(given):
        result, _ = run(
            "preparation", **{name: value for name, value in {**SURE, **given}.items() if value is not None}
        )
        return result.recommendation

    assert chosen(open_) != chosen({**open_, **worse})


def test_where_nothing_is_open_or_nothing_goes_there_is_no_condition(run):
    result, ledger = run("preparation", **SURE)
    assert (result.chosen, result.rests_on) == ("sand", ())
    stopped, ledger = run("preparation", **{**SURE, "signs": ["cupping", "water-under"]})
    assert (stopped.chosen, stopped.rests_on) == ("none", ())
    assert "route-on-condition" not in {f.id for f in ledger.findings}
