"""What a plugin brings must hold together: names of its own, numbers that move with ones that exist, examples."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib.metadata import EntryPoint
from types import SimpleNamespace
from typing import Annotated, Any

import msgspec
import pytest
from tests import guests

import latewood
from latewood.declare import Calculator, RecordLookup
from latewood.plugin import F, Ledger, Q, Record, Symbol, calculator, formula, hookimpl, read_record
from latewood.plugin.loader import BadPlugin, installed
from latewood.records import Species

BUNDLED = [entry for entry in installed() if entry.name == "latewood"]
Plugin = Callable[[str, Mapping[str, Any]], EntryPoint]


def brings(*records: Record) -> Mapping[str, Any]:
    return {"latewood_records": hookimpl(lambda: records)}


def oil(
    id: str,
    more: str = "",
    numbers: str = "",
    source: str = "judgement",
    surface: str = "sanded",
    kind: str = "judgement",
) -> Record:
    rest = f"""
        {more}
        [coats]
        value = 1
        source = "judgement"
        kind = "judgement"
        [spreading.{surface}.low]
        low = "8 m2/L"
        high = "12 m2/L"
        spread = "p10-p90"
        source = "{source}"
        kind = "{kind}"
        {numbers}
    """
    return read_record(guests.oil(rest, id=id), f"pack/coatings/{id.replace('-', '_')}.toml")


def page(more: str = "") -> Record:
    text = f"""
        schema = 1
        record = "source"
        id = "a-page"
        title = "A page"
        summary = "For tests."
        publisher = "not named"
        {more}
    """
    return read_record(text, "pack/sources/a_page.toml")


def moving(path: str) -> str:
    return f'moves_with = "{path}"'


SANDED = "spreading/sanded/low"
CLEAR = f"coating/clear-penetrating-oil/{SANDED}"


def error_of(lw: latewood.Catalogue, name: str = "pack") -> str:
    return str(lw.item("plugins", name).get("error"))


def test_a_number_may_move_with_one_of_another_plugin(plugin: Plugin) -> None:
    lw = latewood.load([*BUNDLED, plugin("pack", brings(oil("harbour-oil", numbers=moving(CLEAR))))], strict=True)
    number = lw.shelf.record("coating", "harbour-oil").spreading["sanded"]["low"]
    assert number.unknown == CLEAR


HARBOUR = "pack/coatings/harbour_oil.toml: coating/harbour-oil: "
QUAY = "pack/coatings/quay_oil.toml: coating/quay-oil: "


@pytest.mark.parametrize(
    ("records", "says"),
    [
        (
            [oil("harbour-oil", numbers=moving("coating/clear-penetrating-oil/spreading/sanded/lo"))],
            [f"{HARBOUR}spreading.sanded.low.moves_with: there is no number coating/", f"/lo; did you mean {CLEAR}?"],
        ),
        (
            [
                oil("harbour-oil", numbers=moving(CLEAR)),
                oil("quay-oil", numbers=moving(f"coating/harbour-oil/{SANDED}")),
            ],
            [f"{QUAY}spreading.sanded.low.moves_with: coating/harbour-oil/", f"itself moves with {CLEAR}; name that"],
        ),
        (
            [oil("harbour-oil", source="judgment")],
            [f"{HARBOUR}spreading.sanded.low.source: there is no source record judgment; did you mean judgement?"],
        ),
        (
            [oil("harbour-oil", more='models = { spreading = "tabel" }')],
            [f"{HARBOUR}models.spreading: there is no model spreading/tabel; did you mean table?"],
        ),
        ([oil("harbour-oil", numbers=moving("coating/x/coats"))], ["there is no number coating/x/coats"]),
        (
            [oil("harbour-oil", source="a-page", kind="published"), page()],
            [
                f"{HARBOUR}spreading.sanded.low.kind: published needs a source that a stranger can find",
                "a-page wants by",
            ],
        ),
        (
            [
                oil("harbour-oil", source="a-page", kind="published"),
                page('by = "institution"\nyear = 2020\nread = "abstract"'),
            ],
            ["source a-page wants where, read; complete it, or say reported"],
        ),
    ],
)
def test_a_dangling_name_is_said_by_plugin_file_and_field(
    plugin: Plugin, records: list[Record], says: list[str]
) -> None:
    entries = [*BUNDLED, plugin("pack", brings(*records))]
    error = error_of(latewood.load(entries))
    assert [words for words in says if words not in error] == []
    with pytest.raises(BadPlugin) as stopped:
        latewood.load(entries, strict=True)
    assert str(stopped.value) == f"plugin pack (unknown): {error}"


@pytest.mark.parametrize("place", ['where = "page 3"', 'url = "https://example.org/a-page"'])
@pytest.mark.parametrize("read", ["whole", "passage"])
@pytest.mark.parametrize("by", ["author", "institution", "standard-body"])
def test_what_a_stranger_can_find_is_published(plugin: Plugin, by: str, read: str, place: str) -> None:
    found = page(f'by = "{by}"\nyear = 2020\n{place}\nread = "{read}"')
    records = brings(found, oil("harbour-oil", source="a-page", kind="published"))
    assert error_of(latewood.load([*BUNDLED, plugin("pack", records)])) == "None"


def test_what_is_reported_asks_nothing_of_its_source(plugin: Plugin) -> None:
    records = brings(page(), oil("harbour-oil", source="a-page", kind="reported"))
    assert error_of(latewood.load([*BUNDLED, plugin("pack", records)])) == "None"


def test_every_dangling_name_is_said_at_once(plugin: Plugin) -> None:
    records = [oil("harbour-oil", source="a-book"), oil("quay-oil", numbers=moving("coating/x/coats"))]
    lines = error_of(latewood.load([*BUNDLED, plugin("pack", brings(*records))])).splitlines()
    assert [line.split(":")[0] for line in lines] == ["pack/coatings/harbour_oil.toml", "pack/coatings/quay_oil.toml"]


def test_a_replacement_must_not_leave_others_dangling(plugin: Plugin) -> None:
    first = plugin("first", brings(oil("harbour-oil", numbers=moving(CLEAR))))
    planed = oil("clear-penetrating-oil", more='replaces = "coating/clear-penetrating-oil"', surface="planed")
    second = plugin("second", brings(planed))
    lw = latewood.load([*BUNDLED, first, second])
    assert error_of(lw, "first") == "None"
    assert "coating/harbour-oil: spreading.sanded.low.moves_with: there is no number" in error_of(lw, "second")


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """A plank."""

    length: Annotated[float, Q("m", "Length of a plank", ge=0.1, le=10, example="2 m")]
    species: Annotated[Species, F("Wood species", example="harbour-wood")] | None = None


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """A plank."""

    length: Annotated[float, Q("m", "Length of a plank")]


@formula(symbols="d = 2·l", source="arithmetic")
def twice(length: Annotated[float, Symbol("l", "m")]) -> Annotated[float, Symbol("d", "m")]:
    """Twice the length."""
    return 2 * length


def plank(work: Callable[[Any, Ledger, RecordLookup], Any], example: Mapping[str, Any]) -> Mapping[str, Any]:
    def function(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
        """How long is a plank?"""
        found: Result = work(x, ledger, known)
        return found

    made: Calculator = calculator("plank", "Plank", since="0.1", example=example, formulas=(twice,))(function)
    return {"latewood_calculators": hookimpl(lambda: [made])}


def divides(x: Any, ledger: Ledger, known: RecordLookup) -> Result:
    return Result(length=x.length / 0)


def steps_wrongly(x: Any, ledger: Ledger, known: RecordLookup) -> Result:
    return Result(length=ledger.step(twice, breadth=x.length))


def looks_up(x: Any, ledger: Ledger, known: RecordLookup) -> Result:
    known.record("species", "no-such-wood")
    return Result(length=x.length)


def right(x: Any, ledger: Ledger, known: RecordLookup) -> Result:
    return Result(length=ledger.step(twice, length=x.length))


@pytest.mark.parametrize(
    ("work", "example", "says"),
    [
        (divides, {"length": "2 m"}, "ZeroDivisionError"),
        (steps_wrongly, {"length": "2 m"}, "breadth"),
        (looks_up, {"length": "2 m"}, "KeyError: 'no-such-wood'"),
        (lambda x, ledger, known: None, {"length": "2 m"}, "NoneType"),
        (right, {"length": "2 kg"}, "length: "),
        (right, {"length": "200 m"}, "length: "),
        (right, {"lenght": "2 m"}, "did you mean length?"),
        (right, {}, "length: "),
        (right, {"length": "2 m", "species": "lost-wood"}, "species: there is no species 'lost-wood'"),
    ],
)
def test_a_calculator_whose_own_example_fails_is_left_out_and_named(
    plugin: Plugin, work: Any, example: Mapping[str, Any], says: str
) -> None:
    lw = latewood.load([*BUNDLED, plugin("pack", plank(work, example))])
    assert error_of(lw).startswith("calculator plank: its own example fails: ")
    assert says in error_of(lw)
    assert "plank" not in lw.calculators
    assert lw.calculate("coverage", area="10 m2", coating="clear-penetrating-oil")["result"]


def test_an_example_may_use_what_comes_with_it(plugin: Plugin) -> None:
    wood = read_record(
        """
        schema = 1
        record = "species"
        id = "harbour-wood"
        title = "Harbour wood"
        summary = "No such tree."
        botanical = "none"
        group = "hardwood"
        absorbency = "low"
        density = { value = "700 kg/m3", source = "judgement", kind = "judgement" }
        """,
        "test",
    )
    hooks = {**plank(right, {"length": "2 m", "species": "harbour-wood"}), **brings(wood)}
    lw = latewood.load([*BUNDLED, plugin("pack", hooks)], strict=True)
    assert lw.calculate("plank", length="3 m")["result"] == {"length": {"value": 6.0, "unit": "m"}}


def of(entry: EntryPoint, distribution: str, name: str | None = None) -> EntryPoint:
    """Return the entry point as a distribution would register it, under another name if one is given."""
    found = EntryPoint(name or entry.name, entry.value, entry.group)
    vars(found)["dist"] = SimpleNamespace(name=distribution, version="1.0")
    return found


def test_two_plugins_of_one_name_are_both_left_out_and_named(plugin: Plugin) -> None:
    one = of(plugin("one", brings(oil("harbour-oil"))), "harbour-pack", "pack")
    two = of(plugin("two", brings(oil("quay-oil"))), "quay-pack", "pack")
    for entries in ([*BUNDLED, one, two], [*BUNDLED, two, one]):
        lw = latewood.load(entries)
        assert [item["id"] for item in lw.items("plugins")["items"]] == ["latewood", "pack"]
        assert error_of(lw).startswith("harbour-pack and quay-pack both have an entry point of this name")
        assert not {"harbour-oil", "quay-oil"} & set(lw.shelf.records("coating"))
        assert set(lw.computed_with["plugins"]) == {"latewood"}
        with pytest.raises(BadPlugin, match="harbour-pack and quay-pack"):
            latewood.load(entries, strict=True)


def test_the_engines_own_name_stays_its_own(plugin: Plugin) -> None:
    other = of(plugin("other", brings(oil("harbour-oil"))), "harbour-pack", "latewood")
    for entries in ([*BUNDLED, other], [other, *BUNDLED]):
        lw = latewood.load(entries)
        assert "ipe" in lw.shelf.records("species")
        assert "harbour-oil" not in lw.shelf.records("coating")
        assert "the engine's own" in error_of(lw, "latewood-harbour-pack")
        assert error_of(lw, "latewood") == "None"
