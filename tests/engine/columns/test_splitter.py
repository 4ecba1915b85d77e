"""Reading CSV: RFC 4180, held beside the standard library's reader, and what is no CSV at all."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.columns.splitter import MAX_CELL, MAX_ROW, Row, Splitter, Text
from latewood.problems import Malformed

often = settings(max_examples=300, deadline=None, database=None)
CELLS = st.text(st.sampled_from('ab",;\t\r\n é😀'), max_size=8)
TABLES = st.lists(st.lists(CELLS, min_size=1, max_size=4), min_size=1, max_size=6)


def split(text: str, delimiter: str = ",", size: int = 0) -> list[Row]:
    splitter = Splitter(delimiter)
    size = size or max(1, len(text))
    found = [row for at in range(0, len(text), size) for row in splitter.feed(text[at : at + size])]
    return [*found, *splitter.feed("", final=True)]


def cells(text: str, delimiter: str = ",", size: int = 0) -> list[list[str]]:
    found = split(text, delimiter, size)
    assert [row.fault for row in found] == [None] * len(found)
    return [row.cells for row in found]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # The examples of RFC 4180, section 2, rules 1, 2, 5, 6 and 7.
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
        # Rule 4: spaces are part of a field.
        ("a , b", [["a ", " b"]]),
        # Outside the RFC: the other line ends, an empty line, a quotation mark within a bare cell.
        ("a,b\rc,d\r", [["a", "b"], ["c", "d"]]),
        ("a\n\nb\n", [["a"], [""], ["b"]]),
        ("12' 6\",b\n", [["12' 6\"", "b"]]),
    ],
)
@pytest.mark.parametrize("size", [0, 1, 2, 3])
def test_rfc_4180(text: str, expected: list[list[str]], size: int) -> None:
    assert cells(text, size=size) == expected


@often
@given(TABLES, st.sampled_from(",;\t"), st.sampled_from(["\r\n", "\n", "\r"]), st.integers(1, 9), st.booleans())
def test_as_the_standard_library_reads_it(
    table: list[list[str]], delimiter: str, end: str, size: int, everything: bool
) -> None:
    """csv of CPython writes and reads the same tables; the pieces they come in change nothing."""
    if not everything:
        # That writer leaves a line end bare where it is not the table's own.
        table = [[cell.replace("\r", "").replace("\n", "") for cell in row] for row in table]
    stream = io.StringIO(newline="")
    quoting = csv.QUOTE_ALL if everything else csv.QUOTE_MINIMAL
    csv.writer(stream, delimiter=delimiter, lineterminator=end, quoting=quoting).writerows(table)
    text = stream.getvalue()
    assert cells(text, delimiter, size) == table
    assert cells(text, delimiter) == list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))


@often
@given(st.text(st.sampled_from('ab",;\r\n'), max_size=40), st.integers(1, 5))
def test_pieces_change_nothing_of_any_text(text: str, size: int) -> None:
    assert split(text, size=size) == split(text)


def test_a_row_with_bad_quoting_spoils_no_other() -> None:
    found = split('a,b\n"c" d,e\nf,g\n')
    assert [row.cells for row in found] == [["a", "b"], [], ["f", "g"]]
    fault = found[1].fault
    assert fault is not None
    assert fault.code == "bad-quoting"
    assert fault.detail.startswith("line 2: ")


def test_a_quotation_mark_never_closed_costs_its_own_row() -> None:
    """The next quoted cell gives it away: what follows its first mark can follow no closing one."""
    found = split('a,"b\nc,d\ne,"f"\n')
    assert [row.cells for row in found] == [[], ["c", "d"], ["e", "f"]]


def test_a_quotation_mark_never_closed_in_a_long_table() -> None:
    rest = "".join(f"{number},x\n" for number in range(200_000))
    found = split('a,"b\n' + rest, size=65_536)
    assert len(found) == 200_001
    assert found[0].fault is not None
    assert found[0].fault.code == "too-long"
    assert found[-1].cells == ["199999", "x"]
    assert found[-1].line == 200_001


def test_a_quotation_mark_never_closed_at_the_end() -> None:
    found = split('a\n"b')
    assert [row.fault.code if row.fault else None for row in found] == [None, "bad-quoting"]


def test_line_numbers_count_lines_not_rows() -> None:
    assert [row.line for row in split('a\n"b\nc\nd"\ne\n')] == [1, 2, 5]


def test_a_huge_cell_and_a_huge_row() -> None:
    found = split(f"a,{'x' * MAX_CELL}\nb,{'x' * (MAX_CELL + 1)}\n{'y,' * MAX_ROW}\nc\n", size=50_000)
    assert [row.fault.code if row.fault else None for row in found] == [None, "too-long", "too-long", None]
    assert found[3].cells == ["c"]


@pytest.mark.parametrize("mark", ["\x00", "\udcff"])
def test_what_is_no_text_is_refused_by_row(mark: str) -> None:
    found = split(f"a\nb{mark}\nc\n")
    assert [row.cells for row in found] == [["a"], [], ["c"]]


def test_a_long_row_in_single_characters_takes_no_quadratic_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once it is long, it is read from its start only after growing by a quarter."""
    looks: list[int] = []
    look = Splitter._next
    monkeypatch.setattr(Splitter, "_next", lambda self, at, *, final: (looks.append(1), look(self, at, final=final))[1])
    splitter = Splitter(",")
    for character in '"' + "\n" * 100_000:
        assert list(splitter.feed(character)) == []
    assert 8000 < len(looks) < 8192 + 20
    assert [row.fault.code for row in splitter.feed("", final=True) if row.fault] == ["bad-quoting"]


class TestText:
    def test_a_character_cut_in_two_is_whole_again(self) -> None:
        text = Text()
        body = "é😀".encode()
        pieces = [text.decode(body[at : at + 1]) for at in range(len(body))]
        assert "".join([*pieces, text.decode(b"", final=True)]) == "é😀"

    @pytest.mark.parametrize("size", [1, 2, 3, 9])
    def test_a_byte_order_mark_is_taken_off_and_remembered(self, size: int) -> None:
        text = Text()
        body = "\ufeffab".encode()
        pieces = [text.decode(body[at : at + size]) for at in range(0, len(body), size)]
        assert "".join([*pieces, text.decode(b"", final=True)]) == "ab"
        assert text.bom

    @pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
    def test_utf_16_is_named_or_left_to_its_nuls(self, encoding: str) -> None:
        body = "area".encode(encoding)
        if encoding == "utf-16":
            with pytest.raises(Malformed, match="UTF-16"):
                Text().decode(body)
        else:
            assert "\x00" in Text().decode(body)
