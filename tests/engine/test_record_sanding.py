"""Abrasives, machines, ways of sanding, fasteners and site protection as records: what their files may not say."""

from pathlib import Path

import pytest

from latewood.problems import InputProblem
from latewood.records import BadRecord, read_record

SHELF = Path(__file__).parents[2] / "plugins" / "latewood_plugins"


def faults_of(text: str) -> list[str]:
    with pytest.raises(BadRecord) as caught:
        read_record(text, "demo")
    return [fault.pointer for fault in caught.value.faults]


def changed(file: str, old: str, new: str) -> str:
    text = (SHELF / file).read_text()
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("file", "old", "new", "pointer"),
    [
        ("machines/random_orbit_150.toml", 'softwood = "', 'softwod = "', "/pace/softwod"),
        ("machines/random_orbit_150.toml", "[diameter]", "[abrasive_area]", "/abrasive_area/value"),
        ("machines/random_orbit_150.toml", "[orbit]", "[cut]", "/cut/value"),
        ("machines/random_orbit_150.toml", 'abrasive = "disc"', 'abrasive = "paper"', "/abrasive"),
        ("machines/floor_drum.toml", 'suits = ["field"]', 'suits = ["floor"]', "/suits/0"),
        (
            "machines/floor_drum.toml",
            'severity = "stop"',
            'severity = "fatal"',
            "/risks/drum-on-cupped-boards/severity",
        ),
        ("sanding_practices/open_grain.toml", 'perimeter = "edge-strip"', 'edges = "edge-strip"', "/rates/edges"),
        ("sanding_practices/open_grain.toml", "[start.grey.hardwood]", "[start.grey.bamboo]", "/start/grey"),
        ("sanding_practices/open_grain.toml", "[last.film]", "[last.films]", "/last/films"),
        ("fastener_practices/set_below.toml", 'inspect = "', 'look = "', "/rates/look"),
        ("site_protection/sanding.toml", 'with_lead = "sanding-lead"', 'with_lead = "sanding"', "/with_lead"),
        ("erosion/douglas_fir.toml", "[depth.earlywood.4]", "[depth.earlywood.5]", "/depth/earlywood/5"),
        ("abrasives/p80.toml", 'system = "fepa-p"', 'system = "fepa-f"', "/system"),
    ],
)
def test_a_slip_in_a_file_is_named(file, old, new, pointer):
    assert pointer in faults_of(changed(file, old, new))


def test_a_machine_must_say_its_area_and_its_cut():
    text = (SHELF / "machines" / "hand_block.toml").read_text()
    for table in ("abrasive_area", "cut"):
        head, _, rest = text.partition(f"[{table}]")
        without = head + rest.partition("\n\n")[2]
        assert f"/{table}" in faults_of(without)
    both = text + '\n[orbit]\nvalue = "3 mm"\nsource = "demo"\nkind = "judgement"\n'
    assert faults_of(both) == ["/cut"]


GRADE = """
schema = 1
record = "abrasive"
id = "{id}"
title = "{id}, invented"
summary = "A grade from outside."
system = "other"
grade = "{id}"

[grain_size]
value = "190 um"
source = "judgement"
where = "made up for this test"
kind = "judgement"
"""


def test_a_grade_from_another_pack_takes_part(plugin):
    import latewood
    from latewood.plugin import hookimpl
    from latewood.plugin.loader import installed

    bundled = [entry for entry in installed() if entry.name == "latewood"]
    hook = hookimpl(lambda: [read_record(GRADE.format(id="felt-3"), "felt_3.toml")])
    lw = latewood.load([*bundled, plugin("felt", {"latewood_records": hook})], strict=True)
    stock = [{"grade": "p60"}, {"grade": "felt-3"}]
    answer = lw.calculate("abrasive-sequence", species="ipe", stock=stock, first_grade="p60", treatment="none")
    [row] = answer["result"]["rows"]
    assert row["sequence"] == "p60, felt-3"
    own = next(grade for grade in answer["result"]["grades"] if grade["id"] == "felt-3")
    assert (own["fepa_p"], own["cami"]) == ("p80", "cami-80")
    # A grade of one maker's own is no substitute that is fetched for anybody.
    only = lw.calculate(
        "abrasive-sequence", species="ipe", stock=[{"grade": "p60"}], first_grade="p60", treatment="none"
    )
    assert only["result"]["rows"][0]["fetch"] == "p80"


def test_numbers_alone_are_ambiguous_in_the_calculator_too(lw):
    with pytest.raises(InputProblem) as caught:
        lw.calculate("abrasive-sequence", first_grade="100")
    [fault] = caught.value.faults
    assert (fault.code, "p100" in fault.expected, "cami-100" in fault.expected) == ("ambiguous", True, True)
