"""Floor areas of zones, held against the shoelace formula and worked sums."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bundled import bundled

import latewood
from latewood.problems import InputProblem

FT = 0.3048  # NIST Handbook 44, Appendix C: exactly


def shoelace(points):
    """Gauss's area formula, written out here so that it shares nothing with the geometry library."""
    after = points[1:] + points[:1]
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(points, after, strict=True))) / 2


def drawn(points, unit="m"):
    return ", ".join(f"{x!r} {y!r}" for x, y in points) + f" {unit}"


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def refused(run, **fields):
    with pytest.raises(InputProblem) as caught:
        run("area", **fields)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def test_single_rectangle(run):
    result, ledger = run("area", length="24 ft", width="16 ft")
    assert result.area == pytest.approx(384 * FT**2, rel=1e-12)
    assert [(f.id, f.zone, f.part) for f in result.faces] == [("main-field", "main", "field")]
    assert result.zones[0].outline_length == pytest.approx(80 * FT, rel=1e-12)
    assert "field-only" in ids(ledger)


def test_a_part_takes_its_area_from_its_zone(run):
    """24 × 16 ft with a strip of 24 × 4 ft inside: 288 and 96 ft2, together 384."""
    zones = [
        {"id": "main", "outline": "0 0, 24 0, 24 16, 0 16 ft"},
        {"id": "north", "part_of": "main", "outline": "0 12, 24 12, 24 16, 0 16 ft"},
    ]
    result, _ = run("area", zones=zones)
    assert {z.id: z.area / FT**2 for z in result.zones} == pytest.approx({"main": 288, "north": 96})
    assert result.area / FT**2 == pytest.approx(384)
    assert sum(face.area for face in result.faces) == pytest.approx(result.area, rel=1e-12)


def test_parts_of_parts_and_holes(run):
    """10 × 10 less a hole of 1 × 2; inside it 4 × 4, and inside that 2 × 2 with a hole of 1 × 1. Hand-worked."""
    zones = [
        {"id": "a", "length": "10 m", "width": "10 m", "holes": ["8 8, 9 8, 9 10, 8 10 m"]},
        {"id": "b", "part_of": "a", "outline": "0 0, 4 0, 4 4, 0 4 m"},
        {
            "id": "c",
            "part_of": "b",
            "outline": "1 1, 3 1, 3 3, 1 3 m",
            "holes": ["1.5 1.5, 2.5 1.5, 2.5 2.5, 1.5 2.5 m"],
        },
    ]
    result, _ = run("area", zones=zones)
    assert {z.id: z.area for z in result.zones} == pytest.approx({"a": 100 - 2 - 16, "b": 16 - 4, "c": 4 - 1})


def test_l_shape_against_the_shoelace(run):
    points = [(0, 0), (9.144, 0), (9.144, 3.6576), (3.6576, 3.6576), (3.6576, 12.8016), (0, 12.8016)]
    result, _ = run("area", zones=[{"id": "l", "outline": drawn(points)}])
    # By hand: 30 × 12 ft and 12 × 30 ft beyond the corner.
    assert result.area == pytest.approx(shoelace(points), rel=1e-12) == pytest.approx(720 * FT**2, rel=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    radii=st.lists(st.floats(0.5, 30), min_size=3, max_size=40),
    shift=st.tuples(st.floats(-50, 50), st.floats(-50, 50)),
    clockwise=st.booleans(),
)
def test_star_shapes_against_the_shoelace(radii, shift, clockwise, engine):
    """A star around a point never crosses itself, so every one of them must come out as the formula says."""
    turn = 2 * math.pi / len(radii)
    points = [
        (round(shift[0] + r * math.cos(i * turn), 6), round(shift[1] + r * math.sin(i * turn), 6))
        for i, r in enumerate(radii)
    ]
    if clockwise:
        points.reverse()
    answer = engine.calculate("area", zones=[{"id": "star", "outline": drawn(points)}])
    assert answer["result"]["area"]["value"] == pytest.approx(shoelace(points), rel=1e-8)


@pytest.mark.parametrize(
    ("fields", "faults"),
    [
        ({}, {("/zones", "conflict")}),
        (
            {"length": "3 m", "width": "2 m", "zones": [{"id": "a", "length": "1 m", "width": "1 m"}]},
            {("/zones", "conflict")},
        ),
        ({"length": "3 m"}, {("/length", "conflict")}),
        ({"zones": [{"id": "a"}]}, {("/zones/0", "conflict")}),
        ({"zones": [{"id": "a", "length": "3 m", "outline": "0 0, 1 0, 0 1 m"}]}, {("/zones/0", "conflict")}),
        ({"zones": [{"id": "a", "outline": "0 0, 2 2, 2 0, 0 2 m"}]}, {("/zones/0/outline", "conflict")}),
        ({"zones": [{"id": "a", "outline": "0 0, 1 1, 2 2 m"}]}, {("/zones/0/outline", "conflict")}),
        (
            {"zones": [{"id": "a", "length": "1 m", "width": "1 m"}, {"id": "a", "length": "1 m", "width": "1 m"}]},
            {("/zones/1/id", "repeated")},
        ),
        (
            {"zones": [{"id": "a", "part_of": "b", "length": "1 m", "width": "1 m"}]},
            {("/zones/0/part_of", "unknown-id")},
        ),
        (
            {
                "zones": [
                    {"id": "a", "part_of": "b", "length": "1 m", "width": "1 m"},
                    {"id": "b", "part_of": "a", "length": "1 m", "width": "1 m"},
                ]
            },
            {("/zones/0/part_of", "conflict"), ("/zones/1/part_of", "conflict")},
        ),
    ],
)
def test_shapes_that_cannot_be_meant(run, fields, faults):
    assert refused(run, **fields) == faults


PARENT = {"id": "p", "outline": "0 0, 10 0, 10 10, 0 10 m", "holes": ["4 4, 6 4, 6 6, 4 6 m"]}


@pytest.mark.parametrize(
    ("parts", "pointer"),
    [
        ([("a", "8 8, 12 8, 12 9, 8 9 m")], "/zones/1/outline"),
        ([("a", "3 3, 5 3, 5 5, 3 5 m")], "/zones/1/outline"),
        ([("a", "0 0, 3 0, 3 3, 0 3 m"), ("b", "2 2, 4 2, 4 3, 2 3 m")], "/zones/2/outline"),
        ([("a", "0 0, 3 0, 3 3, 0 3 m"), ("b", "1 1, 2 1, 2 2, 1 2 m")], "/zones/2/outline"),
    ],
)
def test_parts_outside_over_a_hole_and_over_one_another(run, parts, pointer):
    zones = [PARENT, *({"id": id, "part_of": "p", "outline": outline} for id, outline in parts)]
    assert refused(run, zones=zones) == {(pointer, "conflict")}


def test_holes_outside_and_over_one_another(run):
    outline = "0 0, 10 0, 10 10, 0 10 m"
    holes = ["9 9, 11 9, 11 10, 9 10 m", "1 1, 3 1, 3 3, 1 3 m", "2 2, 4 2, 4 4, 2 4 m"]
    assert refused(run, zones=[{"id": "a", "outline": outline, "holes": holes}]) == {
        ("/zones/0/holes/0", "conflict"),
        ("/zones/0/holes/2", "conflict"),
    }


def test_parts_side_by_side_may_touch_and_fill_their_zone(run):
    """Thirds of a foot have no exact float: shared edges must neither overlap nor leave area behind."""
    zones = [{"id": "p", "outline": "0 0, 10 0, 10 7, 0 7 ft"}]
    for i, (low, high) in enumerate([(0, 3.3333), (3.3333, 6.6667), (6.6667, 10)]):
        zones.append({"id": f"s{i}", "part_of": "p", "outline": f"{low} 0, {high} 0, {high} 7, {low} 7 ft"})
    result, _ = run("area", zones=zones)
    assert result.area / FT**2 == pytest.approx(70, rel=1e-9)
    assert result.zones[0].area == pytest.approx(0, abs=1e-9)


def test_a_part_without_a_place_is_taken_off_and_said(run):
    zones = [
        {"id": "p", "length": "10 m", "width": "4 m"},
        {"id": "a", "part_of": "p", "length": "2 m", "width": "4 m"},
    ]
    result, ledger = run("area", zones=zones)
    assert {z.id: z.area for z in result.zones} == pytest.approx({"p": 32, "a": 8})
    assert "place-not-checked" in ids(ledger)
    zones[1]["length"] = "11 m"
    assert refused(run, zones=zones) == {("/zones/1/part_of", "conflict")}


def test_every_fault_at_once(run):
    zones = [{"id": "a", "outline": "0 0, 2 2, 2 0, 0 2 m"}, {"id": "a", "part_of": "x", "length": "1 m"}]
    assert refused(run, zones=zones) == {
        ("/zones/0/outline", "conflict"),
        ("/zones/1", "conflict"),
        ("/zones/1/id", "repeated"),
        ("/zones/1/part_of", "unknown-id"),
    }


def test_working_says_how_each_zone_was_reckoned(run):
    _, ledger = run("area", zones=[PARENT, {"id": "q", "length": "2 m", "width": "3 m"}])
    steps = [(step.formula.id, step.about) for step in ledger.steps]
    # The hole is edge work, so its strip is reckoned too.
    assert steps == [("net-area", "p"), ("rectangle-area", "q"), ("obstacle-edge", "p"), ("edge-strip-area", "p")]
    for step in ledger.steps:
        assert step.formula(**step.numbers) == pytest.approx(step.value, rel=1e-12)


def test_declared_example_answers():
    engine = bundled()
    answer = engine.answer("area", dict(engine.calculator("area").example), latewood.wire.Options())
    assert answer["result"]["area"]["value"] == pytest.approx(384 * FT**2, rel=1e-8)
