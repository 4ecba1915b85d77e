"""What the bundled checks are worth: tolerances come from the sources, disagreements are real, README says what is."""

import re
from collections.abc import Mapping

import pytest
from tests.bundled import bundled
from tests.evidence import BLOCK, README, block

from latewood.verify import Outcome, Report, verify

#: Tolerances close to the difference they admit that are no rounding of the last printed digit, and what they follow
#: from.
STATED = {
    "cure-windows-clear-night": "half of the range that is printed",
    "film-article": "1600 for 1604.17, and decimals cut off, both by the article's own account",
    "film-note-us": "1604 for 1604.1667, by the note's own account",
    "hardness-southern-pine-green": "newtons printed in hundreds",
    "readiness-fine-grid": "tenths of a point, as meters show them",
    "readiness-stick-three-days": "the accuracy of such sensors, recalled",
    "readiness-swedish-seasons": "half of the range that is printed",
    "saturation-water-iapws": "the accuracy that is stated of the Magnus form",
    "wipe-cadence-owner-ten-to-fifteen": "half of the range that is told",
}
#: Each number of each check, and whether its source is said to disagree.
ROWS = {
    f"{check.id}/{case.id}" + (f"/{output}" if len(case.expected) > 1 else ""): output in case.disagrees
    for check in bundled().shelf.records("check").values()
    for case in check.cases
    for output in case.expected
}
NUMBER = re.compile(r"-?\d+(?:\.(\d+))?(?:e-?\d+)?")


@pytest.fixture(scope="module")
def report() -> Report:
    return verify(bundled())


@pytest.fixture(scope="module")
def found(report: Report) -> Mapping[str, Outcome]:
    return {outcome.id: outcome for outcome in report.outcomes}


def room_and_miss(outcome: Outcome) -> tuple[float, float, float] | None:
    """Return what is allowed, by how much it differs and one of the last printed digit; None of words."""
    expected, computed = NUMBER.match(outcome.expected), NUMBER.match(outcome.computed)
    if outcome.tolerance == "exact" or expected is None or computed is None:
        return None
    wanted, value = float(expected[0]), float(computed[0])
    share = outcome.tolerance.endswith("%") and outcome.unit != "%"
    room = float(outcome.tolerance[:-1]) / 100 * max(abs(wanted), abs(value)) if share else None
    digit = 10.0 ** -len(expected[1] or "")
    return room if room is not None else float(outcome.tolerance.split()[0]), abs(value - wanted), digit


def test_there_is_an_outcome_for_each_number(report: Report, found: Mapping[str, Outcome]) -> None:
    assert list(found) == list(ROWS)
    assert len(report.outcomes) == len(found)


@pytest.mark.parametrize("id", [id for id, disagrees in ROWS.items() if not disagrees])
def test_a_tolerance_is_not_fitted_to_what_it_admits(found: Mapping[str, Outcome], id: str) -> None:
    outcome = found[id]
    assert outcome.reason
    measured = room_and_miss(outcome)
    if measured is not None and id.partition("/")[0] not in STATED:
        room, miss, digit = measured
        assert room >= 1.3 * miss or room <= 1.21 * digit


def test_every_stated_accuracy_is_needed(report: Report) -> None:
    needed = set()
    for outcome in report.checks:
        if (found := room_and_miss(outcome)) is not None and 1.21 * found[2] < found[0] < 1.3 * found[1]:
            needed.add(outcome.id.partition("/")[0])
    assert needed == set(STATED)


@pytest.mark.parametrize("id", [id for id, disagrees in ROWS.items() if disagrees])
def test_a_disagreement_differs_by_more_than_the_source_allows(found: Mapping[str, Outcome], id: str) -> None:
    row = found[id]
    assert row.disagrees
    if (measured := room_and_miss(row)) is None:
        assert row.computed != row.expected
        assert not row.miss
    else:
        assert measured[1] > measured[0]
        assert row.miss
    assert row.disagrees != row.reason


def test_readme_says_what_the_evidence_comes_to(report: Report) -> None:
    # ``python -m tests.evidence`` writes it.
    [said] = BLOCK.findall(README.read_text("utf-8"))
    assert said == block(report)
