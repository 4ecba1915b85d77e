"""The header: inputs found, others carried through, near-misses and clashes refused."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from latewood.catalogue import Catalogue
from latewood.columns import Choices, Table
from latewood.columns.header import misspelt
from latewood.problems import Fault, InputProblem, Malformed, NotFound

Rows = Callable[..., list[dict[str, str]]]
OIL = "clear-penetrating-oil"


@pytest.fixture(scope="module")
def refused(lw: Catalogue) -> Callable[..., list[Fault]]:
    def ask(given: str | bytes, name: str = "coverage", **choices: object) -> list[Fault]:
        table = lw.table(name, Choices(**choices))  # type: ignore[arg-type]  # what a test names
        body = given.encode() if isinstance(given, str) else given
        out: list[bytes] = []
        with pytest.raises(InputProblem) as problem:
            out.extend(_whole(table, body))
        assert out == [], "a row was given before the header was refused"
        return list(problem.value.faults)

    return ask


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("aera", "area"),
        ("Area", "area"),
        ("AREA ", "area"),
        ("specie", "species"),
        ("loss convention", "loss_convention"),
        ("Loss-Convention", "loss_convention"),
        ("on hand", "on_hand"),
        ("facs", "faces"),
    ],
)
def test_a_near_miss_is_refused_with_what_was_meant(
    refused: Callable[..., list[Fault]], written: str, meant: str
) -> None:
    faults = refused(f"coating,{written}\n{OIL},x\n")
    assert [(fault.code, fault.nearest) for fault in faults] == [("unknown-field", meant)]
    assert faults[0].expected is not None
    assert "carry=" in faults[0].expected


@pytest.mark.parametrize("name", ["notes", "note", "customer", "job", "street", "date", "cost", "zone", "id", "price"])
def test_the_words_of_other_columns_are_no_near_misses(lw: Catalogue, name: str) -> None:
    from latewood.wire import struct_reader

    assert misspelt(name, struct_reader(lw.calculator("coverage").inputs).entries) is None


def test_what_looks_like_an_input_is_carried_through_on_request(rows: Rows) -> None:
    [row] = rows(f"coating,area,Area\n{OIL},400 ft2,shed\n", carry=frozenset({"Area"}), outputs=("volume",))
    assert (row["Area"], row["error"]) == ("shed", "")
    [row] = rows(f"coating,area,surface\n{OIL},400 ft2,new\n", carry=frozenset({"surface"}), outputs=("volume",))
    assert (row["surface"], row["error"]) == ("new", "")


def test_the_same_header_twice(refused: Callable[..., list[Fault]], rows: Rows) -> None:
    table = f"coating,note,note\n{OIL},a,b\n"
    assert [(f.pointer, f.code) for f in refused(table)] == [("/note", "repeated")]
    assert [(f.pointer, f.code) for f in refused(f"coating,coating\n{OIL},{OIL}\n")] == [("/coating", "repeated")]
    assert rows(table.replace(f"{OIL},", f"{OIL},"), carry=frozenset({"note"}))[0]["note"] == "b"


def test_columns_without_a_name_are_carried_through(answered: Callable[..., str]) -> None:
    text = answered(f"coating,area,,\n{OIL},4 m2,x,y\n", outputs=("volume",))
    assert text.split("\r\n")[1].startswith(f"{OIL},4 m2,x,y,")


def test_a_column_with_the_name_of_an_answer(refused: Callable[..., list[Fault]], rows: Rows) -> None:
    table = f"coating,area,volume [L]\n{OIL},4 m2,1\n"
    assert [(f.pointer, f.code) for f in refused(table)] == [("/volume", "repeated")]
    assert rows(table, outputs=("applied",))[0]["volume [L]"] == "1"
    # An answered table fed again would have every column twice.
    assert {f.code for f in refused("coating,area,error,findings\n")} == {"repeated"}


def test_every_fault_is_given(refused: Callable[..., list[Fault]]) -> None:
    faults = refused("aera,loss [m],voc_rules.0.id,note,note\n", carry=frozenset({"nothing"}))
    assert {(fault.pointer, fault.code) for fault in faults} == {
        ("/aera", "unknown-field"),
        ("/loss", "wrong-dimension"),
        ("/voc_rules/0/id", "unknown-field"),
        ("/note", "repeated"),
        ("/carry", "unknown-field"),
        ("/coating", "missing"),
    }


@pytest.mark.parametrize("given", ["", "\n", "\r\n\r\n", ",,,\n", " , \n", "\ufeff"])
def test_an_empty_table(refused: Callable[..., list[Fault]], given: str) -> None:
    assert [fault.code for fault in refused(given)] == ["empty"]


def test_no_column_is_an_input(refused: Callable[..., list[Fault]]) -> None:
    assert {(fault.pointer, fault.code) for fault in refused("a;b\n1;2\n", name="area")} == {("", "missing")}


def test_a_header_alone_is_a_table_without_rows(answered: Callable[..., str]) -> None:
    for end in ("", "\n", "\r\n"):
        text = answered(f"coating,area{end}", outputs=("volume",))
        assert text == "coating,area,volume [L],findings,cautions,error,error_code,error_pointer\r\n"


@pytest.mark.parametrize("columns", [1001, 20_000, 1_000_000])
def test_a_header_of_very_many_columns(refused: Callable[..., list[Fault]], columns: int) -> None:
    assert [fault.code for fault in refused("coating" + ",x" * (columns - 1) + "\n")] == ["too-long"]


@pytest.mark.parametrize("given", ['"coating', '"coating" x,area\n', '"' + "coating," * 20_000])
def test_a_header_that_is_no_csv(refused: Callable[..., list[Fault]], given: str) -> None:
    assert next(fault.code for fault in refused(given)) in {"bad-quoting", "too-long"}


def _whole(table: Table, given: bytes) -> Iterator[bytes]:
    yield from table.feed(given)
    yield from table.finish()


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ("coating,area\n".encode("utf-16"), "bad-utf8"),
        ("coating,area\n".encode("utf-16-le"), "bad-text"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "bad-utf8"),
        ("coating,note é\n".encode("latin-1"), "bad-utf8"),
    ],
)
def test_bytes_that_are_no_text(lw: Catalogue, given: bytes, code: str) -> None:
    table = lw.table("coverage", Choices())
    with pytest.raises(Malformed) as problem:
        list(_whole(table, given))
    assert problem.value.fault.code == code


def test_a_header_in_single_bytes(lw: Catalogue) -> None:
    table = lw.table("coverage", Choices(outputs=("volume",)))
    out = [row for byte in f'"coating","area"\n{OIL},4 m2\n'.encode() for row in table.feed(bytes([byte]))]
    assert len(out) == 2, "rows leave as soon as they are whole"
    assert isinstance(table, Table)
    assert table.answered == 1


class TestOutputs:
    @pytest.mark.parametrize("name", ["volum", "Volume", "coats.volume", "", "volume.mean"])
    def test_one_there_is_not(self, lw: Catalogue, name: str) -> None:
        with pytest.raises(InputProblem) as problem:
            lw.table("coverage", Choices(outputs=(name,)))
        [fault] = problem.value.faults
        assert (fault.pointer, fault.code) == ("/outputs", "unknown-output")

    def test_one_twice(self, lw: Catalogue) -> None:
        with pytest.raises(InputProblem) as problem:
            lw.table("coverage", Choices(outputs=("volume", "volume")))
        assert [fault.code for fault in problem.value.faults] == ["repeated"]

    def test_a_calculator_there_is_not(self, lw: Catalogue) -> None:
        with pytest.raises(NotFound):
            lw.table("coverag", Choices())


class TestChoices:
    def test_what_was_not_said_is_to_be_found(self) -> None:
        assert Choices.read([]) == Choices()

    def test_all_that_can_be_said(self) -> None:
        said = [("units", "us"), ("decimal", ","), ("delimiter", "tab"), ("unit_row", "true"), ("_", "7")]
        said += [("outputs", "volume,purchase.text"), ("carry", "a,b"), ("carry", "c")]
        assert Choices.read(said) == Choices(
            "us", ",", "\t", True, ("volume", "purchase.text"), frozenset({"a,b", "c"})
        )

    def test_every_fault_is_given(self) -> None:
        said = [("unit", "us"), ("decimal", "'"), ("delimiter", ","), ("unit_row", "1"), ("outputs", "a")]
        with pytest.raises(InputProblem) as problem:
            Choices.read([*said, ("outputs", "b"), ("delimiter", "tab")])
        assert {(fault.pointer, fault.code) for fault in problem.value.faults} == {
            ("/decimal", "unknown-choice"),
            ("/delimiter", "unknown-choice"),
            ("/delimiter", "repeated"),
            ("/unit_row", "unknown-choice"),
            ("/outputs", "repeated"),
        }
        with pytest.raises(InputProblem) as problem:
            Choices.read([("unit", "us"), ("area", "4 m2")])
        assert [(fault.pointer, fault.nearest) for fault in problem.value.faults] == [
            ("/unit", "units"),
            ("/area", None),
        ]
