"""A finish that is none: nothing to lay on, nothing to buy, and what to know of it all the same."""

import pytest
from tests.engine.plan.buying import finishes

import latewood
from latewood.problems import InputProblem

GREY = {"coating": "leave-to-grey"}


def test_wood_left_to_grey_takes_nothing(run):
    result, ledger = run("coverage", area="40 m2", species="ipe", **GREY)
    assert (result.volume, result.applied, result.wiped_off, result.retained) == (0, 0, 0, 0)
    assert (result.coats, result.containers, result.voc) == ((), (), None)
    assert result.spreading_rate is result.wet_film_thickness is result.dry_film_thickness is None
    assert [(zone.id, zone.area, zone.volume) for zone in result.zones] == [("main", 40, 0)]
    assert (result.purchase.text.rows, result.purchase.volume, result.purchase.shortage_risk) == ((), 0, 0)
    assert result.purchase.cost is None
    assert not ledger.steps


def test_only_its_advice_is_said(run, engine):
    """Neither species, surface, prices, sizes nor VOC limits bear on nothing: no default is put in, none is told."""
    _, ledger = run("coverage", area="40 m2", **GREY)
    assert {finding.id for finding in ledger.findings} == {"greys-unevenly", "cleaning-upkeep", "slippery-when-wet"}
    assert [line.path for line in ledger.basis] == ["coating/leave-to-grey/coats"]
    assert not ledger.cautions(engine.shelf.records("caution").values())


def test_each_zone_is_named(run):
    faces = [
        {"zone": "a", "part": "field", "area": "10 m2", "species": "teak"},
        {"zone": "a", "part": "stair", "area": "2 m2"},
        {"zone": "b", "part": "guard", "area": "5 m2", "surface": "weathered"},
    ]
    result, _ = run("coverage", faces=faces, jurisdiction="US-CA", as_of="2026-05-04", **GREY)
    assert [(zone.id, zone.area, zone.volume) for zone in result.zones] == [("a", 12, 0), ("b", 5, 0)]
    assert result.voc is None


def test_coats_asked_for_are_not_taken_and_that_is_said(run):
    result, ledger = run("coverage", area="40 m2", coats=2, **GREY)
    assert result.volume == 0
    assert "coats-not-taken" in {finding.id for finding in ledger.findings}


def test_what_is_on_hand_stays_and_costs_nothing(run):
    containers = [{"size": "1 L", "price": "9.00 EUR"}]
    result, _ = run("coverage", area="40 m2", on_hand="2 L", containers=containers, confidence="80 %", **GREY)
    assert result.purchase.left_over == pytest.approx(2e-3)
    assert result.purchase.confidence == pytest.approx(0.8)
    assert (result.purchase.cost.amount, result.purchase.cost.currency) == (0, "EUR")


def test_a_data_sheet_of_nothing_is_refused(run):
    with pytest.raises(InputProblem) as caught:
        run("coverage", area="40 m2", product={"spreading_rate": "8 m2/L"}, **GREY)
    assert [(fault.pointer, fault.code) for fault in caught.value.faults] == [("/product", "conflict")]


def test_the_answer_can_be_written_and_read_by_cell(engine):
    answer = engine.answer("coverage", {"area": "40 m2", **GREY}, latewood.wire.Options(working=True))
    assert answer["result"]["volume"] == {"value": 0.0, "unit": "L"}
    assert "voc" not in answer["result"]
    pairs = [("area", "40 m2"), ("coating", "leave-to-grey")]
    assert engine.cell("coverage", "purchase.text", pairs, latewood.wire.Options()) == "nothing"


def test_a_job_need_not_know_wood_that_nothing_is_put_on(engine):
    zones = [{"id": "jetty", "length": "3 m", "width": "2 m", **GREY}]
    job = {"schema": 1, "zones": zones, "guards": [{"id": "east", "zone": "jetty", "length": "3 m"}]}
    steps = {step["id"]: step for step in engine.plan(job, latewood.wire.Options())["steps"]}
    planned = steps["coverage-leave-to-grey"]
    assert planned["status"] == "done"
    assert "unlock" not in planned
    assert planned["result"]["volume"] == {"value": 0.0, "unit": "L"}
    assert planned["result"]["purchase"]["text"] == "nothing"


def test_what_is_coated_must_be_known_all_the_same(engine):
    zones = [
        {"id": "terrace", "length": "5 m", "width": "4 m", "coating": "clear-penetrating-oil"},
        {"id": "jetty", "length": "3 m", "width": "2 m", **GREY},
    ]
    steps = {s["id"]: s for s in engine.plan({"schema": 1, "zones": zones}, latewood.wire.Options())["steps"]}
    assert steps["coverage-leave-to-grey"]["status"] == "done"
    assert steps["coverage-clear-penetrating-oil"]["status"] == "blocked"
    assert steps["coverage-clear-penetrating-oil"]["unlock"] == ["/zones/0/species"]


def test_a_job_may_leave_one_zone_bare(engine):
    zones = [
        {"id": "terrace", "length": "5 m", "width": "4 m", "coating": "clear-penetrating-oil"},
        {"id": "jetty", "length": "3 m", "width": "2 m", "coating": "leave-to-grey"},
    ]
    job = {"schema": 1, "defaults": {"species": "ipe", "surface": "sanded", "coats": 1}, "zones": zones}
    plan = engine.plan(job, latewood.wire.Options())
    bought = {purchase["id"]: purchase["text"] for purchase in finishes(plan)}
    assert bought["coverage-leave-to-grey"] == "nothing"
    assert bought["coverage-clear-penetrating-oil"] != "nothing"
