"""Board sizes against the published table of dressed sizes."""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.messages import unread
from latewood.quantities import lumber
from latewood.quantities.lumber import PATTERN, read_nominal
from latewood.quantities.units import UnitError

INCH = 0.0254
# American Softwood Lumber Standard PS 20, nominal and minimum dressed sizes, dry, inches.
DRY_THICKNESS = {"1": 0.75, "5/4": 1.0, "6/4": 1.25, "2": 1.5, "2-1/2": 2.0, "3": 2.5, "4": 3.5}
DRY_WIDTH = {"2": 1.5, "3": 2.5, "4": 3.5, "5": 4.5, "6": 5.5, "8": 7.25, "10": 9.25, "12": 11.25}
# The same, green. Confirmed in published copies: 25/32 thick, 1-9/16, 3-9/16 and 7-1/2. The others are recalled.
GREEN_THICKNESS = {"1": 0.78125, "5/4": 1.03125, "6/4": 1.28125, "2": 1.5625, "2-1/2": 2.0625, "3": 2.5625, "4": 3.5625}
GREEN_WIDTH = {"2": 1.5625, "3": 2.5625, "4": 3.5625, "5": 4.625, "6": 5.625, "8": 7.5, "10": 9.5, "12": 11.5}
# The sizes a deck is built of, in millimetres as the same copies print them to a tenth.
MILLIMETRES = {
    "1x4": (19.05, 88.9),
    "5/4x4": (25.4, 88.9),
    "5/4x6": (25.4, 139.7),
    "2x2": (38.1, 38.1),
    "2x4": (38.1, 88.9),
    "2x6": (38.1, 139.7),
    "2x8": (38.1, 184.2),
    "2x10": (38.1, 235.0),
    "2x12": (38.1, 285.8),
    "4x4": (88.9, 88.9),
    "6x6": (139.7, 139.7),
}


def inches(size):
    thick, _, wide = size.partition("x")
    return float(sum(Fraction(part) for part in thick.split("-"))), float(wide)


@pytest.mark.parametrize("size", lumber.SIZES)
@pytest.mark.parametrize("green", [False, True])
def test_every_size_is_the_table_s(size, green):
    thick, _, wide = size.partition("x")
    if thick in ("5", "6"):
        expected = (float(thick) - 0.5, float(wide) - 0.5)  # timbers: half an inch off, dressed green
    elif green:
        expected = (GREEN_THICKNESS[thick], GREEN_WIDTH[wide])
    else:
        expected = (DRY_THICKNESS[thick], DRY_WIDTH[wide])
    board = read_nominal(size, green=green)
    assert (board.thickness, board.width) == (pytest.approx(expected[0] * INCH), pytest.approx(expected[1] * INCH))
    named = inches(size)
    assert board.thickness < named[0] * INCH
    assert board.width < named[1] * INCH


def test_every_row_of_the_table_is_there():
    assert set(lumber.THICKNESS) == set(DRY_THICKNESS) == set(GREEN_THICKNESS)
    assert set(lumber.WIDTH) == set(DRY_WIDTH) == set(GREEN_WIDTH)
    missing = {f"{thick}x{wide}" for thick in DRY_THICKNESS for wide in DRY_WIDTH} - set(lumber.SIZES)
    assert missing == {"2-1/2x2", "3x2", "4x2", "4x3"}  # named the other way round


@pytest.mark.parametrize("size", MILLIMETRES)
def test_the_common_sizes_in_millimetres(size):
    board = read_nominal(size)
    assert (board.thickness * 1000, board.width * 1000) == pytest.approx(MILLIMETRES[size], abs=0.051)


@pytest.mark.parametrize("text", ["5/4x6", "5/4 x 6", "5/4X6", "5/4\u00d76", " 1-1/4x6 "])
def test_the_same_board_in_several_hands(text):
    board = read_nominal(text)
    assert (board.thickness, board.width, board.text) == (0.0254, 0.1397, text.strip())


@pytest.mark.parametrize(
    ("text", "thickness", "width"),
    [
        ("21x145 mm", 0.021, 0.145),
        ("19 x 90 mm", 0.019, 0.090),
        ("2.1x14.5cm", 0.021, 0.145),
        ("1 x 5.5 in", 0.0254, 0.1397),
        ("1 x 5-1/2 in", 0.0254, 0.1397),
        ('3/4 x 5 1/2"', 0.01905, 0.1397),
        ("2x6 in", 0.0508, 0.1524),
    ],
)
def test_real_sizes_stand_as_they_are(text, thickness, width):
    board = read_nominal(text)
    assert (board.thickness, board.width) == (pytest.approx(thickness), pytest.approx(width))
    assert re.fullmatch(PATTERN, text)


@pytest.mark.parametrize(
    ("text", "code", "hint"),
    [
        ("4x2", "unknown-size", "2x4"),
        ("2x64", "unit-missing", "2x64 mm"),
        ("5/4x66", "unit-missing", "5/4x66 mm"),
        ("1x6s", "unknown-size", "1x6"),
        ("21x145", "unit-missing", "21x145 mm"),
        ("0x145 mm", "out-of-range", None),
        ("21x14500 mm", "out-of-range", None),
        ("decking", "unknown-size", None),
        ("", "unknown-size", None),
        ("2x6\n", "unknown-size", "2x6"),
        ("x" * 41, "too-long", None),
    ],
)
def test_refusals(text, code, hint):
    with pytest.raises(UnitError) as error:
        read_nominal(text)
    assert unread(error.value, "").code == code
    assert hint in (None, error.value.nearest, unread(error.value, "").expected)


def reads(text):
    try:
        read_nominal(text)
    except UnitError as error:
        return unread(error, "").code == "out-of-range"  # about the value, which no pattern can judge
    return True


@given(st.from_regex(re.compile(PATTERN.removeprefix("^").removesuffix("$")), fullmatch=True))
def test_every_text_the_pattern_allows_is_read(text):
    assert len(text) > 40 or reads(text)


PIECES = ["1", "2", "5/4", "1-1/4", "6", "12", "x", " x ", "X", "\u00d7", " ", "mm", " in", '"', "-", "1/2", ".5", "m"]


@given(st.lists(st.sampled_from(PIECES), max_size=6).map("".join))
def test_reader_and_pattern_agree(text):
    assert reads(text) == (re.fullmatch(PATTERN.removesuffix("$"), text) is not None)
