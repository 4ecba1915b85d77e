"""What stands on a floor is prepared by its own route, by its own old finish and what is seen on itself."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from latewood.problems import InputProblem
from latewood.wire import Options

SOLID = "solid-colour-stain"


def deck(guard: dict[str, Any] | None = None, **defaults: Any) -> dict[str, Any]:
    """Return an invented cedar deck whose floor peels; its guard is not looked at."""
    return {
        "schema": 1,
        "as_of": "2026-05-04",
        "site": {"year_built": 2008, "jurisdiction": "GB"},
        "defaults": {
            "species": "western-redcedar",
            "treatment": "none",
            "old_coating": SOLID,
            "coating": SOLID,
            "surface": "sanded",
            "signs": ["film-peeling"],
            "structure": "sound",
            **defaults,
        },
        "zones": [{"id": "deck", "outline": "0 0, 6 0, 6 5, 0 5 m"}],
        "guards": [{"id": "east", "length": "5 m", **(guard or {})}],
    }


@pytest.fixture
def plan(lw):
    """Return what plans a job as an answer has it."""

    def planned(job: dict[str, Any]) -> dict[str, Any]:
        return msgspec.json.decode(msgspec.json.encode(lw.plan(job, Options())))

    return planned


def guard_row(found: dict[str, Any]) -> dict[str, Any]:
    """Return the row of the guard in the sequence."""
    step = next(one for one in found["steps"] if one["id"] == "abrasive-sequence")
    return next(row for row in step["result"]["rows"] if row["part"] == "guard")


def test_a_sound_guard_is_scuffed_beside_a_floor_that_peels(plan) -> None:
    """One grade at 3 m2/h of true area: the pace of a careful estimator's sum by hand; judgement, no source."""
    found = plan(deck())
    row = guard_row(found)
    faces = next(step for step in found["steps"] if step["id"] == "area")["result"]["faces"]
    area = sum(face["area"]["value"] for face in faces if face["part"] == "guard")
    assert len(row["steps"]) == 1
    assert row["time"]["value"] == pytest.approx(area / 3.0, rel=1e-6)
    assert row["time"]["low"] == pytest.approx(area / 5.0, rel=1e-6)
    assert row["time"]["high"] == pytest.approx(area / 2.0, rel=1e-6)


@pytest.mark.parametrize(
    "guard",
    [
        {"signs": ["film-peeling"]},
        {"signs": ["film-sound", "splinters"]},
        {"surface": "sanded"},
        {"coating": "semi-transparent-oil-stain"},
        {"old_coating": "unknown"},
        {"old_coating": "none"},
        {"old_coating": "clear-penetrating-oil"},
    ],
    ids=lambda guard: "-".join(map(str, guard.values())),
)
def test_an_old_finish_that_may_not_stay_is_sanded_off(plan, guard: dict[str, Any]) -> None:
    """Peeling, rough, unknown, less opaque above, or of another kind: common practice, no source."""
    assert len(guard_row(plan(deck(guard)))["steps"]) > 1


def test_an_oil_stays_under_an_oil(plan) -> None:
    """Common practice, no source."""
    oil = "semi-transparent-oil-stain"
    assert len(guard_row(plan(deck(old_coating=oil, coating=oil, signs=["grey"])))["steps"]) == 1


def test_a_route_that_rests_on_no_look_is_named_and_asked(plan) -> None:
    """The mildest route stands among the assumptions; what is seen is asked, and nothing waits for it."""
    found = plan(deck())
    assumed = next(row for row in found["assumptions"] if row["id"] == "default-signs")
    asked = next(row for row in found["questions"] if row["topic"] == "signs")
    assert assumed["components"] == [asked["component"]] == ["deck/guards/east"]
    assert asked["fields"] == ["/guards/0/signs"]
    assert asked["blocks"] == []


def test_a_part_that_was_looked_at_is_not_asked_again(plan) -> None:
    """Signs of its own close the question."""
    found = plan(deck({"signs": ["film-sound"]}))
    assert not any(row["topic"] == "signs" for row in found["questions"])
    assert not any(row["id"] == "default-signs" for row in found["assumptions"])


def test_an_old_film_that_stays_is_not_called_off(plan) -> None:
    """The purchase knows what lies under the new coat: a film takes less than sanded wood would by the same record."""
    kept, gone = plan(deck({"signs": ["film-sound"]})), plan(deck({"signs": ["film-peeling"]}))
    for found in (kept, gone):
        assert not any(one["id"] == "penetrating-over-film" for one in found["findings"])
    assert guard_row(kept)["time"]["value"] < guard_row(gone)["time"]["value"]


def test_a_scuff_is_sanding_where_lead_is_not_ruled_out(plan) -> None:
    """40 CFR 745.85(a)(3): no machine goes over it, however lightly."""
    job = deck()
    job["site"] = {"year_built": 1950, "jurisdiction": "US"}
    found = plan(job)
    assert any(stop["finding"] == "lead-not-sanded" or "lead" in str(stop) for stop in found["stopped"])
    steps = [step for step in found["steps"] if step["id"] == "abrasive-sequence" and "result" in step]
    assert not any(row["part"] == "guard" and row["status"] == "planned" for s in steps for row in s["result"]["rows"])


def test_a_floor_takes_no_route_of_a_railing(plan) -> None:
    """A route says which parts it serves."""
    job = {**deck(), "choices": {"route": "scuff-and-recoat"}}
    with pytest.raises(InputProblem) as caught:
        plan(job)
    assert [fault.pointer for fault in caught.value.faults] == ["/choices/route"]


def test_a_guard_is_asked_about_where_nothing_is_looked_at(plan) -> None:
    job = deck(treatment_evidence="test", old_coating="none", coating="semi-transparent-oil-stain")
    job["sanding"] = {"practice": "open-grain"}
    for name in ("signs", "structure"):
        del job["defaults"][name]
    asked = {row["component"]: row["fields"] for row in plan(job)["questions"] if row["topic"] == "signs"}
    assert asked["deck/guards/east"] == ["/guards/0/signs"]
