"""The comparison behind ``latewood verify``: what agrees, what misses, and that a check which cannot run has missed.

Conversions are exact by definition: 1 ft = 304.8 mm, 1 us_gal = 231 in3 = 3.785411784 L (NIST SP 811, appendix B).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from copy import copy
from importlib.metadata import EntryPoint
from typing import Annotated, Any

import msgspec
import pytest
from tests.bundled import bundled

import latewood
from latewood import verify
from latewood.catalogue import Catalogue
from latewood.declare import RecordLookup
from latewood.plugin import Ledger, Q, Record, calculator, hookimpl, read_record
from latewood.plugin.loader import installed
from latewood.records import BadRecord
from latewood.verify import Outcome, Report

BUNDLED = [entry for entry in installed() if entry.name == "latewood"]
Plugin = Callable[[str, Mapping[str, Any]], EntryPoint]
Run = Callable[..., list[Outcome]]


def check(calculator: str, given: str, expected: str, tolerance: str = "exact", case: str = "") -> Record:
    text = f"""
        schema = 1
        record = "check"
        id = "tried"
        title = "Tried"
        summary = "For tests."
        calculator = "{calculator}"
        source = "wood-handbook-190"
        where = "nowhere"
        against = "published"
        tolerance = "{tolerance}"
        reason = "of the group"
        [[cases]]
        id = "one"
        input = {given}
        expected = {expected}
        {case}
    """
    return read_record(text, "test")


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """A board."""

    length: Annotated[float, Q("m", "Length of a board", ge=0.1, le=10, example="2 m")]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Nothing that is ever reached beyond two metres."""

    length: Annotated[float, Q("m", "Length of a board")]


@calculator("snap", "A board that snaps", since="0.1", example={"length": "2 m"})
def snap(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Does it hold?"""
    if x.length > 2:
        raise RuntimeError("it snapped")
    return Result(length=x.length)


@pytest.fixture(scope="module")
def run() -> Run:
    """Run one check against the bundled records and the calculator above."""
    shelf = copy(bundled().shelf)
    shelf.calculators = {**shelf.calculators, snap.id: snap}
    engine = Catalogue(shelf)
    return lambda *given: list(verify.run(engine, check(*given)))


def test_a_check_that_a_plugin_brings_is_run_with_the_others(plugin: Plugin) -> None:
    tried = check("snap", '{ length = "1 m" }', "{ length = 1.0 }", "0.001 m")
    hooks = {"latewood_records": hookimpl(lambda: [tried]), "latewood_calculators": hookimpl(lambda: [snap])}
    report = verify.verify(latewood.load([*BUNDLED, plugin("more", hooks)], strict=True))
    assert [outcome.passed for outcome in report.outcomes if outcome.id.startswith("tried/")] == [True]
    assert len(report.outcomes) > 1


FOOT = '{ quantity = "1 ft", to = "mm" }'
GALLON = '{ quantity = "1 us_gal", to = "L" }'
DECK = '{ area = "400 ft2", species = "ipe", coating = "clear-penetrating-oil" }'


@pytest.mark.parametrize(
    ("target", "given", "expected", "tolerance"),
    [
        ("units", FOOT, '{ quantity = "304.8 mm" }', "exact"),
        ("units", FOOT, '{ quantity = "12 in" }', "exact"),
        ("units", GALLON, '{ quantity = "3.785 L" }', "0.02 %"),
        ("units", GALLON, '{ quantity = "3.8 L" }', "0.02 L"),
        ("units", '{ nominal = "5/4x6" }', '{ width = "5.5 in" }', "exact"),
        ("formula:volume-laid-on", '{ area = "40 m2", spreading_rate = "8 m2/L" }', '{ volume = "5 L" }', "exact"),
        ("record:coating/clear-penetrating-oil/spreading", "{}", '{ "sanded.low" = "367.42 ft2/us_gal" }', "0.01 %"),
        ("record:coating/clear-penetrating-oil/spreading/sanded/low", "{}", '{ low = "250 ft2/us_gal" }', "exact"),
        ("record:coating/clear-penetrating-oil/spreading/sanded/low", "{}", '{ high = "540 ft2/us_gal" }', "exact"),
        ("coverage", DECK, '{ volume = "1.0887 us_gal" }', "0.01 %"),
        ("snap", '{ length = "1 m" }', "{ length = 1.0 }", "0.001 m"),
        ("coverage", DECK, '{ "purchase.text" = "2 × 3.785 L" }', "exact"),
    ],
)
def test_what_agrees_passes(run: Run, target: str, given: str, expected: str, tolerance: str) -> None:
    [outcome] = run(target, given, expected, tolerance)
    assert outcome.passed, outcome
    assert outcome.reason == "of the group"


@pytest.mark.parametrize(
    ("target", "given", "expected", "tolerance", "computed"),
    [
        ("units", FOOT, '{ quantity = "304.8001 mm" }', "exact", "304.8"),
        ("units", GALLON, '{ quantity = "3.785 L" }', "0.01 %", "3.78541178"),
        ("units", GALLON, '{ quantity = "3.8 L" }', "0.01 L", "3.78541178"),
        ("coverage", DECK, '{ "purchase.text" = "2 × 1 L" }', "exact", "2 × 3.785 L"),
        ("coverage", DECK, '{ volume = "1.2 us_gal" }', "1 %", "1.08866211"),
    ],
)
def test_what_does_not_agree_misses(
    run: Run, target: str, given: str, expected: str, tolerance: str, computed: str
) -> None:
    [outcome] = run(target, given, expected, tolerance)
    assert not outcome.passed
    assert outcome.computed == computed


@pytest.mark.parametrize(
    ("target", "given", "expected", "tolerance", "says"),
    [
        ("units", '{ quantity = "1 foote", to = "mm" }', '{ quantity = "304.8 mm" }', "exact", "foote"),
        ("units", '{ quantity = "1 ft", to = "L" }', '{ quantity = "304.8 mm" }', "exact", "refused"),
        ("units", FOOT, '{ quantity = "about a foot" }', "exact", "about a foot"),
        ("units", FOOT, '{ quantity = "304.8 mm" }', "closely", "closely"),
        ("units", FOOT, '{ quantity = "1 kg" }', "exact", "refused"),
        ("units", '{ nominal = "5/4x6" }', '{ girth = "5.5 in" }', "exact", "girth"),
        ("formula:volume-laid-off", "{}", '{ volume = "5 L" }', "exact", "volume-laid-off"),
        ("formula:volume-laid-on", '{ area = "40 m2" }', '{ volume = "5 L" }', "exact", "spreading_rate"),
        ("record:coating/no-such-oil/spreading", "{}", '{ "sanded.low" = "1 m2/L" }', "exact", "no-such-oil"),
        ("record:species/ipe/titles", "{}", '{ value = "1 m" }', "exact", "titles"),
        ("coverage", '{ area = "400" }', '{ volume = "1 us_gal" }', "exact", "area"),
        ("coverage", DECK, '{ volum = "1 us_gal" }', "exact", "did you mean volume?"),
        ("no-such-calculator", "{}", "{ volume = 1 }", "exact", "no-such-calculator"),
        ("snap", '{ length = "3 m" }', '{ length = "3 m" }', "exact", "RuntimeError: it snapped"),
        ("snap", '{ length = "1 m" }', "{ length = [1, 2] }", "exact", "refused"),
    ],
)
def test_a_check_that_cannot_be_run_misses_and_says_why(
    run: Run, target: str, given: str, expected: str, tolerance: str, says: str
) -> None:
    [outcome] = run(target, given, expected, tolerance)
    assert not outcome.passed
    assert says in outcome.computed
    assert "\n" not in outcome.computed


def test_a_case_may_have_its_own_tolerance_and_reason(run: Run) -> None:
    own = 'tolerance = "1 %"\nreason = "rounded to three digits"'
    [outcome] = run("units", GALLON, '{ quantity = "3.79 L" }', "exact", own)
    assert outcome.passed
    assert (outcome.tolerance, outcome.reason) == ("1 %", "rounded to three digits")


def test_every_output_of_a_case_is_a_cell_of_its_own(run: Run) -> None:
    found = run("units", '{ nominal = "5/4x6" }', '{ width = "5.5 in", thickness = "2 in" }')
    assert [(outcome.id, outcome.passed) for outcome in found] == [
        ("tried/one/width", True),
        ("tried/one/thickness", False),
    ]


def outcome(
    id: str,
    *,
    where: str = "table 1",
    against: str = "published",
    passed: bool = True,
    disagrees: str = "",
    calculator: str = "area",
) -> Outcome:
    return Outcome(
        id=id,
        calculator=calculator,
        against=against,
        source="a-book",
        where=where,
        expected="1",
        computed="1",
        tolerance="exact",
        reason="",
        passed=passed,
        disagrees=disagrees,
    )


def test_a_group_is_one_place_in_one_source_and_counts_only_whole() -> None:
    report = Report(
        [
            outcome("a"),
            outcome("b"),
            outcome("c", where="table 2"),
            outcome("d", where="table 2", passed=False),
            outcome("e", where="table 3", against="self"),
            outcome("f", where="table 4", against="recalled"),
            outcome("g", where="table 5", against="hand-worked"),
            outcome("h", where="table 6", against="restated"),
            outcome("i", where="table 7", against="arithmetic"),
            outcome("j", where="table 8", against="reported"),
            outcome("k", where="table 9", calculator="record:species/ipe/density"),
            outcome("l", where="table 10", calculator="units"),
            outcome("m", where="table 11", passed=False, disagrees="other trees"),
        ],
        {"engine": "0"},
        targets={"area": frozenset({"area"}), "wash": frozenset({"wash"})},
    )
    assert (report.outside, report.failed, report.calculators) == (2, 1, {"area": 2, "wash": 0})
    once = ("published", "hand-worked", "restated", "arithmetic", "reported", "self", "recalled")
    assert report.groups == dict.fromkeys(once, 1)
    whole = json.loads(msgspec.json.encode(report.as_dict()))
    assert [row["id"] for row in whole["disagreements"]] == ["m"]
    assert [row["id"] for row in whole["checks"]] == list("abcdefghijkl")
    assert (whole["outside"], whole["failed"], whole["calculators"]) == (2, 1, {"area": 2, "wash": 0})


def test_a_disagreement_is_shown_and_neither_passes_nor_misses(run: Run) -> None:
    case = 'disagrees = { quantity = "the page rounds twice" }'
    [found] = run("units", '{ quantity = "1 ft", to = "mm" }', '{ quantity = "305 mm" }', "0.1 mm", case)
    assert (found.computed, found.miss, found.disagrees) == ("304.8", "0.2 mm", "the page rounds twice")
    assert Report([found], {}).failed == 0
    assert "differs by 0.2 mm: tried/one: 304.8 mm beside 305 mm: the page rounds twice" in list(
        Report([found], {}).lines()
    )


def test_a_disagreement_that_agrees_within_the_tolerance_misses(run: Run) -> None:
    case = 'disagrees = { quantity = "the page rounds twice" }'
    [found] = run("units", '{ quantity = "1 ft", to = "mm" }', '{ quantity = "305 mm" }', "0.5 mm", case)
    assert (found.passed, found.disagrees) == (False, "")
    assert "agrees, and is said to disagree" in found.computed


def test_a_disagreement_that_cannot_be_computed_misses(run: Run) -> None:
    case = 'disagrees = { quantity = "the page rounds twice" }'
    [found] = run("units", '{ quantity = "1 fot", to = "mm" }', '{ quantity = "305 mm" }', "0.5 mm", case)
    assert (found.passed, found.disagrees) == (False, "")


def test_a_case_disagrees_on_what_it_expects() -> None:
    with pytest.raises(BadRecord, match=r"cases\.one\.disagrees\.width: this output is not among the expected"):
        check("units", '{ quantity = "1 ft", to = "mm" }', '{ quantity = "1 m" }', case='disagrees = { width = "x" }')
