"""The two example packs, built as wheels and installed beside latewood's own wheel in an environment of their own."""

from __future__ import annotations

import json
import subprocess
import sys
import sysconfig
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.plugin_wheel

ROOT = Path(__file__).parents[2]
JOB = """
schema = 1

[defaults]
species = "lanternwood"
coating = "jetty-wax-oil"
surface = "sanded"

[[zones]]
id = "slipway"
length = "10 m"
width = "6 m"
"""


def call(*command: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([str(part) for part in command], capture_output=True, text=True, check=False)


def pip(*arguments: str | Path) -> None:
    done = call(sys.executable, "-m", "pip", *arguments)
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An environment with wheels of latewood and both packs; what they depend on is taken from the one that tests."""
    folder = tmp_path_factory.mktemp("wheels")
    projects = [ROOT, ROOT / "examples/third_party", ROOT / "examples/third_party_broken"]
    pip("wheel", "--quiet", "--no-deps", "--no-build-isolation", "--wheel-dir", folder, *projects)
    place = folder / "venv"
    assert call(sys.executable, "-m", "venv", "--without-pip", place).returncode == 0
    pip("--python", place / "bin/python", "install", "--quiet", "--no-deps", "--no-index", *folder.glob("*.whl"))
    paths = sysconfig.get_paths(vars={"base": str(place), "platbase": str(place)})
    Path(paths["purelib"], "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return place


@pytest.fixture(scope="module")
def latewood(environment: Path) -> Any:
    """The installed command."""

    def run(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
        return call(environment / "bin/latewood", *arguments)

    return run


def test_the_wheel_is_what_runs(environment: Path) -> None:
    script = "import greywharf, latewood, latewood_plugins; print(latewood.__file__, latewood_plugins.__file__)"
    found = call(environment / "bin/python", "-c", script)
    assert found.stdout.count(str(environment)) == 2, found.stderr


def test_the_wheel_serves_its_changelog(environment: Path) -> None:
    script = "from latewood_api.routes.changelog import PLACES; print(PLACES[0].read_text('utf-8'), end='')"
    found = call(environment / "bin/python", "-c", script)
    assert found.stdout == (ROOT / "openapi/CHANGELOG.md").read_text("utf-8"), found.stderr


def test_the_wheel_has_its_types(environment: Path, tmp_path: Path) -> None:
    checker = (sys.executable, "-m", "mypy", "--config-file=", "--strict", f"--cache-dir={tmp_path}")
    checker = (*checker, "--python-executable", str(environment / "bin/python"))
    right = call(*checker, ROOT / "tests/stubs/right.py")
    assert right.returncode == 0, right.stdout
    assert '"Catalogue" has no attribute "covrage"' in call(*checker, ROOT / "tests/stubs/wrong.py").stdout


def test_a_calculator_of_the_pack_is_a_method(environment: Path) -> None:
    script = "import latewood; print(latewood.load().wax_blocks(area='60 m2', block='4 m2')['result'])"
    found = call(environment / "bin/python", "-c", script)
    # 60 m² by 4 m².
    assert "'blocks': 15" in found.stdout, found.stderr


def test_the_pack_is_in_the_catalogue(latewood: Any) -> None:
    plugin = json.loads(latewood("catalogue", "plugins", "greywharf").stdout)
    assert (plugin["distribution"], plugin["version"]) == ("greywharf-pack", "0.3.0")
    assert "error" not in plugin
    assert "lanternwood: Lanternwood" in latewood("catalogue", "species").stdout
    assert json.loads(latewood("catalogue", "coating", "jetty-wax-oil").stdout)["plugin"] == "greywharf"
    assert "greywharf-filling-up" in latewood("catalogue", "models").stdout


def test_coverage_computes_with_its_model(latewood: Any) -> None:
    fields = ("area=60 m2", "species=lanternwood", "coating=jetty-wax-oil", "surface=sanded")
    answer = json.loads(latewood("run", "coverage", *fields).stdout)
    # By hand: 60 m² at 10 m²/L is 6 L; the model lets the second coat go half as far again, 60 m² at 15 m²/L, 4 L.
    assert [coat["volume"]["value"] for coat in answer["result"]["coats"]] == pytest.approx([6, 4], rel=1e-9)
    assert answer["computed_with"]["plugins"]["greywharf"] == "0.3.0"
    rate = next(used for used in answer["basis"] if used["path"] == "coating/jetty-wax-oil/spreading/sanded/medium")
    assert (rate["given"], rate["source"], rate["kind"]) == ("10 m2/L", "greywharf-demo", "judgement")


def test_its_model_takes_uncertain_rates(latewood: Any) -> None:
    fields = ("area=60 m2", "coating=jetty-wax-oil", "species=ipe", "surface=sanded")
    applied = json.loads(latewood("run", "coverage", *fields).stdout)["result"]["applied"]
    # One unknown, scaled: the ends of the range give the ends of the answer. 60 × (1 + 1/1.5) = 100.
    assert (applied["low"], applied["high"]) == pytest.approx((100 / 15, 100 / 11), rel=1e-6)


def test_its_own_clock_says_when_to_walk(latewood: Any) -> None:
    """The pack's clock, not latewood's: 10 h at 23 °C are 20 h ten kelvins colder, where an oil would take 33."""
    days = []
    for place in range(4):
        same = {"date": f"2026-05-0{place + 4}", "warmest": "13 degC", "coldest": "13 degC", "wet_spells": "none"}
        days += [
            f"weather.days.{place}.{name}={value}" for name, value in {**same, "relative_humidity": "60 %"}.items()
        ]
    fields = ("coating=jetty-wax-oil", "timezone=Europe/Oslo", "night=counts", "laying_time=1 h", "exposure=roofed")
    answer = json.loads(latewood("run", "cure-windows", *fields, *days).stdout)
    lines = {line["id"]: line["after"]["value"] for line in answer["result"]["hand_over"]}
    assert (lines["walk"], lines["furniture"]) == pytest.approx((20, 40), abs=0.01)
    assert {used["path"] for used in answer["basis"]} >= {"coating/jetty-wax-oil/stages/walk"}
    assert "greywharf-wharf-clock" in latewood("catalogue", "models").stdout


def test_a_job_is_planned_with_it(latewood: Any, tmp_path: Path) -> None:
    job = tmp_path / "slipway.toml"
    job.write_text(JOB)
    plan = json.loads(latewood("plan", job, "--format", "json").stdout)
    [step] = [step for step in plan["steps"] if step["calculator"] == "coverage"]
    assert step["status"] == "done"
    assert step["result"]["applied"]["value"] == pytest.approx(10, rel=1e-9)
    assert "greywharf-demo" in {used.get("source") for used in plan["basis"]}
    assert "self-heating-waste" in {caution["id"] for caution in plan["cautions"]}


def test_verify_runs_its_checks(latewood: Any) -> None:
    done = latewood("verify", "--format", "json")
    own = [check for check in json.loads(done.stdout)["checks"] if check["source"] == "greywharf-demo"]
    assert len(own) == 6
    assert all(check["passed"] for check in own)
    assert done.returncode == 0


def test_the_broken_pack_is_named_with_every_fault(latewood: Any) -> None:
    error = json.loads(latewood("catalogue", "plugins", "leakyhull").stdout)["error"]
    words = ["leakyhull/species/sinkwood.toml", "synonims", "did you mean synonyms?", "'plenty'", "density.value"]
    assert [word for word in words if word not in error] == []
    assert "leakyhull" in latewood("catalogue", "plugins").stdout


def test_the_broken_pack_harms_nothing(latewood: Any) -> None:
    fields = ("area=400 ft2", "species=ipe", "coating=clear-penetrating-oil")
    answer = json.loads(latewood("run", "coverage", *fields).stdout)
    assert set(answer["computed_with"]["plugins"]) == {"latewood", "greywharf"}
    asked = latewood("run", "coverage", "area=400 ft2", "species=sinkwood", "coating=clear-penetrating-oil")
    assert asked.returncode == 1
    assert "leakyhull" in asked.stderr
    assert latewood("catalogue", "source", "leakyhull-demo").returncode == 2


def test_strict_stops_and_names_it(latewood: Any) -> None:
    done = latewood("--strict", "catalogue")
    assert done.returncode == 1
    assert "plugin leakyhull (leakyhull-pack)" in done.stderr
    assert done.stdout == ""


def test_readiness_names_the_broken_pack(environment: Path) -> None:
    script = "import json, latewood; print(json.dumps(latewood.load().health()))"
    health = json.loads(call(environment / "bin/python", "-c", script).stdout)
    assert health["status"] == "ready"
    assert [plugin["id"] for plugin in health["plugins"] if "error" in plugin] == ["leakyhull"]
