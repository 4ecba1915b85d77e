"""What those who calculate in Python have: answers that give quantities, methods with docs, options by name, pages."""

import copy
import inspect
import pickle
import tomllib
from html.parser import HTMLParser
from pathlib import Path
from typing import Annotated

import msgspec
import pint
import pytest

import latewood
from latewood.answer_objects import Answer
from latewood.catalogue import Catalogue
from latewood.messages import Style, shipped
from latewood.plugin import Ledger, Q, RecordLookup, calculator, hookimpl
from latewood.wire import Options, outputs

ASKED = {"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}
QUAYSIDE = Path(__file__).parents[2] / "examples/jobs/quayside.toml"


@pytest.fixture(scope="module")
def answer(lw):
    return lw.coverage(**ASKED)


@pytest.fixture(scope="module")
def plan(lw):
    return lw.plan(tomllib.loads(QUAYSIDE.read_text("utf-8")))


def test_a_method_answers_as_calculate_and_as_a_request(lw, answer):
    sent = msgspec.json.encode(lw.answer("coverage", ASKED, Options()))
    assert msgspec.json.encode(answer) == sent == msgspec.json.encode(lw.calculate("coverage", **ASKED))
    assert answer == lw.answer("coverage", ASKED, Options())


def test_options_are_given_by_name(lw):
    by_name = lw.coverage(**ASKED, units="us", lang="es", working=True)
    assert by_name == lw.answer("coverage", ASKED, Options(units="us", lang="es", working=True))
    assert lw.coverage(**ASKED | {"area": "37,2 m2"}, decimal=",") == lw.answer(
        "coverage", ASKED | {"area": "37,2 m2"}, Options(decimal=",")
    )


@pytest.mark.parametrize(
    ("wrong", "pointer"), [({"units": "imperial"}, "/units"), ({"lang": "xx"}, "/lang"), ({"working": 3}, "/working")]
)
def test_an_option_that_is_wrong_is_a_fault(lw, wrong, pointer):
    with pytest.raises(latewood.InputProblem) as raised:
        lw.coverage(**ASKED, **wrong)
    assert [fault.pointer for fault in raised.value.faults] == [pointer]
    with pytest.raises(latewood.InputProblem):
        lw.plan({"schema": 1}, **wrong)


def test_a_plan_takes_options_by_name_and_quantities(lw):
    area = pint.UnitRegistry(cache_folder=None).Quantity(400, "ft**2")
    zone = {"id": "main", "coating": "clear-penetrating-oil", "species": "ipe"}
    given = {"schema": 1, "zones": [zone | {"area": area}]}
    sent = {"schema": 1, "zones": [zone | {"area": "400 ft2"}]}
    assert msgspec.json.encode(lw.plan(given, units="us")) == msgspec.json.encode(lw.plan(sent, Options(units="us")))
    assert lw.plan_text(given, units="us") == lw.plan_text(sent, Options(units="us"))
    assert lw.plan_svg(given, units="us") == lw.plan_svg(sent, Options(units="us"))


def test_outputs_are_quantities_of_pint(answer):
    volume = answer.quantity("volume")
    shown = answer["result"]["volume"]
    assert isinstance(volume, pint.Quantity)
    assert volume == pint.get_application_registry().Quantity(shown["value"], "liter")
    assert answer.quantity("purchase.volume").m_as("liter") == answer["result"]["purchase"]["volume"]["value"]
    # NIST SP 811 appendix B: 1 US gallon is 3.785 411 784 L.
    assert volume.m_as("gallon") == pytest.approx(shown["value"] / 3.785411784, rel=1e-9)
    ends = [answer.quantity(f"volume.{end}").m_as("liter") for end in ("low", "high")]
    assert ends == [shown["low"], shown["high"]]


def test_a_range_is_an_array_of_low_value_and_high(answer):
    low, value, high = answer.range("volume")
    shown = answer["result"]["volume"]
    assert [low.magnitude, value.magnitude, high.magnitude] == [shown["low"], shown["value"], shown["high"]]
    size = answer["result"]["containers"][0]["size"]["value"]
    assert answer.range("containers.0.size").magnitude.tolist() == [size] * 3
    assert answer.quantity("containers.0.size.high").magnitude == size


def test_a_range_is_taken_where_a_range_is_asked(lw, answer):
    rate = answer["result"]["spreading_rate"]
    with_pint = lw.coverage(**ASKED, product={"spreading_rate": answer.range("spreading_rate")})
    assert with_pint == lw.coverage(**ASKED, product={"spreading_rate": rate})


def test_a_registry_of_ones_own_is_kept_to(answer):
    registry = pint.UnitRegistry(cache_folder=None)
    assert (answer.quantity("volume", registry) + registry.Quantity(1, "L")).check("[volume]")
    assert answer.range("volume", registry).check("[volume]")


@pytest.mark.parametrize(("name", "near"), [("volumen", "volume"), ("purchase.text", None), ("volume.middle", None)])
def test_what_is_no_quantity_is_not_found(answer, name, near):
    with pytest.raises(latewood.NotFound) as raised:
        answer.quantity(name)
    assert near is None or raised.value.fault.nearest == near


def test_a_null_is_no_quantity():
    made = Answer({"result": {"wait": {"value": None, "unit": "h"}}}, shipped().speaker(Style()))
    with pytest.raises(latewood.InputProblem, match="wait"):
        made.quantity("wait")


def test_every_unit_of_an_answer_is_one_of_pint(lw):
    for asked in lw.calculators.values():
        for units in ("metric", "us"):
            made = lw.calculate(asked.id, **asked.example, units=units)
            shown = {name: one for name, one in outputs.leaves(made["result"]) if outputs.is_quantity(one)}
            for name, one in shown.items():
                assert made.quantity(name).magnitude == one["value"]


def test_a_method_says_what_it_takes(lw):
    coverage = lw.coverage
    assert coverage.__name__ == "coverage"
    assert "area: Area to coat" in inspect.getdoc(coverage)
    parameters = inspect.signature(coverage).parameters
    assert parameters["coating"].default is inspect.Parameter.empty
    assert parameters["area"].default is ...
    assert {"units", "working", "decimal", "lang"} < set(parameters)
    for id in lw.calculators:
        assert id.replace("-", "_") in dir(lw)
        assert callable(getattr(lw, id.replace("-", "_")))


def test_what_is_there_under_no_name_is_not(lw):
    with pytest.raises(AttributeError, match="'Catalogue' object has no attribute 'covrage'") as raised:
        lw.covrage(area="400 ft2")
    assert (raised.value.name, raised.value.obj) == ("covrage", lw)
    assert copy.copy(lw).calculators is lw.calculators


def test_no_calculator_has_the_name_of_something_else(lw):
    assert not {id.replace("-", "_") for id in lw.calculators} & set(dir(Catalogue))


def test_a_calculator_of_a_plugin_is_a_method_too(plugin):
    class Inputs(msgspec.Struct, frozen=True, kw_only=True):
        """What is doubled."""

        length: Annotated[float, Q("m", "Length to double", example="2 m")]

    class Result(msgspec.Struct, frozen=True, kw_only=True):
        """What came out."""

        length: Annotated[float, Q("m", "The double")]

    @calculator("twice-as-long", "Twice the length", since="0.1", example={"length": "2 m"})
    def twice(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
        """Double a length."""
        return Result(length=2 * x.length)

    guest = plugin("doubler", {"latewood_calculators": hookimpl(lambda: [twice])})
    made = latewood.load([guest], strict=True).twice_as_long(length=pint.get_application_registry()("3 m"))
    assert made["result"]["length"] == {"value": 6.0, "unit": "m"}


def test_the_package_shows_what_is_meant():
    assert dir(latewood) == ["Answer", "Catalogue", "InputProblem", "NotFound", "Plan", "load"]


class Rows(HTMLParser):
    """The tags and texts of a piece of HTML."""

    def __init__(self, html):
        super().__init__()
        self.tags, self.texts, self.open = [], [], []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        assert not attrs
        self.tags.append(tag)
        self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.texts.append(data)


def test_an_answer_shows_itself_as_a_table(lw, answer):
    page = answer._repr_html_()
    rows = Rows(page)
    assert not rows.open
    assert set(rows.tags) <= {"table", "caption", "tr", "th", "td", "ul", "li"}
    assert rows.texts[:2] == ["coverage", "volume"]
    assert len(page) < 8000
    assert "gal" in lw.coverage(**ASKED, units="us")._repr_html_()


def test_a_plan_shows_its_first_screen(plan):
    page = plan._repr_html_()
    rows = Rows(page)
    assert not rows.open
    assert any(text.startswith("WAIT to prepare") for text in rows.texts)
    assert len(page) < 8000


def test_what_was_sent_is_escaped(lw):
    job = {"schema": 1, "name": "<b>&</b>"}
    zones = [{"id": "main", "area": "400 ft2", "coating": "clear-penetrating-oil"}]
    rows = Rows(lw.plan(job | {"zones": zones})._repr_html_())
    assert set(rows.tags) <= {"table", "caption", "tr", "th", "td"}
    assert "<b>&</b>" in "".join(rows.texts)


def test_a_table_is_cut_where_it_is_long(lw):
    faces = [{"zone": f"z{count}", "part": "field", "area": "10 m2"} for count in range(200)]
    page = lw.coverage(faces=faces, coating="clear-penetrating-oil")._repr_html_()
    assert len(page) < 8000
    assert "…" in page


def test_an_answer_is_copied_and_pickled(answer):
    assert copy.deepcopy(answer) == answer
    again = pickle.loads(pickle.dumps(answer))
    assert again == answer
    assert again.quantity("volume") == answer.quantity("volume")


@pytest.mark.parametrize("made", ["plan", "plan_text", "plan_svg"])
@pytest.mark.parametrize(("name", "near"), [("unit", "units"), ("langs", "lang"), ("on_error", None), ("_", None)])
def test_an_option_that_is_none_is_refused_with_the_nearest(lw, made, name, near):
    job = {"schema": 1, "zones": [{"id": "main", "length": "5 m", "width": "3 m"}]}
    getattr(lw, made)(job, units="us")
    with pytest.raises(latewood.InputProblem) as raised:
        getattr(lw, made)(job, **{name: "us"})
    [fault] = raised.value.faults
    assert (fault.pointer, fault.code, fault.nearest) == (f"/{name}", "unknown-field", near)
    with pytest.raises(latewood.InputProblem):
        # Whole or by name: of both one would be dropped.
        getattr(lw, made)(job, Options(), units="us")


def test_a_field_that_may_be_an_option_is_refused_with_its_name(lw):
    for call in (
        lambda: lw.coverage(**ASKED, unit="us"),
        lambda: lw.cell("coverage", "volume", [*ASKED.items(), ("unit", "us")], Options()),
        lambda: lw.answer("coverage", ASKED | {"unit": "us"}, Options()),
    ):
        with pytest.raises(latewood.InputProblem) as raised:
            call()
        assert [(fault.pointer, fault.nearest) for fault in raised.value.faults] == [("/unit", "units")]


@pytest.mark.parametrize(
    "layout", [{"width": 2}, {"width": 401}, {"width": "wide"}, {"full": "perhaps"}, {"widht": 46}]
)
def test_a_layout_that_no_page_has_is_refused(lw, layout):
    job = {"schema": 1, "zones": [{"id": "main", "length": "5 m", "width": "3 m"}]}
    with pytest.raises(latewood.InputProblem) as raised:
        lw.plan_text(job, **layout)
    [fault] = raised.value.faults
    assert fault.pointer == f"/{next(iter(layout))}"


def test_a_system_of_units_that_is_none_is_refused(lw):
    with pytest.raises(latewood.InputProblem, match="did you mean us"):
        lw.item("species", "ipe", "uss")
