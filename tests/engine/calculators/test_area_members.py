"""Guards that meet in corners, boards that are butted, and what is said of members that are not there."""

import math

import pytest

from latewood.problems import InputProblem

FT, INCH = 0.3048, 0.0254
BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}
LONG = {"id": "deck", "length": "40 ft", "width": "12 ft", "boards": BOARDS}
SQUARE = {"id": "deck", "length": "12 ft", "width": "12 ft", "boards": BOARDS}


def said(ledger):
    return {finding.id for finding in ledger.findings}


def refused(run, **fields):
    with pytest.raises(InputProblem) as caught:
        run("area", **fields)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def guards(shared):
    sizes = {"length": "12 ft", "height": "36 in", "post_spacing": "6 ft", "post": "4x4"}
    return [{"id": f"side-{side}", **sizes, **({"shared_posts": shared} if shared else {})} for side in range(4)]


def test_a_guard_round_a_closed_outline_has_one_post_in_each_corner(run):
    """12 x 12 ft, posts 6 ft apart: 48 / 6 = 8 posts; four guards for themselves have 4 x 3 = 12."""
    round_it, _ = run("area", zones=[SQUARE], guards=guards(1))
    apart, ledger = run("area", zones=[SQUARE], guards=guards(0))
    assert sum(guard.posts for guard in round_it.guards) == 8
    assert sum(guard.posts for guard in apart.guards) == 12
    assert any(used.path == "input/guards/0/shared_posts" for used in ledger.basis)
    # Bays, balusters and rails are the same; only the posts, and the edge work round them, are fewer.
    assert round_it.guards[0].balusters == apart.guards[0].balusters == 24
    assert apart.face_total - round_it.face_total == pytest.approx(4 * 4 * 3.5 * 35 * INCH**2)
    assert round_it.obstacle_edge == pytest.approx((48 + 8 * 4 * 3.5 / 12) * FT)
    assert apart.obstacle_edge == pytest.approx((48 + 12 * 4 * 3.5 / 12) * FT)


def test_a_guard_alone_between_two_walls(run):
    """6 ft between walls, with a post in the middle: one own post, two bays of 36 - 3.5 in and 5 balusters each."""
    guard = {"id": "g", "length": "6 ft", "posts": 1, "shared_posts": 2, "height": "36 in"}
    result, _ = run("area", zones=[SQUARE], guards=[guard])
    assert result.guards[0].posts == 1
    # (32.5 - 4) / 5.5 = 5.18, so 6 in each bay.
    assert result.guards[0].balusters == 2 * math.ceil((32.5 - 4) / 5.5)
    assert result.guards[0].rail_area == pytest.approx(2 * 2 * 32.5 * 10 * INCH**2)


@pytest.mark.parametrize(
    ("fields", "faults"),
    [
        ({"balustered": False, "baluster": "2x2", "clear_gap": "4 in"}, {"baluster", "clear_gap"}),
        ({"rails": 0, "rail": "2x4", "rail_clearance": "3 in"}, {"rail", "rail_clearance"}),
        ({"capped": False, "cap": "2x6"}, {"cap"}),
        ({"posts": 3, "post_spacing": "4 ft"}, {"post_spacing"}),
    ],
)
def test_sizes_of_members_that_are_not_there(run, fields, faults):
    guard = {"id": "g", "length": "12 ft", **fields}
    assert refused(run, zones=[SQUARE], guards=[guard]) == {(f"/guards/0/{name}", "conflict") for name in faults}


def test_a_guard_of_nothing(run):
    guard = {"id": "g", "length": "12 ft", "posts": 0, "rails": 0, "balustered": False, "capped": False}
    assert refused(run, zones=[SQUARE], guards=[guard]) == {("/guards/0", "conflict")}
    result, _ = run("area", zones=[SQUARE], guards=[{**guard, "posts": 2}])
    assert result.guards[0].area == pytest.approx(2 * 4 * 3.5 * 36 * INCH**2)


@pytest.mark.parametrize(
    ("extra", "faults"),
    [
        (
            {"part": "bench", "length": "6 ft", "width": "16 in", "height": "18 in", "sides": 2},
            {("height", "conflict"), ("sides", "conflict")},
        ),
        ({"part": "post", "height": "8 ft", "thickness": "4 in"}, {("thickness", "conflict")}),
        ({"part": "lattice", "area": "3 m2", "length": "2 m", "opening": "44 mm"}, {("opening", "conflict")}),
        (
            {
                "part": "skirting",
                "length": "2 m",
                "height": "500 mm",
                "slat_width": "88 mm",
                "opening": "50 mm",
                "sides": 2,
            },
            {("sides", "conflict")},
        ),
    ],
)
def test_sizes_an_extra_is_not_measured_by(run, extra, faults):
    found = refused(run, zones=[SQUARE], extras=[{"id": "e", **extra}])
    assert found == {(f"/extras/0/{name}", code) for name, code in faults}


def test_other_sizes_that_say_nothing(run):
    stair = {"id": "s", "rise": "31 in", "stringers": 0, "stringer": "2x10", "stringer_form": "cut"}
    zone = {**SQUARE, "edges": {"post": "6x6"}}
    assert refused(run, zones=[zone], stairs=[stair]) == {
        ("/stairs/0/stringer", "conflict"),
        ("/stairs/0/stringer_form", "conflict"),
        ("/zones/0/edges/posts", "missing"),
    }


def test_long_runs_are_said_to_be_butted(run):
    """40 ft is more than boards on sale; 12 ft is not; with their length given the joints are counted instead."""
    plain, ledger = run("area", zones=[LONG])
    assert plain.joints is None
    finding = next(finding for finding in ledger.findings if finding.id == "joints-not-counted")
    assert finding.pointer == "/zones/0/boards"
    _, ledger = run("area", zones=[SQUARE])
    assert "joints-not-counted" not in said(ledger)
    result, ledger = run("area", zones=[{**LONG, "boards": {**BOARDS, "stock_length": "16 ft"}}])
    assert "joints-not-counted" not in said(ledger)
    assert (result.boards, result.joints, result.crossings) == (26, 52, plain.crossings + 52)
    assert result.face_total == pytest.approx(plain.face_total)


def test_two_zones_share_out_the_joints_of_their_boards(run):
    """Boards of 16 ft on 40 ft are butted at 16 and 32 ft: 26 of each. A cut at 20 ft leaves each zone one row."""
    boards = {**BOARDS, "stock_length": "16 ft"}
    halves = [
        {"id": "near", "outline": "0 0, 20 0, 20 12, 0 12 ft", "boards": boards},
        {"id": "far", "outline": "20 0, 40 0, 40 12, 20 12 ft", "boards": boards},
    ]
    result, _ = run("area", zones=halves)
    assert [zone.joints for zone in result.zones] == [26, 26]
    assert (result.boards, result.joints, result.crossings) == (26, 52, 858)


def test_a_board_that_does_not_reach_the_next_joist(run):
    short = {"joist_spacing": "600 mm", "stock_length": "500 mm"}
    askew = {"joist_spacing": "600 mm", "joist_direction": "45 deg", "stock_length": "800 mm"}
    for sizes in (short, askew):
        boards = {**BOARDS, **sizes}
        assert refused(run, zones=[{**LONG, "boards": boards}]) == {("/zones/0/boards/stock_length", "conflict")}
    result, _ = run("area", zones=[{**LONG, "boards": {**BOARDS, **askew, "stock_length": "850 mm"}}])
    # 600 mm at 45 degrees is 849 mm along the board: every piece is that long, so 12.192 m takes 14 joints or so.
    assert 26 * 13 <= result.joints <= 26 * 15


def test_nominal_sizes_of_members_in_hardwood_are_assumptions(run):
    """PS 20 names softwood: of an ipe guard a given 2x2 is assumed, a measured size is not; a cedar stair is exempt."""
    zone = {**SQUARE, "species": "ipe", "boards": {**BOARDS, "size": "25x140 mm"}}
    _, ledger = run(
        "area",
        zones=[zone],
        guards=[{"id": "g", "length": "12 ft", "baluster": "2x2", "post": "90x90 mm"}],
        stairs=[{"id": "s", "rise": "31 in", "stringer": "2x12", "species": "western-redcedar"}],
        extras=[{"id": "f", "part": "fascia", "length": "12 ft", "size": "2x10"}],
    )
    found = [finding.pointer for finding in ledger.findings if finding.id == "nominal-hardwood"]
    assert found == ["/guards/0/baluster", "/extras/0/size"]
    used = {line.path: line for line in ledger.basis}
    assert used["input/stairs/0/stringer"].kind == "reported"
    sizes = used["input/stairs/0/stringer"].clauses["note"].values
    assert (sizes["thickness"], sizes["width"]) == (pytest.approx(0.0381), pytest.approx(0.28575))


def test_sides_that_are_not_there_are_told_what_there_is(run):
    with pytest.raises(InputProblem) as caught:
        run("area", zones=[{**SQUARE, "edges": {"wall_sides": [5]}}, {"id": "b", "area": "3 m2"}])
    assert [fault.expected for fault in caught.value.faults] == ["a side from 1 to 4"]
    with pytest.raises(InputProblem) as caught:
        run("area", zones=[{"id": "b", "area": "3 m2", "edges": {"rail_sides": [1]}}])
    assert [fault.expected for fault in caught.value.faults] == ["rail_length"]


def test_a_splinter_at_the_last_side_is_said(run):
    """Boards of 3-1/2 in with gaps of 3/16: 39 make 143.6 in, so 12 ft leaves 3/16 in for a fortieth."""
    boards = {**BOARDS, "size": "1x4", "gap": "3/16 in"}
    result, ledger = run("area", zones=[{**SQUARE, "boards": boards}])
    assert result.boards == 40
    assert result.zones[0].last_board_width == pytest.approx(3 / 16 * INCH)
    assert "narrow-last-board" in said(ledger)
    _, ledger = run("area", zones=[SQUARE])
    assert "narrow-last-board" not in said(ledger)


def test_diagonal_boards_cross_fewer_joists_than_square_ones(run):
    """At 45 degrees a board meets a joist every 16/sin 45 = 22.6 in: 29 % fewer crossings, but for the ends."""
    floor = {"id": "deck", "length": "30 m", "width": "20 m"}
    lay = {**BOARDS, "direction": "45 deg"}
    square, ledger = run("area", zones=[{**floor, "boards": lay}])
    askew, quiet = run("area", zones=[{**floor, "boards": {**lay, "joist_direction": "90 deg"}}])
    inner = [result.crossings - 2 * result.zones[0].pieces for result in (square, askew)]
    # Between its ends a piece meets on average as many joists as its length has spacings.
    expected = [result.board_length * share / (16 * INCH) for result, share in ((square, 1), (askew, math.sqrt(0.5)))]
    assert inner == pytest.approx(expected, rel=0.005)
    assert askew.joists == math.ceil(30 / (16 * INCH)) + 1
    finding = next(one for one in ledger.findings if one.id == "joists-under-diagonal-boards")
    assert finding.params["effect"] == pytest.approx(1 - math.sqrt(0.5), abs=1e-4)
    assert finding.pointer == "/zones/0/boards/joist_direction"
    assert "joists-under-diagonal-boards" not in said(quiet)


@pytest.mark.parametrize("direction", ["0 deg", "90 deg", "10 deg"])
def test_boards_along_a_side_are_taken_on_square_joists(run, direction):
    plain, ledger = run("area", zones=[{**SQUARE, "boards": {**BOARDS, "direction": direction}}])
    assert "joists-under-diagonal-boards" not in said(ledger)
    across = {"0 deg": "90 deg", "90 deg": "180 deg", "10 deg": "-80 deg"}[direction]
    given, _ = run("area", zones=[{**SQUARE, "boards": {**BOARDS, "direction": direction, "joist_direction": across}}])
    assert (given.joists, given.crossings) == (plain.joists, plain.crossings)


def test_joists_along_the_boards_carry_none(run):
    along = {**BOARDS, "direction": "30 deg", "joist_direction": "215 deg"}
    assert refused(run, zones=[{**SQUARE, "boards": along}]) == {("/zones/0/boards/joist_direction", "conflict")}
    loose = {"size": "5/4x6", "joist_direction": "90 deg"}
    assert refused(run, zones=[{**SQUARE, "boards": loose}]) == {("/zones/0/boards/joist_spacing", "missing")}
