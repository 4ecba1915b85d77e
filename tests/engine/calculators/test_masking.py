"""Masking and sheeting, held against the lead rule, a painting specification and plane geometry. More in the checks."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.problems import InputProblem
from latewood.uncertainty import spread

OPEN = {"id": "south", "adjoins": "open", "length": "10 m"}
WALL = {"id": "house", "adjoins": "wall", "length": "5 m"}
OLD = {"wall_coating": "paint", "year_built": 1950, "jurisdiction": "US-GA"}


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def refused(run, **fields):
    with pytest.raises(InputProblem) as caught:
        run("masking", **fields)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def test_each_work_reaches_its_own_distance(run):
    result, _ = run("masking", works=["brushing", "sanding", "washing", "spraying"], borders=[OPEN], corners=0)
    reaches = [row.reach for row in result.works]
    assert reaches == sorted(reaches)
    sheets = [spread.value(row.sheet_area) for row in result.works]
    assert sheets == pytest.approx([10 * reach * 1.1 for reach in reaches])
    assert spread.value(result.sheet_area) == max(sheets)


def test_a_painted_wall_of_an_old_house_calls_for_lead_sheets(run, engine):
    """Edge tools touch painted walls: their coating counts as much as the deck's."""
    result, ledger = run("masking", works=["sanding", "brushing"], borders=[OPEN], **OLD)
    assert result.lead_paint == "suspected"
    assert [row.goes_by.id for row in result.works] == ["sanding-lead", "brushing"]
    assert "lead-cover" in ids(ledger)
    assert "lead-paint" in {c.id for c in ledger.cautions(engine.shelf.records("caution").values())}
    clean, ledger = run("masking", works=["sanding"], borders=[OPEN], **{**OLD, "year_built": 1990})
    assert (clean.lead_paint, clean.works[0].goes_by.id) == ("no", "sanding")
    assert "lead-cover" not in ids(ledger)


@pytest.mark.parametrize(
    ("year", "lead", "work"),
    [(1950, "suspected", "sanding-lead"), (None, "suspected", "sanding-lead"), (1990, "no", "sanding")],
)
def test_paint_that_nobody_named_counts_by_its_age(run, year, lead, work):
    """US: paint before 1978. A painted wall is painted with something, also where nobody says with what."""
    place = {"jurisdiction": "US-GA", **({} if year is None else {"year_built": year})}
    painted = {**WALL, "adjoins": "painted-wall"}
    result, ledger = run("masking", works=["sanding"], borders=[painted], **place)
    assert (result.lead_paint, result.works[0].goes_by.id) == (lead, work)
    assert ("lead-cover" in ids(ledger)) is (lead != "no")
    # Of a wall that may or may not be painted it is asked.
    result, ledger = run("masking", works=["sanding"], borders=[WALL], **place)
    assert result.lead_paint == "no"
    assert ("wall-coating-not-given" in ids(ledger)) is (lead != "no")
    _, ledger = run("masking", works=["sanding"], borders=[WALL], wall_coating="none", **place)
    assert "wall-coating-not-given" not in ids(ledger)
    assert refused(run, works=["sanding"], borders=[painted], wall_coating="none") == {("/wall_coating", "conflict")}


def test_ground_against_a_wall_has_two_outer_corners(run):
    """Plane geometry: 10 m open and reach 1.5 m; 4 quarters of 2.25 m2 round a rectangle, 2 where it has a wall."""
    for borders, corners in (([OPEN], 4), ([OPEN, WALL], 2)):
        result, ledger = run("masking", works=["sanding"], borders=borders)
        assert spread.value(result.sheet_area) == pytest.approx(1.1 * (10 * 1.5 + corners * 1.5**2))
        assert "default-corners" in ids(ledger)


def ground(run, *borders, works="sanding", **fields):
    """Return the ground beside the work, without laps."""
    result, _ = run("masking", works=[works], borders=list(borders), **fields)
    return spread.value(result.sheet_area) / 1.1


#: Outlines with the area of the band of 1.5 m round them, worked by hand: plane geometry.
BANDS = [
    # A square of 4 m: four strips of 6 m2 and four squares of 2.25 m2.
    ("0 0, 4 0, 4 4, 0 4 m", (), 16, 4 * 6 + 4 * 2.25),
    # The same the other way round.
    ("0 0, 0 4, 4 4, 4 0 m", (), 16, 4 * 6 + 4 * 2.25),
    # Against a wall along y = 0: three strips and two squares.
    ("0 0, 4 0, 4 4, 0 4 m", (1,), 12, 3 * 6 + 2 * 2.25),
    # An L: five outer squares, and one that two strips share.
    ("0 0, 6 0, 6 2, 3 2, 3 5, 0 5 m", (), 22, 22 * 1.5 + (5 - 1) * 2.25),
    # A hexagon of 2 m: six corners of 60 degrees, each w2 tan 30 degrees.
    (
        "2 0, 1 1.7320508076, -1 1.7320508076, -2 0, -1 -1.7320508076, 1 -1.7320508076 m",
        (),
        12,
        12 * 1.5 + 6 * 2.25 / 3**0.5,
    ),
    # A U whose recess of 2 m by 3 m is narrower than two strips. Its strips cover all of it; the other sides, 6 + 4 + 4
    # and two ends of 2 m, have strips of 1.5 m, with six outer squares. Beyond the mouth the two squares at the ends,
    # 1.5 m each way, lap over 2 m of mouth by 1 m: 3 m2 in place of 4.5.
    ("0 0, 6 0, 6 4, 4 4, 4 1, 2 1, 2 4, 0 4 m", (), 26, (6 + 4 + 4 + 2 + 2) * 1.5 + 4 * 2.25 + 6 + 3),
]


@pytest.mark.parametrize(("outline", "walls", "length", "area"), BANDS)
def test_the_ground_round_an_outline_is_counted_once(run, outline, walls, length, area):
    border = {**OPEN, "length": f"{length} m", "outline": outline, "wall_sides": list(walls)}
    assert ground(run, border) == pytest.approx(area, rel=1e-6)


@settings(max_examples=40)
@given(st.floats(1, 20), st.floats(1, 20), st.sampled_from(["washing", "sanding"]))
def test_a_rectangle_by_its_outline_is_one_by_its_corners(engine, length, width, work):
    around = 2 * (length + width)
    drawn = {**OPEN, "length": f"{around} m", "outline": f"0 0, {length} 0, {length} {width}, 0 {width} m"}
    plain = {**OPEN, "length": f"{around} m"}
    areas = [
        engine.calculate("masking", works=[work], borders=[border], **more)["result"]["sheet_area"]["value"]
        for border, more in ((drawn, {}), (plain, {"corners": 4}))
    ]
    assert areas[0] == pytest.approx(areas[1], rel=1e-9)


def test_a_corner_is_as_wide_as_the_strips_that_meet_there(run):
    """10 m of 1 m and 10 m of 1.5 m; the corner between them is 1 m by 1.5 m, and a second is a bend of the wider."""
    near, far = {**OPEN, "boundary": "1 m"}, {**OPEN, "id": "west"}
    assert ground(run, near, corners=2) == pytest.approx(10 + 2 * 1)
    walls = {**WALL, "id": "shed"}
    assert ground(run, walls, near, far, WALL, corners=1) == pytest.approx(10 + 15 + 1.5)
    assert ground(run, walls, near, far, WALL, corners=2) == pytest.approx(10 + 15 + 1.5 + 2.25)


@pytest.mark.parametrize(
    ("border", "where"),
    [
        ({**OPEN, "wall_sides": [1]}, "/borders/0/outline"),
        ({**WALL, "outline": "0 0, 4 0, 4 4, 0 4 m"}, "/borders/0/outline"),
        ({**OPEN, "length": "16 m", "outline": "0 0, 4 4, 4 0, 0 4 m"}, "/borders/0/outline"),
        ({**OPEN, "length": "16 m", "outline": "0 0, 4 0, 4 4, 100000 4 m"}, "/borders/0/outline"),
        ({**OPEN, "length": "16 m", "outline": "0 0, 4 0, 4 4, 0 4 m", "wall_sides": [5]}, "/borders/0/wall_sides"),
        ({**OPEN, "length": "10 m", "outline": "0 0, 4 0, 4 4, 0 4 m"}, "/borders/0/length"),
    ],
)
def test_an_outline_that_does_not_fit_is_refused(run, border, where):
    assert {pointer for pointer, _ in refused(run, works=["sanding"], borders=[border])} == {where}


def test_a_floor_without_area_over_something_is_said(run):
    for below, said in (("lower-deck", True), ("ground", False)):
        _, ledger = run("masking", works=["sanding"], borders=[OPEN], below=below)
        assert ("area-missing" in ids(ledger)) is said


@pytest.mark.parametrize(
    ("border", "verdict"),
    [
        ({**OPEN, "boundary": "3 m"}, "stop"),
        ({**OPEN, "boundary": "20 m"}, "go"),
        ({**OPEN, "adjoins": "neighbour"}, "stop"),
        (OPEN, "go"),
    ],
)
def test_no_spraying_beside_others_property(run, border, verdict):
    """A townhouse: drift spotted the neighbour's deck, and 3000 dollars were asked for."""
    result, ledger = run("masking", works=["spraying", "brushing"], borders=[border])
    assert result.works[0].verdict == verdict
    assert ("drift-on-neighbours" in ids(ledger)) is (verdict == "stop")
    assert result.works[1].verdict == "go"


def test_wind_makes_one_work_wait_and_not_another(run):
    result, ledger = run("masking", works=["spraying", "brushing"], borders=[OPEN], wind_speed="7.5 m/s")
    assert [row.verdict for row in result.works] == ["wait", "go"]
    assert "too-windy" in ids(ledger)
    _, ledger = run("masking", works=["spraying"], borders=[OPEN])
    assert "watch-the-wind" in ids(ledger)


def test_a_boundary_within_reach_gets_a_screen_and_less_sheet(run):
    near, ledger = run("masking", works=["sanding"], borders=[{**OPEN, "boundary": "1 m"}], corners=0)
    assert near.works[0].screen_length == 10
    assert spread.value(near.sheet_area) == pytest.approx(10 * 1.0 * 1.1)
    assert "screen-at-boundary" in ids(ledger)


@pytest.mark.parametrize(
    ("below", "area", "finding"),
    [
        ("ground", 0, None),
        ("paving", 20, "note"),
        ("lower-deck", 20, "note"),
        ("room", 20, "warning"),
        ("water", 20, "warning"),
    ],
)
def test_what_lies_below_is_covered_but_for_soil(run, below, area, finding):
    result, ledger = run("masking", works=["sanding"], area="20 m2", below=below)
    assert spread.value(result.sheet_area) == pytest.approx(area * 1.1)
    assert [f.severity for f in ledger.findings if f.id == "falls-through"] == ([finding] if finding else [])


def test_soil_is_covered_where_lead_may_fall_on_it(run):
    result, _ = run("masking", works=["sanding"], area="20 m2", below="ground", **OLD)
    assert spread.value(result.sheet_area) == pytest.approx(22)


def test_plants_within_reach_are_covered_when_it_harms_them(run):
    beds = [{"id": "near", "area": "3 m2"}, {"id": "far", "area": "5 m2", "distance": "2.5 m"}]
    result, _ = run("masking", works=["sanding", "washing", "spraying"], plants=beds)
    assert [row.plant_area for row in result.works] == [0, 3, 8]


def test_windows_are_shut_within_reach_of_what_flies(run):
    borders = [{**WALL, "house_openings": 2}, {**OPEN, "house_openings": 1, "openings_distance": "4 m"}]
    result, _ = run("masking", works=["brushing", "sanding", "spraying"], borders=borders)
    assert [row.openings_shut for row in result.works] == [0, 2, 3]


def test_tape_is_laid_for_each_work_and_bought_by_the_roll(run):
    result, _ = run(
        "masking", works=["sanding", "brushing"], borders=[WALL], posts=4, post_girth="400 mm", roll_length="10 m"
    )
    assert [row.tape_length for row in result.works] == pytest.approx([6.6, 6.6])
    assert (result.tape_length, result.rolls) == (pytest.approx(13.2), 2)
    assert run("masking", works=["sanding"], borders=[WALL])[0].rolls is None


def test_what_to_do_is_said_once_in_order(run):
    result, _ = run("masking", works=["sanding", "brushing"], borders=[WALL])
    messages = [todo.message.values["text"].text for todo in result.todo]
    assert len(messages) == len(set(messages))
    assert "irrigation" in messages[0]
    assert result.todo[0].id == "sanding-1"


def test_without_borders_it_is_said_what_is_missing(run):
    result, ledger = run("masking", works=["sanding"])
    assert spread.value(result.sheet_area) == 0
    assert "borders-missing" in ids(ledger)


lengths = st.integers(0, 100)


@settings(max_examples=50, deadline=None)
@given(lengths, lengths, st.sampled_from(["sanding", "brushing", "washing"]))
def test_more_edge_never_needs_less(run, one, more, work):
    def asked(length):
        borders = [
            {"id": "o", "adjoins": "open", "length": f"{length} m"},
            {"id": "w", "adjoins": "wall", "length": f"{length} m"},
        ]
        return run("masking", works=[work], borders=borders)[0]

    short, long = sorted((one, more))
    for name in ("sheet_area", "cover_area", "tape_length", "time"):
        assert spread.value(getattr(asked(short), name)) <= spread.value(getattr(asked(long), name)) + 1e-9


@pytest.mark.parametrize(
    ("fields", "pointer", "code"),
    [
        ({"works": ["sanding", "sanding"]}, "/works/1", "repeated"),
        ({"works": ["sanding"], "borders": [OPEN, OPEN]}, "/borders/1", "repeated"),
        ({"works": ["sanding"], "plants": [{"id": "a", "area": "1 m2"}] * 2}, "/plants/1", "repeated"),
        ({"works": ["sanding"], "post_girth": "300 mm"}, "/posts", "missing"),
        ({"works": []}, "/works", "out-of-range"),
        ({"works": ["sandng"]}, "/works/0", "unknown-id"),
    ],
)
def test_what_cannot_be_meant_is_refused(run, fields, pointer, code):
    assert (pointer, code) in refused(run, **fields)


@pytest.mark.parametrize(
    "place",
    [
        {"below": "water"},
        {"below": "ground", "borders": [{**WALL, "house_openings": 2}, {**OPEN, "boundary": "1 m"}]},
    ],
)
def test_nothing_is_put_up_for_spraying_that_is_stopped(run, place):
    """Drift over water and on neighbours stops spraying (judgement): no hours, film, tape or waste for it."""
    around = {"area": "20 m2", "posts": 4, "plants": [{"id": "roses", "area": "3 m2"}], "roll_length": "10 m"}
    result, ledger = run("masking", works=["spraying"], **around, **place)
    (row,) = result.works
    assert row.verdict == "stop"
    planned = (row.sheet_area, row.cover_area, row.tape_length, row.plant_area, row.screen_length, row.openings_shut)
    assert [*planned, row.time] == [0] * 7
    assert (result.time, result.tape_length, result.rolls, result.todo, result.waste) == (0, 0, 0, (), ())
    assert {finding.severity for finding in ledger.findings} <= {"stop", "note"}


def test_work_beside_spraying_that_is_stopped_is_planned_as_by_itself(run):
    around = {"area": "20 m2", "below": "water", "borders": [WALL, OPEN]}
    both, _ = run("masking", works=["brushing", "spraying"], **around)
    alone, _ = run("masking", works=["brushing"], **around)
    assert [row.verdict for row in both.works] == ["go", "stop"]
    for name in ("sheet_area", "cover_area", "tape_length", "time", "todo"):
        mine, other = getattr(both, name), getattr(alone, name)
        assert mine == other if name == "todo" else spread.value(mine) == pytest.approx(spread.value(other))
    assert spread.value(alone.time) > 0
