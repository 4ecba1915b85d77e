"""Stairs, guards, open work and edge work, held against sums worked by hand in inches, and against whole numbers."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import boards, edges, guards, lattice, stairs

INCH, FT = 0.0254, 0.3048


@pytest.mark.parametrize(
    ("rise", "risers"), [(31, 4), (46.5, 6), (48, 7), (60, 8), (84, 11), (7.75, 1), (3, 1), (31.01, 5), (62, 8)]
)
def test_risers_of_a_rise(rise, risers):
    """Whole numbers of 7-3/4 in stay whole numbers; a hundredth of an inch more is a riser more."""
    assert stairs.riser_count(rise * INCH, 7.75 * INCH) == risers


@given(count=st.integers(1, 60), sixteenths=st.integers(64, 160))
def test_a_rise_of_whole_risers_never_gains_one(count, sixteenths):
    """Any riser in sixteenths of an inch, any number of them, converted to metres on the way as a request is."""
    riser = sixteenths / 16
    assert stairs.riser_count(count * riser * INCH, riser * INCH) == count
    assert stairs.riser_count(round(count * riser * 25.4, 6) / 1000, riser * INCH) == count


def test_risers_of_many_rises_at_once():
    assert stairs.riser_count(np.array([31, 46.5, 48]) * INCH, 7.75 * INCH).tolist() == [4, 6, 7]


@given(span=st.floats(0.3, 5), width=st.floats(0.02, 0.1), gap=st.floats(0.05, 0.15))
def test_balusters_are_the_fewest_that_leave_no_wide_gap(span, width, gap):
    count = guards.baluster_count(span, width, gap)
    left = guards.baluster_gap(span=span, baluster_width=width, clear_gap=gap)
    assert left <= gap * (1 + 1e-5)
    if count:
        assert (span - (count - 1) * width) / count > gap * (1 - 1e-5), "one fewer would do"


def test_a_span_that_needs_no_baluster():
    assert guards.baluster_count(0.09, 0.038, 0.1) == 0


@pytest.mark.parametrize(("length", "posts"), [(6, 2), (12, 3), (12.01, 4), (3, 2), (24, 5)])
def test_posts_six_feet_apart(length, posts):
    assert guards.post_count(length * FT, 6 * FT) == posts


def test_parts_of_the_worked_guard():
    """2.273 + 1.667 + 1.083 + 0.567 = 5.590 ft2 for each foot of a 36 in guard, to the third digit."""
    length = guards.baluster_length(
        guard_height=36 * INCH, cap_thickness=INCH, rails_depth=7 * INCH, rail_clearance=3 * INCH
    )
    assert length == pytest.approx(25 * INCH)
    square = {"member_width": 1.5 * INCH, "member_depth": 1.5 * INCH}
    assert guards.members_per_length(**square, member_length=length, pitch=5.5 * INCH) / FT == pytest.approx(
        2.273, abs=5e-4
    )
    rails = 2 * guards.member_area(member_width=1.5 * INCH, member_depth=3.5 * INCH, total_length=FT)
    assert rails / FT**2 == pytest.approx(1.667, abs=5e-4)
    cap = guards.member_area(member_width=INCH, member_depth=5.5 * INCH, total_length=FT)
    assert cap / FT**2 == pytest.approx(1.083, abs=5e-4)


def test_stringers_plain_and_cut():
    """A plank of 4 m, 300 x 40: 2 x 1.2 + 2 x 0.16. Three steps of 0.2 x 0.3 take 3 x 0.06 off the sides."""
    assert stairs.stringer_area(4, 0.3, 0.04) == pytest.approx(2 * 1.2 + 2 * 0.16)
    assert stairs.stringer_area(4, 0.3, 0.04, steps=3, riser=0.2, going=0.3) == pytest.approx(2.4 - 0.18 + 0.16)
    assert stairs.stringer_length(rise=3.0, run=4.0) == 5


@pytest.mark.parametrize("opening", [0.0, 0.02, 0.07])
def test_lattice_against_a_count_of_its_squares(opening):
    """One mesh of two slats: faces 2 w p each, less two crossings of w x w; edges 2 t p each; over p x p."""
    w, t = 0.038, 0.005
    p = w + opening
    mesh = 2 * (2 * w * p) - 2 * w * w + 2 * (2 * t * p)
    found = lattice.lattice_factor(slat_width=w, opening=opening, slat_thickness=t)
    assert found == pytest.approx(mesh / p**2)


def test_open_work_closed_is_a_board_seen_all_round():
    """With no opening slats are a board: two faces, and the edges nobody sees between them."""
    assert lattice.slat_factor(slat_width=0.1, opening=0.0, slat_thickness=0.0) == 2
    assert lattice.open_work_area(factor=1.5, length=4.0, height=0.5) == pytest.approx(3.0)


def test_grooves_add_their_sides():
    """2 mm deep every 10 mm: two sides of 2 mm on 10 mm."""
    assert boards.grooved_face_area(plain_area=10.0, groove_depth=0.002, groove_spacing=0.010) == pytest.approx(14)


def test_boards_by_area_agree_with_one_another():
    """Face and gap make the floor; two faces of a gap as long as the gap."""
    lay = {"board_width": 0.14, "gap": 0.004}
    face = boards.board_face_area(floor_area=20.0, **lay)
    length = boards.gap_length(floor_area=20.0, **lay)
    assert face + length * 0.004 == pytest.approx(20)
    assert boards.gap_face_area(gap_length=length, thickness=0.019) == pytest.approx(2 * 0.019 * 20 / 0.144)
    assert 1 / boards.floor_area_per_fastener(**lay, joist_spacing=0.45) == pytest.approx(30.86, abs=0.005)


def test_edge_strip_counts_a_corner_once():
    """Two walls of 4 and 3 m meet: 7 m of strip, 125 mm wide, less one square of 125 mm."""
    edge = edges.obstacle_edge(walls=7.0, rails=0.0, posts=0.0, obstacles=0.0)
    area = edges.edge_strip_area(obstacle_edge=edge, pad_width=0.125, corner_overlap=0.125**2)
    corner = 4 * 0.125 + (3 - 0.125) * 0.125
    assert edge == 7
    assert area == pytest.approx(corner)
