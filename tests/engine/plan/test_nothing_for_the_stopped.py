"""No purchase, task or window for a part that another step stops; and whatever is not stopped keeps all of them.

Checked on every example and on many made-up decks. Common practice, no source: what may not be worked on is not bought
for, and a stop of one part says nothing against the next.
"""

from __future__ import annotations

import random
from typing import Any

import pytest
from tests import plans
from tests.adversarial.cases import every, read
from tests.engine.lead_tests import NO_LEAD
from tests.engine.plan.buying import finishes
from tests.engine.plan.deck_parts import Deck, planned_for_stopped
from tests.generated import first
from tests.plans import EXAMPLES, example, planned_once

from latewood_api.contract_plan import sample_job

#: Decks made up for each seed, and seeds.
EACH, SEEDS = 20, 16
STAINS = ["clear-penetrating-oil", "semi-transparent-oil-stain", "tinted-penetrating-oil"]
FILMS = ["paint", "solid-colour-stain", "waterborne-stain", "film-clear"]
SIGNS = ["grey", "raised-grain", "splinters", "film-sound", "film-peeling", "mildew", "algae", "proud-fasteners", "rot"]
SIGNS += ["water-under", "wobbly", "sagging", "cupping", "iron-stain", "furred", "insects", "loose-fixing"]
DAY = {"warmest": "20 degC", "coldest": "12 degC", "relative_humidity": "55 %", "wet_spells": "none"}
WEATHER = {"days": [{"date": f"2026-05-0{day}", **DAY, "wind_speed": "2 m/s", "cloud": "100 %"} for day in range(4, 8)]}
CLIMATE = {"temperature": "20 degC", "relative_humidity": "55 %"}


@pytest.fixture
def planned():
    return lambda job: Deck(job, plans.planned(job))


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples(planned, name):
    deck = planned(example(name))
    assert not list(planned_for_stopped(deck))
    assert finishes(deck.plan)


def some(dice: random.Random, words: list[Any], most: int = 2) -> list[Any]:
    return dice.sample(words, dice.randint(0, most))


def fields(dice: random.Random, chance: float) -> dict[str, Any]:
    """Return what is said of a part, each thing by chance: mostly benign, sometimes not."""

    def maybe(name: str, usual: list[Any], unusual: list[Any]) -> dict[str, Any]:
        if dice.random() > chance:
            return {}
        return {name: dice.choice(usual if dice.random() < 0.85 else unusual)}

    return {
        **maybe("species", ["ipe", "southern-yellow-pine", "western-redcedar"], ["douglas-fir", "teak"]),
        **maybe("treatment", ["none", "copper"], ["arsenical", "creosote", "unknown"]),
        **maybe("treatment_evidence", ["end-tag", "test"], ["owner-says"]),
        **maybe("old_coating", ["none", *STAINS], [*FILMS, "unknown"]),
        **maybe("coating", STAINS, [*FILMS, "leave-to-grey"]),
        **maybe("surface", ["sanded"], ["weathered", "planed", "rough-sawn"]),
        **maybe("structure", ["sound"], ["doubt", "failed", "not-looked"]),
        **maybe("material", ["wood"], ["composite"]),
        **({"signs": some(dice, SIGNS[:8])} if dice.random() < chance else {}),
        **({"signs": some(dice, SIGNS)} if dice.random() < 0.3 * chance else {}),
    }


def settle_material(floor: dict[str, Any], zones: list[dict[str, Any]], said: list[dict[str, Any]]) -> None:
    """Name the material of whatever says something of wood beside composite, and no preservative of composite."""
    made_of = {zone["id"]: zone.get("material", floor.get("material")) for zone in zones}
    for one in said:
        inherited = made_of.get(one.get("zone", ""), floor.get("material"))
        of_wood = {name for name in ("species", "treatment", "old_coating") if one.get(name) not in (None, "none")}
        if "material" not in one and inherited == "composite" and of_wood:
            one["material"] = "wood"
            made_of |= {id: "wood" for id in made_of if id == one["id"]} if one in zones else {}
    for one in said:
        held = made_of.get(one.get("zone", ""), floor.get("material"))
        if one.get("material", held) == "composite":
            one.pop("treatment", None)
        if "treatment" not in one and "composite" in (held, one.get("material")):
            one.pop("treatment_evidence", None)


def deck_of(dice: random.Random) -> dict[str, Any]:
    """Return a job that holds together, whatever the dice say."""
    defaults = {"species": "western-redcedar", "treatment": "none", "old_coating": "none", "coating": STAINS[1]}
    defaults |= {"treatment_evidence": "test", **NO_LEAD}
    spoken = {"signs": ["grey"], "structure": "sound"} if dice.random() < 0.85 else {}
    boards = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}
    floor = {**defaults, **spoken, **fields(dice, 0.3), "boards": boards}
    zones: list[dict[str, Any]] = [{"id": "main", "length": "4 m", "width": "3 m", "edges": {"wall_sides": [1]}}]
    if dice.random() < 0.5:
        zones.append({"id": "low", "length": "3 m", "width": "2 m", "level": "2 m", **fields(dice, 0.3)})
    if dice.random() < 0.2:
        zones[0]["gap_treatment"] = dice.choice(["machine-profile", "hand", "none"])
    names = [zone["id"] for zone in zones]

    def own(table: str, shape: dict[str, Any]) -> list[dict[str, Any]]:
        found = [{"id": f"{table}-{n}", "zone": dice.choice(names), **shape} for n in range(dice.randint(0, 2))]
        return [{**one, **fields(dice, 0.4)} for one in found]

    job: dict[str, Any] = {
        "schema": 1,
        "site": {
            "jurisdiction": dice.choice(["US-NY", "US-WA", "GB", "DE", "AU"]),
            "year_built": dice.choice([1998, 2015, 2019]),
        },
        "defaults": floor,
        "zones": zones,
        "guards": own("guard", {"length": "2 m", "height": "900 mm"}),
        "stairs": own("stair", {"rise": "600 mm", "width": "900 mm"}),
        "extras": own("seat", {"part": "bench", "length": "1.5 m", "width": "400 mm", "thickness": "32 mm"})
        + own("screen", {"part": "lattice", "length": "2 m", "height": "900 mm", "slat_width": "38 mm"}),
    }
    said = [floor, *zones, *job["guards"], *job["stairs"], *job["extras"]]
    settle_material(floor, zones, said)
    if any(one.get("treatment") == "unknown" for one in said):
        # An end tag or a test says which preservative there is.
        for one in said:
            one.pop("treatment_evidence", None)
    for lattice in job["extras"]:
        if lattice["part"] == "lattice":
            lattice |= {"opening": "44 mm", "thickness": "6 mm"}
    routes = ["sand", "wash-and-sand", "refresh", "hand-wash", "strip-and-sand", "sand-off-film"]
    if dice.random() < 0.3:
        job["choices"] = {"route": dice.choice(routes)}
    if dice.random() < 0.1:
        job.setdefault("choices", {})["pressure"] = dice.choice(["400 psi", "3000 psi"])
    if dice.random() < 0.15:
        job.setdefault("choices", {})["application"] = dice.choice(["airless-spray", "brush"])
        job["surroundings"] = {"below": dice.choice(["ground", "water"]), "boundary": dice.choice(["1 m", "30 m"])}
    if dice.random() < 0.2:
        job |= {"weather": WEATHER, "site": {**job["site"], "timezone": "America/New_York"}}
    elif dice.random() < 0.5:
        job["moisture"] = CLIMATE
    if dice.random() < 0.3:
        job["crew"] = {"appliers": 1, "wipers": 1}
    if not spoken and dice.random() < 0.5:
        job["sanding"] = {"practice": "open-grain"}
    return job


@pytest.mark.parametrize("seed", first(2, of=range(SEEDS)))
def test_decks_made_up(seed):
    """Of many decks some have stops and some have none, and in most something is bought."""
    dice = random.Random(seed)
    stopped = free = bought = 0
    for place in range(EACH):
        job = deck_of(dice)
        deck = Deck(job, planned_once(job, units="metric"))
        wrong = list(planned_for_stopped(deck))
        assert not wrong, (seed, place, wrong, deck.job)
        stopped += bool(deck.stopped)
        free += not deck.plan["stopped"]
        bought += any(row["volume"]["value"] > 0 for row in finishes(deck.plan))
    assert min(stopped, free) >= EACH // 10
    assert bought >= EACH // 3


@pytest.mark.parametrize("floor", [{"signs": ["rot"]}, {"signs": ["sagging"]}, {"structure": "doubt"}])
def test_what_is_worked_on_from_a_floor_people_keep_off(planned, floor):
    """What stands on a floor that may give way waits, and so does a floor within it; the next deck does not."""
    said = {"treatment_evidence": "test", "surface": "sanded", "signs": ["grey"], "structure": "sound"}
    boards = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}
    wood = {"species": "western-redcedar", "treatment": "none", "old_coating": "none", "coating": STAINS[1]}
    inner = {"id": "inner", "part_of": "main", "outline": "1 1, 2 1, 2 2, 1 2 m"}

    def job(floor: dict[str, Any]) -> dict[str, Any]:
        ends = [{"zone": zone, **said} for zone in ("main", "low")]
        return {
            "schema": 1,
            "site": {"jurisdiction": "US-NY", "year_built": 2019},
            "defaults": {**wood, **said, "boards": boards},
            "zones": [
                {"id": "main", "outline": "0 0, 4 0, 4 3, 0 3 m", **floor},
                {"id": "low", "length": "3 m", "width": "2 m", "level": "-1 m"},
                inner,
            ],
            "guards": [{"id": f"g-{e['zone']}", "length": "2 m", "height": "900 mm", **said} | e for e in ends],
            "stairs": [{"id": f"s-{e['zone']}", "rise": "600 mm", "width": "900 mm", **said} | e for e in ends],
            "extras": [
                {"id": f"b-{e['zone']}", "part": "bench", "length": "1 m", "width": "400 mm", "thickness": "32 mm"} | e
                for e in ends
            ],
        }

    held = {"main", "inner", "main/guards/g-main", "main/stairs/s-main", "main/extras/b-main"}
    deck = planned(job(floor))
    assert not list(planned_for_stopped(deck))
    assert {row["id"] for row in deck.plan["stopped"]} & deck.parts.keys() == held
    sound = planned(job({}))
    assert not list(planned_for_stopped(sound))
    assert sound.plan["stopped"] == []


def test_the_job_of_the_contract(planned):
    assert not list(planned_for_stopped(planned(sample_job())))


def test_jobs_meant_to_hurt_and_their_twins(planned):
    """Every job of the adversarial suite: harmful decks and benign ones alike."""
    jobs = {case.id: case.tree for case in every(read()) if case.calculator is None and "refused" not in case.expect}
    assert len(jobs) > 100
    assert not {id: wrong for id, job in jobs.items() if (wrong := list(planned_for_stopped(planned(job))))}
