"""Cells that a spreadsheet would run are made text, and what is none is left."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.columns import guard

OIL = "clear-penetrating-oil"
GOOD = f"400 ft2,ipe,{OIL}"


@pytest.mark.parametrize(
    "cell",
    # Beginnings of formulas by OWASP's page "CSV Injection" (recalled), and the full-width forms.
    [
        *("=1+1", "+1+1", "-1+1", "@SUM(A1)", "\tx", "\rx", "\nx", " =1", "  @x"),
        *("＝1", "＋1", "－1", "＠x"),  # noqa: RUF001  # meant
        "-",
        "+",
        "=",
        "-2+3+cmd|' /C calc'!A0",
        '=HYPERLINK("http://x";"y")',
        "-A1",
        "--5",
        "-5)",
        "-1/A1",
        "+1E5E5",
    ],
)
def test_what_would_be_run_is_made_text(cell: str) -> None:
    assert guard.safe(cell) == f"'{cell}"
    [[read, _]] = csv.reader(io.StringIO(guard.line([cell, "x"], ","), newline=""))
    assert read == f"'{cell}"


@pytest.mark.parametrize(
    "cell",
    [
        "",
        "a",
        "1",
        "-1",
        "+1",
        "-12.5",
        "-12,5",
        "-1e5",
        "-.5",
        "-2 m",
        "-5 degC",
        "-12 %",
        "-12%",
        "'=1",
        "a=1",
        " ",
    ],
)
def test_what_is_none_is_left(cell: str) -> None:
    assert guard.safe(cell) == cell


@given(st.text(max_size=30))
def test_it_is_done_once(cell: str) -> None:
    assert guard.safe(guard.safe(cell)) == guard.safe(cell)


@settings(max_examples=300, database=None)
@given(st.lists(st.text(st.sampled_from('ab,;"\t\r\n =+-5'), max_size=9), min_size=1, max_size=4))
def test_no_delimiter_of_any_kind_opens_a_cell_with_a_formula(cells: list[str]) -> None:
    """Also read with a delimiter it was not written with, where quotation marks protect nothing."""
    text = guard.line(["x", *cells], ",")
    number = re.compile(r"""[+-][0-9][\w .,;+'-]*("|$)""")
    for delimiter in ",;\t":
        for read in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter):
            for cell in read:
                bare = cell.lstrip("\r\n\t").rstrip('\r\n\t" ')
                assert bare[:1] not in ("=", "@"), (delimiter, read)
                # Numbers do no harm, up to the quotation mark that ends the cell: after a number it is no formula.
                assert bare[:1] not in ("+", "-") or number.match(bare), (delimiter, read)


@pytest.mark.parametrize(
    ("cell", "safe"),
    [
        ("a;=cmd|x", "a;'=cmd|x"),
        ("a\n@x", "a\n'@x"),
        ('a,"-1+x"', 'a,"\'-1+x"'),
        ("a - b; c", "a - b; c"),
        # An outline keeps its signs.
        ("0 0,-5 0,-5 -3 m", "0 0,-5 0,-5 -3 m"),
    ],
)
def test_within_a_cell(cell: str, safe: str) -> None:
    assert guard.safe(cell) == safe


def test_in_every_column_and_the_header(answered: Callable[..., str]) -> None:
    text = answered(f"=cmd,area,species,coating\n=1+1,{GOOD}\n@x,-400 ft2,=ipe,{OIL}\n", outputs=("volume",))
    header, first, second = list(csv.reader(io.StringIO(text, newline="")))
    assert header[0] == "'=cmd"
    assert first[0] == "'=1+1"
    assert second[:4] == ["'@x", "-400 ft2", "'=ipe", OIL]
