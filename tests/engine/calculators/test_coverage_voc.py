"""VOC of a job: content on both bases, mass, and the limits of the place."""

import pytest

from latewood import spread

FIELDS = {"area": "100 m2", "coating": "semi-transparent-oil-stain", "species": "southern-yellow-pine", "coats": 1}


def ask(run, jurisdiction=None, more=None, **product):
    fields = FIELDS | {"product": {"spreading_rate": "10 m2/L"} | product} | (more or {})
    if jurisdiction:
        fields["jurisdiction"] = jurisdiction
    return run("coverage", **fields)


def ids(ledger):
    return {finding.id for finding in ledger.findings}


@pytest.mark.parametrize(
    ("voc", "water", "exempt", "density", "water_density", "expected"),
    # Hand-worked from A/(1 - B/0.995 - C/D), Maryland COMAR 26.11.19.02, g/L to one decimal.
    [
        (100, 600, None, None, 995, 251.9),
        (100, 600, None, None, 1000, 250.0),
        (50, 500, None, None, 995, 100.5),
        (50, 500, None, None, 1000, 100.0),
        (120, 700, None, None, 995, 404.7),
        (120, 700, None, None, 1000, 400.0),
        (250, None, None, None, 995, 250.0),
        (100, 300, 200, 790, 995, 224.6),
    ],
)
def test_regulatory_content(run, voc, water, exempt, density, water_density, expected):
    product = {"voc_content": f"{voc} g/L", "water_density": f"{water_density} kg/m3"}
    product |= {"water_content": f"{water} g/L"} if water else {}
    product |= {"exempt_content": f"{exempt} g/L", "exempt_density": f"{density} kg/m3"} if exempt else {}
    result, _ = ask(run, **product)
    assert result.voc.regulatory_content == pytest.approx(expected, abs=0.05)
    assert result.voc.content == pytest.approx(voc)


def test_mass_goes_by_all_that_is_drawn(run):
    """100 m2 at 10 m2/L is 10 L; with a fifth lost 12.5 L are drawn, at 400 g/L 5 kg. Hand-worked."""
    result, _ = ask(run, voc_content="400 g/L", more={"loss": "20 %", "loss_convention": "of-applied"})
    assert spread.central(result.voc.mass) == pytest.approx(5.0)


def test_mass_counts_the_thinner(run):
    """The content is that of the product ready to use, so of the thinned volume."""
    result, _ = ask(run, voc_content="400 g/L", thinning="25 %")
    assert result.volume == pytest.approx(8e-3)
    assert result.voc.mass == pytest.approx(4.0)


def test_the_union_itself_is_a_place(run):
    """EU is a code that ISO 3166-1 reserves; the directive holds in every member state."""
    answers = [ask(run, place, {"as_of": "2026-05-04"}, voc_content="650 g/L")[0] for place in ("EU", "DE")]
    assert answers[0].voc.limits == answers[1].voc.limits
    assert answers[0].voc.limits
    assert answers[0].containers == answers[1].containers


@pytest.mark.parametrize(("as_of", "limit"), [("2008-06-01", 700), ("2026-05-04", 700), ("2006-12-31", None)])
def test_european_limit_of_minimal_build_stains(run, as_of, limit):
    """Directive 2004/42/EC, Annex II, f, solvent-borne: 700 g/L from 2007 and from 2010; none before."""
    more = {"as_of": as_of, "coating": "clear-penetrating-oil"}
    result, ledger = ask(run, "DE", more, voc_content="650 g/L")
    if limit is None:
        assert result.voc.limits == ()
        assert "voc-not-in-force" in ids(ledger)
    else:
        assert [(x.id, x.basis, x.limit, x.within) for x in result.voc.limits] == [
            ("eu-2004-42-ec", "product", pytest.approx(limit), True)
        ]


def test_a_limit_fell_in_2010(run):
    """Directive 2004/42/EC, Annex II, e, water-borne: 150 g/L from 2007, 130 g/L from 2010."""
    verdicts = {}
    for as_of in ("2009-12-31", "2010-01-01"):
        more = {"as_of": as_of, "coating": "solid-colour-stain"}
        result, ledger = ask(run, "FR", more, voc_content="140 g/L")
        (limit,) = result.voc.limits
        verdicts[as_of] = (limit.limit, limit.within, "voc-over-limit" in ids(ledger))
    assert verdicts == {
        "2009-12-31": (pytest.approx(150), True, False),
        "2010-01-01": (pytest.approx(130), False, True),
    }


def test_the_same_paint_passes_in_one_place_and_not_in_another(run):
    """100 g/L of product is within the EU's 130; less its water it is 404.7 and over the US limit of 350 (recalled)."""
    product = {"voc_content": "120 g/L", "water_content": "700 g/L", "water_density": "995 kg/m3"}
    here, _ = ask(run, "DE", {"coating": "solid-colour-stain"}, **product)
    there, ledger = ask(run, "US-NY", {"coating": "solid-colour-stain"}, **product)
    assert [x.within for x in here.voc.limits] == [True]
    assert [(x.id, x.basis, x.within) for x in there.voc.limits] == [("us-40-cfr-59-d", "regulatory", False)]
    assert "voc-over-limit" in ids(ledger)


def test_low_solids_are_judged_by_the_whole_volume(run):
    product = {"voc_content": "120 g/L", "water_content": "700 g/L", "solids_content": "100 g/L"}
    result, ledger = ask(run, "US", {"coating": "solid-colour-stain"}, **product)
    assert [(x.basis, x.within) for x in result.voc.limits] == [("product", True)]
    assert "voc-low-solids" in ids(ledger)


def test_the_density_of_water_decides_and_is_said(run):
    """At 350 g/L: 104.5 g/L with 700 g/L of water is 348.3 at 1000 and 352.5 at 995 kg/m3. Hand-worked."""
    product = {"voc_content": "104.5 g/L", "water_content": "700 g/L"}
    _, ledger = ask(run, "US", {"coating": "solid-colour-stain"}, **product)
    assert "voc-water-density-decides" in ids(ledger)
    _, ledger = ask(run, "US", {"coating": "solid-colour-stain"}, water_density="1000 kg/m3", **product)
    assert "voc-water-density-decides" not in ids(ledger)


def test_without_a_place_no_limit_is_applied_and_it_is_said(run):
    result, ledger = ask(run, voc_content="900 g/L")
    assert result.voc.limits == ()
    (finding,) = [finding for finding in ledger.findings if finding.id == "no-jurisdiction"]
    assert "550 g/L" in finding.message
    assert not ids(ledger) & {"voc-over-limit"}


def test_a_district_applies_only_when_asked(run):
    """The rule around Los Angeles: exterior stains 100 g/L (recalled). Its district has no ISO 3166 code."""
    state, _ = ask(run, "US-CA", voc_content="300 g/L")
    assert {x.id for x in state.voc.limits} == {"us-40-cfr-59-d"}
    district, ledger = ask(run, "US-CA", {"voc_rules": "us-ca-scaqmd-1113"}, voc_content="300 g/L")
    assert [(x.id, x.within) for x in district.voc.limits] == [("us-ca-scaqmd-1113", False)]
    assert "voc-over-limit" in ids(ledger)


def test_small_containers_are_exempt(run):
    """40 CFR 59.400(c)(5): a container of one litre or less. A US quart is 0.946 L."""
    more = {"area": "5 m2", "confidence": "50 %"}
    _, ledger = ask(run, "US", more, voc_content="500 g/L")
    assert "voc-small-container" in ids(ledger)
    _, ledger = ask(run, "US", {"area": "300 m2"}, voc_content="500 g/L")
    assert "voc-small-container" not in ids(ledger)


def test_without_a_date_the_newest_limits_are_taken_and_it_is_said(run):
    _, ledger = ask(run, "US", voc_content="500 g/L")
    assert "as-of-missing" in ids(ledger)
    _, ledger = ask(run, "US", {"as_of": "2026-05-04"}, voc_content="500 g/L")
    assert "as-of-missing" not in ids(ledger)


def test_a_limit_without_a_content_gives_no_verdict(run):
    result, _ = ask(run, "US")
    assert [x.within for x in result.voc.limits] == [None]
    assert result.voc.content is result.voc.mass is None
