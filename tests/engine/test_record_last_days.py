"""The last day of a rule in a region: which year is the first that lies wholly after it, and what is refused."""

from __future__ import annotations

import pytest

from latewood.records import BadRecord, Region, read_record

HEAD = """
schema = 1
record = "region"
id = "demo"
title = "Demo"
summary = "Invented."
jurisdictions = ["ZZ"]
currency = "EUR"
units = "metric"
container_sizes = []
"""


def region(value: str, use: str = "boards", more: str = "") -> str:
    told = f'source = "judgement"\nwhere = "invented"\nkind = "judgement"\n{more}'
    return f"{HEAD}\n[arsenical_until.{use}]\nvalue = {value}\n{told}"


# By the calendar: a deck built in a year is clear of the rule if no day of that year is the last day or before it.
@pytest.mark.parametrize(
    ("day", "first_clear"),
    [("2003-12-31", 2004), ("2004-01-01", 2005), ("2004-06-30", 2005), ("2006-06-07", 2007), ("2004-12-30", 2005)],
)
def test_the_first_year_that_lies_wholly_after_the_day(day: str, first_clear: int) -> None:
    record = read_record(region(day), "demo")
    assert isinstance(record, Region)
    number = record.arsenical_until["boards"]
    assert (number.given, number.si, number.evidence) == (day, first_clear, "judgement")
    assert record.numbers["region/demo/arsenical_until/boards"] == number


@pytest.mark.parametrize(
    ("text", "pointer"),
    [
        (region('"2004-06-30"'), "/arsenical_until/boards/value"),
        (region("2004"), "/arsenical_until/boards/value"),
        (region("2004-06-30", use="fences"), "/arsenical_until/fences"),
        (region("2004-06-30", more="unit = 1"), "/arsenical_until/boards/unit"),
        (HEAD + "arsenical_until = 2004-06-30\n", "/arsenical_until"),
    ],
)
def test_what_is_no_day_of_a_use_is_refused(text: str, pointer: str) -> None:
    with pytest.raises(BadRecord) as caught:
        read_record(text, "demo")
    assert [fault.pointer for fault in caught.value.faults] == [pointer]
