"""Outlines as people type them: said twice, the wrong way round, with slips, over one another, far too large."""

import math

import pytest

from latewood.problems import InputProblem

SQUARE = "0 0, 4 0, 4 4, 0 4 m"
BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}


@pytest.fixture
def faults(run):
    def found(*zones, **fields):
        with pytest.raises(InputProblem) as caught:
            run("area", zones=list(zones), **fields)
        return {fault.pointer: fault for fault in caught.value.faults}

    return found


def zone(outline=SQUARE, id="a", **fields):
    return {"id": id, "outline": outline, **fields}


def said(ledger):
    return {finding.id for finding in ledger.findings}


@pytest.mark.parametrize(
    "outline",
    [
        "0 0, 4 0, 4 4, 0 4, 0 0 m",
        "0 0, 4 0, 4 0, 4 4, 4 4, 0 4 m",
        "0 0, 0 4, 4 4, 4 0 m",
        "0 0, 2 0, 4 0, 4 4, 0 4 m",
        "1000000 2000000, 1000004 2000000, 1000004 2000004, 1000000 2000004 m",
    ],
    ids=["closed", "points twice", "clockwise", "point on a side", "map coordinates"],
)
def test_the_same_floor_however_it_is_written(run, outline):
    plain, _ = run("area", zones=[zone(boards=BOARDS)])
    other, _ = run("area", zones=[zone(outline, boards=BOARDS)])
    assert other.area == pytest.approx(16)
    for name in ("face_total", "boards", "joists", "crossings", "fasteners", "gap_length"):
        assert getattr(other, name) == pytest.approx(getattr(plain, name), rel=1e-6), name


def test_a_corner_said_twice_moves_no_side(run):
    """Sides go by the corners that are there: walls along sides 2 and 3 are 4 m each, and meet in one corner."""
    edges = {"wall_sides": [2, 3]}
    result, ledger = run("area", zones=[zone("0 0, 4 0, 4 0, 4 4, 0 4 m", edges=edges)])
    assert result.obstacle_edge == pytest.approx(8)
    strip = next(step for step in ledger.steps if step.formula.id == "edge-strip-area")
    assert strip.numbers["corner_overlap"] == pytest.approx(0.125**2)


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ("0 0, 2 2, 2 0, 0 2 ft", "crosses or touches itself near 1 1 ft"),
        ("0 0, 4 0, 2 2, 4 4, 0 4, 2 2 m", "touches itself near 2 2 m"),
        ("0 0, 4 0, 4 4, 6 4, 4 4, 0 4 m", "touches itself near 4 4 m"),
        ("0 0, 4 0, 4 4, 4.0005 8, 3.9999 4, 0 4 m", "spike of no width, to 4.0005 8 m"),
        ("0 0, 4 0, 4 0.001, 0 0.001 m", "thinner than 2\u00a0mm"),
        ("0 0, 1 0, 1 1, 0 1 mm", "encloses no area"),
        ("0 0, 1 1, 2 2 m", "encloses no area"),
    ],
)
def test_slips_are_named_where_they_are(faults, outline, words):
    fault = faults(zone(outline))["/zones/0/outline"]
    assert fault.code == "conflict"
    assert words in fault.detail


@pytest.mark.parametrize(
    "outline",
    ["0 0, 20000 0, 20000 1, 0 1 m", "100000000 0, 100000004 0, 100000004 4, 100000000 4 m"],
    ids=["too long", "too far"],
)
def test_no_floor_is_as_large_as_that(faults, outline):
    assert faults(zone(outline))["/zones/0/outline"].code == "out-of-range"


def test_more_boards_than_can_be_meant_are_refused_before_they_are_cut(faults):
    """Two floors of 10 km by 10 km at 143 mm make 140 000 boards; the first alone is within the limit."""
    large = "0 0, 10000 0, 10000 10000, 0 10000 m"
    beside = "10000 0, 20000 0, 20000 10000, 10000 10000 m"
    found = faults(zone(large, boards=BOARDS), zone(beside, "b", boards=BOARDS))
    assert {pointer: fault.code for pointer, fault in found.items()} == {"/zones/0": "out-of-range"}


def test_boards_times_corners_are_bounded_before_they_are_cut(faults, run):
    """A comb of 322 corners and 2 km at 37 degrees: 19 600 boards of 143 mm make 6 million; one of 50 m has 158 000."""

    def comb(side: float) -> str:
        teeth = [(side - side * k / 320, side if k % 4 in (0, 1) else side / 10) for k in range(320)]
        points = [(0, 0), (side, 0), *teeth]
        return ", ".join(f"{x:.2f} {y:.1f}" for x, y in points) + " m"

    found = faults(zone(comb(2000), boards=BOARDS | {"direction": "37 deg"}))
    assert {pointer: fault.code for pointer, fault in found.items()} == {"/zones/0": "out-of-range"}
    assert "fewer corners" in found["/zones/0"].expected
    found, _ = run("area", zones=[zone(comb(50), boards=BOARDS | {"direction": "37 deg"})])
    assert found.area > 0


def test_each_zone_over_others_is_refused_once(faults):
    """Forty zones over one another make 780 pairs; each zone but the first is one slip."""
    found = faults(*(zone(id=f"z{place}") for place in range(40)))
    assert list(found) == [f"/zones/{place}/outline" for place in range(1, 40)]


def test_corners_of_all_zones_are_bounded_before_they_are_compared(faults):
    ring = ", ".join(f"{math.cos(k / 250 * math.pi):.3f} {math.sin(k / 250 * math.pi):.3f}" for k in range(499)) + " m"
    assert faults(*(zone(ring, f"z{place}") for place in range(11)))["/zones"].code == "out-of-range"


def test_a_hole_on_the_outline_is_edge_work_where_it_leaves_it(run):
    """A notch of 1 m by 1 m in a corner: two of its sides are the outline, so 2 m; one across the floor: 4 + 4 m."""
    for hole, edge in (
        ("0 0, 1 0, 1 1, 0 1 m", 2),
        ("1 0, 2 0, 2 4, 1 4 m", 8),
        ("2 0, 3 0, 3 1, 2 1 m", 3),
        ("0.001 1, 1 1, 1 2, 0.001 2 m", 2.998),
        ("1 1, 2 1, 2 2, 1 2 m", 4),
    ):
        result, _ = run("area", zones=[zone(holes=[hole])])
        assert result.obstacle_edge == pytest.approx(edge, abs=1e-5), hole


def test_a_hole_as_large_as_its_zone_is_refused(faults):
    assert faults(zone(holes=[SQUARE]))["/zones/0/holes"].code == "conflict"


def test_zones_over_one_another_on_one_level_are_refused(faults, run):
    low, high = zone(), zone("2 2, 6 2, 6 6, 2 6 m", "b")
    fault = faults(low, high)["/zones/1/outline"]
    assert fault.code == "conflict"
    assert (fault.id, fault.values) == ("zones-overlap-levels-unknown", {"zone": "b", "other": "a"})
    assert set(faults({**low, "level": "1 m"}, high)) == {"/zones/1/outline"}
    fault = faults({**low, "level": "1 m"}, {**high, "level": "100 cm"})["/zones/1/outline"]
    assert (fault.id, fault.values) == ("zones-overlap", {"zone": "b", "other": "a"})
    result, _ = run("area", zones=[{**low, "level": "1 m"}, {**high, "level": "3 m"}])
    assert result.area == pytest.approx(32)


def test_a_zone_in_the_hole_of_another_is_no_overlap(run):
    hole = "1 1, 2 1, 2 2, 1 2 m"
    result, _ = run("area", zones=[zone(holes=[hole]), zone(hole, "b")])
    assert result.area == pytest.approx(16)


@pytest.mark.parametrize("boards", [None, BOARDS])
def test_a_zone_that_its_parts_fill_is_not_said_to_lack_anything(run, boards):
    parts = [zone("0 0, 4 0, 4 2, 0 2 m", "b", part_of="a"), zone("0 2, 4 2, 4 4, 0 4 m", "c", part_of="a")]
    whole = zone() if boards is None else zone(boards=boards)
    result, ledger = run("area", zones=[whole, *parts])
    assert result.zones[0].area == pytest.approx(0, abs=1e-9)
    assert "no-shape" not in said(ledger)
    missing = [f.params["zones"] for f in ledger.findings if f.id == "field-only"]
    assert missing == ([["b", "c"]] if boards is None else [])
    unedged = [f.params["zone"] for f in ledger.findings if f.id == "edge-work-not-given"]
    assert unedged == ([] if boards is None else ["b", "c"])


def test_edge_work_longer_than_the_floor_allows_is_said(run):
    result, ledger = run("area", zones=[{"id": "a", "area": "1 m2", "edges": {"wall_length": "400 m"}}])
    assert "edge-work-fills-zone" in said(ledger)
    assert [face.part for face in result.faces] == ["perimeter"]
    _, ledger = run("area", zones=[{"id": "a", "area": "100 m2", "edges": {"wall_length": "400 m"}}])
    assert "edge-work-fills-zone" not in said(ledger)


def test_obstacles_by_their_sides_or_by_their_perimeter(run, faults):
    """A planter of 3 by 2 ft standing free, and two hatches of which 5 ft each stand on open floor: 10 + 10 ft."""
    pieces = [
        {"id": "planter", "kind": "planter", "length": "3 ft", "width": "2 ft"},
        {"id": "hatches", "kind": "hatch", "perimeter": "5 ft", "count": 2},
    ]
    result, _ = run("area", zones=[zone(edges={"obstacles": pieces})])
    assert result.obstacle_edge == pytest.approx(20 * 0.3048)
    wrong = [
        {"id": "a"},
        {"id": "b", "length": "3 ft"},
        {"id": "c", "width": "3 ft"},
        {"id": "d", "perimeter": "3 ft", "width": "1 ft"},
    ]
    at = "/zones/0/edges/obstacles"
    assert {pointer: fault.code for pointer, fault in faults(zone(edges={"obstacles": wrong})).items()} == {
        f"{at}/0/perimeter": "missing",
        f"{at}/1/width": "missing",
        f"{at}/2/length": "missing",
        f"{at}/3/perimeter": "conflict",
    }


def test_a_wall_along_a_part_is_counted_once(run):
    """A corner of 8 by 6 m between two walls, and in it a roofed part of 4 by 1.5 m that names its stretches too."""
    walls = {"wall_sides": [3, 4]}
    whole = zone("0 0, 8 0, 8 6, 0 6 m", edges=walls)
    part = zone("0 4.5, 4 4.5, 4 6, 0 6 m", "b", part_of="a", edges=walls)
    alone, _ = run("area", zones=[whole])
    result, ledger = run("area", zones=[whole, part])
    assert alone.obstacle_edge == result.obstacle_edge == pytest.approx(8 + 6)
    assert [row.obstacle_edge for row in result.zones] == pytest.approx([4 + 4.5, 4 + 1.5])
    overlaps = [s.numbers["corner_overlap"] for s in ledger.steps if s.formula.id == "edge-strip-area"]
    assert overlaps == pytest.approx([0, 0.125**2])
    areas = [sum(face.area for face in one.faces if face.part == "perimeter") for one in (alone, result)]
    assert areas[0] == pytest.approx(areas[1])
    # A part that names no edge work leaves it to its zone, and one away from the walls takes nothing over.
    silent = {name: said for name, said in part.items() if name != "edges"}
    inner = zone("2 2, 4 2, 4 3, 2 3 m", "b", part_of="a", edges=walls)
    assert run("area", zones=[whole, silent])[0].obstacle_edge == pytest.approx(14)
    assert run("area", zones=[whole, inner])[0].obstacle_edge == pytest.approx(14 + 2 + 1)


def test_parts_of_parts_take_their_walls_over_too(run):
    walls = {"wall_sides": [1]}
    zones = [
        zone("0 0, 9 0, 9 6, 0 6 m", edges=walls),
        zone("1 0, 7 0, 7 4, 1 4 m", "b", part_of="a", edges=walls),
        zone("2 0, 4 0, 4 2, 2 2 m", "c", part_of="b", edges=walls),
    ]
    result, _ = run("area", zones=zones)
    assert [row.obstacle_edge for row in result.zones] == pytest.approx([3, 4, 2])
