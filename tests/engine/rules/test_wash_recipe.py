"""The recipe of a wash: which agents, in which order, by route and soil, and what a rule keeps out."""

import pytest

from latewood.rules.route_work import route_work
from latewood.rules.wash_recipe import OnWood, must_go_first, recipe


def names(found):
    return [stage.agent.id for stage in found.stages]


@pytest.fixture
def made(lw):
    def made(*soil, route=None, old=None, species="western-redcedar", **more):
        known = lw.shelf
        on = OnWood(soil, None if old is None else known.record("coating", old), known.record("species", species))
        return recipe(on, known, None if route is None else known.record("route", route), **more)

    return made


def test_without_a_route_all_goes(made):
    assert names(made("grey", "dirt", old="clear-penetrating-oil")) == ["hydroxide-stripper", "oxalic-acid"]


# Common practice, no source: slime first, on every route; growth and stain first where wood is not sanded down.
@pytest.mark.parametrize(
    ("soil", "route", "agents"),
    [
        ("algae", "sand", ["detergent"]),
        ("algae", "sand-off-film", ["detergent"]),
        ("algae", "refresh", ["detergent"]),
        ("mildew", "sand", []),
        ("mildew", "sand-off-film", []),
        ("mildew", "refresh", ["percarbonate", "oxalic-acid"]),
        ("iron-stain", "sand", []),
        ("iron-stain", "refresh", ["oxalic-acid"]),
        ("extractive-bleed", "sand", []),
        ("extractive-bleed", "refresh", ["oxalic-acid"]),
        ("grey", "sand", []),
        ("grey", "wash-and-sand", ["percarbonate", "oxalic-acid"]),
        ("grey", "hand-wash", ["percarbonate", "oxalic-acid"]),
    ],
)
def test_a_route_washes_off_what_it_does_not_sand_off(made, soil, route, agents):
    found = made(soil, "dirt", route=route)
    assert names(found) == agents
    assert found.left == ()


def test_slime_comes_off_before_a_film_is_stripped(made):
    """Growth lies on top of the film: common practice, no source."""
    found = made("algae", "dirt", route="strip-and-sand", old="solid-colour-stain")
    assert names(found) == ["detergent", "hydroxide-stripper", "oxalic-acid"]


def test_an_old_oil_is_stripped_only_by_a_route_that_strips(made):
    assert "hydroxide-stripper" in names(made("dirt", route="strip-and-sand", old="clear-penetrating-oil"))
    assert "hydroxide-stripper" not in names(made("dirt", route="wash-and-sand", old="clear-penetrating-oil"))


def test_what_no_agent_may_take_off_is_left(made):
    """Alkali turns ipe red (technical sheets on tropical timbers), and no neutral agent takes mildew off."""
    assert made("mildew", route="refresh", species="ipe").left == ("mildew",)
    assert made("mildew", route="sand", species="ipe").left == ()


def test_what_a_rule_forbids_is_not_chosen_and_is_named(made):
    found = made("grey", "algae", forbidden=lambda agent: "acid" if agent.reaction == "acid" else "")
    assert names(found) == ["detergent"]
    assert [agent.id for agent, _ in found.kept_out] == ["oxalic-acid"]
    assert "grey" in found.left


def test_every_route_of_a_floor_keeps_its_dry_steps_and_gets_its_agents(lw):
    known = lw.shelf
    on = OnWood(("algae", "iron-stain", "dirt"), None, known.record("species", "western-redcedar"))
    for route in known.records("route").values():
        if "boards" not in route.serves:
            continue
        work = route_work(route, on, known)
        dry = [step.id for step in route.steps if step.does in ("sand", "scuff", "vacuum")]
        assert [step.id for step in work.route.steps if step.id not in work.stages] == dry
        assert work.route.wets
        assert all(must_go_first(what, route) is False or what in work.recipe.stages[0].takes for what in ("algae",))
        assert not list(work.route.conflicts()), route.id


def test_where_no_jet_may_be_used_slime_is_scrubbed_off(lw):
    known = lw.shelf
    on = OnWood(("algae", "dirt"), None, known.record("species", "ipe"))
    for by_hand, rate in ((True, "wash-by-hand"), (False, "wash-and-rinse")):
        first = route_work(known.record("route", "sand"), on, known, by_hand=by_hand).route.steps[0]
        assert (first.id, first.rate["any"]) == ("clean-first", rate)


def test_a_route_that_strips_does_so_on_bare_wood_too(made):
    assert names(made("grey", "dirt", route="strip-and-sand")) == ["hydroxide-stripper", "oxalic-acid"]
