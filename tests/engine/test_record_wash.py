"""Wash agents and rules of pressure as records: what cannot be one is refused when the file is read."""

import pytest

from latewood.records import BadRecord, PressureRule, WashAgent, read_pack, read_record

RECORDS = {(record.KIND, record.id): record for record in read_pack("latewood_plugins")}
AGENTS = [record for record in RECORDS.values() if isinstance(record, WashAgent)]
RULES = [record for record in RECORDS.values() if isinstance(record, PressureRule)]


def number(name, value):
    return f'\n[{name}]\nvalue = "{value}"\nsource = "judgement"\nwhere = "invented"\nkind = "judgement"\n'


HEAD = """
schema = 1
record = "wash-agent"
id = "demo"
title = "Demo"
summary = "Invented."
role = "{role}"
chemistry = "{chemistry}"
removes = ["dirt"]
turn = 0
{more}
"""
NUMBERS = (
    number("strength", "10 g/L")
    + number("dwell", "5 min")
    + number("coverage", "3 m2/L")
    + number("rinse_depth", "10 mm")
)


POWDER = number("active", "100 %")


def agent(role="cleaner", chemistry="detergent", more="", sold=POWDER):
    return HEAD.format(role=role, chemistry=chemistry, more=more) + NUMBERS + sold


def faults(text):
    with pytest.raises(BadRecord) as caught:
        read_record(text, "demo")
    return {fault.pointer for fault in caught.value.faults}


def test_an_agent_is_read_and_turns_the_wood_as_its_chemistry_does():
    assert read_record(agent(), "demo").reaction == "neutral"
    assert read_record(agent(chemistry="acid", role="brightener"), "demo").reaction == "acid"
    assert read_record(agent(chemistry="percarbonate"), "demo").reaction == "alkaline"


def test_a_product_is_a_powder_or_a_liquid():
    assert faults(agent(sold="")) == {"/active"}
    assert faults(agent(sold=number("active", "50 %") + number("stock_strength", "50 g/L"))) == {"/active"}


def test_a_caustic_stripper_names_what_neutralises_it():
    """jonesfencecompany.net: alkaline stripper, then an acid."""
    assert faults(agent(role="stripper", chemistry="hydroxide")) == {"/neutraliser"}
    assert read_record(agent(role="stripper", chemistry="hydroxide", more='neutraliser = "oxalic-acid"'), "demo")


def test_an_effect_acts_on_something():
    effect = '\n[[effects]]\nid = "x"\nseverity = "note"\nmessage = "m"\nsource = "judgement"\n'
    assert faults(agent() + effect) == {"/effects/0"}
    assert read_record(agent() + effect + 'near = ["plants"]\n', "demo")


def rule(**pressures):
    usual = {
        "start.other": "500 psi",
        "start.dense-hardwood": "500 psi",
        "ceiling.other": "600 psi",
        "ceiling.dense-hardwood": "1200 psi",
        "damage": "1500 psi",
        "erosion": "2000 psi",
        "fan_angle": "40 deg",
        "standoff": "12 in",
    }
    numbers = {name: value for name, value in (usual | pressures).items() if value}
    head = 'schema = 1\nrecord = "pressure-rule"\nid = "demo"\ntitle = "Demo"\nsummary = "Invented."\n'
    return head + "".join(number(name, value) for name, value in numbers.items())


def test_pressures_rise_and_no_class_is_left_out():
    assert isinstance(read_record(rule(), "demo"), PressureRule)
    assert faults(rule(**{"ceiling.other": "400 psi"})) == {"/ceiling/other"}
    assert faults(rule(**{"ceiling.other": ""})) == {"/ceiling/other"}
    assert faults(rule(erosion="1000 psi")) == {"/ceiling/dense-hardwood"}


@pytest.mark.parametrize("one", AGENTS, ids=lambda one: one.id)
def test_every_alkaline_agent_of_the_shelf_names_an_acid(one):
    if one.reaction == "alkaline":
        assert RECORDS["wash-agent", one.neutraliser].reaction == "acid"
    if one.never_mixed:
        assert one.strength is None
    else:
        assert one.told("strength").unit == "kg/m3"  # by weight in a litre, never by volume


def test_a_recipe_is_whole_and_a_solvent_has_none():
    assert "/strength" in faults(agent().replace("[strength]", "[left_out]"))
    head = HEAD.format(role="stripper", chemistry="solvent", more="")
    assert faults(head + number("dwell", "5 min")) == {"/dwell"}
    assert faults(head.replace("turn = 0", "turn = 3")) == {"/turn"}
    demo = read_record(head, "demo")
    assert isinstance(demo, WashAgent)
    with pytest.raises(ValueError, match="wash-agent/demo has no strength"):
        demo.told("strength")


def test_sources_disagree_on_pressure_and_each_is_a_rule():
    assert len(RULES) >= 2
    assert len({one.ceiling["other"].si for one in RULES}) > 1
