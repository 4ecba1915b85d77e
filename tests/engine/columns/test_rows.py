"""Rows: carried through, answered in order, each with its own errors, and nothing a spreadsheet would run."""

from __future__ import annotations

import csv
import dataclasses
import io
import logging
import re
from collections.abc import Callable, Sequence
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from latewood.catalogue import Catalogue
from latewood.columns import Choices, guard, shown
from latewood.columns.splitter import MAX_CELL
from latewood.problems import Fault, InputProblem
from latewood.wire import Options, outputs, struct_reader

Rows = Callable[..., list[dict[str, str]]]
OIL = "clear-penetrating-oil"
GOOD = f"400 ft2,ipe,{OIL}"
HEADER = "note,area,species,coating"


def test_rows_keep_their_order_and_their_cells(rows: Rows) -> None:
    notes = ["z", "a", "", " spaced ", 'quo"ted', "two\nlines", "semi;colon", "0012", "é😀"]
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows([HEADER.split(","), *([note, *GOOD.split(",")] for note in notes)])
    found = rows(stream.getvalue(), outputs=("volume",))
    assert [row["note"] for row in found] == notes
    assert {(row["area"], row["species"], row["coating"]) for row in found} == {tuple(GOOD.split(","))}
    assert {row["error"] for row in found} == {""}


def test_errors_stand_in_their_own_columns(rows: Rows) -> None:
    good, bad, last = rows(f"{HEADER}\na,{GOOD}\nb,20,oak tree,{OIL}\nc,{GOOD}\n", outputs=("volume",))
    assert good["volume [L]"] == last["volume [L]"] != ""
    assert (good["error"], good["error_code"], good["error_pointer"]) == ("", "", "")
    assert (bad["volume [L]"], bad["findings"], bad["cautions"]) == ("", "", "")
    assert bad["error_code"] == "unit-missing unknown-id"
    assert bad["error_pointer"] == "/area /species"
    assert bad["error"].startswith("area: ")
    assert " | species: " in bad["error"]


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("a,400 ft2,ipe", "ragged"),
        ("a,400 ft2", "ragged"),
        (f"a,{GOOD},more", "ragged"),
        (f'"a"b,{GOOD}', "bad-quoting"),
        (f"a\x00,{GOOD}", "bad-text"),
        (f"{'x' * (MAX_CELL + 1)},{GOOD}", "too-long"),
        (f"a,400 ft2,ipe\x1b,{OIL}", "unknown-id"),
        ("," * 5000 + "x", "ragged"),
    ],
)
def test_a_row_that_cannot_be_read(rows: Rows, row: str, code: str) -> None:
    before, bad, after = rows(f"{HEADER}\nfirst,{GOOD}\n{row}\nlast,{GOOD}\n", outputs=("volume",))
    assert bad["error_code"] == code
    assert bad["volume [L]"] == ""
    assert None not in bad, "the answer is ragged itself"
    assert before["volume [L]"] == after["volume [L]"] != ""
    assert (before["note"], after["note"]) == ("first", "last")


def test_a_row_that_is_not_utf_8(rows: Rows) -> None:
    table = f"{HEADER}\ncafé,{GOOD}\nlast,{GOOD}\n"
    bad, good = rows(table.encode("latin-1"), outputs=("volume",))
    assert bad["error_code"] == "bad-utf8"
    assert (good["error"], good["note"]) == ("", "last")


def test_a_ragged_row_keeps_the_cells_that_have_a_column(rows: Rows) -> None:
    short, long = rows(f"{HEADER}\na,400 ft2\nb,{GOOD},more\n")
    assert (short["note"], short["area"], short["species"]) == ("a", "400 ft2", "")
    assert (long["note"], long["coating"]) == ("b", OIL)
    assert "line 2: " in short["error"]


def test_an_empty_row_stays_one(rows: Rows, answered: Callable[..., str]) -> None:
    table = f"{HEADER}\n,,,\n\na,{GOOD}\n,,,\n"
    lines = answered(table, outputs=("volume",)).split("\r\n")
    assert [set(line) <= {","} for line in lines[1:5]] == [True, True, False, True]
    assert {row["error"] for row in rows(table)} == {""}


@pytest.mark.parametrize("name", ["volume", "coats.1.volume", "zones.all.volume", "purchase.text", "volume.number"])
def test_an_output_the_row_does_not_have_is_blank(rows: Rows, name: str) -> None:
    [row] = rows(f"{HEADER}\na,{GOOD}\n", outputs=("coats.9.volume", "purchase.cost", name))
    assert row["error"] == ""
    assert (row["coats.9.volume [L]"], row["purchase.cost"]) == ("", "")


def test_units_stand_in_the_header(rows: Rows) -> None:
    [metric] = rows(f"{HEADER}\na,{GOOD}\n", outputs=("volume", "volume.high"))
    [us] = rows(f"{HEADER}\na,{GOOD}\n", outputs=("volume", "volume.high"), system="us")
    # 1 US gallon = 3.785411784 L (NIST SP 811, appendix B.8); nine digits are shown.
    for name in ("volume", "volume.high"):
        ratio = float(metric[f"{name} [L]"]) / float(us[f"{name} [us_gal]"])
        assert ratio == pytest.approx(3.785411784, rel=1e-8)


def test_single_values_are_shown_where_none_are_named(lw: Catalogue) -> None:
    """Of what can be uncertain also low and high; of money amount and currency; of lists nothing."""
    for calculator in lw.calculators.values():
        names = shown.scalars(calculator.result)
        declared = [name for name in outputs.declared(calculator.result) if "<id>" not in name]
        assert set(names) <= set(declared)
        assert {name.split(".")[0] for name in declared} == {name.split(".")[0] for name in names}
    names = shown.scalars(lw.calculator("coverage").result)
    assert {"volume", "volume.low", "volume.high", "purchase.text", "purchase.cost.amount"} <= set(names)
    # What was bought is certain.
    assert "purchase.volume.low" not in names


settings_ = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), database=None)


def flat(tree: Any, name: str = "") -> list[tuple[str, str]]:
    """Spell a request tree in flat form; written here anew, so that no mistake is shared."""
    if isinstance(tree, dict) and set(tree) <= {"value", "low", "high", "unit"} and "unit" in tree:
        ends = [repr(float(tree[end])) for end in ("value", "low", "high") if end in tree]
        return [(name, f"{' to '.join(ends)} {tree['unit']}")]
    if isinstance(tree, dict):
        return [pair for key, part in tree.items() for pair in flat(part, f"{name}.{key}".lstrip("."))]
    if isinstance(tree, list):
        return [
            pair
            for index, part in enumerate(tree)
            for pair in flat(part, f"{name}.{index}" if isinstance(part, dict) else name)
        ]
    return [(name, str(tree).lower() if isinstance(tree, bool) else str(tree))]


@pytest.mark.parametrize("name", ["coverage", "area"])
@settings_
@given(data=st.data())
def test_a_row_says_what_the_same_request_says_alone(
    lw: Catalogue, rows: Rows, sensible: Callable[..., Any], name: str, data: Any
) -> None:
    """Every single value, the ids of findings and cautions, or every fault: the same as the answer of `answer_flat`."""
    calculator = lw.calculator(name)
    request = data.draw(sensible(struct_reader(calculator.inputs), lambda kind: sorted(lw.shelf.records(kind))))
    pairs = [(key, value) for key, value in flat(request) if value.strip()]
    if not pairs or (calculator.id == "coverage" and "coating" not in dict(pairs)):
        return
    system, decimal = data.draw(st.sampled_from([("metric", "."), ("us", "."), ("us", ",")]))
    if decimal == ",":
        pairs = [(key, value.replace(".", ",") if re.search(r"\d\.\d", value) else value) for key, value in pairs]
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows([[key for key, _ in pairs], [value for _, value in pairs]])
    [row] = rows(stream.getvalue(), name=name, system=system, decimal=decimal, delimiter=",", unit_row=False)
    options = Options(units=system, decimal=decimal)
    faults: tuple[Fault, ...] = ()
    try:
        answer = lw.answer_flat(name, pairs, options)
    except InputProblem as problem:
        faults = problem.faults
    assert row["error_code"].split() == list(dict.fromkeys(fault.code for fault in faults))
    if faults:
        assert row["error"][:200] == " | ".join(_printed(fault) for fault in faults)[:200]
        return
    _compare(row, answer, shown.scalars(calculator.result), decimal)
    ids = dict.fromkeys(finding.id for finding in answer["findings"])
    assert row["findings"].split() == list(ids)
    assert row["cautions"].split() == list(dict.fromkeys(caution.id for caution in answer["cautions"]))


def _printed(fault: Fault) -> str:
    return "".join(c if c.isprintable() else " " for c in fault.line())


def _compare(row: dict[str, str], answer: dict[str, Any], names: Sequence[str], decimal: str) -> None:
    by_name = {header.split(" [")[0]: (header, text) for header, text in row.items()}
    for name in names:
        header, text = by_name[name]
        try:
            expected = outputs.text_of(answer["result"], name, decimal)
        except InputProblem:
            expected = ""
        if "[" in header and expected:
            expected, unit = expected.split(" ", 1)
            assert header == f"{name} [{unit}]"
        assert text == guard.safe(expected), name


def test_a_fault_of_a_calculator_is_the_rows_own(
    lw: Catalogue, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    calculator = lw.calculator("coverage")
    asked: list[bool] = []

    def fails(x: Any, ledger: Any, known: Any) -> Any:
        # It is asked anew for what its assumptions move.
        asked.append(ledger.calculator == "coverage")
        if asked[-1] and sum(asked) == 2:
            raise ZeroDivisionError("a secret of the machine")
        return calculator.function(x, ledger, known)

    broken = dataclasses.replace(calculator, function=fails)
    monkeypatch.setitem(lw.shelf.calculators, "coverage", broken)
    table = lw.table("coverage", Choices(outputs=("volume",)))
    with caplog.at_level(logging.CRITICAL + 1, "latewood"):
        given = f"{HEADER}\na,{GOOD}\nb,{GOOD}\nc,{GOOD}\n".encode()
        text = b"".join([*table.feed(given), *table.finish()])
    found = list(csv.DictReader(io.StringIO(text.decode(), newline="")))
    assert [row["error_code"] for row in found] == ["", "internal", ""]
    assert "secret" not in text.decode()


def test_the_answer_is_rfc_4180(answered: Callable[..., str]) -> None:
    """Section 2: CRLF after every row, the same number of fields in each, quotation marks doubled."""
    text = answered(f'{HEADER}\n"a ""b""",{GOOD}\nshort\n', outputs=("volume",))
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert {len(row) for row in csv.reader(io.StringIO(text, newline=""), strict=True)} == {10}
    assert '"a ""b"""' in text


def test_a_last_row_says_why_reading_stopped(lw: Catalogue) -> None:
    table = lw.table("coverage", Choices(outputs=("volume",)))
    out = b"".join([*table.feed(f"{HEADER}\na,{GOOD}\n".encode())])
    out += table.stop(Fault(pointer="", code="too-large", detail="the body is too large"))
    last = list(csv.DictReader(io.StringIO(out.decode(), newline="")))[-1]
    assert (last["error_code"], last["note"]) == ("too-large", "")
    assert msgspec.to_builtins([table.answered, table.refused]) == [1, 1]


def test_a_column_of_percentages_where_a_weight_in_a_litre_is_declared(rows: Rows) -> None:
    header = "area,year_built,jurisdiction,stages.0.agent,stages.0.stock_strength"
    table = "{header}{unit}\n30 m2,2015,US-GA,hypochlorite,{cell}\n"
    own, headed, weight = (
        rows(table.format(header=header, unit=unit, cell=cell), name="wash")[0]
        for unit, cell in (("", "6 %"), (" [%]", "6"), (" [g/L]", "64.8"))
    )
    assert own["water_volume [L]"] == headed["water_volume [L]"] == weight["water_volume [L]"] != ""
