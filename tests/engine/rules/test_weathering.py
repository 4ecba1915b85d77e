"""Whether boards are weathered: one rule, asked by preparation, wash, readiness and the plan."""

from datetime import date

import msgspec
import pytest
from tests.engine.lead_tests import NO_LEAD

from latewood.provenance import Ledger
from latewood.rules.weathering import Told, weathering
from latewood.wire import Options

DAY = 86400.0
MEAN = {"temperature": "20 degC", "relative_humidity": "65 %"}
OILED = {"area": "20 m2", "species": "ipe", "treatment": "none", "old_coating": "clear-penetrating-oil", "crew": 2}


# Common practice, no source: old boards are weathered unless somebody says otherwise.
@pytest.mark.parametrize(
    ("told", "weathered", "ground"),
    [
        ({}, True, "default"),
        ({"weathered": False}, False, "said"),
        ({"weathered": True}, True, "said"),
        ({"signs": ["grey"], "weathered": False}, True, "seen"),
        ({"signs": ["furrows"]}, True, "seen"),
        ({"signs": ["proud-fasteners"]}, True, "default"),
        ({"signs": ["mildew"], "beading": "beads"}, False, "follows"),
        ({"signs": ["film-sound"]}, False, "follows"),
        ({"signs": ["film-peeling"]}, True, "follows"),
        ({"beading": "in-part"}, False, "follows"),
        ({"beading": "soaks-in"}, True, "follows"),
        ({"surface": "planed"}, False, "follows"),
        ({"surface": "sanded"}, True, "default"),
        ({"year_built": 2026, "as_of": date(2026, 5, 4)}, False, "follows"),
        ({"year_built": 2025, "as_of": date(2026, 5, 4)}, True, "default"),
        ({"year_built": 2026}, True, "default"),
        ({"age": 21 * DAY}, False, "follows"),
        ({"age": 400 * DAY}, True, "default"),
    ],
)
def test_what_was_said_and_what_follows(lw, told, weathered, ground):
    found = weathering(Told(**told), lw.shelf, Ledger("test"))
    assert (found.weathered, found.ground) == (weathered, ground)


def asked(lw, name, **fields):
    return msgspec.json.decode(msgspec.json.encode(lw.calculate(name, **fields)))


def test_silence_waits_as_weathered_boards_do(lw):
    """Reference summer, 15 %: 1 mm at most 0.2 d, 3 mm about 2.8 d (the drying model's own cases)."""

    def wait(**more):
        answer = asked(lw, "preparation", **OILED, **MEAN, moisture_limit="15 %", **more)
        return answer, answer["result"]["drying_time"]["value"]

    silent, long = wait()
    _, same = wait(weathered=True)
    _, short = wait(weathered=False)
    assert long == same
    assert long > 6 * short
    (said,) = [f for f in silent["findings"] if f["id"] == "default-weathered"]
    assert said["params"]["effect"] == pytest.approx(1 - short / long, abs=1e-3)
    assert {line["path"]: line["kind"] for line in silent["basis"]}["input/weathered"] == "default"


def test_one_rule_in_every_calculator(lw):
    """Preparation, wash and readiness wet the same boards to the same depth, whatever is said of them."""
    for said in ({}, {"weathered": True}, {"weathered": False}, {"year_built": 2026, "as_of": "2026-06-01"}):
        prepared = asked(lw, "preparation", **OILED, **MEAN, **said)
        depth = {line["path"]: line for line in prepared["basis"]}["input/wetted_depth"]["given"]
        washed = asked(lw, "wash", area="20 m2", species="ipe", treatment="none", old_coating="none", **said)
        assert f"{washed['result']['wetting']['wetted_depth']['value']:g} mm" == depth


def test_a_drop_on_boards_nobody_spoke_of_proves_nothing_unless_it_stays(lw):
    """Trade rule: on grey wood a drop always soaks in. A drop that does not soak in still says: not ready."""
    zone = {"zones": [{"id": "main"}], "species": "douglas-fir", **MEAN}

    def answer(soak, **more):
        return asked(lw, "moisture-readiness", **zone, drop_tests=[{"zone": "main", "soak_time": soak}], **more)

    assert "drop-test-says-nothing" in {f["id"] for f in answer("5 s")["findings"]}
    assert "drop-test-says-nothing" not in {f["id"] for f in answer("5 s", weathered=False)["findings"]}
    assert "drop-test-says-nothing" not in {f["id"] for f in answer("300 s")["findings"]}


@pytest.mark.parametrize(
    ("defaults", "site", "weathered"),
    [
        ({}, {}, True),
        ({"weathered": False}, {}, False),
        ({"beading": "in-part"}, {}, False),
        ({}, {"year_built": 2026}, False),
        ({}, {"year_built": 2020}, True),
    ],
)
def test_a_plan_says_the_same_in_every_step(lw, defaults, site, weathered):
    fields = {"species": "ipe", "treatment": "none", "coating": "clear-penetrating-oil", "structure": "sound"}
    fields |= {"old_coating": "clear-penetrating-oil", **NO_LEAD, **defaults}
    job = {"schema": 1, "as_of": "2026-05-04", "site": site, "choices": {"route": "wash-and-sand"}, "moisture": MEAN}
    job |= {"zones": [{"id": "main", "length": "6 m", "width": "4 m"}], "defaults": fields}
    answer = msgspec.json.decode(msgspec.json.encode(lw.plan(job, Options())))
    steps = {step["id"]: step for step in answer["steps"]}
    depth = 3.0 if weathered else 1.0
    assert steps["wash"]["result"]["wetting"]["wetted_depth"]["value"] == pytest.approx(depth)
    basis = {line["path"]: line for line in answer["basis"]}
    assert basis["input/wetted_depth"]["given"] == f"{depth:g} mm"
    waits = steps["preparation"]["result"]["drying_time"]["value"]
    zone = steps["moisture-after-wash"]["result"]["zones"][0]
    after = zone["time_to_ready"]["value"] if "time_to_ready" in zone else None
    assert (waits > 24) is weathered
    assert after is None or (after > 24) is weathered
