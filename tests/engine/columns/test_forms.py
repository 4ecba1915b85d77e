"""The forms of a table: delimiter, decimal mark and units, stated or found, and refused where they are in doubt."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from typing import Any

import pytest

from latewood.columns.decimal_mark import marks
from latewood.problems import InputProblem

Rows = Callable[..., list[dict[str, str]]]
OIL = "clear-penetrating-oil"
#: 400 ft2 x 0.09290304 m2/ft2 (NIST SP 811, appendix B.8).
AREA = "37.161216"
VOLUME = ("volume",)


def codes(problem: pytest.ExceptionInfo[InputProblem]) -> set[tuple[str, str]]:
    return {(fault.pointer, fault.code) for fault in problem.value.faults}


@pytest.fixture(scope="module")
def volume(rows: Rows) -> str:
    """The volume for 400 ft2 of ipe, as one row says it."""
    [row] = rows(f"area,species,coating\n400 ft2,ipe,{OIL}\n", outputs=VOLUME)
    assert row["error"] == ""
    assert float(row["volume [L]"]) > 0
    return row["volume [L]"]


class TestUnits:
    @pytest.mark.parametrize(
        "table",
        [
            f"area,species,coating\n{AREA} m2,ipe,{OIL}\n",
            f"area [ft2],species,coating\n400,ipe,{OIL}\n",
            f"area[ft2],species,coating\n 400 ,ipe,{OIL}\n",
            f"area [ft2],species,coating\n400 ft2,ipe,{OIL}\n",
            f"area [m2],species,coating\n{AREA},ipe,{OIL}\n",
            f"area,species,coating\nft2,,\n400,ipe,{OIL}\n",
            f"note,area,species,coating\nany words,m2,,\nx,{AREA},ipe,{OIL}\n",
            f"area [ft2],species,coating\nft2,,\n400,ipe,{OIL}\n",
        ],
    )
    def test_in_the_cell_the_header_or_a_row(self, rows: Rows, volume: str, table: str) -> None:
        last = rows(table, outputs=VOLUME)[-1]
        assert (last["volume [L]"], last["error"]) == (volume, "")

    def test_a_stated_row_of_units(self, rows: Rows, volume: str) -> None:
        table = f"area,species,coating\nft2,,\n400,ipe,{OIL}\n"
        assert rows(table, outputs=VOLUME, unit_row=True)[-1]["volume [L]"] == volume
        first, second = rows(table, outputs=VOLUME, unit_row=False)
        assert first["error_pointer"].split()[0] == "/area"
        assert second["error_code"] == "unit-missing"

    def test_the_row_of_units_is_carried_through(self, answered: Callable[..., str]) -> None:
        lines = answered(f"area,species,coating\nft2,,\n400,ipe,{OIL}\n", outputs=VOLUME).split("\r\n")
        assert lines[1].startswith("ft2,,,")
        assert set(lines[1]) <= set("ft2,")

    @pytest.mark.parametrize(
        ("table", "expected"),
        [
            (f"area,coating\nft2,{OIL}\n", {("", "ambiguous-unit-row")}),
            (f"area,loss,coating\nft2,10 %,{OIL}\n", {("", "ambiguous-unit-row")}),
            ("area [ft],coating\n", {("/area", "wrong-dimension")}),
            ("area [cubits],coating\n", {("/area", "unknown-unit")}),
            ("on_hand [gal],coating\n", {("/on_hand", "ambiguous-unit")}),
            ("coating [m2]\n", {("/coating", "unknown-unit")}),
            ("on_hand,coating\ngal,\n", {("/on_hand", "ambiguous-unit")}),
            ("area [m2],coating\nft2,\n", {("/area", "conflict")}),
            ("containers.0.size,containers.0.price [gulden],coating\n", {("/containers/0/price", "bad-money")}),
        ],
    )
    def test_in_doubt_they_are_refused(self, rows: Rows, table: str, expected: set[tuple[str, str]]) -> None:
        with pytest.raises(InputProblem) as problem:
            rows(table)
        assert codes(problem) == expected

    def test_a_stated_row_that_is_none(self, rows: Rows) -> None:
        with pytest.raises(InputProblem) as problem:
            rows("area,coating\n", unit_row=True)
        assert codes(problem) == {("", "missing")}
        with pytest.raises(InputProblem) as problem:
            rows(f"area,coating\n400 ft2,{OIL}\n", unit_row=True)
        assert {pointer for pointer, _ in codes(problem)} == {"/area", "/coating"}

    def test_a_unit_of_its_own_in_a_column_of_another(self, rows: Rows) -> None:
        [row] = rows(f"area [m2],coating\n400 ft2,{OIL}\n")
        assert (row["error_code"], row["error_pointer"]) == ("conflict", "/area")

    def test_ranges_and_money(self, rows: Rows) -> None:
        header = "area [ft2],coating,loss [%],containers.0.size [us_gal],containers.0.price [USD]"
        [row] = rows(f"{header}\n400,{OIL},10-15,1,54.00\n", outputs=("purchase.cost", "volume"))
        [same] = rows(
            f"area,coating,loss,containers.0.size,containers.0.price\n400 ft2,{OIL},10-15 %,1 us_gal,54.00 USD\n",
            outputs=("purchase.cost", "volume"),
        )
        assert row["error"] == ""
        assert row["purchase.cost"] == same["purchase.cost"]
        # Whole containers at 54.00 each.
        amount, currency = row["purchase.cost"].split()
        assert currency == "USD"
        assert float(amount) % 54 == 0

    def test_an_outline(self, rows: Rows) -> None:
        # 24 ft x 16 ft = 384 ft2.
        [row] = rows(
            'zones.0.id,zones.0.outline [ft]\nmain,"0 0, 24 0, 24 16, 0 16"\n',
            name="area",
            outputs=("area",),
            system="us",
        )
        assert row["area [ft2]"] == "384"


class TestDelimiter:
    @pytest.mark.parametrize(("delimiter", "name"), [(",", "comma"), (";", "semicolon"), ("\t", "tab")])
    def test_found_and_kept(self, answered: Callable[..., str], volume: str, delimiter: str, name: str) -> None:
        cells = [["note", "area", "species", "coating"], ['a "b", c; d\te', "400 ft2", "ipe", OIL]]
        stream = io.StringIO(newline="")
        csv.writer(stream, delimiter=delimiter).writerows(cells)
        for stated in (None, delimiter):
            text = answered(stream.getvalue(), delimiter=stated, outputs=VOLUME)
            header, row = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
            assert header[:5] == [*cells[0], "volume [L]"]
            assert row[:5] == [*cells[1], volume]

    @pytest.mark.parametrize("header", ["coating;area,species", "coating\tarea;species"])
    def test_two_that_would_do(self, rows: Rows, header: str) -> None:
        with pytest.raises(InputProblem) as problem:
            rows(f"{header}\n")
        assert codes(problem) == {("", "ambiguous-delimiter")}

    def test_one_column_needs_none(self, rows: Rows) -> None:
        [row] = rows(f"coating\n{OIL}\n")
        assert row["error_code"] == "conflict"


class TestDecimal:
    @pytest.mark.parametrize(
        ("cells", "certain", "unsure"),
        [
            (["12.5 m2"], {"."}, False),
            (["12,5 m2"], {","}, False),
            (["1.234 m2"], set(), True),
            (["1,234 m2"], set(), True),
            (["0.125 in", "1234.567 m2", ".125 in"], {"."}, False),
            (["12 m2", "1/2 in", "5-1/2 in"], set(), False),
            (["12.5-14,5 m2"], {".", ","}, False),
            (["1.234,5 m2", "1,234,567"], set(), False),
        ],
    )
    def test_marks(self, cells: list[str], certain: set[str], unsure: bool) -> None:
        assert marks(cells) == (certain, unsure)

    def table(self, *areas: str) -> str:
        return "area;coating;species\n" + "".join(f"{area};{OIL};ipe\n" for area in areas)

    def test_found_and_kept(self, rows: Rows) -> None:
        [point] = rows(self.table("37.5 m2"), delimiter=";", outputs=VOLUME)
        [comma] = rows(self.table("37,5 m2"), delimiter=";", outputs=VOLUME)
        assert comma["volume [L]"] == point["volume [L]"].replace(".", ",")
        assert "," in comma["volume [L]"]

    def test_a_certain_row_settles_the_others(self, rows: Rows) -> None:
        [first, second, third] = rows(self.table("1,234 m2", "12 m2", "12,5 m2"), delimiter=";", outputs=VOLUME)
        assert [row["error"] for row in (first, second, third)] == ["", "", ""]
        assert float(first["volume [L]"].replace(",", ".")) < float(third["volume [L]"].replace(",", ".")) / 5

    @pytest.mark.parametrize("areas", [("1.234 m2",), ("1,234 m2", "3 m2"), ("12,5-13.5 m2",)])
    def test_in_doubt_it_is_refused(self, rows: Rows, areas: tuple[str, ...]) -> None:
        with pytest.raises(InputProblem) as problem:
            rows(self.table(*areas))
        assert codes(problem) == {("", "ambiguous-decimal")}

    def test_stated_it_is_not_in_doubt(self, rows: Rows) -> None:
        for mark, area in ((".", "1.234 m2"), (",", "1,234 m2")):
            [row] = rows(self.table(area), decimal=mark, delimiter=";", outputs=VOLUME)
            assert row["error"] == ""
            assert float(row["volume [L]"].replace(",", ".")) < 1

    def test_doubt_after_many_whole_numbers_is_the_rows_own(self, rows: Rows) -> None:
        found = rows(self.table(*["12 m2"] * 120, "1.234 m2", "12.5 m2", "1.234 m2"), delimiter=";", outputs=VOLUME)
        assert [row["error_code"] for row in found[119:]] == ["", "ambiguous-decimal", "", ""]

    def test_beside_commas_a_comma_is_no_decimal_mark(self, rows: Rows) -> None:
        [row] = rows(f'area,coating\n"12,5 m2",{OIL}\n')
        assert row["error_code"] == "decimal-comma"

    def test_a_mark_in_a_column_carried_through_says_nothing(self, rows: Rows) -> None:
        table = f"area;coating;note\n12 m2;{OIL};1,234\n"
        assert rows(table, delimiter=";")[0]["error"] == ""


def test_a_spreadsheets_own_mark_comes_back(answered: Callable[..., Any]) -> None:
    table = f"area,coating\n12 m2,{OIL}\n"
    assert answered("\ufeff" + table) == "\ufeff" + answered(table)
