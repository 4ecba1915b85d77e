"""The invented example jobs, planned.

The golden files hold our own output, kept so that a change is seen; they prove nothing about the numbers, which the
checks do. Numbers are compared as numbers, to a millionth. ``python tests/engine/plan/test_examples.py`` writes them
anew; read the difference before it goes in.
"""

import json
import sys
from pathlib import Path

import msgspec
import pytest
from tests.bundled import bundled

from latewood.job_files import read_file
from latewood.wire import Options

ROOT = Path(__file__).parents[3]
GOLDEN = Path(__file__).parent / "golden"
JOBS = ("boathouse", "millrace", "mixed_boards", "new_pine", "terrace", "two_levels", "washed_hardwood")


def planned(engine, name):
    """Return what of a plan is kept: steps with their results, findings and cautions by name."""
    plan = engine.plan(read_file(ROOT / "examples" / "jobs" / f"{name}.toml"), Options(units="metric"))
    tree = json.loads(msgspec.json.encode(plan))
    steps = {step["id"]: step.get("result", step["status"]) for step in tree["steps"]}
    return {
        "note": "our own output, kept so that a change is seen",
        "steps": steps,
        "findings": sorted({finding["id"] for finding in tree["findings"]}),
        "cautions": sorted({caution["id"] for caution in tree["cautions"]}),
    }


def leaves(tree, at=""):
    """Yield every number and text with its place."""
    if isinstance(tree, dict):
        for name, part in tree.items():
            yield from leaves(part, f"{at}/{name}")
    elif isinstance(tree, list):
        yield f"{at}/length", len(tree)
        for index, part in enumerate(tree):
            yield from leaves(part, f"{at}/{index}")
    else:
        yield at, tree


@pytest.mark.parametrize("name", JOBS)
def test_plans_as_they_were(name):
    found = dict(leaves(planned(bundled(), name)))
    kept = dict(leaves(json.loads((GOLDEN / f"{name}.json").read_text())))
    assert found.keys() == kept.keys()
    for place, value in kept.items():
        if isinstance(value, float):
            assert found[place] == pytest.approx(value, rel=1e-6, abs=1e-9), place
        else:
            assert found[place] == value, place


@pytest.mark.parametrize("name", JOBS)
def test_every_face_of_wood_is_bought_for(name):
    """Faces and the areas that coverage was reckoned with are the same area."""
    engine = bundled()
    steps = planned(engine, name)["steps"]
    bought = sum(
        zone["area"]["value"] for id, step in steps.items() if id.startswith("coverage") for zone in step["zones"]
    )
    assert bought == pytest.approx(steps["area"]["face_total"]["value"], rel=1e-8)


def test_the_small_deck_is_the_one_worked_by_hand():
    """26 boards, 13 joists, 676 fasteners and 61.33 ft of edge work, as in the published checks."""
    area = planned(bundled(), "millrace")["steps"]["area"]
    assert (area["boards"], area["joists"], area["crossings"], area["fasteners"]) == (26, 13, 338, 676)
    assert area["obstacle_edge"]["value"] == pytest.approx((56 - 4 + 8 * 14 / 12) * 0.3048)
    assert "stated-area-differs" in planned(bundled(), "millrace")["findings"]


if __name__ == "__main__":
    for job in sys.argv[1:] or JOBS:
        GOLDEN.mkdir(exist_ok=True)
        text = json.dumps(planned(bundled(), job), indent=1, sort_keys=True, ensure_ascii=False)
        (GOLDEN / f"{job}.json").write_text(text + "\n")
