"""One list of what to buy, by the labels of what is sold, each line with what stands before buying it."""

import copy

import pytest
from tests import plans
from tests.bundled import bundled
from tests.engine.plan.test_steps_always_present import FAILED
from tests.engine.plan.test_verdicts import READY
from tests.plans import EXAMPLES, example

from latewood.plan.purchases import can_mark, label_of
from latewood.wire import Options


def planned(job, units="metric"):
    return plans.planned(job, units=units)


def of_kind(plan, kind):
    return [row for row in plan["purchases"] if row["kind"] == kind]


def conditions(row):
    return {condition["id"] for condition in row["conditions"]}


@pytest.mark.parametrize(
    ("litres", "label"),
    [
        (0.946352946, "1 qt"),
        (3.785411784, "1 gal"),
        (18.92705892, "5 gal"),
        (0.473176473, "1 pt"),
        (20.0, "20 L"),
        (2.5, "2.5 L"),
        (0.75, "750 mL"),
        (0.375, "375 mL"),
        (3.78, "3.78 L"),
    ],
)
def test_a_can_has_the_label_it_is_sold_by(litres, label):
    """NIST SP 811 appendix B: 1 US gallon is 3.785 411 784 L, a quart a quarter and a pint an eighth of it."""
    assert can_mark(litres) == label


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_list_holds_what_the_steps_say_to_buy(name, units):
    plan = planned(example(name), units)
    ids = [(row["kind"], row["id"]) for row in plan["purchases"]]
    assert len(set(ids)) == len(ids)
    laid = {row["id"]: row["result"] for row in plan["steps"] if row["calculator"] == "coverage" and "result" in row}
    finish = {row["id"]: row["volume"] for row in of_kind(plan, "finish") if "volume" in row}
    assert finish == {id: result["volume"] for id, result in laid.items()}
    sanded = [row["result"] for row in plan["steps"] if row["calculator"] == "abrasive-sequence" and "result" in row]
    discs = {row["id"]: row for result in sanded for row in result["abrasives"] if row["to_buy"]}
    bought = {row["id"]: row for row in of_kind(plan, "abrasive")}
    assert bought.keys() == discs.keys()
    for id, row in bought.items():
        told = (row["count"], row["grade"], row["machine"], row["form"], row["typical_count"])
        of = discs[id]
        assert told == (of["to_buy"], of["abrasive"], of["machine"], of["form"], of["typical_count"])
    washed = [row for row in plan["steps"] if row["calculator"] == "wash" and "result" in row]
    mixed = {(row["id"], one["agent"]): one for row in washed for one in row["result"]["stages"]}
    agents = {(row["step"], row["id"].removesuffix(f"-{row['step']}")): row for row in of_kind(plan, "wash-agent")}
    assert agents.keys() == mixed.keys()
    for key, row in agents.items():
        amounts = [name for name in ("product_mass", "stock_volume") if name in row]
        assert len(amounts) == 1
        assert row[amounts[0]] == mixed[key][amounts[0]]
    for row in of_kind(plan, "finish"):
        cans = " + ".join(f"{can['count']} × {can['label']}" for can in row["containers"])
        assert row.get("text", cans) == (cans or "nothing")
        assert all(can["label"].split(" ")[1] in ("gal", "qt", "pt", "L", "mL") for can in row["containers"])
    for row in plan["purchases"]:
        assert row["places"]
        assert row.get("typical_count", 0) <= row.get("count", 0) or "typical_count" not in row
        asked = {one["id"] for one in plan["questions"]} & {*row.get("rests_on", ())}
        assert ("rests-on-open-questions" in conditions(row)) == bool(asked)
    # No finish stands bare beside a verdict that is no GO.
    coats = {id: row["verdict"] for row in plan["verdicts"] if row["phase"] == "coat" for id in row["components"]}
    for row in of_kind(plan, "finish"):
        assert conditions(row) or {coats[id] for id in row["places"]} == {"go"}


def test_labels_stay_as_they_are_sold_whatever_unit_is_asked():
    def labels(units):
        plan = planned(example("millrace"), units)
        return [can["label"] for row in of_kind(plan, "finish") for can in row["containers"]]

    assert labels("us") == labels("metric") == ["5 gal", "1 qt"]


@pytest.mark.parametrize(
    ("litres", "units", "decimal", "label"),
    [
        (2.5, "metric", ",", "2,5 L"),
        (2.5, "us", ".", "2.5 L"),
        (0.946352946, "metric", ",", "1 qt"),
        (3.43, "metric", ",", "3,43 L"),
        (3.785, "metric", ".", "3.785 L"),
        (0.946, "us", ".", "946 mL"),
        (0.3548823549, "metric", ",", "355 mL"),
        (0.3548823549, "us", ".", "12 fl oz"),
    ],
)
def test_a_can_that_is_round_in_no_system_has_its_size_in_the_units_asked_for(litres, units, decimal, label):
    """NIST SP 811 appendix B: 1 US fluid ounce is 29.573 529 56 mL."""
    lw = bundled()
    speaker = lw.speaker(Options(units=units, decimal=decimal))
    assert speaker.counted([(2, label_of(litres / 1000, speaker))]) == f"2 × {label}"


def test_what_stands_before_buying_is_said_beside_it():
    sure = planned(READY)
    assert all(not conditions(row) & {"not-dry", "not-judged", "not-go", "finish-unknown"} for row in sure["purchases"])
    wet = copy.deepcopy(READY)
    for row in wet["readings"]:
        row["reading"] = "24 %"
    (bought,) = of_kind(planned(wet), "finish")
    assert "not-dry" in conditions(bought)
    (asked,) = of_kind(planned(example("two_levels")), "finish")
    assert {"finish-unknown", "route-open", "rests-on-open-questions", "not-judged"} <= conditions(asked)
    (plain,) = of_kind(planned(example("washed_hardwood")), "finish")
    assert {"not-judged", "not-dry", "test-patch"} <= conditions(plain)


def test_a_purchase_waits_where_the_weather_or_the_dryness_is_not_judged():
    """The verdict counts, not whether a step ran: readings that do not count judge nothing."""
    silent = copy.deepcopy(READY)
    del silent["weather"]
    (bought,) = of_kind(planned(silent), "finish")
    (said,) = [one for one in bought["conditions"] if one["id"] == "not-judged"]
    assert said["message"] == "not judged yet: weather"
    del silent["readings"]
    (bought,) = of_kind(planned(silent), "finish")
    (said,) = [one for one in bought["conditions"] if one["id"] == "not-judged"]
    assert said["message"] == "not judged yet: dryness, weather"


def test_nothing_is_bought_for_a_stopped_part():
    part = planned(FAILED)
    (row,) = of_kind(part, "finish")
    assert {stop["id"] for stop in row["stopped_by"]} == {"bad", "bad/guards/rail"}
    assert "bad" not in row["places"]
    whole = copy.deepcopy(FAILED)
    del whole["zones"][1]
    rows = planned(whole)["purchases"]
    assert [(row["kind"], row["containers"], "volume" in row) for row in rows] == [("finish", [], False)]
    assert rows[0]["stopped_by"]
    assert "/zones/0/structure" in rows[0]["lifted_by"]
