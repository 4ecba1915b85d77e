"""Cautions that go with work, whichever calculator plans it: sanding, mains power, films that come off."""

import pytest

from latewood.rules.work import proud_steel
from latewood.uncertainty import spread

FLOOR = {"faces": [{"zone": "main", "part": "field", "area": "30 m2"}], "species": "ipe", "treatment": "none"}
PAINT = {"old_coating": "paint", "condition": "old-film", "jurisdiction": "US-NY"}
PREPARED = {"area": "30 m2", "species": "ipe", "treatment": "none", "jurisdiction": "US-NY", "signs": ["grey"]}


@pytest.fixture
def cautioned(run, engine):
    def cautioned(calculator, **given):
        result, ledger = run(calculator, **given)
        shown = {c.id: c for c in ledger.cautions(engine.shelf.records("caution").values())}
        return result, shown

    return cautioned


@pytest.mark.parametrize(
    ("area", "severity"),
    [
        # Directive 2002/44/EC: action value 2.5 m/s2, limit value 5 m/s2 over 8 h.
        ("1 m2", None),
        ("6 m2", "warning"),
        ("100 m2", "danger"),
    ],
)
def test_vibration_goes_by_the_hours_of_one_day(cautioned, area, severity):
    faces = [{"zone": "main", "part": "field", "area": area}]
    result, shown = cautioned("abrasive-sequence", **{**FLOOR, "faces": faces})
    exposure = spread.value(result.vibration_exposure)
    assert (exposure >= 2.5, exposure >= 5) == (severity is not None, severity == "danger")
    found = shown.get("hand-arm-vibration")
    assert (None if found is None else found.severity) == severity
    assert shown["noise"].severity == "warning"


def test_more_than_a_day_of_it_is_no_more_than_the_machine_shakes(cautioned):
    faces = [{"zone": "main", "part": "field", "area": "5000 m2"}]
    result, _ = cautioned("abrasive-sequence", **{**FLOOR, "faces": faces})
    # A university's list: random-orbital sanders at 7 to 10 m/s2.
    assert 7 < spread.value(result.vibration_exposure) < 10


@pytest.mark.parametrize(
    ("signs", "severity"), [((), "warning"), (("grey",), "warning"), (("rusty-fasteners",), "danger")]
)
def test_steel_that_is_seen_makes_dust_a_danger(cautioned, signs, severity):
    # Trade pages on fires of floor sanders: a spark from a nail smoulders in the bag.
    _, shown = cautioned("abrasive-sequence", **FLOOR, signs=list(signs))
    assert shown["wood-dust-fire"].severity == severity


def test_sanding_by_hand_is_neither_loud_nor_powered(cautioned):
    parts = [{"part": "field", "machine": "hand-block"}]
    result, shown = cautioned("abrasive-sequence", **FLOOR, parts=parts)
    assert result.vibration_exposure is None
    assert not {"noise", "hand-arm-vibration", "wood-dust-fire", "mains-near-wet-boards"} & set(shown)


@pytest.mark.parametrize(
    ("given", "severity"),
    [
        # 40 CFR 745.85(a)(3); lead paint before 1978.
        ({**PAINT, "year_built": 1965}, "danger"),
        ({**PAINT, "year_built": 2015}, "warning"),
        ({"old_coating": "none", "condition": "grey"}, None),
    ],
)
def test_heat_on_old_paint_where_a_film_is_sanded_off(cautioned, given, severity):
    found = cautioned("abrasive-sequence", **FLOOR, **given)[1].get("heat-on-old-paint")
    assert (None if found is None else found.severity) == severity


@pytest.mark.parametrize(("year", "severity"), [(1965, "danger"), (2015, "warning")])
def test_heat_on_old_paint_where_a_film_is_washed_off(cautioned, year, severity):
    stripped = {"area": "30 m2", "species": "western-redcedar", "treatment": "none", "old_coating": "paint"}
    _, shown = cautioned("wash", **stripped, year_built=year, jurisdiction="US-NY", soil=["film"])
    assert shown["heat-on-old-paint"].severity == severity
    _, shown = cautioned("wash", **{**stripped, "old_coating": "none"}, soil=["dirt"])
    assert "heat-on-old-paint" not in shown


def test_preparation_speaks_of_the_route_it_chose(cautioned):
    _, sanded = cautioned("preparation", **PREPARED, old_coating="none", route="sand")
    assert sanded["mains-near-wet-boards"].severity == "warning"
    assert {"noise", "wood-dust-fire"} <= set(sanded)
    assert not {"wash-chemicals", "solvent-stripper", "heat-on-old-paint"} & set(sanded)
    _, washed = cautioned("preparation", **PREPARED, old_coating="none", route="wash-and-sand")
    assert washed["mains-near-wet-boards"].severity == "danger"
    assert {"wash-chemicals", "noise"} <= set(washed)
    painted = {**PREPARED, "old_coating": "paint", "signs": ["film-peeling"], "year_built": 2015}
    _, stripped = cautioned("preparation", **painted, route="strip-and-sand")
    assert {"solvent-stripper", "heat-on-old-paint", "wash-chemicals"} <= set(stripped)
    assert stripped["solvent-stripper"].severity == "danger"


@pytest.mark.parametrize(
    ("signs", "cover", "met"),
    [
        ((), None, False),
        ((), 0.0, False),
        ((), -0.0005, True),
        (("proud-fasteners",), None, True),
        (("rusty-fasteners",), 0.002, True),
        (("loose-fasteners",), 0.002, False),
    ],
)
def test_steel_that_a_disc_meets(signs, cover, met):
    assert proud_steel(signs, cover) is met
