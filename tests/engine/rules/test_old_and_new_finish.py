"""What may be laid over what is left of an old finish, alone and in every calculator that can be told of it."""

from __future__ import annotations

from itertools import product

import msgspec
import pytest

from latewood.rules.old_and_new_finish import film_on, pair
from latewood.wire import Options

STOPS = {"penetrating-over-film", "less-opaque-over-film"}
FAMILIES = (
    "clear-penetrating-oil",
    "film-clear",
    "leave-to-grey",
    "paint",
    "semi-transparent-oil-stain",
    "solid-colour-stain",
    "tinted-penetrating-oil",
    "unknown",
    "water-repellent-preservative",
    "waterborne-stain",
)
CLOUDY = {"warmest": "20 degC", "coldest": "12 degC", "relative_humidity": "55 %", "wet_spells": "none"}
WEATHER = {
    "days": [{"date": f"2026-05-0{day}", **CLOUDY, "wind_speed": "2 m/s", "cloud": "100 %"} for day in range(4, 8)]
}


@pytest.fixture
def coating(lw):
    return lambda id: "none" if id == "none" else lw.shelf.record("coating", id)


@pytest.fixture
def ask(lw):
    def asked(name, **fields):
        return msgspec.to_builtins(lw.answer(name, fields, Options()))

    return asked


def stops(answer):
    return {finding["id"] for finding in answer["findings"] if finding["severity"] == "stop"}


@pytest.mark.parametrize(
    ("new", "old", "fit"),
    [
        # Forest Products Laboratory, LabNotes: an oil-based semitransparent stain "cannot be used over" a film left.
        ("semi-transparent-oil-stain", "solid-colour-stain", "penetrating-over-film"),
        # Article on exterior stains: not effective "over a solid color stain or over old paint".
        ("semi-transparent-oil-stain", "paint", "penetrating-over-film"),
        ("clear-penetrating-oil", "film-clear", "penetrating-over-film"),
        ("water-repellent-preservative", "waterborne-stain", "penetrating-over-film"),
        # Common practice, no source: what hides less lets the film below show.
        ("waterborne-stain", "solid-colour-stain", "less-opaque-over-film"),
        ("film-clear", "paint", "less-opaque-over-film"),
        ("film-clear", "waterborne-stain", "less-opaque-over-film"),
        # As opaque or more, and what soaked in before: common practice, no source.
        ("paint", "solid-colour-stain", "holds"),
        ("solid-colour-stain", "waterborne-stain", "holds"),
        ("clear-penetrating-oil", "semi-transparent-oil-stain", "holds"),
        ("paint", "tinted-penetrating-oil", "holds"),
        ("clear-penetrating-oil", "none", "holds"),
        ("clear-penetrating-oil", "leave-to-grey", "holds"),
        ("leave-to-grey", "paint", "holds"),
        ("clear-penetrating-oil", "unknown", "not-known"),
        ("unknown", "paint", "not-known"),
    ],
)
def test_new_finish_over_old(coating, new, old, fit):
    assert pair(coating(new), coating(old)).fit == fit


@pytest.mark.parametrize("old", [None, "none", "unknown", "clear-penetrating-oil"])
def test_a_film_that_is_seen_counts_whatever_was_named(coating, old):
    """Common practice, no source: what lies on the wood decides, not what somebody remembers."""
    named = None if old is None else coating(old)
    assert film_on(named, ("film-peeling",)) is True
    assert pair(coating("clear-penetrating-oil"), named, ("film-sound", "grey")).fit == "penetrating-over-film"
    assert pair(coating("paint"), named, ("film-sound",)).fit == "holds"
    assert pair(coating("waterborne-stain"), named, ("film-sound",)).fit == "not-known"
    assert pair(coating("clear-penetrating-oil"), named, ("grey",)).fit in {"holds", "not-known"}


@pytest.mark.parametrize(("new", "old"), [*product(FAMILIES, FAMILIES)])
def test_coverage_buys_exactly_what_the_rule_lets_through(ask, coating, new, old):
    """Every pair of the catalogue's families: a refused one buys nothing, any other as much as without the old one."""
    answer = ask("coverage", area="30 m2", species="ipe", coating=new, old_coating=old)
    without = ask("coverage", area="30 m2", species="ipe", coating=new)
    fit = pair(coating(new), coating(old)).fit
    assert stops(answer) - stops(without) == ({fit} if fit in STOPS else set())
    if fit in STOPS:
        assert answer["result"]["volume"]["value"] == 0
        assert answer["result"]["containers"] == answer["result"]["zones"] == []
    else:
        assert answer["result"] == without["result"]
    said = "finish-below-not-known" in {finding["id"] for finding in answer["findings"]}
    assert said is (fit == "not-known")


def test_one_face_is_refused_and_the_others_are_bought_for(ask):
    floor = {"zone": "main", "part": "field", "area": "20 m2"}
    guard = {"zone": "main", "part": "guard", "item": "west", "area": "5 m2"}
    both = ask(
        "coverage", faces=[floor, {**guard, "old_coating": "paint"}], species="ipe", coating="clear-penetrating-oil"
    )
    alone = ask("coverage", faces=[floor], species="ipe", coating="clear-penetrating-oil")
    assert both["result"] == alone["result"]
    (stop,) = [finding for finding in both["findings"] if finding["severity"] == "stop"]
    assert (stop["id"], stop["pointer"]) == ("penetrating-over-film", "/faces/1/old_coating")
    assert stop["params"]["faces"] == ["main-guard-west"]
    sound = ask(
        "coverage", faces=[floor, {**guard, "old_coating": "none"}], species="ipe", coating="clear-penetrating-oil"
    )
    assert {row["id"] for row in sound["result"]["parts"]} == {"field", "guard"}


def test_a_face_says_otherwise_than_the_whole(ask):
    faces = [
        {"zone": "main", "part": "field", "area": "20 m2", "old_coating": "none"},
        {"zone": "main", "part": "guard", "area": "5 m2"},
    ]
    answer = ask("coverage", faces=faces, species="ipe", coating="clear-penetrating-oil", old_coating="paint")
    assert {row["id"] for row in answer["result"]["parts"]} == {"field"}
    assert [f["pointer"] for f in answer["findings"] if f["severity"] == "stop"] == ["/old_coating"]


@pytest.mark.parametrize(("old", "stopped"), [("paint", True), ("none", False), ("tinted-penetrating-oil", False)])
def test_no_window_for_a_finish_that_may_not_be_laid(ask, old, stopped):
    asked = {"coating": "clear-penetrating-oil", "species": "ipe", "timezone": "America/New_York", "weather": WEATHER}
    answer = ask("cure-windows", old_coating=old, board_temperature="air", **asked)
    result = answer["result"]
    assert (result["verdict"] == "no") is stopped
    assert [bool(result[rows]) for rows in ("windows", "timeline", "hand_over")] == [not stopped] * 3
    assert ("penetrating-over-film" in stops(answer)) is stopped
    assert "nearest" not in result


@pytest.mark.parametrize(("old", "stopped"), [("solid-colour-stain", True), ("none", False)])
def test_no_bands_for_a_finish_that_may_not_be_laid(ask, old, stopped):
    run = {"course_length": "16 ft", "pitch": "143 mm", "courses": 27, "appliers": 1, "wipers": 1}
    answer = ask("wipe-cadence", coating="clear-penetrating-oil", species="ipe", old_coating=old, **run)
    result = answer["result"]
    assert (result["verdict"] == "no") is stopped
    assert [bool(result[rows]) for rows in ("runs", "bands", "timeline", "cloths", "duties")] == [not stopped] * 5
    assert ("penetrating-over-film" in stops(answer)) is stopped


@pytest.mark.parametrize(
    ("route", "new", "stop"),
    [
        ("sand", "clear-penetrating-oil", {"penetrating-over-film"}),
        ("refresh", "clear-penetrating-oil", {"penetrating-over-film"}),
        ("hand-wash", "waterborne-stain", {"less-opaque-over-film"}),
        ("sand", "paint", set()),
        ("sand-off-film", "clear-penetrating-oil", set()),
        ("strip-and-sand", "clear-penetrating-oil", set()),
        (None, "clear-penetrating-oil", set()),
    ],
)
def test_a_route_that_leaves_the_film_is_held_against_the_finish(ask, route, new, stop):
    """A painted deck of 2015: routes that take the film off make way for the oil, the others stop it."""
    deck = {"area": "30 m2", "species": "ipe", "treatment": "none", "year_built": 2015, "jurisdiction": "US"}
    chosen = {} if route is None else {"route": route}
    answer = ask("preparation", old_coating="paint", coating=new, **deck, **chosen)
    assert stops(answer) == stop
