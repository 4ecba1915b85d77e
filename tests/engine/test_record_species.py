"""What a species record may hold, and what is refused in it."""

import pytest

from latewood.records import BadRecord, Species, read_record

WOOD = """
schema = 1
record = "species"
id = "demo-wood"
title = "Demonstration wood"
summary = "Invented for this test."
botanical = "invented"
group = "hardwood"
absorbency = "low"

[density]
value = "900 kg/m3"
source = "demo"
kind = "judgement"

[basic_density]
value = "700 kg/m3"
source = "demo"
kind = "judgement"

[shrinkage.radial]
value = "4 %"
source = "demo"
kind = "judgement"

[shrinkage.tangential]
value = "8 %"
source = "demo"
kind = "judgement"

[movement.tangential]
value = "0.3 %"
source = "demo"
kind = "judgement"

[hardness.dry]
value = "2000 lbf"
source = "demo"
kind = "judgement"

[meter_resistance]
source = "needles"
where = "row 1"
kind = "recalled"
note = "at 27 °C"

[meter_resistance.points]
7 = "22400 Mohm"
25 = "0.46 Mohm"

[meter_correction.12]
low = "-1 %"
value = "0 %"
high = "4 %"
spread = "p10-p90"
source = "demo"
kind = "judgement"

[[durability]]
scale = "en-350"
best = "1"
worst = "3"
source = "grades"
kind = "published"

[[extractives]]
id = "iron-stain"
level = "strong"
message = "Turns black beside steel."
source = "demo"
kind = "judgement"

[[dust]]
id = "sensitiser"
affects = ["skin", "airways"]
source = "demo"
kind = "judgement"
"""


def wood(old: str = "", new: str = "") -> Species:
    assert old in WOOD
    record = read_record(WOOD.replace(old, new, 1), "demo_wood.toml")
    assert isinstance(record, Species)
    return record


def faults_of(old: str, new: str) -> list[str]:
    with pytest.raises(BadRecord) as caught:
        wood(old, new)
    return [fault.line() for fault in caught.value.faults]


def test_numbers_come_in_si():
    record = wood()
    # 1 lbf = 4.4482216152605 N (NIST SP 811).
    assert record.hardness["dry"].si == pytest.approx(2000 * 4.4482216152605)
    assert record.movement["tangential"].si == pytest.approx(0.003)
    assert record.shrinkage["tangential"].si == pytest.approx(0.08)


def test_a_column_shares_its_source_and_each_point_has_its_own_path():
    points = wood().meter_resistance
    assert {key: point.si for key, point in points.items()} == {"7": pytest.approx(22.4e9), "25": pytest.approx(4.6e5)}
    for key, point in points.items():
        assert point.path == f"species/demo-wood/meter_resistance/{key}"
        assert (point.source, point.where, point.evidence, point.note) == ("needles", "row 1", "recalled", "at 27 °C")
    assert {"needles", "grades", "demo"} == {named.id for named in wood().references if named.kind == "source"}


def test_a_correction_may_be_below_zero_and_keeps_its_median():
    number = wood().meter_correction["12"]
    assert (number.low, number.si, number.high) == (pytest.approx(-0.01), 0, pytest.approx(0.04))
    assert number.symmetric


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('best = "1"', 'best = "6"', "durability.0.best: '6' is no grade of en-350; expected one of 1, 2, 3, 4, 5"),
        ('worst = "3"', 'worst = "resistant"', "durability.0.worst: 'resistant' is no grade of en-350"),
        ('best = "1"', 'best = "4"', "durability.0.best: the best grade is worse than the worst"),
        ('scale = "en-350"', 'scale = "en-351"', "durability.0.scale: 'en-351' is not known here"),
        ('value = "4 %"', 'value = "9 %"', "shrinkage: radial, tangential and volumetric shrinkage do not grow"),
        ('value = "700', 'value = "900', "basic_density: the basic density is not below the density at 12 %"),
        ("[shrinkage.radial]", "[shrinkage.radical]", "shrinkage.radical: this name is not known here"),
        ("[hardness.dry]", "[hardness.wet]", "hardness.wet: this name is not known here"),
        ('7 = "22400 Mohm"', '7 = "22400 Mtons"', "meter_resistance.points.7: "),
        ('7 = "22400 Mohm"', '6 = "22400 Mohm"', "meter_resistance.points.6: this name is not known here"),
        ('where = "row 1"', 'were = "row 1"', "meter_resistance.were: there is no such field here"),
        ('id = "iron-stain"', 'id = "iron"', "extractives.iron.id: 'iron' is not known here"),
        ('affects = ["skin"', 'affects = ["skull"', "dust.sensitiser.affects.0: 'skull' is not known here"),
        ('id = "sensitiser"', 'id = "sensitizer"', "did you mean sensitiser?"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(old: str, new: str, line: str):
    faults = faults_of(old, new)
    assert any(line in fault for fault in faults), faults


def test_one_grade_needs_no_worst():
    assert wood('worst = "3"\n', "").durability[0].worst == ""
