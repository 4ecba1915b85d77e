"""The whole take-off: faces that add up, edge work, defaults that are said, and inputs that cannot be meant."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.calculators.area.compute.edges import inside_corners
from latewood.problems import InputProblem

FT, INCH = 0.3048, 0.0254
BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "profile": "smooth", "joist_spacing": "16 in"}
DECK = {"id": "deck", "length": "16 ft", "width": "12 ft", "boards": BOARDS}


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def message(ledger, id):
    return next(finding for finding in ledger.findings if finding.id == id)


def refused(run, **fields):
    with pytest.raises(InputProblem) as caught:
        run("area", **fields)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def drawn(points, unit="m"):
    return ", ".join(f"{x!r} {y!r}" for x, y in points) + f" {unit}"


def by_part(result):
    return {(face.zone, face.part, face.item): face.area for face in result.faces}


def test_faces_add_up(run):
    """Perimeter is cut out of the field, so that both make the boards' upper faces, and all faces make the total."""
    edges = {"wall_sides": [1], "rail_sides": [2, 3, 4], "opening_length": "4 ft", "posts": 8}
    result, _ = run(
        "area",
        zones=[{**DECK, "edges": edges}],
        stairs=[{"id": "s", "rise": "31 in"}],
        guards=[{"id": "g", "length": "20 ft"}],
        extras=[{"id": "f", "part": "fascia", "length": "40 ft", "size": "2x10"}],
    )
    faces = by_part(result)
    zone = result.zones[0]
    assert faces["deck", "field", None] + faces["deck", "perimeter", None] == pytest.approx(zone.face_area)
    assert faces["deck", "gap-faces", None] == zone.gap_face_area
    assert result.face_total == pytest.approx(math.fsum(faces.values()))
    assert result.face_total == pytest.approx(sum(part.area for part in result.parts))
    assert result.area_for_labour == pytest.approx(sum(part.area_for_labour for part in result.parts))
    assert faces["deck", "stair", "s"] == result.stairs[0].area
    # Boards and gaps make the floor: 192 ft2.
    assert zone.face_area + zone.gap_length * INCH / 8 == pytest.approx(192 * FT**2)


def test_strip_of_edge_work(run):
    """18.694 m by 125 mm, less four corners where two rails meet, shared between boards and gaps."""
    edges = {"rail_sides": [1, 2, 3, 4], "opening_length": "4 ft", "posts": 8, "post": "4x4"}
    result, _ = run("area", zones=[{**DECK, "edges": edges}], pad_width="125 mm")
    strip = 61 + 1 / 3
    expected = strip * FT * 0.125 - 4 * 0.125**2
    share = result.zones[0].face_area / result.area
    assert by_part(result)["deck", "perimeter", None] == pytest.approx(expected * share)


def test_guards_bring_their_edge_work(run):
    """A guard of 12 ft with three posts of 3.5 in: 12 + 3 x 4 x 3.5/12 = 15.5 ft; none under a rail high enough."""
    guard = {"id": "g", "length": "12 ft", "post_spacing": "6 ft"}
    result, _ = run("area", zones=[DECK], guards=[guard])
    assert result.obstacle_edge == pytest.approx(15.5 * FT)
    result, _ = run("area", zones=[DECK], guards=[{**guard, "rail_clearance": "200 mm"}])
    assert result.obstacle_edge == pytest.approx(3.5 * FT)


def test_a_planter_hole_is_edge_work_unless_it_is_free(run):
    zone = {**DECK, "holes": ["2 2, 5 2, 5 4, 2 4 ft"]}
    result, ledger = run("area", zones=[zone])
    assert result.obstacle_edge == pytest.approx(10 * FT)
    assert any(used.path == "input/zones/0/edges/hole_edges" for used in ledger.basis)
    result, _ = run("area", zones=[{**zone, "edges": {"hole_edges": "free", "wall_length": "3 ft"}}])
    assert result.obstacle_edge == pytest.approx(3 * FT)


def test_obstacles_and_inside_corners(run):
    """An L of walls: sides 3 and 4 meet in the notch, sides 1 and 2 in a corner that sticks out."""
    outline = "0 0, 6 0, 6 3, 3 3, 3 6, 0 6 m"
    pieces = [{"id": "bench", "kind": "bench", "perimeter": "4 m", "count": 2}]
    result, ledger = run(
        "area", zones=[{"id": "l", "outline": outline, "edges": {"wall_sides": [1, 2, 3, 4], "obstacles": pieces}}]
    )
    assert result.obstacle_edge == pytest.approx(6 + 3 + 3 + 3 + 8)
    overlap = next(s for s in ledger.steps if s.formula.id == "edge-strip-area").numbers["corner_overlap"]
    # Sides 1|2 and 2|3 meet in corners of the floor; 3|4 meet at the notch, where the strips part.
    assert overlap == pytest.approx(2 * 0.125**2)


def test_two_halves_of_a_deck(run):
    """Cut along or across, the areas and the deck's counts stay; the rows count shared boards twice, and say so."""
    whole, _ = run("area", zones=[{"id": "d", "outline": "0 0, 16 0, 16 12, 0 12 ft", "boards": BOARDS}])
    cuts = {
        "along": ("0 0, 16 0, 16 5.3, 0 5.3 ft", "0 5.3, 16 5.3, 16 12, 0 12 ft"),
        "across": ("0 0, 7 0, 7 12, 0 12 ft", "7 0, 16 0, 16 12, 7 12 ft"),
    }
    for outlines in cuts.values():
        zones = [{"id": f"z{i}", "outline": o, "boards": BOARDS} for i, o in enumerate(outlines)]
        halves, ledger = run("area", zones=zones)
        for name in ("area", "face_total", "gap_length", "boards", "board_length", "crossings", "fasteners"):
            # Cut ends within a micrometre of a seam count as lying on it.
            assert getattr(halves, name) == pytest.approx(getattr(whole, name), rel=1e-7), name
        rows = sum(zone.boards for zone in halves.zones)
        assert rows > whole.boards
        # Heads are counted once: 26 boards on 13 joists.
        assert sum(zone.crossings for zone in halves.zones) == whole.crossings == 338
        assert sum(zone.fasteners for zone in halves.zones) == whole.fasteners == 676
        said = message(ledger, "boards-in-two-zones").values
        assert (said["zones"], said["rows"]) == (["z0", "z1"], rows)
    assert sum(zone.boards for zone in halves.zones) == 2 * 26


def test_a_part_without_a_place_takes_its_heads_from_its_zone(run):
    """Half of the deck by its sides, somewhere in it: 26 boards on 13 joists have 338 crossings, wherever it lies."""
    half = {"id": "half", "part_of": "deck", "length": "16 ft", "width": "6 ft"}
    result, _ = run("area", zones=[DECK, {**half, "boards": BOARDS}])
    assert sum(zone.crossings for zone in result.zones) == result.crossings == 338
    assert [zone.crossings for zone in result.zones] == [169, 169]
    nested = {"id": "mat", "part_of": "half", "length": "4 ft", "width": "3 ft", "boards": BOARDS}
    result, _ = run("area", zones=[DECK, {**half, "boards": BOARDS}, nested])
    assert sum(zone.crossings for zone in result.zones) == result.crossings == 338


def test_a_part_goes_on_with_the_boards_of_its_zone(run):
    """A strip of 4 ft under a roof: together they are the deck that was worked by hand."""
    zones = [
        {"id": "main", "outline": "0 0, 16 0, 16 12, 0 12 ft", "boards": BOARDS},
        {"id": "roofed", "part_of": "main", "outline": "0 8, 16 8, 16 12, 0 12 ft"},
    ]
    result, _ = run("area", zones=zones)
    assert (result.boards, result.joists, result.crossings, result.fasteners) == (26, 13, 338, 676)
    ends = sum(zone.end_grain_area for zone in result.zones)
    assert ends == pytest.approx(281.75 * INCH**2)


def test_a_part_lies_on_the_level_of_its_zone(run):
    """Unless it has its own: then its boards begin anew, 18 in 8 ft and 9 in 4 ft."""
    main = {"id": "main", "outline": "0 0, 16 0, 16 12, 0 12 ft", "boards": BOARDS, "level": "31 in"}
    roofed = {"id": "roofed", "part_of": "main", "outline": "0 8, 16 8, 16 12, 0 12 ft"}
    result, _ = run("area", zones=[main, roofed])
    assert (result.boards, result.fasteners) == (26, 676)
    result, _ = run("area", zones=[main, {**roofed, "level": "38 in"}])
    assert result.boards == 18 + 9


def test_no_board_is_of_two_woods(run):
    """Halves of ipe and of cedar have 13 rows each; where one wood is not known they may be the same boards."""
    low = {"id": "low", "outline": "0 0, 16 0, 16 6, 0 6 ft", "boards": {**BOARDS, "size": "25x140 mm"}}
    high = {**low, "id": "high", "outline": "0 6, 16 6, 16 12, 0 12 ft"}
    for woods, boards in ((("ipe", "western-redcedar"), 26), (("ipe", "ipe"), 26), (("ipe", None), 26)):
        zones = [{**zone, **({"species": wood} if wood else {})} for zone, wood in zip((low, high), woods, strict=True)]
        result, _ = run("area", zones=zones)
        rows = sum(zone.boards for zone in result.zones)
        assert (result.boards, rows) == (boards, 26 if woods[1] == "western-redcedar" else 27)


def test_levels_do_not_share_boards(run):
    """The same two halves, one a step higher: each starts with its own first board and its own joist."""
    low = {"id": "low", "outline": "0 0, 16 0, 16 6, 0 6 ft", "boards": BOARDS, "level": "1 ft"}
    high = {"id": "high", "outline": "0 6, 16 6, 16 12, 0 12 ft", "boards": BOARDS, "level": "2 ft"}
    result, _ = run("area", zones=[low, high])
    # (72 + 1/8) / 5-5/8 = 12.8, so 13 boards on each level.
    assert [zone.boards for zone in result.zones] == [13, 13]
    assert result.boards == 26
    assert result.gap_length == pytest.approx(24 * 16 * FT)


@settings(max_examples=30, deadline=None)
@given(
    radii=st.lists(st.floats(1, 8), min_size=3, max_size=8),
    angle=st.floats(-3, 3),
    shift=st.tuples(st.floats(-20, 20), st.floats(-20, 20)),
)
def test_turned_moved_and_in_feet_the_totals_stay(engine, radii, angle, shift):
    turn = 2 * math.pi / len(radii)
    points = [(r * math.cos(i * turn), r * math.sin(i * turn)) for i, r in enumerate(radii)]
    c, s = math.cos(angle), math.sin(angle)
    moved = [(c * x - s * y + shift[0], s * x + c * y + shift[1]) for x, y in points]

    def totals(outline, direction):
        boards = {"size": "21x145 mm", "gap": "5 mm", "direction": f"{direction!r} deg"}
        result = engine.calculate("area", zones=[{"id": "z", "outline": outline, "boards": boards}])["result"]
        return [result[name]["value"] for name in ("area", "face_total", "gap_length", "board_length")]

    def text(points, unit, scale=1.0):
        return ", ".join(f"{x / scale:.9f} {y / scale:.9f}" for x, y in points) + f" {unit}"

    plain = totals(text(points, "m"), 30.0)
    assert totals(text(moved, "m"), 30.0 + math.degrees(angle)) == pytest.approx(plain, rel=1e-5)
    assert totals(text(points, "ft", FT), 30.0) == pytest.approx(plain, rel=1e-5)


def test_a_floor_known_by_its_area_only(run):
    """One field face, and a finding with the likely size of what is missing: 26 to 55 % of 400 ft2."""
    result, ledger = run("area", zones=[{"id": "d", "area": "400 ft2"}])
    assert [(face.part, face.area) for face in result.faces] == [("field", pytest.approx(400 * FT**2))]
    assert result.boards is None
    found = message(ledger, "field-only")
    assert found.params["low"] == pytest.approx(400 * FT**2 * 0.2639, rel=1e-3)
    assert found.params["high"] == pytest.approx(400 * FT**2 * 0.5517, rel=1e-3)
    added = found.values["added"]
    assert (round(added["low"]), round(added["high"]), added["unit"]) == (26, 55, "%")


def test_an_area_with_boards_has_gap_faces_but_no_counts(run):
    result, ledger = run("area", zones=[{"id": "d", "area": "10 m2", "boards": {"size": "19x140 mm", "gap": "4 mm"}}])
    assert result.zones[0].gap_face_area == pytest.approx(2.639, abs=5e-4)
    assert result.zones[0].boards is None
    assert {"no-shape"} <= ids(ledger)
    assert "field-only" not in ids(ledger)


def test_a_stated_area_that_is_not_the_sum(run):
    for stated, said in (("192 ft2", False), ("193 ft2", False), ("210 ft2", True), ("150 ft2", True)):
        _, ledger = run("area", zones=[DECK], stated_area=stated)
        assert ("stated-area-differs" in ids(ledger)) is said, stated


def test_nominal_size_of_a_hardwood_is_an_assumption(run):
    result, ledger = run("area", zones=[{**DECK, "species": "ipe"}])
    assert message(ledger, "nominal-hardwood").pointer == "/zones/0/boards/size"
    assert result.boards == 26
    for species, size in (("western-redcedar", "5/4x6"), ("ipe", "25x140 mm")):
        _, ledger = run("area", zones=[{**DECK, "species": species, "boards": {**BOARDS, "size": size}}])
        assert "nominal-hardwood" not in ids(ledger)


def test_grooved_boards_have_a_larger_face(run):
    grooves = {**BOARDS, "profile": "grooved", "groove_depth": "2 mm", "groove_spacing": "8 mm"}
    plain, _ = run("area", zones=[DECK])
    result, ledger = run("area", zones=[{**DECK, "boards": grooves}])
    assert result.zones[0].face_area == pytest.approx(1.5 * plain.zones[0].face_area)
    assert "default-zones-0-boards-groove-depth" not in ids(ledger)
    del grooves["groove_depth"]
    _, ledger = run("area", zones=[{**DECK, "boards": grooves}])
    assert "default-zones-0-boards-groove-depth" in ids(ledger)


def test_labour_goes_by_a_rule_that_is_named(run):
    """Material is 1.86 times one side; labour four times, or what the rule asked for says."""
    guard = {"id": "g", "length": "12 ft", "height": "36 in"}
    areas = {}
    for rule in (None, "by-part", "is-1200-15", "as-if-solid", "painting-cyclopedia-1908"):
        given = {"labour_allowance": rule} if rule else {}
        result, ledger = run("area", zones=[DECK], guards=[guard], **given)
        face = next(face for face in result.faces if face.part == "guard")
        areas[rule] = face.area_for_labour / (36 * FT**2)
        assert face.area / (36 * FT**2) == pytest.approx(9682 / 144 / 36)
        assert ("default-labour-allowance" in ids(ledger)) is (rule is None)
        if rule != "as-if-solid":
            assert any(used.path.startswith("labour-allowance/") for used in ledger.basis)
    assert areas == pytest.approx(
        {None: 4, "by-part": 4, "is-1200-15": 1, "as-if-solid": 2, "painting-cyclopedia-1908": 3}
    )


def test_open_risers(run):
    """No riser faces, both edges of each tread, and undersides seen through."""
    sizes = {"rise": "31 in", "width": "36 in", "going": "10 in", "nosing": "1 in", "tread_thickness": "1 in"}
    result, _ = run("area", zones=[DECK], stairs=[{"id": "s", **sizes, "riser_form": "open", "stringers": 0}])
    stair = result.stairs[0]
    assert (stair.risers, stair.treads, stair.riser_area) == (4, 3, 0)
    assert stair.underside_area == stair.tread_area == pytest.approx(3 * 36 * 11 * INCH**2)
    assert stair.nosing_area == pytest.approx(2 * 3 * 36 * INCH**2)


def test_open_work_by_its_overall_size(run):
    """The lattice of the table, 134.5 %, over 4 m by 0.5 m; and the same as slats in one layer, 155.4 %."""
    lattice = {"id": "l", "part": "lattice", "length": "4 m", "height": "500 mm", "slat_width": "38 mm"}
    slats = {"id": "s", "part": "skirting", "length": "4 m", "height": "500 mm", "slat_width": "88.9 mm"}
    result, _ = run(
        "area",
        zones=[DECK],
        extras=[
            {**lattice, "opening": "70 mm", "thickness": "5 mm"},
            {**slats, "opening": "50 mm", "thickness": "19 mm"},
            {"id": "closed", "part": "skirting", "length": "4 m", "height": "500 mm", "sides": 2},
            {"id": "known", "part": "bench", "area": "3 m2", "count": 2},
        ],
    )
    areas = {row.id: row.area for row in result.extras}
    assert areas == pytest.approx({"l": 2 * 1.345, "s": 2 * 1.5536, "closed": 4, "known": 6}, rel=1e-3)


@pytest.mark.parametrize(
    ("fields", "faults"),
    [
        (
            {"zones": [{**DECK, "boards": {"size": "21x145 mm", "gap": "150 mm"}}]},
            {("/zones/0/boards/gap", "conflict")},
        ),
        ({"zones": [{**DECK, "boards": {"size": "145x21 mm"}}]}, {("/zones/0/boards/size", "conflict")}),
        (
            {"zones": [{**DECK, "boards": {**BOARDS, "groove_depth": "2 mm"}}]},
            {("/zones/0/boards/groove_depth", "conflict")},
        ),
        ({"zones": [{**DECK, "area": "3 m2"}]}, {("/zones/0", "conflict")}),
        (
            {"zones": [{"id": "a", "area": "3 m2", "holes": ["0 0, 1 0, 1 1 m"]}]},
            {("/zones/0/holes", "conflict")},
        ),
        (
            {"zones": [{**DECK, "edges": {"wall_sides": [5], "rail_sides": [2, 2]}}]},
            {("/zones/0/edges/wall_sides/0", "out-of-range"), ("/zones/0/edges/rail_sides/1", "repeated")},
        ),
        (
            {"zones": [{**DECK, "edges": {"wall_length": "3 m", "wall_sides": [1]}}]},
            {("/zones/0/edges/wall_length", "conflict")},
        ),
        (
            # A metre of strip 125 mm wide is as large as eight of its squares; nine corners overlap by more.
            {"zones": [{**DECK, "edges": {"wall_length": "1 m", "inside_corners": 9}}]},
            {("/zones/0/edges/inside_corners", "conflict")},
        ),
        (
            {"zones": [{**DECK, "edges": {"wall_length": "1 m", "opening_length": "2 m"}}]},
            {("/zones/0/edges/opening_length", "conflict")},
        ),
        (
            {"zones": [DECK], "guards": [{"id": "g", "length": "2 m", "zone": "x"}, {"id": "g", "length": "2 m"}]},
            {("/guards/0/zone", "unknown-id"), ("/guards/1/id", "repeated")},
        ),
        (
            {"zones": [DECK], "guards": [{"id": "g", "length": "2 m", "height": "250 mm"}]},
            {("/guards/0/height", "conflict")},
        ),
        (
            {"zones": [DECK], "guards": [{"id": "g", "length": "0.3 m", "posts": 9}]},
            {("/guards/0/posts", "conflict")},
        ),
        (
            {"zones": [DECK], "extras": [{"id": "f", "part": "fascia"}, {"id": "p", "part": "post"}]},
            {("/extras/0/length", "missing"), ("/extras/0/height", "missing"), ("/extras/1/height", "missing")},
        ),
        (
            {"zones": [DECK, {"id": "b", "area": "1 m2"}], "stairs": [{"id": "s", "rise": "31 in"}]},
            {("/stairs/0/zone", "missing")},
        ),
    ],
)
def test_what_cannot_be_meant_names_its_field(run, fields, faults):
    assert refused(run, **fields) == faults


def test_working_reruns_from_its_printed_numbers(run):
    _, ledger = run(
        "area",
        zones=[{**DECK, "edges": {"wall_length": "10 ft", "posts": 2}}],
        stairs=[{"id": "s", "rise": "46.5 in"}],
        guards=[{"id": "g", "length": "20 ft"}],
        extras=[{"id": "l", "part": "lattice", "length": "20 ft", "height": "30 in"}],
    )
    assert len({step.formula.id for step in ledger.steps}) >= 9
    for step in ledger.steps:
        assert step.formula(**step.numbers) == pytest.approx(step.value, rel=1e-12), step.formula.id


@pytest.mark.parametrize(
    ("given", "wide"), [({"size": "2x10"}, 9.25), ({"size": "2x10", "height": "8 in"}, 8.0), ({"height": "8 in"}, 8.0)]
)
def test_a_fascia_is_as_wide_as_is_said_else_as_its_board(run, given, wide):
    """PS 20: a 2x10 is 1-1/2 by 9-1/4 in. Outer face and lower edge of 10 ft: 10·12·(w + 1.5) in2."""
    fascia = {"id": "front", "part": "fascia", "length": "10 ft", **given}
    result, _ = run("area", zones=[DECK], extras=[fascia])
    assert result.extras[0].area == pytest.approx(120 * (wide + 1.5) * 0.0254**2)


def test_only_corners_that_stick_out_between_two_sides_of_edge_work_count():
    """A square with a corner more in the middle of its first side, where nothing turns; either way round."""
    corners = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]
    assert inside_corners(corners, {1, 2, 3, 4, 5}) == [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)]
    assert inside_corners(corners, {1, 2}) == []
    assert inside_corners(corners, {2, 3}) == [(2.0, 0.0)]
    assert inside_corners(corners[::-1], {1, 2, 3, 4, 5}) == [(0.0, 2.0), (2.0, 2.0), (2.0, 0.0), (0.0, 0.0)]


def test_a_corner_that_turns_in_is_none():
    """An L: five corners stick out, the sixth is one that a wall runs round."""
    corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (2.0, 2.0), (2.0, 4.0), (0.0, 4.0)]
    assert (2.0, 2.0) not in inside_corners(corners, set(range(1, 7)))
    assert len(inside_corners(corners, set(range(1, 7)))) == 5
