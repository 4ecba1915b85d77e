"""The outline text."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.messages import unread
from latewood.quantities.outline import MAX_OUTLINE_TEXT, MAX_POINTS
from latewood.quantities.units import OUTLINE_PATTERN, Outline, UnitError, read_outline

SHEET = [(0.0, 0.0), (7.3152, 0.0), (7.3152, 4.8768), (0.0, 4.8768)]  # 24 ft by 16 ft, a foot being 0.3048 m exactly


def refused(text, **options):
    with pytest.raises(UnitError) as error:
        read_outline(text, **options)
    return unread(error.value, "")


@pytest.mark.parametrize(
    "text",
    [
        "0 0, 24 0, 24 16, 0 16 ft",
        "0 0,24 0,24 16,0 16ft",
        "0 0; 24 0; 24 16; 0 16 ft",
        " 0 0 , 24 0 , 24 16 , 0 16 feet ",
        "0 0, 288 0, 288 192, 0 192 in",
        '0 0, 288 0, 288 192, 0 192"',
        "0.0 -0, 24.0 0, 2.4e1 16, .0 +16'",
    ],
)
def test_the_same_deck_in_several_hands(text):
    assert read_outline(text) == SHEET
    assert re.fullmatch(OUTLINE_PATTERN, text)
    assert Outline.read(text) == Outline(tuple(SHEET), text)


def test_negative_coordinates():
    assert read_outline("-1 -2, 3.5 -2, 3.5 4 m") == [(-1.0, -2.0), (3.5, -2.0), (3.5, 4.0)]


def test_with_a_decimal_comma_points_are_parted_by_semicolons():
    assert read_outline("0 0; 24,5 0; 24,5 16 m", decimal=",") == [(0.0, 0.0), (24.5, 0.0), (24.5, 16.0)]
    error = refused("0 0, 24 0, 24 16 m", decimal=",")
    assert (error.code, "semicolons" in error.detail) == ("bad-outline", True)
    assert refused("0 0; 24.5 0; 24.5 16 m", decimal=",").code == "decimal-point"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "bad-outline"),
        ("ft", "bad-outline"),
        ("0 0, 24 0 ft", "bad-outline"),
        ("0 0, 24 0, 24 16", "unit-missing"),
        ("0 0, 24 0, 24 16 gal", "ambiguous-unit"),
        ("0 0, 24 0, 24 16 L", "wrong-dimension"),
        ("0 0, 24 0, 24 16 fett", "unknown-unit"),
        ("0 0, 24,5 0, 24,5 16 m", "decimal-comma"),
        ("0 0, 24 0 ft, 24 16 ft", "bad-outline"),
        ("0 0 0, 24 0, 24 16 ft", "bad-outline"),
        ("0 0, 24 0,, 24 16 ft", "bad-outline"),
        ("0 0, nan 0, 24 16 ft", "bad-outline"),
        ("0 0, 24\t0, 24 16 ft", "bad-outline"),
        ("0 0, \u0662 0, 24 16 ft", "bad-outline"),
        ("0 0, 24 0, " + "9" * 400 + " 16 ft", "out-of-range"),
        ("0 0, 24 0, 24 16 ft\n", "bad-outline"),
        ("1" * (MAX_OUTLINE_TEXT + 1), "too-long"),
        (", ".join(["1 2"] * (MAX_POINTS + 1)) + " m", "bad-outline"),
    ],
)
def test_refusals(text, code):
    error = refused(text)
    assert error.code == code
    assert error.expected
    if code not in ("out-of-range", "too-long"):
        assert not re.fullmatch(OUTLINE_PATTERN.removesuffix("$"), text)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0 0 ft", "1 point,"),
        ("0 0, 1 0 ft", "2 points,"),
        ("0 0, 6 0, 6 1/2 4 ft", "numbers are decimals"),
        ("0 0, 6 1/2 0, 6 4 ft", "numbers are decimals"),
        ("0 0, 6' 0, 6 4 ft", "numbers are decimals"),
        ("0 0, 6 0, 6 4 /ft", "numbers are decimals"),
    ],
)
def test_what_is_wrong_is_said(text, says):
    error = refused(text)
    assert error.code == "bad-outline"
    assert says in error.detail


def test_five_hundred_points_are_read():
    text = ", ".join(f"{i} 0" for i in range(MAX_POINTS)) + " m"
    assert len(read_outline(text)) == MAX_POINTS
    assert re.fullmatch(OUTLINE_PATTERN, text)


@given(st.data())
def test_every_text_the_pattern_allows_is_read(data):
    body = OUTLINE_PATTERN.removeprefix("^").removesuffix("$").replace("{2,499}", "{2,4}")
    text = data.draw(st.from_regex(re.compile(body), fullmatch=True))
    assert len(read_outline(text)) >= 3


PIECES = ["0 0", "1 2", "-3.5 4e1", ", ", ",", "; ", ";", " ", "ft", " m", "x", "1", "'"]


@given(st.lists(st.sampled_from(PIECES), max_size=12).map("".join))
def test_reader_and_pattern_agree(text):
    try:
        read_outline(text)
        read = True
    except UnitError:
        read = False
    assert read == (re.fullmatch(OUTLINE_PATTERN.removesuffix("$"), text) is not None)
