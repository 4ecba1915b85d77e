"""Sequences of grades, held against the trade's own table and against every possible sequence."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.bundled import bundled

from latewood.formulas.sequence import shortest, trials

GRADES = bundled().shelf.records("abrasive")
P = {id: record.grain_size.si for id, record in GRADES.items() if record.system == "fepa-p"}
USUAL = ["p40", "p60", "p80", "p100", "p120", "p150", "p180", "p220"]
LIMIT = 1.75

#: Largest step 1.75 (skip one grade at most), fewest grades, then the smallest largest step; worked by hand.
TABLE = [
    ("p60 p80", True, 1.338),
    ("p40 p60 p80", True, 1.580),
    ("p36 p50 p80", False, 1.672),
    ("p24 p36 p50 p80", False, 1.672),
    ("p60 p80 p120", True, 1.608),
    ("p40 p60 p80 p120", True, 1.608),
    ("p80 p120 p150", True, 1.608),
]


def ways(start, last, sizes, limit):
    """Every sequence there is, by trying all sets of grades between the two."""
    between = [id for id in sizes if sizes[last] < sizes[id] < sizes[start]]
    for count in range(len(between) + 1):
        for chosen in combinations(between, count):
            grades = (start, *sorted(chosen, key=lambda id: -sizes[id]), *([last] if last != start else []))
            ratios = [sizes[a] / sizes[b] for a, b in pairwise(grades)]
            if all(1 <= ratio <= limit for ratio in ratios):
                yield len(grades), max(ratios, default=1.0), grades


@pytest.mark.parametrize(("grades", "in_stock", "worst"), TABLE)
def test_sequences_of_the_table(grades, in_stock, worst):
    start, *_, last = grades.split()
    full = shortest(start, last, P, P, LIMIT)
    assert " ".join(full.grades) == grades
    assert full.fetch == ()
    assert full.worst_ratio == pytest.approx(worst, abs=5e-4)
    usual = shortest(start, last, P, USUAL, LIMIT)
    if in_stock:
        assert (usual.grades, usual.fetch) == (full.grades, ())
    else:
        assert usual.fetch


@pytest.mark.parametrize(("start", "last", "ratio"), [("p40", "p80", 2.114), ("p60", "p120", 2.152)])
def test_two_grades_too_far_apart_are_no_sequence(start, last, ratio):
    assert P[start] / P[last] == pytest.approx(ratio, abs=5e-4)
    assert shortest(start, last, {id: P[id] for id in (start, last)}, [start, last], LIMIT) is None
    assert len(shortest(start, last, P, P, LIMIT).grades) > 2


def test_it_says_which_grade_to_fetch():
    assert shortest("p40", "p80", P, ["p40", "p80"], LIMIT).fetch in {("p50",), ("p60",)}
    assert shortest("p36", "p80", P, USUAL, LIMIT).fetch == ("p36",)


def test_one_grade_is_a_sequence_and_finer_to_coarser_is_none():
    only = shortest("p120", "p120", P, ["p120"], LIMIT)
    assert (only.grades, only.worst_ratio) == (("p120",), 1.0)
    assert shortest("p120", "p80", P, P, LIMIT) is None


def test_a_trial_runs_fine_to_coarse():
    assert trials(shortest("p60", "p120", P, P, LIMIT)) == ("p120", "p80", "p60")


@st.composite
def asked(draw):
    """A ladder of a few sizes, some of them at hand, and two ends of it."""
    sizes = draw(st.lists(st.integers(5, 2000), min_size=2, max_size=9, unique=True))
    ladder = {f"g{n}": size * 1e-6 for n, size in enumerate(sorted(sizes, reverse=True))}
    stock = [id for id in ladder if draw(st.booleans())]
    first, second = sorted((draw(st.sampled_from(sorted(ladder))), draw(st.sampled_from(sorted(ladder)))))
    return first, second, ladder, stock, draw(st.floats(1.05, 4.0))


@given(asked())
def test_never_finer_to_coarser_and_never_a_larger_step(given_):
    found = shortest(*given_)
    if found is None:
        return
    start, last, sizes, stock, limit = given_
    assert (found.grades[0], found.grades[-1]) == (start, last)
    ratios = [sizes[a] / sizes[b] for a, b in pairwise(found.grades)]
    assert all(1 < ratio <= limit * (1 + 1e-9) for ratio in ratios)
    assert max(ratios, default=1.0) == pytest.approx(found.worst_ratio)
    assert set(found.fetch) == set(found.grades) - set(stock)


@given(asked())
def test_it_is_the_shortest_of_all_there_are(given_):
    start, last, sizes, _, limit = given_
    found = shortest(start, last, sizes, list(sizes), limit)
    every = list(ways(start, last, sizes, limit * (1 + 1e-9)))
    if found is None:
        assert not every
    else:
        count, worst, _ = min(every)
        assert (len(found.grades), found.worst_ratio) == (count, pytest.approx(worst))


@given(asked())
def test_what_is_fetched_is_as_little_as_possible_and_makes_it_possible(given_):
    start, last, sizes, stock, limit = given_
    found = shortest(*given_)
    every = list(ways(start, last, sizes, limit * (1 + 1e-9)))
    if found is None:
        assert not every
        return
    assert len(found.fetch) == min(len(set(grades) - set(stock)) for _, _, grades in every)
    again = shortest(start, last, sizes, [*stock, *found.fetch], limit)
    assert again.fetch == ()


@given(asked(), st.data())
def test_a_grade_less_in_stock_only_lengthens_or_makes_impossible(given_, data):
    start, last, sizes, stock, limit = given_
    if not stock:
        return
    full = shortest(*given_)
    gone = data.draw(st.sampled_from(stock))
    less = shortest(start, last, sizes, [id for id in stock if id != gone], limit)
    if full is None:
        assert less is None
        return
    # To fetch what was taken away would do, so never more than that is asked for.
    assert len(full.fetch) <= len(less.fetch) <= len(full.fetch) + 1
    if len(less.fetch) == len(full.fetch):
        assert len(less.grades) >= len(full.grades)
