"""What must hold of any deck: turned, moved, in other units or cut in two it is the same deck, and its faces add up.

None of these numbers is worked out here: each deck is held against itself, written in another way. Outlines are stars
round a point, which never cross themselves, with a planter hole in the middle.
"""

import math

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity

METRES = {"m": 1.0, "ft": 0.3048, "in": 0.0254, "cm": 0.01}  # exact: NIST SP 811
GAP = 0.005
BOARDS = {"size": "21x145 mm", "gap": "5 mm", "profile": "smooth", "joist_spacing": "450 mm", "stock_length": "3 m"}
#: Totals of areas and lengths, and counts.
AMOUNTS = ("area", "face_total", "area_for_labour", "obstacle_edge", "gap_length", "board_length")
COUNTS = ("boards", "joists", "joints", "crossings", "fasteners")
COMPONENTS = {
    "stairs": [{"id": "steps", "zone": "deck", "rise": "31 in", "riser_form": "open"}],
    "guards": [{"id": "south", "zone": "deck", "length": "4 m"}],
    "extras": [
        {"id": "seat", "zone": "deck", "part": "bench", "length": "2 m", "width": "400 mm"},
        {"id": "skirt", "zone": "deck", "part": "lattice", "length": "3 m", "height": "500 mm"},
    ],
}
few = settings(max_examples=30, deadline=None, derandomize=True)
angles = st.floats(-179, 179)


@st.composite
def decks(draw):
    """Return an outline round the origin and the direction of its boards (deg)."""
    radii = draw(st.lists(st.floats(1.5, 9), min_size=3, max_size=9))
    turn = 2 * math.pi / len(radii)
    points = [(r * math.cos(i * turn), r * math.sin(i * turn)) for i, r in enumerate(radii)]
    return shapely.Polygon(points), draw(angles)


HOLE = shapely.box(-0.3, -0.2, 0.3, 0.2)


def text(shape, unit="m"):
    points = shape.exterior.coords[:-1]
    return ", ".join(f"{x / METRES[unit]:.9f} {y / METRES[unit]:.9f}" for x, y in points) + f" {unit}"


def zone(shape, direction, id="deck", *, unit="m", hole=None, edges=None, joists=70.0):
    lay = {"direction": f"{direction:.9f} deg", "joist_direction": f"{(direction + joists) % 360:.9f} deg"}
    said = {"id": id, "outline": text(shape, unit), "boards": {**BOARDS, **lay}}
    if hole is not None:
        said["holes"] = [text(hole, unit)]
    return said if edges is None else {**said, "edges": edges}


def room(shape):
    """Say whether the planter fits inside."""
    return shape.buffer(-0.05).covers(HOLE)


def amounts(result):
    return {name: getattr(result, name) for name in AMOUNTS}


@few
@given(deck=decks(), angle=angles, shift=st.tuples(st.floats(-40, 40), st.floats(-40, 40)), mirrored=st.booleans())
def test_turned_moved_and_mirrored(run, deck, angle, shift, mirrored):
    shape, direction = deck
    assume(room(shape))
    edges = {"wall_sides": [1, 2], "posts": 3, "post": "4x4"}
    plain, _ = run("area", zones=[zone(shape, direction, hole=HOLE, edges=edges)], **COMPONENTS)

    def moved(one):
        turned = affinity.rotate(one, angle, origin=(0, 0))
        return affinity.translate(affinity.scale(turned, -1, 1, origin=(0, 0)) if mirrored else turned, *shift)

    lay = 180 - (direction + angle) if mirrored else direction + angle
    found, _ = run("area", zones=[zone(moved(shape), lay % 360, hole=moved(HOLE), edges=edges)], **COMPONENTS)
    # A mirrored deck, or one turned by half, has its first board at the other side: strips fall differently.
    if not mirrored:
        assert amounts(found) == pytest.approx(amounts(plain), rel=1e-5)
        ends = [result.zones[0].end_grain_area for result in (found, plain)]
        assert ends[0] == pytest.approx(ends[1], rel=1e-5, abs=1e-6)
        # A corner that only just reaches into a strip may be a board or not, as the coordinates round.
        assert abs(found.boards - plain.boards) <= 1
        assert found.joists == pytest.approx(plain.joists, abs=1)
    assert found.area == pytest.approx(plain.area, rel=1e-7)
    assert found.obstacle_edge == pytest.approx(plain.obstacle_edge, rel=1e-7)


@few
@given(deck=decks(), unit=st.sampled_from(["ft", "in", "cm"]))
def test_in_other_units(run, deck, unit):
    shape, direction = deck
    assume(room(shape))
    metric, _ = run("area", zones=[zone(shape, direction, hole=HOLE)], **COMPONENTS)
    other, _ = run("area", zones=[zone(shape, direction, unit=unit, hole=HOLE)], **COMPONENTS)
    assert amounts(other) == pytest.approx(amounts(metric), rel=1e-6)
    assert abs(other.boards - metric.boards) <= 1


@few
@given(deck=decks(), cut=st.floats(-3, 3), across=angles)
def test_cut_in_two_the_deck_stays_and_shared_boards_are_said(run, deck, cut, across):
    """Areas, gaps and the deck's counts stay. The rows may have more boards, and then the answer says how many."""
    shape, direction = deck
    side = affinity.rotate(shapely.box(cut, -99, 99, 99), across, origin=(0, 0))
    halves = [shape.intersection(side), shape.difference(side)]
    assume(all(half.geom_type == "Polygon" and half.buffer(-0.1).area > 0.1 for half in halves))
    whole, _ = run("area", zones=[zone(shape, direction)])
    parts, ledger = run("area", zones=[zone(half, direction, id) for half, id in zip(halves, "ab", strict=True)])
    names = ("area", "face_total", "gap_length", "board_length")
    # The seam is closed by a millimetre on either side, which rounds an outline's corner by less than that.
    for name in names:
        assert getattr(parts, name) == pytest.approx(getattr(whole, name), rel=1e-3, abs=0.02), name
    assert abs(parts.boards - whole.boards) <= 1
    rows = sum(row.boards for row in parts.zones)
    said = [finding for finding in ledger.findings if finding.id == "boards-in-two-zones"]
    assert rows >= parts.boards
    assert len(said) == (rows > parts.boards)
    if said:
        assert (said[0].values["rows"], said[0].values["boards"]) == (rows, parts.boards)


@few
@given(deck=decks(), holed=st.booleans())
def test_boards_and_gaps_tile_the_floor(run, deck, holed):
    shape, direction = deck
    assume(room(shape))
    result, _ = run("area", zones=[zone(shape, direction, hole=HOLE if holed else None)])
    row = result.zones[0]
    assert row.face_area + row.gap_length * GAP == pytest.approx(row.area, rel=1e-9)
    assert row.area == pytest.approx(shape.area - (HOLE.area if holed else 0), rel=1e-8)


@few
@given(
    deck=decks(),
    inner=st.floats(0.15, 0.5),
    edges=st.sampled_from([None, {"wall_length": "2 m", "posts": 4}, {"wall_sides": [1], "rail_sides": [2]}]),
)
def test_faces_add_up(run, deck, inner, edges):
    """Field and perimeter make the upper faces; faces make parts, and parts the total; zones make the floor."""
    shape, direction = deck
    part = affinity.scale(shape, inner, inner, origin=(0, 0))
    zones = [zone(shape, direction, edges=edges), {"id": "inner", "part_of": "deck", "outline": text(part)}]
    result, _ = run("area", zones=zones, **COMPONENTS)
    for name in ("area", "area_for_labour"):
        total = result.face_total if name == "area" else result.area_for_labour
        assert math.fsum(getattr(face, name) for face in result.faces) == pytest.approx(total, rel=1e-12)
        for row in result.parts:
            own = math.fsum(getattr(face, name) for face in result.faces if face.part == row.id)
            assert getattr(row, name) == pytest.approx(own, rel=1e-12)
    for row in result.zones:
        found = {face.part: face.area for face in result.faces if face.zone == row.id and face.item is None}
        assert found.get("field", 0) + found.get("perimeter", 0) == pytest.approx(row.face_area, rel=1e-12)
        assert found["gap-faces"] == row.gap_face_area
        # Boards that run on into the zone around it are not cut at the rim.
        assert found.get("end-grain", 0.0) == row.end_grain_area
    assert math.fsum(row.area for row in result.zones) == pytest.approx(shape.area, rel=1e-8)
    assert len({face.id for face in result.faces}) == len(result.faces)
    for row, part in ((result.stairs[0], "stair"), (result.guards[0], "guard")):
        assert math.fsum(face.area for face in result.faces if face.part == part) == pytest.approx(row.area)


def test_counts_of_a_deck_turned_by_a_quarter(run):
    """A rectangle in whole boards has no corner that only just reaches into a strip: every count must stay."""
    shape = shapely.box(0, 0, 9, 10 * 0.145 + 9 * GAP)
    plain, _ = run("area", zones=[zone(shape, 0, joists=90)])
    for turns in (1, 2, 3):
        turned = affinity.translate(affinity.rotate(shape, 90 * turns, origin=(0, 0)), 3.3, -7.7)
        found, _ = run("area", zones=[zone(turned, 90 * turns, joists=90)])
        for name in COUNTS:
            assert getattr(found, name) == getattr(plain, name), (turns, name)
    # A board of 3 m spans six spaces of 450 mm, 2.7 m: joints at 2.7, 5.4 and 8.1 m, from where it reaches the end.
    assert (plain.boards, plain.joists, plain.joints, plain.crossings) == (10, 21, 30, 240)
