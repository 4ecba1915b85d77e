"""Joists under boards laid square and askew, held against lines drawn and cut, and against counts by hand."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from latewood.formulas.joists import SQUARE, across_joists, crossings, first_joist, spacing_along
from latewood.formulas.strips import Lay, lay_boards, start_of, strips_at, turned


@pytest.mark.parametrize(
    ("length", "angle", "expected"),
    [(10, SQUARE, 11), (10.5, SQUARE, 12), (10, math.pi / 4, 9), (10, 3 * math.pi / 4, 9), (10, math.pi / 6, 6)],
)
def test_one_board_on_joists_a_metre_apart(length, angle, expected):
    """Askew by 45 degrees it meets one every 1.414 m: 7 within 10 m, and its two ends; by 60 every 2 m: 4 and two."""
    board = np.array([[0.0, -0.05, length, 0.05]])
    assert crossings(board, 1.0, angle, 0.0) == expected


def test_joists_as_a_board_meets_them():
    assert spacing_along(0.4, math.pi / 6) == pytest.approx(0.8)
    assert across_joists(3.0, 99.0, SQUARE) == 3.0
    # Joists at 45 degrees to the boards: a board one metre higher meets the same joist one metre further on.
    found = first_joist(np.array([0.0, 1.0]), math.pi / 4, 0.0)
    assert found == pytest.approx([0.0, 1.0])


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    radii=st.lists(st.floats(1, 8), min_size=3, max_size=8),
    direction=st.floats(-3, 3),
    angle=st.floats(math.radians(25), math.radians(155)),
    spacing=st.floats(0.3, 0.7),
)
def test_crossings_are_those_of_lines_drawn_across_the_floor(radii, direction, angle, spacing):
    """Each joist is drawn here as a line and cut with the middle line of each piece; two ends are added to each."""
    turn = 2 * math.pi / len(radii)
    shape = shapely.Polygon([(r * math.cos(i * turn), r * math.sin(i * turn)) for i, r in enumerate(radii)])
    lay = Lay(0.14, 0.005, direction, spacing, angle)
    start = start_of(shape, direction, angle)
    laid = lay_boards(shape, lay, start)
    frame = turned(shape, direction)
    normal = np.array([math.sin(angle), -math.cos(angle)])
    along = np.array([math.cos(angle), math.sin(angle)])
    reach = (shapely.get_coordinates(frame) @ normal).max()
    places = start.joist + spacing * np.arange(math.ceil((reach - start.joist) / spacing) + 1)
    lines = [shapely.LineString([place * normal - 99 * along, place * normal + 99 * along]) for place in places]
    pieces = shapely.get_parts(strips_at(shape, lay, laid.bottoms))
    pieces = pieces[(shapely.area(pieces) > 0) & (np.diff(shapely.bounds(pieces)[:, [1, 3]])[:, 0] > 1e-4)]
    drawn, close = 0, 0
    for left, low, right, high in shapely.bounds(pieces):
        middle = shapely.LineString([(left, (low + high) / 2), (right, (low + high) / 2)])
        drawn += sum(line.intersects(middle) for line in lines) + 2
        ends = [shapely.Point(end) for end in middle.coords]
        close += sum(line.distance(end) < 2e-3 for line in lines for end in ends)
    assume(close == 0)
    assert laid.crossings == drawn
