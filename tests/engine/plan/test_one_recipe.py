"""One recipe: what preparation reckons a wash with is what the wash step mixes, to the last litre."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.plans import EXAMPLES, example, planned

ROUTES = ("sand", "wash-and-sand", "strip-and-sand", "sand-off-film", "refresh", "hand-wash")
SIGNS = ("grey", "algae", "mildew", "iron-stain", "extractive-bleed", "raised-grain", "film-peeling", "film-sound")
OLD = ("none", "clear-penetrating-oil", "semi-transparent-oil-stain", "solid-colour-stain", "paint", "unknown")
SPECIES = ("ipe", "western-redcedar", "southern-yellow-pine", "white-oak", "unidentified-dense-hardwood")
AMOUNTS = ("solution_volume", "product_mass", "rinse_volume")


def compared(answer):
    """Compare the steps of each chosen route with the stages of its wash; return how many washes were compared."""
    steps = {step["id"]: step for step in answer["steps"]}
    count = 0
    for name, step in steps.items():
        if step["calculator"] != "preparation" or "result" not in step or step["result"]["chosen"] == "none":
            continue
        chosen = next(row for row in step["result"]["routes"] if row["id"] == step["result"]["chosen"])
        wet = [one for one in chosen["steps"] if "agent" in one]
        wash = steps[name.replace("preparation", "wash")].get("result")
        # What is stopped is not washed: by a forbidden route, a stop of the wash, or an old film the route leaves.
        stopped = {row["id"] for row in answer["stopped"]}
        if (name == "preparation" and stopped & set(answer["job"]["zones"])) or name.partition("-")[2] in stopped:
            continue
        stages = [] if wash is None else wash["stages"]
        assert [one["agent"] for one in wet] == [one["agent"] for one in stages]
        for one, stage in zip(wet, stages, strict=True):
            for amount in AMOUNTS:
                for end in ("value", "low", "high"):
                    assert one[amount][end] == pytest.approx(stage[amount][end], rel=1e-9), (name, amount)
        if wash is not None:
            count += 1
            assert chosen["rinse_volume"]["value"] == pytest.approx(wash["rinse_volume"]["value"], rel=1e-9)
    return count


@pytest.mark.parametrize("route", [None, *ROUTES])
@pytest.mark.parametrize("job", EXAMPLES)
def test_every_example_washes_by_one_recipe(job, route):
    tree = example(job)
    if route is not None:
        tree = {**tree, "choices": {**tree.get("choices", {}), "route": route}}
    compared(planned(tree, units="metric"))


def test_routes_that_wash_are_compared_at_all():
    tree = example("terrace")
    jobs = [{**tree, "choices": {"route": route}} for route in ("wash-and-sand", "hand-wash")]
    counts = [compared(planned(job, units="metric")) for job in jobs]
    assert counts == [2, 2]


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), database=None)
@given(
    signs=st.sets(st.sampled_from(SIGNS), max_size=4),
    old=st.sampled_from(OLD),
    species=st.sampled_from(SPECIES),
    route=st.sampled_from(ROUTES),
    treatment=st.sampled_from(["none", "copper", "unknown"]),
    frame=st.sampled_from([{}, {"frame": {"material": "metal"}}, {"frame": {"treatment": "arsenical"}}]),
    built=st.sampled_from([1995, 2015]),
    weathered=st.sampled_from([None, True, False]),
)
def test_generated_jobs_wash_by_one_recipe(lw, signs, old, species, route, treatment, frame, built, weathered):
    """Wood and frames that may hold arsenic among them: there both leave the same agents out."""
    fields = {"species": species, "treatment": treatment, "old_coating": old, **frame}
    fields |= {"signs": sorted(signs), "structure": "sound", "coating": "tinted-penetrating-oil"}
    fields |= {} if weathered is None else {"weathered": weathered}
    site = {"year_built": built, "jurisdiction": "US-NY"}
    job = {"schema": 1, "site": site, "zones": [{"id": "main", "length": "6 m", "width": "4 m"}], "defaults": fields}
    compared(planned({**job, "choices": {"route": route}}, units="metric"))


@pytest.mark.parametrize("old", ["none", "clear-penetrating-oil"])
@pytest.mark.parametrize("route", ["wash-and-sand", "hand-wash"])
def test_a_wash_that_is_sanded_after_strips_nothing(old, route):
    """Common practice, no source: caustic is for a route that strips; sanding takes off an old oil."""
    fields = {"species": "western-redcedar", "treatment": "none", "old_coating": old, "signs": ["grey"]}
    fields |= {"structure": "sound", "coating": "tinted-penetrating-oil"}
    site = {"year_built": 2015, "jurisdiction": "US-NY"}
    job = {"schema": 1, "site": site, "zones": [{"id": "main", "length": "6 m", "width": "4 m"}], "defaults": fields}
    answer = planned({**job, "choices": {"route": route}}, units="metric")
    wash = next(step for step in answer["steps"] if step["id"] == "wash")["result"]
    assert "hydroxide-stripper" not in {stage["agent"] for stage in wash["stages"]}
