"""The weather of a job: read from a file beside it by the command, and planned into windows and a hand-over sheet."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.bundled import bundled

from latewood.cli import main
from latewood.job_files import read_file, with_weather
from latewood.problems import InputProblem
from latewood.wire import Options

JOBS = Path(__file__).parents[3] / "examples" / "jobs"
DOCKYARD = JOBS / "dockyard.toml"


@pytest.fixture(scope="module")
def lw() -> Any:
    return bundled()


@pytest.fixture
def job() -> dict[str, Any]:
    return with_weather(read_file(DOCKYARD), JOBS)  # type: ignore[return-value]  # a TOML table


def steps(plan: Any) -> dict[str, Any]:
    return {
        step["id"]: step
        for step in plan["steps"]
        if step["calculator"] == "cure-windows" and step["status"] != "not-planned"
    }


def test_the_fortnight_at_the_dockyard(lw, job):
    plan = lw.plan(job, Options())
    result = steps(plan)["cure-windows-clear-penetrating-oil"]["result"]
    assert result["verdict"] == "yes"
    assert "hours" not in result
    best = result["windows"][0]
    assert best["breaks"] == []
    (handed,) = plan["totals"]["hand_over"]
    assert (handed["step"], handed["verdict"]) == ("cure-windows-clear-penetrating-oil", "yes")
    assert handed["places"] == [row["id"] for row in plan["components"] if row["part"] == "boards"]
    assert handed["text"] == result["text"]
    assert handed["starts"] == best["best_start"]
    assert [line["text"].split(" ")[0] for line in handed["lines"]] == ["Keep", "Walk", "Put", "Put", "Fully"]
    assert [(line["id"], line["at"], line["estimated"]) for line in handed["lines"]] == [
        (line["id"], line["at"], line["estimated"]) for line in result["hand_over"]
    ]
    # Showers fall on the 6th, the 10th and the 15th: nothing starts within a day before them.
    for window in result["windows"]:
        for shower in ("2026-05-06T13:00", "2026-05-10T03:00", "2026-05-15T10:00"):
            assert not window["best_start"][:16] < shower < window["ends"][:16]


def test_the_command_reads_the_file_beside_the_job(capsys):
    assert main(["plan", str(DOCKYARD)]) == 0
    said = capsys.readouterr().out
    assert "HAND OVER" in said
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


def test_the_crew_says_how_long_a_coat_takes(lw, job):
    """24 m² at 12 m² an hour are 2 h; wiping alone at 24 m² an hour adds one, a second person with cloths none."""
    paces = {"appliers": 1, "laying_pace": "12-40 m2/h", "wiping_pace": "24-60 m2/h"}

    def laid(crew: dict[str, Any]) -> tuple[float, str]:
        step = steps(lw.plan({**job, "crew": crew}, Options()))["cure-windows-clear-penetrating-oil"]
        line = next(event for event in step["result"]["timeline"] if event["id"] == "coat-1")
        takes = datetime.fromisoformat(line["ends"]) - datetime.fromisoformat(line["starts"])
        return takes.total_seconds() / 3600, step["why"]

    assert laid(paces) == (3.0, "a coat of the floor takes 3\u00a0h of work at the crew's slow pace")
    assert laid(paces | {"wipers": 1})[0] == 2.0
    assert laid(paces | {"appliers": 2})[0] == 1.5
    assert laid({"appliers": 1})[0] > laid({"appliers": 3})[0] > 0


def test_windows_and_rhythm_lay_a_stain_alike(lw, job):
    for species, coats in (("southern-yellow-pine", 2), ("garapa", 1)):
        zone = {**job["zones"][0], "boards": {"size": "5/4x6", "direction": "0 deg"}}
        fields = {"coating": "semi-transparent-oil-stain", "species": species}
        told = {**job, "crew": {"appliers": 4, "wipers": 4}, "zones": [zone], "defaults": job["defaults"] | fields}
        plan = lw.plan(told, Options())
        (windows,) = steps(plan).values()
        coated = [event["id"] for event in windows["result"]["timeline"] if event["id"] in ("coat-1", "coat-2")]
        assert len(coated) == coats
        (rhythm,) = (step for step in plan["steps"] if step["calculator"] == "wipe-cadence")
        assert rhythm["result"]["regime"] == ("wet-on-wet" if coats == 2 else "one-flood-coat")


def test_each_wood_of_a_stain_has_its_windows(lw, job):
    pine = {"id": "pine", "area": "10 m2", "species": "southern-yellow-pine"}
    stain = job["defaults"] | {"coating": "semi-transparent-oil-stain"}
    found = steps(lw.plan({**job, "zones": [*job["zones"], pine], "defaults": stain}, Options()))
    assert set(found) == {
        "cure-windows-semi-transparent-oil-stain-garapa",
        "cure-windows-semi-transparent-oil-stain-southern-yellow-pine",
    }


def test_what_the_crews_sheet_says_of_wiping_reaches_the_windows(lw, job):
    def wiped(**sheet: str) -> timedelta:
        told = {**job, "crew": {"appliers": 1, "wiping": sheet}}
        (step,) = steps(lw.plan(told, Options())).values()
        line = next(event for event in step["result"]["timeline"] if event["id"] == "coat-1-wipe-last")
        laid = next(event for event in step["result"]["timeline"] if event["id"] == "coat-1")
        return datetime.fromisoformat(line["starts"]) - datetime.fromisoformat(laid["ends"])

    # On boards between 10 and 35 °C the fast clock runs at 0.4 to 2.9 times the standard, and never later than told.
    assert timedelta(minutes=13) <= wiped(wipe="40-45 min") <= timedelta(minutes=40)
    assert wiped(wipe="40-45 min") > wiped(wipe="15-20 min")


def test_a_forecast_by_the_day_picks_the_day_least_likely_to_be_rained_on(lw):
    """70 % on Tuesday rules out what it reaches and puts Wednesday in doubt; it does not rule out the week."""
    plan = lw.plan(read_file(JOBS / "forecast_by_day.toml"), Options())
    result = steps(plan)["cure-windows-clear-penetrating-oil"]["result"]
    assert result["verdict"] == "yes"
    assert result["windows"][0]["best_start"].startswith("2026-05-14")
    assert not any(window["best_start"].startswith(("2026-05-11", "2026-05-12")) for window in result["windows"])
    wednesday = next(window for window in result["windows"] if window["best_start"].startswith("2026-05-13"))
    assert "rain-before" in wednesday["breaks"]
    risk = result["rain_risk"]
    assert (
        risk["chance_least"]["value"] <= risk["chance"]["value"] <= risk["chance_most"]["value"] == pytest.approx(9.75)
    )


def test_another_finish_that_is_bought_is_proposed(lw, job):
    """Latex needs 10 °C for a day and has no window in cool days; the oil of the list has one."""
    day = {"warmest": "15 degC", "coldest": "5 degC", "relative_humidity": "60 %", "wet_spells": "none"}
    sky = {"cloud": "100 %", "wind_speed": "2 m/s"}
    weather = {"days": [{"date": f"2026-05-{number:02d}"} | day | sky for number in range(4, 12)]}
    deck = {name: value for name, value in job.items() if name not in ("weather", "finishes")}
    deck["defaults"] = job["defaults"] | {"coating": "waterborne-stain"}
    deck["zones"] = [{key: value for key, value in zone.items() if key != "coating"} for zone in job["zones"]]
    finishes = [{"coating": id, "product": {}} for id in ("waterborne-stain", "clear-penetrating-oil")]
    plan = lw.plan(deck | {"weather": weather, "finishes": finishes}, Options())
    kinds = [one["id"] for one in steps(plan)["cure-windows-waterborne-stain"]["result"]["proposals"]]
    assert "another-finish-clear-penetrating-oil" in kinds
