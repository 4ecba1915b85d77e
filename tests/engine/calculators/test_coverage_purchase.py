"""Containers bought for a demand, held against optima found by two other methods, and their chances."""

from math import log
from statistics import NormalDist

import pytest

from latewood.messages import Style, shipped
from latewood.problems import InputProblem
from latewood.uncertainty import spread

US_GAL = 231 * 0.0254**3  # NIST Handbook 44, Appendix C: exactly
LITRE = 1e-3

#: Optima found by dynamic programming on the common step and by an integer solver (HiGHS, through scipy.optimize.milp);
#: they agree on every row. Prices are invented.
METRIC = {"0.75 L": 26, "1 L": 31, "2.5 L": 64, "5 L": 115, "10 L": 212, "20 L": 400}
US = {"0.25 us_gal": 24, "1 us_gal": 68, "5 us_gal": 290}
ON_OFFER = {"1 L": 20, "2.5 L": 60, "5 L": 110}
CASES = [
    (METRIC, "L", 0.8, 31, 1.0),
    (METRIC, "L", 1.6, 57, 1.75),
    (METRIC, "L", 2.0, 62, 2.0),
    (METRIC, "L", 3.3, 95, 3.5),
    (METRIC, "L", 4.1, 115, 5.0),
    (METRIC, "L", 6.2, 167, 6.5),
    (METRIC, "L", 7.6, 203, 7.75),
    (METRIC, "L", 9.3, 212, 10.0),
    (METRIC, "L", 12.4, 276, 12.5),
    (METRIC, "L", 14.0, 327, 15.0),
    (METRIC, "L", 18.9, 400, 20.0),
    (METRIC, "L", 23.0, 490, 23.25),
    (METRIC, "L", 31.7, 669, 31.75),
    (US, "us_gal", 0.6, 68, 1.0),
    (US, "us_gal", 1.3, 116, 1.5),
    (US, "us_gal", 2.6, 204, 3.0),
    (US, "us_gal", 4.1, 290, 5.0),
    (US, "us_gal", 4.9, 290, 5.0),
    (US, "us_gal", 6.8, 426, 7.0),
    (US, "us_gal", 8.9, 562, 9.0),
    (US, "us_gal", 9.4, 580, 10.0),
    (US, "us_gal", 11.2, 672, 11.25),
    (ON_OFFER, "L", 4.2, 100, 4.5),
    (ON_OFFER, "L", 7.1, 160, None),
]


def in_one_line(packs):
    return shipped().speaker(Style()).packs(packs.rows)


def job(demand, unit="L", sizes=None, **more):
    """A job that takes exactly this much: 10 m2 or 100 ft2 for each unit of the demand."""
    area, rate = (f"{demand * 10:.9g} m2", "10 m2/L") if unit == "L" else (f"{demand * 100:.9g} ft2", "100 ft2/us_gal")
    fields = {"area": area, "coating": "tinted-penetrating-oil", "coats": 1, "product": {"spreading_rate": rate}}
    if sizes:
        fields["containers"] = [{"size": size, "price": f"{price} EUR"} for size, price in sizes.items()]
    return fields | more


@pytest.mark.parametrize(("sizes", "unit", "demand", "cost", "bought"), CASES)
def test_cheapest_containers(run, sizes, unit, demand, cost, bought):
    result, _ = run("coverage", **job(demand, unit, sizes))
    litre = LITRE if unit == "L" else US_GAL
    assert result.purchase.cost.amount == cost
    assert sum(row.cost.amount for row in result.containers) == cost
    if bought is not None:
        assert result.purchase.volume / litre == pytest.approx(bought)
    assert result.purchase.shortage_risk == 0
    assert result.purchase.left_over == pytest.approx(result.purchase.volume - demand * litre, abs=1e-12)


def test_the_tie_of_cost_goes_to_the_lesser_volume(run):
    """4.2 L costs 100 as 5 × 1 L and as 2 × 1 L + 1 × 2.5 L; the second is 4.5 L."""
    result, _ = run("coverage", **job(4.2, sizes=ON_OFFER))
    assert in_one_line(result.purchase.text) == "2 × 1 L + 1 × 2.5 L"


def test_residue_and_short_fill_flip_the_answer(run):
    """5 L from one can of 5 at 115; with 0.1 L left in each can, or 4.9 L in it, one more litre is needed."""
    full, _ = run("coverage", **job(5, sizes=METRIC))
    assert in_one_line(full.purchase.text) == "1 × 5 L"
    left, _ = run("coverage", **job(5, sizes=METRIC, residue="100 mL"))
    assert left.purchase.volume >= 5 * LITRE
    assert in_one_line(left.purchase.text) != "1 × 5 L"
    containers = [{"size": "5 L", "fill": "4.9 L", "price": "115 EUR"}, {"size": "1 L", "price": "31 EUR"}]
    short, _ = run("coverage", **job(5, containers=containers))
    assert in_one_line(short.purchase.text) == "1 × 5 L + 1 × 1 L"


def test_what_is_on_hand_comes_off_first(run):
    result, _ = run("coverage", **job(5, sizes=METRIC, on_hand="4 L"))
    assert in_one_line(result.purchase.text) == "1 × 1 L"
    assert result.purchase.left_over == pytest.approx(0, abs=1e-12)
    enough, _ = run("coverage", **job(5, sizes=METRIC, on_hand="6 L"))
    assert (enough.containers, in_one_line(enough.purchase.text)) == ((), "nothing")
    assert enough.purchase.cost.amount == 0
    assert enough.purchase.left_over == pytest.approx(1 * LITRE)


@pytest.mark.parametrize("confidence", [50, 80, 90, 99, 99.9])
def test_the_purchase_holds_at_the_confidence_asked_for(run, confidence):
    containers = [{"size": "10 mL"}, {"size": "1 L"}, {"size": "100 L"}]
    fields = {"area": "400 ft2", "coating": "clear-penetrating-oil", "species": "ipe"}
    result, _ = run("coverage", confidence=f"{confidence} %", containers=containers, **fields)
    demand = spread.quantile(result.volume, confidence / 100)
    assert result.purchase.volume >= demand * (1 - 1e-9)
    assert result.purchase.shortage_risk <= 1 - confidence / 100 + 1e-9
    assert result.purchase.shortage_risk == pytest.approx(
        spread.exceedance(result.volume, result.purchase.volume), abs=1e-6
    )


def test_more_confidence_never_buys_less(run):
    fields = {"area": "61 m2", "coating": "semi-transparent-oil-stain", "species": "southern-yellow-pine"}
    bought = [
        run("coverage", confidence=f"{c} %", jurisdiction="DE", **fields)[0].purchase.volume
        for c in (50, 60, 70, 80, 90, 95, 99, 99.9)
    ]
    assert bought == sorted(bought)


def test_sizes_of_the_region(run):
    fields = {"area": "400 ft2", "coating": "clear-penetrating-oil", "species": "ipe"}
    _, there = run("coverage", jurisdiction="US-NY", **fields)
    assert "default-containers" not in [finding.id for finding in there.findings]
    metric, _ = run("coverage", jurisdiction="DE", **fields)
    assert all(row.size / LITRE in (0.375, 0.75, 1, 2.5, 5, 10, 20) for row in metric.containers)
    _, elsewhere = run("coverage", jurisdiction="JP", **fields)
    assert {"default-containers", "no-voc-rule"} <= {finding.id for finding in elsewhere.findings}


def test_prices_given_are_not_assumed(run):
    _, ledger = run("coverage", **job(5, sizes=METRIC))
    assert "prices-assumed" not in [finding.id for finding in ledger.findings]
    result, ledger = run("coverage", **job(5))
    assert "prices-assumed" in [finding.id for finding in ledger.findings]
    assert result.purchase.cost is None


def test_a_search_too_long_is_refused(run):
    containers = [{"size": f"{0.1 + i * 0.000001:.6f} L"} for i in range(30)]
    with pytest.raises(InputProblem) as caught:
        run("coverage", **job(900, containers=containers))
    assert [(f.pointer, f.code) for f in caught.value.faults] == [("/containers", "conflict")]


def test_what_cannot_be_proved_says_what_would_do(lw):
    """Twelve sizes a tenth of a millionth apart: as hostile as a list of containers gets."""
    sizes = [{"size": f"{1 + n * 1.234567e-7:.10f} L"} for n in range(12)]
    with pytest.raises(InputProblem) as refused:
        lw.calculate(
            "coverage",
            area="100000 m2",
            species="ipe",
            coating="clear-penetrating-oil",
            product={"spreading_rate": "10.1 m2/L"},
            containers=sizes,
        )
    [fault] = refused.value.faults
    assert (fault.pointer, fault.code) == ("/containers", "conflict")
    assert fault.expected == "fewer sizes, or fills rounded to a common step"
    rounded = lw.calculate(
        "coverage",
        area="100000 m2",
        species="ipe",
        coating="clear-penetrating-oil",
        product={"spreading_rate": "10.1 m2/L"},
        containers=[{"size": "1 L"}],
    )
    assert rounded["result"]["purchase"]["volume"]["value"] >= rounded["result"]["volume"]["value"]


def test_nothing_to_buy_is_no_shortage(lw):
    """A ten thousandth of a drop is not bought for, and not missed."""
    answer = lw.calculate("coverage", area="1e-9 m2", species="ipe", coating="clear-penetrating-oil")
    assert answer["result"]["purchase"]["text"] == "nothing"
    assert answer["result"]["purchase"]["shortage_risk"]["value"] == 0


def test_what_is_on_hand_lowers_the_risk_of_running_short(engine):
    """80 m2 at 6 to 10 m2/L take 8 to 13.33 L (P10, P90), the median 80/√60 = 10.33 L. Hand-worked.

    9 of 13.33 L are there, so one can of 5 L is bought. Of the lognormal above its median more than 14 L is the tail
    beyond 1.2816·ln(14/10.33)/ln(13.33/10.33) = 1.526: 6.3 %. The can alone would leave nearly every job short.
    """
    answer = engine.calculate(
        "coverage",
        area="80 m2",
        coating="semi-transparent-oil-stain",
        coats=1,
        product={"spreading_rate": "6-10 m2/L"},
        containers=[{"size": "5 L"}],
        on_hand="9 L",
    )
    purchase = answer["result"]["purchase"]
    median, high = 80 / 60**0.5, 80 / 6
    score = NormalDist().inv_cdf(0.9) * log(14 / median) / log(high / median)
    assert purchase["text"] == "1 × 5 L"
    assert score == pytest.approx(1.526, abs=0.001)
    assert purchase["shortage_risk"]["unit"] == "%"
    assert purchase["shortage_risk"]["value"] == pytest.approx(100 * NormalDist().cdf(-score), abs=0.3)
