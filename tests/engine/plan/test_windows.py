"""The weather of a job: read from a file beside it by the command, and planned into windows and a hand-over sheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import latewood
from latewood.cli import main, read_file, with_weather
from latewood.problems import InputProblem
from latewood.wire import Options

JOBS = Path(__file__).parents[3] / "examples" / "jobs"
DOCKYARD = JOBS / "dockyard.toml"


@pytest.fixture(scope="module")
def lw() -> Any:
    return latewood.load()


@pytest.fixture
def job() -> dict[str, Any]:
    return with_weather(read_file(DOCKYARD), JOBS)  # type: ignore[return-value]  # a TOML table


def steps(plan: Any) -> dict[str, Any]:
    return {step["id"]: step for step in plan["steps"] if step["calculator"] == "cure-windows"}


def test_the_fortnight_at_the_dockyard(lw, job):
    plan = lw.plan(job, Options())
    result = steps(plan)["cure-windows-clear-penetrating-oil"]["result"]
    assert result["verdict"] == "yes"
    assert "hours" not in result
    best = result["windows"][0]
    assert best["breaks"] == []
    lines = plan["totals"]["hand_over"][0]
    assert lines["id"] == "cure-windows-clear-penetrating-oil"
    assert [line.split(" ")[0] for line in lines["lines"]] == ["Rain", "Walk", "Furniture", "Mats,", "It"]
    # Showers fall on the 6th, the 10th and the 15th: nothing starts within a day before them.
    for window in result["windows"]:
        for shower in ("2026-05-06T13:00", "2026-05-10T03:00", "2026-05-15T10:00"):
            assert not window["best_start"][:16] < shower < window["ends"][:16]


def test_the_command_reads_the_file_beside_the_job(capsys):
    assert main(["plan", str(DOCKYARD)]) == 0
    said = capsys.readouterr().out
    assert "Hand over (cure-windows-clear-penetrating-oil)" in said
    assert "Walk on it from" in said


def test_a_server_reads_no_files(lw):
    with pytest.raises(InputProblem) as problem:
        lw.plan(read_file(DOCKYARD), Options())
    assert "/weather/file" in {fault.pointer for fault in problem.value.faults}


def test_a_file_that_is_not_there_is_refused(tmp_path, capsys):
    path = tmp_path / "job.toml"
    path.write_text(DOCKYARD.read_text())
    assert main(["plan", str(path)]) == 1
    assert "dockyard_weather.csv cannot be read" in capsys.readouterr().err


def test_weather_as_a_request_sends_it(capsys):
    assert main(["weather", str(JOBS / "dockyard_weather.csv")]) == 0
    tree = json.loads(capsys.readouterr().out)
    assert tree["start"] == "2026-05-04T00:00:00-04:00"
    assert tree["timezone"] == "America/New_York"
    assert len(tree["columns"]["rain"]["values"]) == 14 * 24


def test_a_job_without_weather_is_not_asked_for_it(lw, job):
    del job["weather"]
    plan = lw.plan(job, Options())
    assert steps(plan) == {}
    assert "hand_over" not in plan["totals"]


def test_each_coating_and_shelter_has_its_windows(lw, job):
    job["zones"] = [
        {"id": "open", "length": "6 m", "width": "4 m"},
        {"id": "porch", "length": "3 m", "width": "4 m", "exposure": "roofed"},
        {"id": "grey", "length": "3 m", "width": "4 m", "coating": "leave-to-grey"},
        {"id": "decking", "length": "3 m", "width": "4 m", "material": "composite"},
        {"id": "stained", "length": "3 m", "width": "4 m", "coating": "waterborne-stain"},
    ]
    found = steps(lw.plan(job, Options()))
    assert set(found) == {
        "cure-windows-clear-penetrating-oil-open",
        "cure-windows-clear-penetrating-oil-roofed",
        "cure-windows-waterborne-stain",
    }


def test_nothing_to_coat_is_said(lw, job):
    job["defaults"]["coating"] = "leave-to-grey"
    assert steps(lw.plan(job, Options()))["cure-windows"]["status"] == "skipped"


def test_pale_softwood_stays_cooler_than_brown_hardwood(lw, job):
    def absorbed(species: str) -> list[str]:
        job["defaults"]["species"] = species
        return [used.path for used in lw.plan(job, Options())["basis"] if used.path.endswith("/absorptance")]

    assert absorbed("western-redcedar") == ["board-colour/fresh/absorptance"]
    assert absorbed("garapa") == ["board-colour/grey/absorptance"]


def test_what_is_wrong_with_the_weather_is_said_at_its_place(lw, job):
    job["weather"]["columns"]["rain"]["values"].pop()
    with pytest.raises(InputProblem) as problem:
        lw.plan(job, Options())
    assert {fault.pointer: fault.code for fault in problem.value.faults} == {"/weather/columns/rain": "ragged"}
