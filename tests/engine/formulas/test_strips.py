"""Boards cut against outlines, held against sums made without the geometry library and against one another."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity

from latewood.formulas.joists import joist_count
from latewood.formulas.strips import Lay, end_length, lay_boards, start_of, turned

INCH = 0.0254
DECK = Lay(5.5 * INCH, INCH / 8, 0.0, 16 * INCH)
lays = st.builds(Lay, st.floats(0.06, 0.2), st.floats(0.0, 0.02), st.floats(-math.pi, math.pi), st.just(0.4064))


def shoelace(points):
    """Gauss's area formula, written out here so that it shares nothing with the geometry library."""
    after = [*points[1:], points[0]]
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(points, after, strict=True))) / 2


@st.composite
def stars(draw):
    """A star around a point never crosses itself."""
    radii = draw(st.lists(st.floats(0.5, 12), min_size=3, max_size=12))
    turn = 2 * math.pi / len(radii)
    return [(r * math.cos(i * turn), r * math.sin(i * turn)) for i, r in enumerate(radii)]


def laid(shape, lay):
    return lay_boards(shape, lay, start_of(shape, lay.direction))


def test_the_worked_deck():
    """12 x 16 ft by hand: (144 + 1/8) / 5-5/8 = 25.62 boards, 13 joists, 338 crossings, the last board 3-3/8 in."""
    found = laid(shapely.box(0, 0, 192 * INCH, 144 * INCH), DECK)
    assert (found.boards, found.pieces, found.crossings) == (26, 26, 338)
    assert joist_count(192 * INCH, 16 * INCH) == 13
    assert found.last_width == pytest.approx(3.375 * INCH)
    assert found.gap_length == pytest.approx(25 * 192 * INCH)
    assert found.board_length == pytest.approx(26 * 192 * INCH)


@pytest.mark.parametrize(("run", "joists"), [(192, 13), (190, 13), (193, 14), (16, 2), (8, 2), (160.001, 11)])
def test_joists_at_both_ends_and_every_spacing(run, joists):
    """16 in apart; a hair over a whole spacing is a taped length, not another joist."""
    assert joist_count(run * INCH, 16 * INCH) == joists


@settings(max_examples=60, deadline=None)
@given(boards=st.integers(1, 60), width=st.floats(0.05, 0.2), gap=st.floats(0.001, 0.02), run=st.floats(0.5, 20))
def test_a_floor_of_whole_boards_has_no_splinter_more(boards, width, gap, run):
    """n boards and n - 1 gaps make n boards, however the width rounds."""
    shape = shapely.box(3.3, 7.7, 3.3 + run, 7.7 + boards * width + (boards - 1) * gap)
    found = laid(shape, Lay(width, gap, 0.0, 0.4))
    assert found.boards == boards
    assert found.crossings == boards * joist_count(run, 0.4)
    assert found.gap_length == pytest.approx((boards - 1) * run, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(points=stars(), lay=lays)
def test_strips_and_gaps_tile_the_outline(points, lay):
    """The gaps are cut anew here as strips of their own; with the boards they must fill the shoelace area."""
    shape = shapely.Polygon(points)
    found = laid(shape, lay)
    frame = turned(shape, lay.direction)
    left, low, right, high = frame.bounds
    bottoms = low + np.arange(0, math.ceil((high - low) / lay.pitch) + 1) * lay.pitch + lay.width
    gaps = sum(frame.intersection(shapely.box(left, y, right, y + lay.gap)).area for y in bottoms) if lay.gap else 0.0
    assert found.face_area + gaps == pytest.approx(shoelace(points), rel=1e-9)
    assert found.gap_area == pytest.approx(gaps, abs=1e-9 * shape.area + 1e-12)


@settings(max_examples=60, deadline=None)
@given(points=stars(), lay=lays, angle=st.floats(-3.1, 3.1), dx=st.floats(-50, 50), dy=st.floats(-50, 50))
def test_turning_and_moving_change_nothing(points, lay, angle, dx, dy):
    shape = shapely.Polygon(points)
    moved = affinity.translate(affinity.rotate(shape, angle, origin=(0, 0), use_radians=True), dx, dy)
    one, other = laid(shape, lay), laid(moved, Lay(lay.width, lay.gap, lay.direction + angle, lay.joist_spacing))
    for name in ("face_area", "gap_area", "board_length", "longest"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-6, abs=1e-6), name
    assert end_length(shape.boundary, lay, start_of(shape, lay.direction)) == pytest.approx(
        end_length(
            moved.boundary,
            Lay(lay.width, lay.gap, lay.direction + angle),
            start_of(moved, lay.direction + angle),
        ),
        rel=1e-6,
        abs=1e-6,
    )
    # A corner that only just reaches into a strip may be a board or not, as the coordinates round.
    assert abs(one.boards - other.boards) <= 1


@settings(max_examples=40, deadline=None)
@given(points=stars(), lay=lays, cut=st.floats(-4, 4))
def test_cut_in_two_the_areas_stay(points, lay, cut):
    shape = shapely.Polygon(points)
    start = start_of(shape, lay.direction)
    halves = [shape.intersection(shapely.box(*box)) for box in ((-99, -99, cut, 99), (cut, -99, 99, 99))]
    assume(all(half.area > 1e-6 for half in halves))
    whole, parts = lay_boards(shape, lay, start), [lay_boards(half, lay, start) for half in halves]
    assert sum(part.face_area for part in parts) == pytest.approx(whole.face_area, rel=1e-9)
    assert sum(part.gap_area for part in parts) == pytest.approx(whole.gap_area, rel=1e-6, abs=1e-9)
    # A board that reaches over the cut is one board of each half.
    assert sum(part.boards for part in parts) >= whole.boards - 1


def test_ends_of_a_rectangle_and_of_a_mitre():
    """Square: two ends of every board. Cut at 45 degrees an end is longer by the square root of two."""
    box = shapely.box(0, 0, 4, 10 * 0.1 + 9 * 0.005)
    lay = Lay(0.1, 0.005)
    assert end_length(box.boundary, lay, start_of(box, 0)) == pytest.approx(2 * 10 * 0.1)
    high = 10 * 0.1 + 9 * 0.005
    mitred = shapely.Polygon([(0, 0), (4 + high, 0), (4, high), (0, high)])
    assert end_length(mitred.boundary, lay, start_of(mitred, 0)) == pytest.approx(1 + math.sqrt(2))


def test_a_hole_cuts_boards_into_pieces():
    """Ten boards of 4 m, a hole 1 m long across three of them: 13 pieces, 3 m less board."""
    shape = shapely.box(0, 0, 4, 1).difference(shapely.box(1, 0.2, 2, 0.5))
    found = laid(shape, Lay(0.1, 0.0))
    assert (found.boards, found.pieces) == (10, 13)
    assert found.board_length == pytest.approx(37)
    assert found.longest == pytest.approx(4)


def test_crossings_of_pieces_count_their_own_ends():
    """One board 4 m long on joists every 1 m crosses five; cut by a gap from 1.4 to 2.4 m it crosses 3 + 3."""
    whole = shapely.box(0, 0, 4, 0.1)
    assert laid(whole, Lay(0.1, 0.0, 0.0, 1.0)).crossings == 5
    assert laid(whole.difference(shapely.box(1.4, -1, 2.4, 1)), Lay(0.1, 0.0, 0.0, 1.0)).crossings == 3 + 3


@pytest.mark.parametrize("gap", [0.0, INCH / 8])
def test_faces_and_gaps_make_up_the_floor(gap):
    """Four boards of 5-1/2 in by 10 ft: laid tight there is no gap, else three of 1/8 in."""
    lay, run = Lay(5.5 * INCH, gap, 0.0, None), 120 * INCH
    found = laid(shapely.box(0, 0, run, 4 * 5.5 * INCH + 3 * gap), lay)
    assert found.face_area == pytest.approx(4 * 5.5 * INCH * run)
    assert found.gap_area == pytest.approx(3 * gap * run, abs=1e-9)
    assert found.gap_length == pytest.approx(3 * run if gap else 0.0)
    assert found.crossings is None
