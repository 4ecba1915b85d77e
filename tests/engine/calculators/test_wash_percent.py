"""Percentages on labels: what they mean, what density makes of them, and what is refused."""

import pytest

from latewood.problems import InputProblem
from latewood.uncertainty import spread
from latewood.wire import Options

METAL = {"material": "metal"}
PINE = {
    "area": "30 m2",
    "species": "southern-yellow-pine",
    "treatment": "none",
    "treatment_evidence": "test",
    "old_coating": "none",
    "frame": METAL,
}


def washed(run, agent, **stage):
    result, ledger = run("wash", **PINE, stages=[{"agent": agent, **stage}])
    return result.stages[0], {finding.id: finding for finding in ledger.findings}, ledger


def refused(run, agent, **stage):
    with pytest.raises(InputProblem) as caught:
        run("wash", **PINE, stages=[{"agent": agent, **stage}])
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


@pytest.mark.parametrize(
    ("percent", "means", "grams", "within"),
    [
        # Public forums on pools: 6 % by weight is 5.71 % of available chlorine and 6.17 % in trade percent.
        ("6 %", None, 64.8, 0.002),
        ("5.71 %", "available-chlorine", 64.8, 0.002),
        ("6.17 %", "trade", 64.8, 0.002),
        # The same forums: 10 % in trade percent is 9.24 % by weight, 12.5 % is 11.34 %; densities of 1.136 and 1.157.
        ("10 %", "trade", 104.99, 0.001),
        ("9.24 %", None, 104.99, 0.005),
        ("12.5 %", "trade", 131.2, 0.001),
        ("11.34 %", None, 131.2, 0.012),
        # CDC fact sheet: household bleach of 5.25 %; 56 g/L is this record's own stock.
        ("5.25 %", "weight", 56.0, 0.005),
        # 8.25 % by weight at the 1.10 that one author uses: 90.75 g/L.
        ("8.25 %", "weight", 90.75, 0.017),
    ],
)
def test_bleach_by_the_percentage_on_its_label(run, percent, means, grams, within):
    more = {} if means is None else {"percent_of": means}
    stage, _, _ = washed(run, "hypochlorite", stock_strength=percent, **more)
    assert stage.stock_strength == pytest.approx(grams, rel=within)


def test_a_percentage_and_its_weight_make_the_same_mix(run):
    by_weight, _, _ = washed(run, "hypochlorite", stock_strength="64.8 g/L", strength="12 g/L")
    by_percent, _, _ = washed(run, "hypochlorite", stock_strength="6 %", strength="12 g/L")
    assert spread.value(by_percent.stock_volume) == pytest.approx(spread.value(by_weight.stock_volume), rel=1e-9)
    assert spread.high(by_percent.water_volume) == pytest.approx(spread.high(by_weight.water_volume), rel=1e-9)


def test_what_is_ready_to_use_may_be_a_percentage_too(run):
    """Practitioners say 1.5 to 2 %: 15.3 to 20.5 g/L at densities of 1.02 to 1.03."""
    stage, _, _ = washed(run, "hypochlorite", strength="1.5-2 %", stock_strength="12.5 %")
    assert spread.low(stage.strength) == pytest.approx(15.28, rel=0.001)
    assert spread.high(stage.strength) == pytest.approx(20.51, rel=0.001)
    # Oxalic recipes of 5 to 6 %, and 30 g/L of crystals: a powder's mix by weight.
    oxalic, found, _ = washed(run, "oxalic-acid", strength="5 %")
    assert spread.value(oxalic.strength) == pytest.approx(51.1, rel=0.001)  # 5 % at 1.0220, tabulated
    assert oxalic.product_mass is not None
    assert "percent-in-weight" in found


def test_what_a_percentage_means_is_said_with_the_other_meanings(run):
    """By weight, of available chlorine, or in trade percent, 12.5 % is three liquids that differ by a sixth."""
    _, found, ledger = washed(run, "hypochlorite", stock_strength="12.5 %")
    said = found["percent-by-weight"]
    assert said.severity == "warning"
    assert all(
        part in said.message.replace("\u00a0", " ")
        for part in ("148 g/L", "156 g/L", "131 g/L", "1180 g/L", "trade percent")
    )
    basis = {line.path: line for line in ledger.basis}
    assert basis["input/stages/0/percent_of"].kind == "default"
    assert {"wash-agent/hypochlorite/densities/11", "wash-agent/hypochlorite/densities/14"} <= basis.keys()
    # At household strengths the meanings lie closer, and once it is said nothing is asked.
    _, household, _ = washed(run, "hypochlorite", stock_strength="6 %")
    assert household["percent-by-weight"].severity == "note"
    _, told, ledger = washed(run, "hypochlorite", stock_strength="12.5 %", percent_of="trade")
    assert "percent-by-weight" not in told
    assert "131 g/L" in told["percent-in-weight"].message.replace("\u00a0", " ")
    assert not any("densities" in line.path for line in ledger.basis)


def test_the_worked_steps_show_the_density(lw):
    stages = [{"agent": "hypochlorite", "stock_strength": "5.71 %", "percent_of": "available-chlorine"}]
    answer = lw.calculate(
        "wash",
        area="30 m2",
        treatment="none",
        treatment_evidence="test",
        frame=METAL,
        stages=stages,
        options=Options(working=True),
    )
    steps = {step["formula"]: step for step in answer["sheet"]}
    assert steps["hypochlorite-of-chlorine"]["result"]["value"] == pytest.approx(5.995, rel=0.001)
    assert steps["density-between"]["result"]["value"] == pytest.approx(1080, rel=0.001)
    assert steps["strength-of-liquid"]["result"]["value"] == pytest.approx(64.7, rel=0.001)


@pytest.mark.parametrize(
    ("agent", "percent", "grams", "within"),
    [
        # 50 % caustic soda: 757.5 g in a litre on one laboratory page, 762 g on another.
        ("hydroxide-stripper", "50 %", 757.5, 0.001),
        # Tabulated densities at 20 degC: 1.2192 at 20 %, 1.1346 at 30 % citric acid.
        ("hydroxide-stripper", "20 %", 243.84, 0.001),
        ("citric-acid", "30 %", 340.38, 0.001),
    ],
)
def test_other_liquids_by_weight(run, agent, percent, grams, within):
    stage, found, _ = washed(run, agent, stock_strength=percent)
    assert stage.stock_strength == pytest.approx(grams, rel=within)
    assert stage.product_mass is None
    assert found["percent-in-weight"].pointer == "/stages/0/stock_strength"


@pytest.mark.parametrize(
    ("agent", "stage", "fault"),
    [
        ("hypochlorite", {"percent_of": "trade"}, ("/stages/0/percent_of", "conflict")),
        ("hypochlorite", {"stock_strength": "60 g/L", "percent_of": "weight"}, ("/stages/0/percent_of", "conflict")),
        (
            "hydroxide-stripper",
            {"stock_strength": "30 %", "percent_of": "available-chlorine"},
            ("/stages/0/percent_of", "conflict"),
        ),
        ("hypochlorite", {"stock_strength": "20 %"}, ("/stages/0/stock_strength", "out-of-range")),
        ("hypochlorite", {"stock_strength": "0.05 %"}, ("/stages/0/stock_strength", "out-of-range")),
        ("hypochlorite", {"stock_strength": "0.6 %"}, ("/stages/0/stock_strength", "conflict")),
        ("hypochlorite", {"stock_strength": "0 %"}, ("/stages/0/stock_strength", "out-of-range")),
        ("hypochlorite", {"stock_strength": "101 %"}, ("/stages/0/stock_strength", "out-of-range")),
        ("hypochlorite", {"stock_strength": "12.5"}, ("/stages/0/stock_strength", "unit-missing")),
        ("hypochlorite", {"stock_strength": "12.5 ml"}, ("/stages/0/stock_strength", "wrong-dimension")),
        ("hydroxide-stripper", {"strength": "40 %"}, ("/stages/0/strength", "out-of-range")),
    ],
)
def test_percentages_that_cannot_be_meant(run, agent, stage, fault):
    assert fault in refused(run, agent, **stage)


def test_a_percentage_is_sent_in_every_form(lw):
    stages = [{"agent": "hypochlorite", "stock_strength": "6 %"}]
    wanted = lw.calculate("wash", area="30 m2", treatment="none", treatment_evidence="test", frame=METAL, stages=stages)
    for sent in ({"value": 6, "unit": "%"}, "6 percent", " 6 % "):
        stages = [{"agent": "hypochlorite", "stock_strength": sent}]
        found = lw.calculate(
            "wash", area="30 m2", treatment="none", treatment_evidence="test", frame=METAL, stages=stages
        )
        assert found["result"] == wanted["result"]
