"""Records are read from TOML by their fields' annotations; whatever is wrong is named by file and field."""

import msgspec
import pytest

from latewood.records import BadRecord, Coating, read_pack, read_record
from latewood.uncertainty import spread

PLACE = "demo_pack/coatings/demo_oil.toml"
OIL = """
schema = 1
record = "coating"
id = "demo-oil"
title = "Demonstration oil"
summary = "Invented for this test."
binder = "drying-oil"
film = false
pigment = "none"
carrier = "solvent"
wiped = true
floors = "suitable"
rate_basis = "applied"
models = { spreading = "demo" }

[coats]
value = 1
source = "demo"
kind = "judgement"

[spreading.sanded.low]
low = "200 ft2/us_gal"
high = "400 ft2/us_gal"
spread = "stated-range"
source = "demo"
where = "page 1"
kind = "published"
holds = "smooth wood"

[spreading.weathered.high]
value = "4 m2/L"
source = "other-demo"
kind = "judgement"
moves_with = "coating/demo-oil/spreading/sanded/low"
"""


def oil(old: str = "", new: str = "") -> Coating:
    assert old in OIL
    record = read_record(OIL.replace(old, new, 1) if old else OIL, PLACE)
    assert isinstance(record, Coating)
    return record


def faults_of(text: str, place: str = PLACE) -> list[str]:
    with pytest.raises(BadRecord) as caught:
        read_record(text, place)
    lines = str(caught.value).splitlines()
    assert len(lines) == len(caught.value.faults)
    assert all(line.startswith(f"{place}: ") for line in lines)
    return [line.removeprefix(f"{place}: ") for line in lines]


def test_a_range_becomes_si_quantiles_with_the_geometric_mean_as_median():
    # Wood Handbook, FPL-GTR-190, ch. 16: 200-400 ft2/gal, which it also prints as 4.9-9.8 m2/L.
    number = oil().spreading["sanded"]["low"]
    assert number.low == pytest.approx(4.9e3, rel=5e-3)
    assert number.high == pytest.approx(9.8e3, rel=5e-3)
    assert number.si == pytest.approx((number.low * number.high) ** 0.5)
    assert number.unit == "1/m"
    assert number.given == "200-400 ft2/us_gal"
    assert "geometric mean" in number.note
    assert "the source states a range" in number.note
    assert "holds for: smooth wood" in number.note
    assert (number.source, number.where, number.evidence) == ("demo", "page 1", "published")


def test_a_point_gets_no_spread():
    number = oil().spreading["weathered"]["high"]
    assert (number.low, number.high) == (None, None)
    assert number.number == pytest.approx(4000)


def test_numbers_know_their_path_and_the_unknown_they_share():
    record = oil()
    first, second = record.spreading["sanded"]["low"], record.spreading["weathered"]["high"]
    assert first.path == first.unknown == "coating/demo-oil/spreading/sanded/low"
    assert second.unknown == first.path
    assert set(record.numbers) == {"coating/demo-oil/coats", first.path, "coating/demo-oil/spreading/weathered/high"}
    # The same path is the same unknown: its ratio to itself is certain.
    assert spread.high(first.number / first.number) == pytest.approx(1)


def test_a_record_says_what_it_rests_on():
    assert {named.id for named in oil().references if named.kind == "source"} == {"demo", "other-demo"}
    shared = {number.unknown for number in oil().numbers.values() if number.unknown != number.path}
    assert shared == {"coating/demo-oil/spreading/sanded/low"}
    assert oil().models_used() == {("spreading", "demo")}


def test_the_file_as_read_can_be_written_as_json():
    assert msgspec.json.decode(msgspec.json.encode(oil().raw))["spreading"]["sanded"]["low"]["high"] == "400 ft2/us_gal"


def test_a_percentage_takes_the_arithmetic_mean_and_a_three_point_number_its_own_median():
    share = (
        '\n[later_coat_share]\nlow = "60 %"\nhigh = "80 %"\nspread = "p10-p90"\nsource = "demo"\nkind = "judgement"\n'
    )
    number = oil("\n[coats]", share + "\n[coats]").later_coat_share
    assert number is not None
    assert number.si == pytest.approx(0.7)
    number = oil("\n[coats]", share.replace("high", 'value = "65 %"\nhigh') + "\n[coats]").later_coat_share
    assert number is not None
    assert (number.si, number.given) == (pytest.approx(0.65), "65 % (60-80 %)")
    assert spread.value(number.number) == pytest.approx(0.65)


FAULTS = [
    ('title = "Demonstration oil"', "", "title: the field is missing"),
    ('title = "Demonstration oil"', 'title = " "', "title: the text is empty"),
    ('summary = "', 'sumary = "', "sumary: there is no such field here; did you mean summary?"),
    ('binder = "drying-oil"', 'binder = "dryingoil"', "did you mean drying-oil?"),
    ("film = false", 'film = "false"', "film: text was given; expected true or false"),
    ("film = false", "film = 0", "film: a whole number was given; expected true or false"),
    ("value = 1", "value = 1.5", "coats.value: a number was given; expected a whole number"),
    ("value = 1", 'value = "1"', "coats.value: text was given; expected a whole number"),
    ("value = 1", "value = -1", "coats.value: the number is outside what this field takes"),
    ("value = 1", "value = 0", "spreading: there are spreading rates, and no coat to lay on; expected no table where"),
    (
        OIL[OIL.index("[spreading.sanded") :],
        "",
        "spreading: there is no spreading rate; expected one, unless coats is 0",
    ),
    ("value = 1", "", "coats.value: there is no number"),
    ('"200 ft2/us_gal"', '"500 ft2/us_gal"', "spreading.sanded.low.low: low is above high"),
    ('"200 ft2/us_gal"', '"-200 ft2/us_gal"', "spreading.sanded.low.low: the number is outside"),
    ('"200 ft2/us_gal"', '"200 ft2"', "spreading.sanded.low.low: "),
    ('"200 ft2/us_gal"', '"200 ft2/gal"', "spreading.sanded.low.low: "),
    ('"200 ft2/us_gal"', "200", "spreading.sanded.low.low: a whole number was given; expected text with a unit"),
    ('low = "200 ft2/us_gal"\n', "", "spreading.sanded.low.low: a range has both ends"),
    (
        'high = "400',
        'value = "9 ft2/us_gal"\nhigh = "400',
        "spreading.sanded.low.value: the value is outside low to high",
    ),
    ('spread = "stated-range"\n', "", "spreading.sanded.low.spread: what the range means is not said"),
    ("stated-range", "p5-p95", "spreading.sanded.low.spread: 'p5-p95' is not known here"),
    (
        'value = "4 m2/L"',
        'value = "4 m2/L"\nspread = "p10-p90"',
        "spreading.weathered.high.spread: a single value has no",
    ),
    ('source = "other-demo"\n', "", "spreading.weathered.high.source: the field is missing"),
    ('kind = "published"', "", "spreading.sanded.low.kind: the field is missing"),
    ('kind = "published"', 'kind = "input"', "spreading.sanded.low.kind: 'input' is not known here"),
    (
        'where = "page 1"',
        'were = "page 1"',
        "spreading.sanded.low.were: there is no such field here; did you mean where?",
    ),
    (
        "[spreading.sanded.low]",
        "[spreading.sandd.low]",
        "spreading.sandd: this name is not known here; expected one of",
    ),
    ("[spreading.sanded.low]", "[spreading.sanded.lw]", "did you mean low?"),
    ('"coating/demo-oil/spreading/sanded/low"', '"sanded"', "high.moves_with: 'sanded' does not have the right form"),
    (
        "sanded/low",
        "sanded/lo",
        "high.moves_with: there is no number coating/demo-oil/spreading/sanded/lo; did you mean",
    ),
    ('id = "demo-oil"', 'id = "Demo"', "id: 'Demo' does not have the right form"),
    (
        'id = "demo-oil"',
        'id = "demo-wax"',
        "id: the file is called demo_oil.toml; expected the file to be called demo_wax",
    ),
    ("schema = 1", "schema = 2", "schema: schema 2 is newer than what this latewood reads; expected schema = 1"),
    ('record = "coating"', 'record = "coatings"', "record: 'coatings' is not a kind of record"),
    ('record = "coating"', "", "record: the kind of record is missing"),
    ("[coats]", "[coats", "input: "),
    (
        "models = { spreading",
        "models = { spreading = 1, cure",
        "models.spreading: a whole number was given; expected text",
    ),
]


@pytest.mark.parametrize(("old", "new", "said"), FAULTS, ids=[fault[2][:60] for fault in FAULTS])
def test_a_fault_is_named_by_file_and_field(old, new, said):
    assert old in OIL
    found = faults_of(OIL.replace(old, new, 1))
    assert any(said in line for line in found), found


def test_every_fault_of_a_file_is_named_at_once():
    text = OIL
    for old, new in (
        ("film = false", "film = 1"),
        ('kind = "published"', ""),
        ("4 m2/L", "4 m"),
        ("summary", "sumary"),
    ):
        text = text.replace(old, new, 1)
    places = [line.split(":")[0] for line in faults_of(text)]
    assert places == ["sumary", "summary", "film", "spreading.sanded.low.kind", "spreading.weathered.high.value"]


CLASS = """
schema = 1
record = "absorbency"
id = "demo"
title = "Demonstration class"
summary = "Invented for this test."
order = 1
wiped_off = { value = "10 %", source = "demo", kind = "judgement" }
"""


def test_a_pack_is_read_from_its_folders_in_order(tmp_path, monkeypatch):
    pack = tmp_path / "demo_pack_in_folders"
    for folder, name, text in (("b", "demo_oil", OIL), ("a", "demo", CLASS), ("_hidden", "broken", "[")):
        (pack / folder).mkdir(parents=True)
        (pack / folder / f"{name}.toml").write_text(text, "utf-8")
    (pack / "__init__.py").write_text("")
    (pack / "b" / "notes.txt").write_text("not a record")
    monkeypatch.syspath_prepend(tmp_path)
    assert [(record.KIND, record.id) for record in read_pack(pack.name)] == [
        ("absorbency", "demo"),
        ("coating", "demo-oil"),
    ]
    # What editors and systems leave beside a file that is open or was copied.
    (pack / "b" / "._demo_oil.toml").write_bytes(b"\x00\x05\x16\x07")
    (pack / "b" / ".#demo_oil.toml").symlink_to("somebody@here.1")
    assert [record.id for record in read_pack(pack.name)] == ["demo", "demo-oil"]
    (pack / "b" / "other.toml").write_bytes(b"title = '\xff'")
    with pytest.raises(BadRecord, match=rf"{pack.name}/b/other.toml: input: .*utf-8"):
        read_pack(pack.name)
