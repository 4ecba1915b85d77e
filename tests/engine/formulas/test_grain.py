"""Grades of abrasive, held against a second reading of their sizes and against the trade's rule of steps."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.bundled import bundled

from latewood.declare import F
from latewood.formulas.grain import nearest_grade, size_distance, size_ratio
from latewood.problems import InputProblem
from latewood.wire import Context
from latewood.wire.scalars import RefReader

SHELF = bundled().shelf
GRADES = SHELF.records("abrasive")


def ladder(system):
    return {id: record.grain_size.si for id, record in GRADES.items() if record.system == system}


P, CAMI, JIS = ladder("fepa-p"), ladder("cami"), ladder("jis")
SIZE = st.floats(1e-6, 2e-3)


# sizes.com/tools/sandpaper.htm, columns in micrometres: a second reading of both systems.
SECOND_P = {
    12: 1815,
    16: 1324,
    20: 1000,
    24: 764,
    30: 642,
    36: 538,
    40: 425,
    50: 336,
    60: 269,
    80: 201,
    100: 162,
    120: 125,
}
SECOND_CAMI = {24: 715, 30: 638, 36: 535, 40: 428, 50: 351, 60: 268, 80: 192, 100: 141}


@pytest.mark.parametrize(("number", "um"), SECOND_P.items())
def test_sieved_grades_are_those_of_a_second_table(number, um):
    assert P[f"p{number}"] == pytest.approx(um * 1e-6, rel=1e-9)


@pytest.mark.parametrize(("number", "um"), SECOND_CAMI.items())
def test_two_readings_of_cami_differ_by_little(number, um):
    """The same page; the two tables differ by up to 1.2 %."""
    assert CAMI[f"cami-{number}"] == pytest.approx(um * 1e-6, rel=0.012)


def test_a_grade_goes_by_its_size_and_not_by_its_number():
    """A guide to the systems of grades (howstuffworks.com): CAMI 320 about P400, 400 about P800, 600 about P1200."""
    assert [nearest_grade(CAMI[f"cami-{n}"], P) for n in (320, 400, 600)] == ["p400", "p800", "p1200"]
    # By size: ln(140/125) = 0.113 < ln(162/140) = 0.146, so CAMI 100 is nearer to P120 than to P100.
    assert nearest_grade(CAMI["cami-100"], P) == "p120"
    assert nearest_grade(200e-6, P) == "p80"
    assert nearest_grade(P["p80"], CAMI) == "cami-80"


def test_over_the_range_of_floors_1_75_is_skip_one_at_most():
    """Over P16 to P220 all steps that skip one grade lie below 1.75, all that skip two above."""
    sizes = [size for id, size in P.items() if int(id[1:]) in range(16, 221)]
    sizes.sort(reverse=True)
    skipping = {n: [a / b for a, b in zip(sizes, sizes[n + 1 :], strict=False)] for n in range(3)}
    assert [(round(min(x), 2), round(max(x), 2)) for x in skipping.values()] == [
        (1.19, 1.34),
        (1.42, 1.73),
        (1.8, 2.15),
    ]


def test_beyond_that_range_the_number_of_grades_and_the_ratio_part():
    """P12 to P20 skips one grade and is 1.82; P150 to P240 skips two and is 1.71: so the rule goes by the ratio."""
    assert P["p12"] / P["p20"] == pytest.approx(1.815)
    assert P["p150"] / P["p240"] == pytest.approx(1.71, abs=0.005)


@pytest.mark.parametrize("system", [P, CAMI, JIS])
def test_a_higher_number_is_a_finer_grain(system):
    by_number = sorted(system, key=lambda id: int(id.lstrip("p").rpartition("-")[2]))
    assert sorted(system, key=lambda id: -system[id]) == by_number


@given(SIZE, SIZE)
def test_distance_has_no_direction(a, b):
    assert size_distance(size=a, other=b) == pytest.approx(size_distance(size=b, other=a))
    assert math.exp(size_distance(size=max(a, b), other=min(a, b))) == pytest.approx(
        size_ratio(coarser=max(a, b), finer=min(a, b))
    )


@given(SIZE)
def test_no_grade_is_nearer_than_the_nearest(size):
    found = nearest_grade(size, P)
    assert all(
        size_distance(size=size, other=P[found]) <= size_distance(size=size, other=d) + 1e-12 for d in P.values()
    )


def test_of_two_as_near_the_finer_is_taken():
    assert nearest_grade(math.sqrt(2.0 * 8.0), {"coarse": 8.0, "fine": 2.0}) == "fine"


@pytest.mark.parametrize("said", ["80", "F80", "f80", " 80 "])
def test_a_bare_number_is_no_grade(said):
    ctx = Context(SHELF)
    RefReader(F("Grade"), "abrasive").read(said, "/grade", ctx)
    with pytest.raises(InputProblem) as problem:
        ctx.finish()
    [fault] = problem.value.faults
    assert fault.code == "ambiguous"
    assert "p80" in fault.expected
    assert "cami-80" in fault.expected
